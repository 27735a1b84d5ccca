/* Remembers what did not fit, so that it is not tried again when another order leads to it. Whole
 * states are kept and compared: an answer from here is as good as a proof. */
#ifndef FAREND_ADVISE_CUTTING_KNOWN_H
#define FAREND_ADVISE_CUTTING_KNOWN_H

#include "base/arena.h"

#include <stdint.h>

struct known {
	struct arena *arena;
	size_t width;                /* sizes per state */
	size_t slots;                /* a power of two; a new state takes the place of an old one */
	uint16_t *left;              /* NULL until the first state is added */
	uint16_t *reels;             /* 0: the slot is free */
};

void known_init(struct known *known, size_t width, struct arena *arena);

/* The pieces left[i] of each size (65535 at most) do not fit on `reels` reels. */
void known_add(struct known *known, const size_t *left, size_t reels);

/* Whether it was added that they do not fit on as many reels, or on more. */
bool known_unfit(const struct known *known, const size_t *left, size_t reels);

#endif
