/* What the JSON of every command shares: its head, the findings, the cautions. */
#ifndef FAREND_REPORT_JSON_PARTS_H
#define FAREND_REPORT_JSON_PARTS_H

#include "report/json_writer.h"
#include "report/report.h"

/* Members farend, format, command, verdict and job of the open object. */
void json_head(struct json *json, const struct job *job, enum verdict verdict, const char *command);

/* `key` and the ids of the items. */
void json_items(struct json *json, const char *key, const struct job *job,
                const struct item_ref *items, size_t count);

void json_assumed(struct json *json, const struct job *job, const struct assumptions *assumptions);
void json_findings(struct json *json, const struct job *job, const struct findings *findings);
void json_cautions(struct json *json);

#endif
