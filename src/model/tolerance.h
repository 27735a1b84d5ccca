/* How far the true values may lie from what a job says: every input of the solver with its tolerance.
 *
 * One deviation is one number between -1 and 1 (of the tolerance). What a type says varies twice: with the
 * reel or the batch, the same for all its items, and a little from item to item. */
#ifndef FAREND_MODEL_TOLERANCE_H
#define FAREND_MODEL_TOLERANCE_H

#include "model/job.h"

/* Share of a tolerance that all items of one type have in common; the rest is each item's own. Both
 * together never exceed the tolerance. Common practice, no source. */
#define REEL_SHARE 0.75

/* Where a tolerance comes from, for people. */
struct tolerance_rule {
	enum kind kind;
	const char *key;             /* of the attribute */
	double stated, assumed, measured;        /* half widths, shares: said by a label, left out, measured */
	const char *why;             /* with its source */
	const char *word;            /* "the watts", said of an item or a type: "the watts of L1" */
	const char *how;             /* how to know it better */
	void (*apply)(void *item, double share);
};
extern const struct tolerance_rule tolerance_rules[];
extern const size_t tolerance_rule_count;
/* Air around driver and cables, either way, C. Common practice, no source. */
#define AMBIENT_TOLERANCE_C 5.0

/* One input of one item. */
struct input {
	const struct tolerance_rule *rule;       /* NULL: the ambient */
	struct item_ref item;
	double half;                 /* share of the value; of the ambient C */
	size_t reel;                 /* deviation that it shares with its type, NO_INDEX: all its own */
	size_t own;                  /* its own deviation */
};

/* One number to draw for each build. */
struct deviation {
	const struct tolerance_rule *rule;       /* NULL: the ambient */
	struct item_ref item;        /* the item, or the first item of the type */
	const char *type_name;       /* NULL: the item's own */
};

struct inputs {
	struct input *items;         size_t count, capacity;
	struct deviation *deviations; size_t deviation_count, deviation_capacity;
};

/* Every input with a tolerance above zero. Lives in `arena`. */
void inputs_of(const struct job *job, struct arena *arena, struct inputs *out);

/* Changes the derived numbers of `variant`, a copy of the nominal job, to one build of it; `deviations` are
 * between -1 and 1. */
void inputs_apply(const struct inputs *inputs, const struct job *nominal, const double *deviations,
                  struct job *variant);

/* The input's attribute. */
const struct attr *input_attr(const struct job *job, const struct input *input);

#endif
