/* Results to bytes. Renderers know no physics; the solver knows no text. */
#ifndef FAREND_REPORT_REPORT_H
#define FAREND_REPORT_REPORT_H

#include "advise/advise.h"
#include "advise/tolerance.h"
#include "base/buf.h"
#include "base/diag.h"

/* Everything that `check` found out. */
struct check_result {
	const struct job *job;
	const struct solution *solution;
	const struct findings *findings;         /* advised and sorted */
	const struct assumptions *assumptions;
	enum verdict verdict;
	const char *as_built;                    /* the file that lengths were taken from, or NULL */
	const struct tolerance *tolerance;       /* what parts that differ from their labels do; NULL: not asked */
	const char *switches;                    /* the one state that was solved, "S1=off"; NULL: all cases */
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

/* Their parts, for several jobs in one: the text without the cautions at its end; the header and the rows of
 * one block of the CSV, with a `file` first where there is one. */
#define CHECK_CSV_BLOCKS (KIND__END + 1)
void check_text_alone(struct buf *out, const struct check_result *result, const struct style *style);
void check_csv_head(struct buf *out, size_t block, bool file);
void check_csv_rows(struct buf *out, const struct check_result *result, size_t block, const char *file);

/* `explain NAME`: one check in full. `explain`: all of them, a line each. */
void explain_check(struct buf *out, const struct check *check, const struct style *style);
void explain_list(struct buf *out, const struct style *style);

#endif
