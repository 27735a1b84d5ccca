/* One chain in every lane, each lane with all its units on one piece of their law: elimination and
 * figures by doubling, without ever looking at every unit. Private to this layer. */
#ifndef FAREND_SOLVE_CHAIN_LANES_H
#define FAREND_SOLVE_CHAIN_LANES_H

#include "solve/batch.h"
#include "solve/ladder.h"

struct ladder_lanes { lanes g, shunt, source, to, rest; };
struct joint_lanes { lanes to_a, to_next, rest; };
struct port_lanes { lanes g, shunt_a, shunt_b, source_a, source_b; };

struct chain_lanes {
	size_t units;
	unsigned block_count;
	unsigned char level[32];           /* of each block, falling */
	struct port_lanes port;            /* what elimination leaves of the chain */
	struct ladder_lanes *ladders;      /* of 1, 2, 4 .. units */
	struct joint_lanes *joints;        /* behind each block but the last */
	lanes *edge;                       /* drops at the edges of blocks, block_count + 1 */
	lanes slope, amps, low, high;      /* i = amps - slope u, valid for low <= u <= high */
	lanes full;                        /* law.amps */
	lanes section_ohm;
	lanes mean;                        /* mean drop of the last solution: tells the piece to try */
};

struct chain_lanes chain_lanes_new(const struct net_chain *chain, struct arena *arena);

/* Takes lane values and the piece on which `mean` lies. */
void chain_lanes_take(struct chain_lanes *chain, const struct batch_values *values, size_t index,
                      bool regulated);

void chain_lanes_eliminate(struct chain_lanes *chain);

/* Drops at the edges of blocks from those at the ends, the figures, and the mean drop for the next
 * time. `off` becomes 1 where not all units lie on the piece that was tried, and else stays. */
void chain_lanes_figures(struct chain_lanes *chain, const lanes set_v, const lanes drop_a,
                         const lanes drop_b, struct batch_chain *out, lanes off);

void chain_lanes_light(const struct chain_lanes *chain, size_t unit, lanes light);

#endif
