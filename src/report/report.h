/* Results to bytes. Renderers know no physics; the solver knows no text. */
#ifndef FAREND_REPORT_REPORT_H
#define FAREND_REPORT_REPORT_H

#include "advise/advise.h"
#include "base/buf.h"
#include "base/diag.h"

/* Everything that `check` found out. */
struct check_result {
	const struct job *job;
	const struct solution *solution;
	const struct findings *findings;         /* advised and sorted */
	const struct assumptions *assumptions;
	enum verdict verdict;
};

struct style {
	bool colour;                 /* ANSI emphasis; never carries meaning */
	size_t width;                /* columns, 80 */
};

/* Printed at the end of everything that a person reads, NULL-ended. */
extern const char *const report_cautions[];

void check_text(struct buf *out, const struct check_result *result, const struct style *style);
void check_json(struct buf *out, const struct check_result *result, const struct style *style);
void check_csv(struct buf *out, const struct check_result *result, const struct style *style);

/* `explain NAME`: one check in full. `explain`: all of them, a line each. */
void explain_check(struct buf *out, const struct check *check, const struct style *style);
void explain_list(struct buf *out, const struct style *style);

#endif
