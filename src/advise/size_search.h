/* Thinnest cables, jointly. Private to this layer. */
#ifndef FAREND_ADVISE_SIZE_SEARCH_H
#define FAREND_ADVISE_SIZE_SEARCH_H

#include "advise/trial.h"

/* One group of cables whose sizes hang together. `job` is the search's own and is changed in place. */
struct size_search {
	struct job *job;
	struct arena *arena;         /* for the search's own lists */
	struct arena *scratch;       /* reset at each evaluation */
	size_t *cable;               /* cables that may be resized */
	size_t *low, *high;          /* first and last row of wire_sizes allowed for each */
	size_t count;
	size_t budget;               /* evaluations left */
	bool proven;
	double *cost;                /* of a metre of each row of wire_sizes: money, or mm2 of copper */
	/* the answer: a size for each, and whether they pass */
	size_t *wire;
	bool passes;
	size_t allowed;              /* findings that not even the thickest sizes clear */
};

/* Fills `wire`: least total cost that leaves no more than the unavoidable findings; among equal costs the
 * fewest different sizes. Branch and bound over an incumbent from greedy thinning; `proven` is false when
 * the budget ran out or thinning found better after it. No single cable can be made one size thinner. */
void size_search_run(struct size_search *search);

#endif
