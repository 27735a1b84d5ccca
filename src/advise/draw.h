/* Deviations drawn by Latin hypercube: of each the range -1 to 1 is cut into as many slices as there are
 * builds, and every slice is used once, in an order of its own. McKay, Beckman, Conover, Technometrics 21
 * (1979) 239-245. */
#ifndef FAREND_ADVISE_DRAW_H
#define FAREND_ADVISE_DRAW_H

#include "base/arena.h"

#include <stdint.h>

/* `out` has `samples` numbers. The same (seed, name) gives the same numbers on every machine; `name` is what
 * tells one deviation from another. `order` is scratch of the same size. */
void draw_hypercube(uint64_t seed, const char *const *name, size_t names, size_t samples, uint32_t *order,
                    float *out);

#endif
