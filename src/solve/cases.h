/* The operating cases of one circuit: each switch on together with the switches between it and the driver
 * (on every path with the fewest of them) and no other. Zones are what stays joined with every switch off: a
 * case is a set of live zones. Private to this layer. */
#ifndef FAREND_SOLVE_CASES_H
#define FAREND_SOLVE_CASES_H

#include "solve/circuit_net.h"

struct cases {
	const struct topology *topology;
	size_t *through;             /* per zone: a switch by which it is reached, NO_INDEX at the driver */
	size_t *beside;              /* per switch: the next by which the same zone is reached, or NO_INDEX */
	size_t *pending;             /* zones to go on from */
	size_t *depth;               /* per zone: switches passed; NO_INDEX: not reached */
	bool *zone_live, *switch_on; /* of the case that is set */
};

void cases_init(struct cases *cases, const struct topology *topology, struct arena *arena);

/* Finds the ways from the driver of a circuit to its switches: first of all for each circuit. */
void cases_of_circuit(struct cases *cases, size_t circuit);

/* What the switch lights: the zone behind it, NO_INDEX where that is not another zone. */
size_t cases_lit_zone(const struct cases *cases, size_t switch_index);

/* The case of a switch; to be ended before another begins. */
struct live_part cases_begin(struct cases *cases, size_t switch_index);
void cases_end(struct cases *cases, size_t switch_index);

/* False when a circuit has no case but the design case: one switch at most, and nothing beyond others. */
static inline bool cases_differ(const struct topology *topology, size_t circuit)
{
	return group_size(&topology->circuit_switches, circuit) > 1;
}

#endif
