/* Random jobs, the same for the same seed: trees of switches and blocks, strips fed at one end,
 * both ends, in the middle, in rings and in chains. */
#ifndef FAREND_TESTS_ORACLE_GENERATE_H
#define FAREND_TESTS_ORACLE_GENERATE_H

#include "oracle/plan.h"

/* Derived and ready. Bridged plans, in which something hangs on two switches, are made now and
 * then. */
void generate_plan(struct plan *plan, struct arena *arena, uint64_t seed);

#endif
