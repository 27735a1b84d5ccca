/* What to order, on paper and for machines. */
#ifndef FAREND_REPORT_SIZE_H
#define FAREND_REPORT_SIZE_H

#include "advise/size.h"
#include "report/report.h"

struct size_result {
	const struct job *job;                   /* as drawn */
	const struct size_plan *plan;
	const struct assumptions *assumptions;   /* of the job as drawn */
	/* what is said of the proposal: the plan's own, or of the written copy as it was read back */
	const struct job *sized;
	const struct findings *findings;
	const char **stuck;          size_t stuck_count;
	enum verdict verdict;
	const char *copy;                        /* where it was written, or NULL */
};

void size_text(struct buf *out, const struct size_result *result, const struct style *style);
void size_json(struct buf *out, const struct size_result *result, const struct style *style);
void size_csv(struct buf *out, const struct size_result *result, const struct style *style);

#endif
