/* Splitting a circuit into groups of cables whose sizes hang together, and sizing each. Private to this
 * layer. */
#ifndef FAREND_ADVISE_SIZE_GROUP_H
#define FAREND_ADVISE_SIZE_GROUP_H

#include "advise/size_search.h"

/* Sizes every cable of `job` (one circuit, one driver, changed in place) that is not `supplied`. Branches of
 * a driver that holds its voltage are sized one by one, joined where their strips share a view. Returns
 * whether the least cost was proven. */
bool size_cables(struct job *job, struct arena *arena);

/* May the cable get that size: of its own system, on the shelf, not under min_size? And the thickest such. */
bool size_may_be(const struct job *job, size_t cable, size_t wire);
size_t size_thickest(const struct job *job, size_t cable);

/* Group of every terminal of a one-circuit job, the driver's terminal standing for none. Returns how many. */
size_t size_branches(const struct job *job, bool join_views, struct arena *arena, size_t **group_of);

#endif
