/* A small job with the items of one circuit of a larger one, to try changes on. */
#ifndef FAREND_MODEL_SUBSET_H
#define FAREND_MODEL_SUBSET_H

#include "model/job.h"

/* Index of a whole job's item in its subset, per kind; NO_INDEX where it is not in it. */
struct subset {
	struct job *job;
	size_t *local[KIND__END];    /* size job_count(whole, kind) */
	size_t *whole[KIND__END];    /* the way back: size job_count(subset, kind) */
};

/* The items for which inside(data, kind, index) holds; a cable inside needs what it joins inside too.
 * Lives in `arena`; strings and curves are shared. */
typedef bool subset_filter(const void *data, enum kind kind, size_t index);
struct subset job_subset(const struct job *whole, subset_filter *inside, const void *data,
                         struct arena *arena);

/* A copy whose items can be changed without touching `job`; lives in `arena`. */
struct job *job_copy(const struct job *job, struct arena *arena);

/* Adds a copy of an item, already derived; strips get terminals of their own. Returns its index. */
size_t job_add_strip(struct job *job, const struct strip *strip);
size_t job_add_cable(struct job *job, const struct cable *cable);

/* The terminal of a strip's other end. */
static inline size_t strip_other_end(const struct job *job, size_t terminal)
{
	return job->terminals[terminal].which == WHICH_START ? terminal + 1 : terminal - 1;
}

#endif
