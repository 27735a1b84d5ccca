/* The spread of one part of a job that can be looked at on its own: the circuits that are seen together.
 * Private to this layer. */
#ifndef FAREND_ADVISE_TOLERANCE_GROUP_H
#define FAREND_ADVISE_TOLERANCE_GROUP_H

#include "advise/tolerance.h"
#include "model/subset.h"
#include "solve/variants.h"

/* Figure by figure: nominal, spread, worst. Items are of the part's own job. */
struct group_result {
	const struct job *job;
	struct measures measures;
	struct inputs inputs;
	struct checked_spread *checks;           /* one for each measure */
	size_t decides;              /* NO_INDEX: nothing varies */
	double *slope;               /* of the deciding figure, for each deviation; NULL where nothing varies */
	float **band_low, **band_high;           /* of each strip; NULL: not live, or not wanted */
	double *load_p95;            /* of each driver */
	bool monotone;
};

/* The plan's progress is told the share done of this part. `broken`, `failed`: builds in which a limit of
 * caution, of fail is broken; added to. False when a build did not converge. Results live in `keep`. */
bool tolerance_group(const struct job *job, const struct tolerance_plan *plan, bool *broken, bool *failed,
                     struct arena *keep, struct group_result *out);

/* Has `a` the greater chance to break its limit, or is it the nearer of the two in terms of its spread? */
bool nearer_to_breaking(const struct checked_spread *a, const struct checked_spread *b);

#endif
