/* What to order: the smallest driver, the thinnest cables and the simplest feed per strip that pass every
 * check, found by search and re-solved by the same checks. */
#ifndef FAREND_ADVISE_SIZE_H
#define FAREND_ADVISE_SIZE_H

#include "advise/advise.h"

/* From simple to involved. */
enum feed { FEED_AS_DRAWN, FEED_OTHER_END, FEED_BOTH_ENDS, FEED_MIDDLE, FEED_SPLIT, FEED__END };
const char *feed_words(enum feed feed);      /* "as drawn", "other end", … */

struct feed_option {
	enum feed feed;
	size_t runs;                 /* FEED_SPLIT: how many */
	double light_min, drop;      /* dimmest unit, voltage lost, as fractions */
	bool passes;
};

struct strip_plan {
	enum feed proposed;
	struct feed_option options[FEED__END];
	size_t option_count;
	const char *why;             /* NULL where nothing changes */
};

struct cable_plan {
	size_t now, proposed;        /* rows of wire_sizes */
	double fuse_now, fuse_proposed;          /* A, 0 for none */
	const char *why;
};

struct driver_plan {
	double now_w, proposed_w;
	const char *part;            /* type or catalogue row, or NULL */
	const char *why;
	const char *split;           /* how to share out over several drivers, or NULL */
};

/* A second feed, or a feed from elsewhere. */
struct added_cable {
	const char *id;
	size_t like;                 /* the cable that it takes its joint and type from */
	const char *from, *to;       /* terminals */
	double metres;
	size_t wire;
	const char *why;
};

struct moved_cable { size_t cable; const char *to; bool at_from; };   /* the end that changes */

struct longest_run {
	const char *strip_type;      /* or the id of a strip without one */
	const char *like;            /* strip whose feed cable was taken */
	double one_end, both_ends, middle;       /* m, 0 where not even one unit passes */
};

struct size_plan {
	struct driver_plan *drivers;
	struct cable_plan *cables;
	struct strip_plan *strips;
	struct added_cable *added;   size_t added_count, added_capacity;
	struct moved_cable *moved;   size_t moved_count, moved_capacity;
	struct longest_run *longest; size_t longest_count;
	const char **stuck;          size_t stuck_count;
	bool optimal;                /* every search ended by proof, none by its cap */
	const struct job *sized;     /* the job with everything put in place */
	const struct solution *solution;
	struct findings findings;    /* of the sized job, advised and sorted */
	enum verdict verdict;
};

/* What findings of caution or worse say, and what to do where resizing and feeding are not what it takes.
 * Returns how many. */
size_t size_stuck(const struct findings *findings, struct arena *arena, const char ***out);

/* Lives in `arena`. */
void size_job(const struct job *job, const struct solution *solution, struct arena *arena,
              struct size_plan *out);

#endif
