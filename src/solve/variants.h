/* Many variants of one job, solved together: the same items joined in the same way, with other values. The
 * networks are built and analysed once, variants go through the solver side by side. */
#ifndef FAREND_SOLVE_VARIANTS_H
#define FAREND_SOLVE_VARIANTS_H

#include "solve/lanes.h"
#include "solve/solution.h"

#define VARIANTS BATCH_LANES     /* most in one call of variants_solve() */

struct variants;

/* `points`: at how many places along each strip the light is wanted, evenly spread from its first unit to
 * its last; 0 for none. Every operating case is solved, as by solve_job(). Lives in `arena`. */
struct variants *variants_new(const struct job *job, size_t points, struct arena *arena);

/* Solves `count` jobs. They may differ from the first in what follows from its items (resistances, laws,
 * set voltages), not in items, terminals or cut units. False when one did not converge. */
bool variants_solve(struct variants *variants, const struct job *const *jobs, size_t count);

/* The last answer for one of them, valid until the next call: as solve_job() gives it, but for `light` and
 * `volts` along the strips (NULL), fault currents (those of the first job) and the proof. */
const struct solution *variants_solution(const struct variants *variants, size_t which);

/* Light at the points of a strip; NULL where it is not live. */
const double *variants_light(const struct variants *variants, size_t which, size_t strip);

#endif
