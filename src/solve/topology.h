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

/* The circuit of that terminal alone, as circuit 0: all other terminals are in circuit 1, which is not
 * counted and has no groups. No cables by terminal either. What a solver called hundreds of times on one
 * circuit needs: one pass over the job, and nothing kept of the rest. */
void topology_build_one(struct topology *topology, const struct job *job, size_t terminal,
                        struct arena *arena);

/* Marks in `zone_live` the zones that the driver of a circuit (it has one) reaches through the switches
 * of `on`, NULL for all. `parent` is scratch. Both have size zone_count; only the entries of this circuit
 * are written. */
void topology_reach(const struct topology *topology, size_t circuit, const bool *on, size_t *parent,
                    bool *zone_live);

static inline size_t group_size(const struct grouping *g, size_t group)
{
	return g->first[group + 1] - g->first[group];
}

#endif
