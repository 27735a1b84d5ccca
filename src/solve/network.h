/* The solver's own interface: a direct-current network of nodes, resistances and chains of cut
 * units, seen as drops below one set voltage. Knows no strips, no cables and no text.
 *
 * A chain is the ladder of docs/model.md: `units` units on rails of `section_ohm` (out and
 * back) from unit to unit and half of that from each end node to its nearest unit. */
#ifndef FAREND_SOLVE_NETWORK_H
#define FAREND_SOLVE_NETWORK_H

#include "base/arena.h"
#include "model/job.h"

#include <stdint.h>

#define BRANCH_FLOOR_OHM 1e-6

struct net_branch { uint32_t a, b; double ohm; };
struct net_chain {
	uint32_t a, b;               /* end nodes */
	uint32_t units;
	double section_ohm;
	struct unit_law law;
	size_t first;                /* of its units among all units; filled by network_add_chain */
};
struct net_load { uint32_t node; double amps; };         /* drawn from the node, whatever its voltage */
struct net_fixed { uint32_t node; double drop; };        /* node held at set_v - drop */

struct network {
	struct arena *arena;
	double set_v;
	size_t node_count;
	struct net_branch *branches; size_t branch_count, branch_capacity;
	struct net_chain *chains;    size_t chain_count, chain_capacity;
	struct net_load *loads;      size_t load_count, load_capacity;
	struct net_fixed *fixed;     size_t fixed_count, fixed_capacity;
	size_t unit_count;
};

void network_init(struct network *net, struct arena *arena, double set_v);
uint32_t network_add_node(struct network *net);
void network_add_branch(struct network *net, uint32_t a, uint32_t b, double ohm);
void network_add_chain(struct network *net, uint32_t a, uint32_t b, size_t units, double section_ohm,
                       struct unit_law law);
void network_add_load(struct network *net, uint32_t node, double amps);
void network_fix(struct network *net, uint32_t node, double drop);

struct net_solution {
	bool converged;
	int iterations;
	double residual_a;           /* largest Kirchhoff imbalance over nodes and units */
	double balance_w;            /* power from the fixed nodes - losses - units - loads */
	double source_a;             /* out of the fixed nodes together */
	double *node_drop;           /* size node_count, V below set_v */
	double *unit_drop;           /* size unit_count */
	double *branch_a;            /* size branch_count, positive a -> b */
	double *chain_a;             /* size chain_count: into the chain at its end a */
	double *chain_b;             /* into the chain at its end b */
	const double *unit_amps;     /* size unit_count */
};

/* Solves by Newton with the line search of docs/model.md. Every node must have a path to a
 * fixed node. `out` lives in `arena`. A job that is valid converges; `converged` says so in the
 * positive. */
void network_solve(const struct network *net, struct arena *arena, struct net_solution *out);

/* The same network again and again: analysed once. Between runs its values may change
 * (resistances, laws, loads, fixed drops, set_v), its pattern and numbers of units may not; each
 * run starts from the pieces of the unit laws on which the last answer lay. `net` outlives the
 * solver; what `out` points to is the solver's, lives in `arena`, and holds until the next run. */
struct net_solver;
struct net_solver *net_solver_new(const struct network *net, struct arena *arena);
void net_solver_run(struct net_solver *solver, struct net_solution *out);

#endif
