/* A network with both of its rails: for cores that are not alike where current has another way round.
 * The network is that of network.h, read so: every branch, and every section of a chain, is two cores with
 * half of its loop resistance each; a unit draws i(v_plus - v_minus) from its plus rail into its minus
 * rail; a load likewise; a fixed node holds both rails. Private to this layer. */
#ifndef FAREND_SOLVE_TWO_RAIL_H
#define FAREND_SOLVE_TWO_RAIL_H

#include "solve/network.h"

struct rail_extra { size_t branch; double plus_ohm, minus_ohm; };

struct two_rail_solution {
	bool converged;
	int iterations;
	double residual_a;           /* largest Kirchhoff imbalance of either rail, nodes and units */
	double balance_w;            /* power from the fixed nodes - losses - units - loads */
	double source_a;             /* out of the fixed nodes' plus together */
	const double *node_v;        /* plus against minus; size node_count */
	const double *plus_a;        /* plus core, a -> b; size branch_count */
	const double *minus_a;       /* minus core, b -> a */
	const double *unit_amps;     /* size unit_count */
};

/* Newton with the line search of network_solve(). Where no extra is given, or none in a loop, the answer is
 * that of the loop model. `out` lives in `arena`. */
void two_rail_solve(const struct network *net, const struct rail_extra *extras, size_t extra_count,
                    struct arena *arena, struct two_rail_solution *out);

#endif
