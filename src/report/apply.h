/* A sizing put into the user's own file: changed scalars and inserted lines, every other byte as it was. */
#ifndef FAREND_REPORT_APPLY_H
#define FAREND_REPORT_APPLY_H

#include "advise/size.h"
#include "base/diag.h"

/* Lengths of cables are rounded up to this, m. */
#define APPLY_LENGTH_STEP 0.010
double apply_length(double metres);

/* Adds to `out` the text of the job's file with the plan's proposals in it. False, with a diagnostic for
 * each, where an item is written in a way that cannot be changed on its own. Types and catalogues are
 * never changed. */
bool apply_size(const struct job *job, const struct size_plan *plan, struct diags *diags,
                struct buf *out);

/* Does the job that such a text was read as say what the plan wants? Values that items share through
 * anchors can make it differ; there is a diagnostic then for each item that does. */
bool apply_agrees(const struct size_plan *plan, const struct job *again, struct diags *diags);

#endif
