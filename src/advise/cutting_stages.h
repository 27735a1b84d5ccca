/* The three aims of a cutting plan, one after the other. Each stage asks pack() whether the pieces
 * still fit after one more thing is demanded, and keeps the best packing so far. */
#ifndef FAREND_ADVISE_CUTTING_STAGES_H
#define FAREND_ADVISE_CUTTING_STAGES_H

#include "advise/cutting_pack.h"

struct stages {
	struct arena *arena;
	const struct sizes *sizes;
	size_t reel_units;
	const size_t *offcut_units;  /* bins 0 ... offcut_count - 1; reels follow */
	size_t offcut_count;
	const size_t *by_length;     /* offcuts, shortest first */
	struct packing best;
	size_t reels;                /* figures of the best packing: reels in use, units from offcuts, */
	size_t from_offcuts;         /* and the most units left over on one bin */
	size_t longest_left;
};

/* Starts from a packing of some of the pieces (those that only an offcut holds), the rest best-fit.
 * */
void stages_init(struct stages *st, const struct packing *start);

/* Fewest reels; returns the number that is proved to be needed. */
size_t stages_fewest_reels(struct stages *st);

/* Keeping the reels, most units from offcuts; keeping both, the longest length left over. Whether
 * that is proved. */
bool stages_most_from_offcuts(struct stages *st);
bool stages_longest_left(struct stages *st);

/* The units that each bin holds: size offcut_count + piece_count. */
size_t *stages_loads(const struct stages *st, const struct packing *packing, struct arena *arena);

#endif
