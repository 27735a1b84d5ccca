/* Every figure that a check compares with a limit, also where it passes: what a spread of builds is
 * judged by. What there is to measure follows from the job alone, so that the same list serves each of
 * its variants.
 *
 * Left out is what does not vary with the parts' tolerances (labels, cut marks, counts), metres for each
 * feed, and the protection of cables, whose ratings are taken at their worst already. */
#ifndef FAREND_CHECK_MEASURE_H
#define FAREND_CHECK_MEASURE_H

#include "check/check.h"

struct measure;
typedef double measure_take(const struct measure *measure, const struct check_input *in);

struct measure {
	const struct check *check;
	struct item_ref item;
	double limit;                /* of caution; of fail where there is no other */
	double fail;                 /* NAN where the check never fails */
	bool least;                  /* a value below the limit breaks it; else one above */
	const size_t *strips;        /* compared with each other: a run, a view */
	size_t strip_count;
	measure_take *take;
};

struct measures {
	struct measure *items;
	size_t count, capacity;
};

/* Of the parts that are live in `in`. Lives in `arena`. */
void measures_of(const struct check_input *in, struct arena *arena, struct measures *out);

/* By the rule of the checks: exactly at the limit passes. */
bool measure_breaks(const struct measure *measure, double value, double limit);

#endif
