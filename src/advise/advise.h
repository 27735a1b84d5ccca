/* What to do about each finding, every proposal re-solved by the same solver and checks before it is
 * offered; and what each assumption moves. */
#ifndef FAREND_ADVISE_ADVISE_H
#define FAREND_ADVISE_ADVISE_H

#include "check/check.h"

/* One attribute that was left out, once per (type or group, attribute). */
struct assumption {
	const char *owner;           /* the type's id, or the group ("strips") */
	const struct attribute *row;
	struct item_ref *items;      /* that it stands for */
	size_t item_count;
	char *value;                 /* for people: "0.20 ohm/m" */
	const char *why;
	const char *effect;          /* "at 0.10 ohm/m the dimmest point rises from 84 % to 92 %" */
};

struct assumptions {
	struct assumption *items;
	size_t count, capacity;
};

/* Replaces far-end findings by feed-both-ends or split-run where that is what helps, fills each
 * finding's `todo`, sorts. */
void advise_job(const struct job *job, const struct solution *solution, struct arena *arena,
                struct findings *findings);

void assumptions_of(const struct job *job, const struct solution *solution, struct arena *arena,
                    struct assumptions *out);

#endif
