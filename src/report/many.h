/* Several jobs in one result: each as it stands alone, in the order of the call, then one table of all. What
 * is added is written at once, so that a job can go before the next one comes. */
#ifndef FAREND_REPORT_MANY_H
#define FAREND_REPORT_MANY_H

#include "report/json_writer.h"
#include "report/report.h"

/* One job: its result, or NULL and the diagnostics that say why there is none. */
struct many_job {
	const char *file;
	const struct check_result *result;
	const struct diags *diags;
};

/* What the table at the end says of it. */
struct many_row {
	const char *file;
	bool checked;
	enum verdict verdict;
	size_t errors, counts[3];    /* findings, by enum severity */
	const char *check, *item;    /* of the first finding, the gravest; NULL: there is none */
};

struct many {
	struct arena *arena;
	struct style style;
	struct buf blocks[CHECK_CSV_BLOCKS];     /* text and JSON: the first */
	struct json list;            /* JSON: writes there */
	struct many_row *rows;
	size_t count, capacity;
};

struct many_format {
	void (*add)(struct many *many, const struct many_job *job);
	void (*end)(struct many *many, struct buf *out);
};
extern const struct many_format many_text, many_json, many_csv;

void many_init(struct many *many, struct arena *arena, const struct style *style);
void many_add(struct many *many, const struct many_format *format, const struct many_job *job);

#endif
