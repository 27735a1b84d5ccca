/* How long a run of each strip type may be. Private to this layer. */
#ifndef FAREND_ADVISE_SIZE_LONGEST_H
#define FAREND_ADVISE_SIZE_LONGEST_H

#include "advise/size.h"

/* For each strip type: its longest strip alone on its driver, behind the cables that feed it now. */
void longest_runs(const struct job *job, const struct solution *solution, struct arena *arena,
                  struct size_plan *out);

#endif
