/* How sure a check is: what becomes of its figures when parts differ from their labels by their
 * tolerances (model/tolerance.h). */
#ifndef FAREND_ADVISE_TOLERANCE_H
#define FAREND_ADVISE_TOLERANCE_H

#include "check/measure.h"
#include "model/tolerance.h"

#define TOLERANCE_SAMPLES 2000
#define TOLERANCE_SAMPLES_MOST 1000000
#define TOLERANCE_SEED 1
#define BAND_POINTS 25           /* places along a strip at which its light is kept */

struct spread { double p05, p50, p95; };

struct checked_spread {
	const struct check *check;
	struct item_ref item;
	double nominal;
	struct spread spread;
	double worst;                /* at the corner that is worst for it; NAN where no corner is */
	double limit;                /* the first one that can be broken */
	double fail;                 /* NAN where the check never fails */
	bool least;                  /* the limit is the least that passes */
	double chance, fail_chance;  /* share of builds beyond limit, beyond fail */
};

struct strip_spread {
	struct spread light_min;
	double light_min_worst;
	const float *band_low, *band_high;       /* 5 % and 95 % of the light, size BAND_POINTS; NULL: not live */
};

/* An input by how much it decides. */
struct matter {
	const struct tolerance_rule *rule;       /* NULL: the ambient */
	struct item_ref item;        /* the item; the first of its type's items */
	const char *type_name;       /* the type whose reels or batches vary; NULL: this item alone */
	double share;                /* of the variance of the deciding figure */
};

struct tolerance {
	size_t samples;
	uint64_t seed;
	size_t deviations;           /* numbers drawn for each build */
	struct checked_spread *checks; size_t check_count;
	struct strip_spread *strips; /* size strip_count */
	double *driver_load_p95;     /* W, size driver_count; NAN where not live */
	double passes;               /* share of builds in which no limit is broken */
	double sound;                /* share in which no fail limit is broken */
	size_t decides;              /* index in checks of the figure nearest to breaking; NO_INDEX: none varies */
	struct matter *matters; size_t matter_count;     /* of that figure, largest first */
	bool monotone;               /* no figure was found beyond the corner taken for its worst */
};

struct tolerance_plan {
	size_t samples;              /* 0: the usual number */
	uint64_t seed;
	bool bands;                  /* light along the strips is wanted */
	/* Called now and then with the share done; may be NULL. */
	void (*progress)(void *data, double share);
	void *progress_data;
};

/* `job` solved as `solution`. Lives in `arena`. False when a build did not converge. */
bool tolerance_of(const struct job *job, const struct solution *solution,
                  const struct tolerance_plan *plan, struct arena *arena, struct tolerance *out);

#endif
