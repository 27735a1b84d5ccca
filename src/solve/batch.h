/* The same network many times over with other values: samples side by side, one to a lane. What
 * depends on the pattern only is worked out once; a chain costs its logarithm in units, for no
 * unit is stored. */
#ifndef FAREND_SOLVE_BATCH_H
#define FAREND_SOLVE_BATCH_H

#include "solve/lanes.h"
#include "solve/network.h"

/* What may differ from lane to lane, by index of the network's lists. batch_new() fills every lane
 * with the network's own values; the caller writes over what it varies and leaves the rest.
 * Resistances below BRANCH_FLOOR_OHM count as that. v_knee < v_full. Whether a law is regulated is
 * the network's. */
struct batch_values {
	lanes set_v;
	lanes *branch_ohm;
	lanes *section_ohm;                      /* of chains, from here on */
	lanes *amps, *v_knee, *v_full;           /* their unit_law */
	lanes *load_a;
	lanes *fixed_drop;
};

/* Figures of one chain. Its extremes, sums and means are over its units. */
struct batch_chain {
	lanes in_a, in_b;                        /* A, into it at its ends */
	lanes v_low, v_high;                     /* V at units */
	lanes amps;                              /* sum of i */
	lanes watts;                             /* sum of v i */
	lanes light_low, light_high, light_mean; /* i / law.amps */
};

struct batch {
	const struct network *net;
	struct batch_values values;
	/* results of the last batch_solve() */
	bool converged[BATCH_LANES];
	int iterations[BATCH_LANES];
	lanes residual_a;                        /* largest imbalance of nodes and of chains as a whole */
	lanes source_a;                          /* out of the fixed nodes together */
	lanes *node_drop;                        /* V below set_v */
	lanes *branch_a;                         /* positive a -> b */
	struct batch_chain *chains;
	struct batch_work *work;                 /* private */
};

/* Analyses `net`, which must outlive the batch and keep its pattern, and solves it once as a first
 * guess. Lives in `arena`. */
struct batch *batch_new(const struct network *net, struct arena *arena);

/* Solves lanes 0 .. count - 1; the results of others mean nothing. Each lane is what
 * network_solve() would give, and starts from what the last call found. */
void batch_solve(struct batch *batch, size_t count);

/* Light of unit `unit` of chain `chain` (from its end a on) in every lane, after batch_solve(). */
void batch_light(const struct batch *batch, size_t chain, size_t unit, lanes light);

#endif
