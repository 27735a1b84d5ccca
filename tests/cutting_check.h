/* A cutting plan against its order: every piece cut once, end to end, from stock that is there. */
#ifndef FAREND_TESTS_CUTTING_CHECK_H
#define FAREND_TESTS_CUTTING_CHECK_H

#include "advise/cutting.h"

/* Fails the test unless the plan can be cut as it stands and its figures are those of its stocks.
 * */
void cutting_check(const struct cut_order *order, const struct cut_plan *plan);

/* An order in which a unit is 50 mm: reels of `reel` units, pieces and offcuts in units, their ids
 * 100 + index and 200 + index. */
struct cut_order cutting_order(struct arena *arena, size_t reel, const size_t *offcuts,
                               size_t offcut_count, const size_t *pieces, size_t piece_count);

#endif
