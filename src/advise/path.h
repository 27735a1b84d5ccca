/* Where a strip's current comes from. Private to this layer. */
#ifndef FAREND_ADVISE_PATH_H
#define FAREND_ADVISE_PATH_H

#include "model/subset.h"
#include "solve/solution.h"

/* The strip's terminal with the largest net inflow, or NO_INDEX when it takes none. */
size_t path_feed(const struct job *job, const struct solution *solution, size_t strip);

/* Cables from a strip's feed back to the driver, following the largest inflow at each terminal, through
 * switches, blocks and other strips. The strip's own feed cable comes first. */
struct path {
	size_t *cables;
	size_t count;
	/* of the second feed that would begin where this path first meets something that is no strip: */
	size_t source;               /* that terminal */
	double metres;               /* of cable and strip from there to the feed */
};
void path_find(struct path *path, const struct job *job, const struct solution *solution, size_t strip,
               struct arena *arena);

/* The far terminal of the run that a strip belongs to: from the end that is not `feed`, on through
 * cables that join strip to strip. *metres adds up the strip lengths passed, its own included. */
size_t path_far_end(const struct job *job, const struct solution *solution, size_t strip, size_t feed,
                    double *metres);

#endif
