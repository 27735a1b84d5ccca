/* How to cut strips from reels and offcuts on the cut marks: one-dimensional cutting stock with one
 * reel length and a few single offcuts. Works in whole cut units; scissors on the marks take no
 * kerf. What is best, in this order:
 *   1. fewest new reels;
 *   2. offcuts first: most units cut from offcuts;
 *   3. the longest single length left over, on a reel or on an offcut, touched or not.
 *
 * Method (all from memory): a lower bound by dual feasible functions (Fekete and Schepers 2001),
 * which holds bound L2 of Martello and Toth (Knapsack Problems, 1990, chapter 8); best-fit
 * decreasing; then bin completion with their dominance criterion, in the manner of Korf (AAAI
 * 2002), for every question of the form "do the pieces fit?". Effort is bounded by counted steps,
 * never by time, so a plan is the same on every machine. */
#ifndef FAREND_ADVISE_CUTTING_H
#define FAREND_ADVISE_CUTTING_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>

struct cut_offcut {
	double length;               /* m */
	size_t id;                   /* the caller's own, passed through */
};

struct cut_piece {
	size_t units;                /* whole cut units; a piece of none is left out of the plan */
	size_t id;                   /* the caller's own */
};

struct cut_order {
	double pitch;                /* m per cut unit, above 0 */
	double reel_length;          /* of a new reel, m */
	const struct cut_offcut *offcuts;
	size_t offcut_count;
	const struct cut_piece *pieces;
	size_t piece_count;
};

/* One piece on its stock: from cut mark `from` to cut mark `to`, counted in units from the stock's
 * start. */
struct cut_mark {
	size_t piece;                /* index into the order's pieces */
	size_t from, to;
};

struct cut_stock {
	bool offcut;
	size_t index;                /* of the offcut in the order; of the new reel from 0 */
	size_t id;                   /* the offcut's id; the reel's index */
	double length;               /* m */
	size_t units;                /* whole units that it holds */
	struct cut_mark *cuts;       /* longest first, as the order has them where alike */
	size_t cut_count;
	size_t left;                 /* units left over at its end */
};

struct cut_plan {
	struct cut_stock *stocks;    /* those cut into: offcuts in order, then reels, fullest first */
	size_t stock_count;
	size_t reels_used;
	size_t lower_bound;          /* no plan needs fewer reels; the gap is reels_used - lower_bound */
	bool optimal;                /* reels_used == lower_bound */
	size_t offcut_units;         /* cut from offcuts */
	bool offcuts_proved;         /* no plan with as few reels cuts more from offcuts */
	size_t longest_left;         /* units, over reels cut into and all offcuts */
	bool leftover_proved;        /* no plan as good in the first two leaves a longer one */
	size_t *too_long;            /* pieces (indices) longer than a reel that no offcut holds */
	size_t too_long_count;
};

/* Whole units in a length: floor(length / pitch + 0.02), the rule of the job's strips. 0 for a
 * length that is not above 0. */
size_t cut_units(double length, double pitch);

/* The best plan found, and how far it is proved. Always cuts every piece that can be cut; where the
 * steps run out, or above a thousand pieces, best-fit decreasing stands and the flags say what is
 * proved. Lives in `arena`. */
void cut_plan_make(const struct cut_order *order, struct arena *arena, struct cut_plan *plan);

#endif
