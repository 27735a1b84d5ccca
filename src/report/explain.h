/* `explain` for kinds of mistakes. Their rows come from the caller, because a report knows nothing of reading. */
#ifndef FAREND_REPORT_EXPLAIN_H
#define FAREND_REPORT_EXPLAIN_H

#include "report/report.h"

struct explained_mistake {
	const char *name, *meaning;
	const char *cure;            /* what to do, or to write */
	const char *wrong, *right;   /* a piece of a file before and after, or NULL */
};

/* One of them in full. */
void explain_mistake(struct buf *out, const struct explained_mistake *mistake, const struct style *style);

/* Below the list of checks: a line each. */
void explain_mistakes(struct buf *out, const struct explained_mistake *mistakes, size_t count,
                      const struct style *style);

/* How to go on from both lists. */
void explain_list_end(struct buf *out);

#endif
