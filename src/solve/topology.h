/* What is joined to what: circuits (connected with every switch on), zones (connected with every switch
 * off), and the cables at each terminal. */
#ifndef FAREND_SOLVE_TOPOLOGY_H
#define FAREND_SOLVE_TOPOLOGY_H

#include "solve/solution.h"

/* Indices grouped: members of group g are list[first[g]] .. list[first[g + 1] - 1], ascending. */
struct grouping {
	size_t *first;               /* size groups + 1 */
	size_t *list;
};

struct topology {
	const struct job *job;
	size_t circuit_count;
	size_t *circuit_of;          /* size terminal_count */
	size_t zone_count;
	size_t *zone_of;             /* size terminal_count */
	struct grouping circuit_drivers, circuit_switches, circuit_blocks, circuit_strips, circuit_cables;
	struct grouping terminal_cables;
};

void topology_build(struct topology *topology, const struct job *job, struct arena *arena);

static inline size_t group_size(const struct grouping *g, size_t group)
{
	return g->first[group + 1] - g->first[group];
}

#endif
