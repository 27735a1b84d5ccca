/* The job's strips as cutting plans: one for each sort of strip (type, distance of the cut marks, reel). */
#ifndef FAREND_ADVISE_CUT_LIST_H
#define FAREND_ADVISE_CUT_LIST_H

#include "advise/cutting.h"
#include "check/check.h"
#include "model/offcut.h"

/* One length to cut: a whole strip, or one of the lengths that a strip is joined from. */
struct cut_part {
	size_t strip;                /* of the job */
	size_t nth, of;              /* 0 of 1 for a whole strip */
	size_t at;                   /* cut units from the strip's start to where it begins */
};

struct cut_group {
	const char *strip_type;      /* the name that offcuts have, too */
	const char *figures;         /* "24 V 9.6 W/m" */
	double pitch, reel;          /* m */
	size_t *strips;              /* of the job */
	size_t strip_count;
	struct cut_part *parts;      /* beside order.pieces */
	struct cut_order order;      /* ids of its offcuts: their index in the list of offcuts */
	struct cut_plan plan;        /* every piece is cut: nothing is too long */
};

/* A strip longer than a reel, and than every offcut that could be had for it: cut as full reels and the
 * rest, joined end to end at the last mark of each, or fed there. */
struct cut_join {
	size_t strip;
	size_t group;
	size_t reel_units;           /* cut units to each join */
	size_t pieces;
};

struct cut_profile {
	size_t strip;
	double length;               /* m: the channel, else the strip as written */
};

/* A length that is still there after the job. */
struct cut_leftover {
	const char *strip_type;
	double length;               /* m */
	size_t offcut;               /* the one that it is, untouched or cut into; NO_INDEX: from a new reel */
	bool untouched;
};

/* An offcut of a strip that the job does not have. */
struct cut_strange {
	size_t offcut;
	const char *hint;            /* "did you mean 'warm'?", or NULL; never for a type that is known */
};

struct cut_list {
	struct cut_group *groups;    size_t group_count;
	struct cut_join *joins;      size_t join_count;
	struct cut_profile *profiles; size_t profile_count;
	struct cut_leftover *leftovers; size_t leftover_count;   /* one cut unit and more; untouched last */
	struct cut_strange *strange; size_t strange_count;
	const struct offcuts *offcuts;
	size_t reels_used, lower_bound;          /* over all groups */
	bool optimal;                /* every group's */
};

/* Lives in `arena`. Optimal means: fewest reels for the pieces as listed, strips longer than a reel in the
 * lengths named. */
void cut_list_make(const struct job *job, const struct offcuts *offcuts, struct arena *arena,
                   struct cut_list *out);

/* m from the reel's start to a cut mark, and what is left behind the last cut. */
double cut_at(const struct cut_group *group, size_t mark);
double cut_left(const struct cut_group *group, const struct cut_stock *stock);

#endif
