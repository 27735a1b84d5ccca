/* What bench tests found in place of what a label says. */
#ifndef FAREND_REPORT_MEASURED_H
#define FAREND_REPORT_MEASURED_H

#include "report/json_writer.h"
#include "report/page.h"

/* A heading and a line for each; nothing at all where nothing was measured. */
void page_measured(const struct page *page, const struct job *job);

/* The member `measured`: [{items, attribute, value, from, owner}]. */
void json_measured(struct json *json, const struct job *job);

#endif
