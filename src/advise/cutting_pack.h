/* The inside of the cutting list: do these pieces fit into these bins? A bin is an offcut or a
 * reel. */
#ifndef FAREND_ADVISE_CUTTING_PACK_H
#define FAREND_ADVISE_CUTTING_PACK_H

#include "base/arena.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The pieces, gathered by size. Bit x of row i of `reach` says that x units can be made up from
 * sizes i, i + 1, ...; row `count` holds only 0. */
struct sizes {
	size_t count;                /* different sizes, longest first */
	size_t *units;
	size_t *pieces;              /* how many of each */
	size_t piece_count;
	size_t total;                /* units of all pieces */
	size_t limit;                /* largest sum that `reach` covers */
	size_t words;                /* 64-bit words per row */
	uint64_t *reach;             /* NULL where it would be too large: nothing is searched then */
};

/* `units` must be sorted, longest first. */
void sizes_init(struct sizes *sizes, const size_t *units, size_t count, size_t limit,
                struct arena *arena);

/* The largest sum of pieces that is at most `units`: more of a stock cannot be used. */
size_t sizes_reach(const struct sizes *sizes, size_t units);

/* A bin that there is one of. */
struct single {
	size_t units;
	size_t bin;                  /* its number in the packing */
	bool offcut;
};

struct bins {
	struct single *singles;      /* offcuts first */
	size_t single_count;
	size_t offcut_min;           /* units that the offcuts must take together */
	size_t reels;                /* alike, numbered from first_reel */
	size_t reel_units;
	size_t first_reel;
};

/* `count` pieces of size `size` (an index) in bin `bin`. */
struct take {
	size_t bin, size, count;
};

struct packing {
	struct take *takes;          /* room for one per piece */
	size_t count;
};

/* Prepared lower bounds for one set of bins. */
struct bound {
	const struct sizes *sizes;
	const struct bins *bins;
	size_t span;                 /* the largest bin */
	uint64_t *rounded;
};

void bound_init(struct bound *bound, const struct sizes *sizes, const struct bins *bins,
                struct arena *arena);

/* No packing of the pieces (left[i] of size i) into the single bins from `first_single` on and
 * reels needs fewer reels. SIZE_MAX when no number of reels would do. */
size_t bound_reels(const struct bound *bound, const size_t *left, size_t first_single);

/* Adds what `packing` leaves out, longest first: into the offcut that it fits best, else the reel,
 * else a new reel (bins->reels is no limit). */
void pack_best_fit(const struct sizes *sizes, const struct bins *bins, struct arena *scratch,
                   struct packing *packing);

enum pack_answer { PACK_NO, PACK_YES, PACK_UNKNOWN };

/* Whether all pieces fit, exactly. Takes its steps from *effort; out of steps it is PACK_UNKNOWN.
 * Writes `packing` on PACK_YES only. */
enum pack_answer pack(const struct sizes *sizes, const struct bins *bins, uint64_t *effort,
                      struct arena *scratch, struct packing *packing);

#endif
