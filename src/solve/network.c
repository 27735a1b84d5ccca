/* Putting a network together. */
#include "solve/network.h"

#include <math.h>

/* Appends `row` to a list of the network that has a count and a capacity. */
#define APPEND(net, list, count, capacity, row) do { \
	(net)->list = arena_grow((net)->arena, (net)->list, (net)->count, &(net)->capacity, sizeof(row)); \
	(net)->list[(net)->count++] = (row); \
} while (0)

void network_init(struct network *net, struct arena *arena, double set_v)
{
	*net = (struct network){ .arena = arena, .set_v = set_v };
}

uint32_t network_add_node(struct network *net)
{
	return (uint32_t)net->node_count++;
}

void network_add_branch(struct network *net, uint32_t a, uint32_t b, double ohm)
{
	struct net_branch branch = { a, b, fmax(ohm, BRANCH_FLOOR_OHM) };
	APPEND(net, branches, branch_count, branch_capacity, branch);
}

void network_add_chain(struct network *net, uint32_t a, uint32_t b, size_t units, double section_ohm,
                       struct unit_law law)
{
	struct net_chain chain = { .a = a, .b = b, .units = (uint32_t)units,
	                           .section_ohm = fmax(section_ohm, BRANCH_FLOOR_OHM), .law = law,
	                           .first = net->unit_count };
	APPEND(net, chains, chain_count, chain_capacity, chain);
	net->unit_count += units;
}

void network_add_load(struct network *net, uint32_t node, double amps)
{
	struct net_load load = { node, amps };
	APPEND(net, loads, load_count, load_capacity, load);
}

void network_fix(struct network *net, uint32_t node, double drop)
{
	struct net_fixed fixed = { node, drop };
	APPEND(net, fixed, fixed_count, fixed_capacity, fixed);
}
