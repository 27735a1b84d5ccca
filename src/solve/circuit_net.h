/* From items to the solver's network: one circuit in one operating case. Private to this layer. */
#ifndef FAREND_SOLVE_CIRCUIT_NET_H
#define FAREND_SOLVE_CIRCUIT_NET_H

#include "solve/network.h"
#include "solve/topology.h"

/* Which part of a circuit is alive. NULL members: everything. */
struct live_part {
	const bool *zone;            /* size zone_count */
	const bool *switch_on;       /* size switch_count */
};

/* Where the items of the circuit went in the network. Arrays follow the circuit's groupings; NO_INDEX
 * marks what is not alive. A strip's chains are consecutive, one more than it has taps. */
struct circuit_net {
	struct network net;
	uint32_t *node_of;           /* size terminal_count, shared by all circuits; NODE_NONE: not alive */
	size_t *terminals;           /* those of the circuit */
	size_t terminal_count;
	size_t *cable_branch;
	size_t *switch_branch;
	size_t *strip_chain;
	size_t driver_branch;        /* its output resistance, NO_INDEX where that is zero */
};

#define NODE_NONE UINT32_MAX

/* Builds the network of `circuit` (with one driver). `node_of` is scratch of size terminal_count whose
 * entries for this circuit's terminals are overwritten. */
void circuit_net_build(struct circuit_net *out, const struct topology *topology, size_t circuit,
                       struct live_part live, uint32_t *node_of, struct arena *arena);

#endif
