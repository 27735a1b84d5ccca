/* Trying a change on a copy of one circuit: apply, solve, run the same checks, look. Private to this layer.
 *
 * A bench is a circuit cut out of the job; trials are copies of it that live until the bench is cleared. */
#ifndef FAREND_ADVISE_TRIAL_H
#define FAREND_ADVISE_TRIAL_H

#include "advise/advise.h"
#include "model/subset.h"

struct bench {
	const struct job *whole;
	struct subset circuit;
	struct arena *arena;         /* of the bench */
	struct arena *scratch;       /* of the trials */
	const struct solution *now;  /* the circuit as it stands, indices of the subset */
};

struct trial {
	struct job *job;
	struct solution *solution;
	struct findings findings;
};

/* Cuts out the circuit of `solution` that a terminal of the whole job lies in. */
void bench_open(struct bench *bench, const struct job *job, const struct solution *solution,
                size_t circuit, struct arena *parent);
void bench_close(struct bench *bench);

/* A fresh copy to change; forgets earlier trials of this bench. */
void trial_begin(struct bench *bench, struct trial *trial);

/* Derives changed items, solves every case and checks. */
void trial_run(struct bench *bench, struct trial *trial);

/* Changes, with everything that follows from them derived. */
void trial_resize_cable(struct trial *trial, size_t cable, size_t wire);
void trial_set_units(struct trial *trial, size_t strip, size_t units);
/* A driver of other watts; `part` NULL, or the type whose every value it then has. */
void trial_set_driver(struct trial *trial, size_t driver, double watts, const char *part);
/* A second feed like `like`, from one terminal to another; no fuse of its own. */
void trial_add_feed(struct trial *trial, size_t like, size_t from, size_t to, double metres);

/* True when no finding of caution or worse with one of the NULL-ended `names` concerns the item. */
bool trial_clears(const struct trial *trial, const char *const *names, struct item_ref item);

/* Does any finding of caution or worse with this name stand? */
bool trial_has(const struct trial *trial, const char *name);

extern const char *const far_end_family[];    /* far-end-drop, far-end-dim, uneven */

#endif
