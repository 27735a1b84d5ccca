/* The ways in which a strip can be fed, tried one by one. Private to this layer. */
#ifndef FAREND_ADVISE_SIZE_FEED_H
#define FAREND_ADVISE_SIZE_FEED_H

#include "advise/path.h"
#include "advise/size.h"
#include "advise/trial.h"

#define FEED_MOST_RUNS 12

/* What a feed changes in a job, so that it can be told and written down. */
struct feed_change {
	struct added_cable *added;   size_t added_count, added_capacity;
	struct moved_cable *moved;   size_t moved_count, moved_capacity;
	struct arena *arena;
};

/* How the strip is fed now. */
struct present_feed {
	size_t strip, terminal;
	size_t cable;                /* its own feed cable */
	size_t source;               /* where a further feed would begin: the block or other part it hangs on */
	double metres;               /* from there to the feed */
	size_t far;                  /* the other end of its run: of the last strip joined on to it */
	double run_metres;           /* from the feed to there */
	bool both_now;               /* the far end is fed already */
	bool known;                  /* fed at one of its ends, and its far end leads on to nothing else */
	bool usable;                 /* known, alone in its run, fed by one cable, its other end free, no taps */
};
struct present_feed present_feed_of(const struct job *job, const struct solution *solution, size_t strip,
                                    struct arena *scratch);

/* Moves the source up to the first terminal that can take another cable: a block has only so many ports.
 * False where there is none. */
bool present_feed_find_room(const struct job *job, const struct solution *solution,
                            struct present_feed *present, struct arena *scratch);

/* Does it take a further cable at the source? */
static inline bool feed_needs_port(enum feed feed)
{
	return feed == FEED_BOTH_ENDS || feed == FEED_SPLIT;
}

/* Changes `job` (derived, terminals kept) so that the strip is fed so. False where it cannot be.
 * `change` may be NULL. */
bool feed_apply(struct job *job, const struct present_feed *present, enum feed feed, size_t runs,
                struct feed_change *change);

/* Dimmest unit and largest drop of a strip, and of the parts that a split made of it: items from
 * `first_part` on. */
void feed_judge(const struct job *job, const struct solution *solution, const struct findings *findings,
                size_t strip, size_t first_part, struct feed_option *option);

#endif
