/* Plan against built: what changed, what still passes, what explains the readings and what that does, and
 * what was not measured. */
#ifndef FAREND_ADVISE_VERIFY_H
#define FAREND_ADVISE_VERIFY_H

#include "advise/diagnose.h"
#include "check/check.h"

/* A job solved and checked. */
struct judged {
	const struct job *job;
	const struct solution *solution;
	const struct findings *findings;
};

/* One check whose severity for one item is not the planned one. */
struct verdict_change {
	struct item_ref item;
	const struct check *check;
	const struct finding *before, *after;    /* the worst; NULL: nothing was found */
};

struct verdict_changes {
	struct verdict_change *items;
	size_t count, capacity;
};

#define WARM_JOINT_W 0.5         /* heat in one joint or contact from which on it gets warm: common
                                    practice, no source */

/* The built job with a suspect's fault in it. */
struct fault_effect {
	struct judged faulty;
	struct verdict_changes changes;          /* against what was built */
	size_t strip;                /* whose dimmest point moves most, NO_INDEX: none noticeably */
	double light_before, light_after;        /* that point, as built and with the fault */
	double volts, watts;         /* across and in the faulty joint, cable or contact with everything
	                                on, NAN for other faults */
};

struct verification {
	struct judged plan, built;   /* same items under the same indices */
	const struct as_built *as_built;
	struct diagnosis diagnosis;
	struct verdict_changes changes;          /* built against plan */
	const struct fault_effect *effect;       /* of the first suspect; NULL: nothing to add, or a driver
	                                            that is off */
	struct item_ref *uncut; size_t uncut_count;          /* strips and cables without a length as built;
	                                                        what came with a part has its own */
	size_t *unread; size_t unread_count;                 /* strip ends and block terminals that a driver
	                                                        reaches, without a reading of volts */
	enum verdict verdict;        /* worst of built and faulty; caution at least where readings disagree */
};

/* `plan` and `built` are solved in every operating case and advised. Lives in `arena`. */
void verify_job(const struct judged *plan, const struct judged *built, const struct as_built *as_built,
                const struct meter *meter, struct arena *arena, struct verification *out);

/* The length of a strip or cable as it was planned or built, m: where a strip has a channel only, what is
 * cut for it. NAN for other items. */
double verify_length(const struct job *job, struct item_ref item);

/* The length as built that was stated for the item, m, or NAN. */
double verify_built_length(const struct verification *verification, struct item_ref item);

/* How many readings nothing can be foreseen of: where two drivers feed one network. */
size_t verify_unknown(const struct verification *verification);

/* How many readings lie outside what the meter explains. */
size_t verify_outside(const struct verification *verification);

#endif
