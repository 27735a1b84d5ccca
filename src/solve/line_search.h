/* How far to go along Newton's direction, docs/model.md. Private to this layer. */
#ifndef FAREND_SOLVE_LINE_SEARCH_H
#define FAREND_SOLVE_LINE_SEARCH_H

#include <stdbool.h>

/* step_to(data, s) goes to s along the direction and returns the slope there, which never decreases;
 * `slope` is that at 0. The last call is for the point to take: s = 1 where the slope there is at most a
 * tenth of the first, else where its magnitude is. True when it was the full step. */
bool line_search(double (*step_to)(void *data, double s), void *data, double slope);

#endif
