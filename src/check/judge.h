/* What the checks share: comparisons, look-ups and words. Private to this layer. */
#ifndef FAREND_CHECK_JUDGE_H
#define FAREND_CHECK_JUDGE_H

#include "check/check.h"

#include <math.h>

/* Exactly at a limit passes, whatever the last bits of a solved figure say. False for NAN. */
#define LIMIT_SLACK 1e-9
static inline bool above(double value, double limit)
{
	return value - limit > LIMIT_SLACK * fabs(limit);
}
static inline bool below(double value, double limit)
{
	return limit - value > LIMIT_SLACK * fabs(limit);
}

static inline struct item_ref ref_to(enum kind kind, size_t index)
{
	return (struct item_ref){ .kind = kind, .index = index };
}
static inline const char *name_of(const struct check_input *in, struct item_ref item)
{
	return job_item(in->job, item.kind, item.index)->id;
}

/* The one driver of the network that a terminal lies in, or NO_INDEX: none, or several. */
size_t driver_at(const struct check_input *in, size_t terminal);

/* The strip's label names the voltage of its driver. Where it does not, driver-voltage says so and
 * nothing else about that strip's voltages and light is worth saying. */
bool strip_fits_driver(const struct check_input *in, size_t strip);

/* Cables joined at a terminal. */
static inline size_t cables_at(const struct check_input *in, size_t terminal)
{
	return in->solution->first_at[terminal + 1] - in->solution->first_at[terminal];
}

/* What several functions of this layer read off a job or a solution. */
#define FUSE_IN_USE 0.8          /* Ib / In; practice for blade and glass fuses, from memory */

/* joined[strip]: one of the strips that it is joined with end to end, the same for all of them. */
size_t *strips_joined(const struct job *job, struct arena *arena);
/* highest voltage at a cut unit over the operating cases / nominal voltage - 1 */
double strip_overvoltage_of(const struct check_input *in, size_t strip);
/* The terminal with the largest net inflow over the cases. */
size_t hottest_terminal(const struct check_input *in, const struct strip *strip);
/* min_load of a driver in W (amperes: times its voltage), of a switch in A (watts: over its driver's). */
double driver_least_w(const struct driver *driver);
double switch_least_a(const struct check_input *in, const struct switch_item *s);
/* What a switch's label allows in A: max_current, or max_power at the voltage of its driver. */
double switch_limit(const struct check_input *in, const struct switch_item *s);
/* The cable at a block's terminal that carries the most over the cases, or NO_INDEX. */
size_t busiest_cable(const struct check_input *in, size_t terminal);

/* `count` slots that hold NO_INDEX. */
size_t *empty_slots(struct arena *arena, size_t count);

/* The finding whose index *slot holds; made about `item` where the slot is empty. */
struct finding *finding_in_slot(struct findings *out, size_t *slot, const struct check *check,
                                enum severity severity, struct item_ref item);

/* One finding per group of strips, about the strip with the largest excess (the first of several),
 * and concerning all others of the group. group_of[strip] < strip_count, or NO_INDEX: not
 * concerned. The caller fills in the rest, for the findings from the returned index on. */
size_t findings_by_group(struct findings *out, const struct check *check, const struct job *job,
                         const size_t *group_of, const double *excess);

/* Points the finding at `attr` where that is written at the item itself. */
void finding_point(struct finding *finding, const struct attr *attr);

/* Sets the finding's source where the limit comes from `limits:` in the job file. */
void finding_limit(struct findings *out, struct finding *finding, const struct job *job,
                   enum limit limit);

/* A text for a finding. */
char *say(struct findings *out, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* A value beside its limit, both with as few digits as tell them apart. */
struct pair { const char *value, *limit; };
struct pair pair_text(struct findings *out, double value, double limit, enum dim dim);

/* "L1", "L1 and L2", "L1, L2, L3 and 4 more": the finding's items from the one numbered `first`
 * on. */
const char *list_text(struct findings *out, const struct check_input *in,
                      const struct finding *finding, size_t first);

static inline char *amps_text(struct findings *out, double amps)
{
	return quantity_text(out->arena, amps, DIM_AMP, 3);
}
static inline char *watts_text(struct findings *out, double watts)
{
	return quantity_text(out->arena, watts, DIM_WATT, 3);
}
/* Of strip: 850 mm, 33 1/2 in. */
static inline char *strip_length_text(struct findings *out, double metres)
{
	return quantity_length_in(out->arena, metres, out->lengths, LENGTH_TAPE, 0);
}
/* A nominal voltage: 24 V, 12.5 V. */
static inline char *volts_text(struct findings *out, double volts)
{
	return quantity_text(out->arena, volts, DIM_VOLT, 4);
}

/* Is it one of far-end-drop, far-end-dim and uneven? */
bool check_is_far_end(const struct check *check);

/* One function per row of the table that is raised in this layer. */
typedef void check_run(const struct check *check, const struct check_input *in,
                       struct findings *out);
check_run check_driver_headroom, check_driver_voltage, check_driver_light_load,
	check_driver_limited_power, check_driver_selv, check_driver_enclosed, check_elv_limit;
check_run check_far_end_drop, check_far_end_dim, check_uneven;
check_run check_mismatch, check_dip;
check_run check_strip_overrun, check_strip_overvoltage, check_off_mark, check_strip_heat;
check_run check_cable_overload, check_joint_overload, check_fuse_overload;
check_run check_cable_unprotected, check_fault_may_not_trip;
check_run check_switch_overload, check_switch_voltage, check_switch_light_load;
check_run check_block_overload, check_block_ports;
check_run check_unfed, check_double_fed, check_loose_part;

#endif
