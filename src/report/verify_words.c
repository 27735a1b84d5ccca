/* What a joiner calls things: a joint at its terminal, a contact, a label; and what he can do about them. */
#include "report/verify_words.h"

#include "reference/reference.h"
#include "report/figures.h"
#include "report/item_list.h"

#include <math.h>
#include <string.h>

#define FAR_BELOW 0.8            /* of what a driver is set to: no trimmer goes there */
#define HEAT_NAMED_W 0.05        /* less is not worth a word */

const char *suspect_kind_word(enum suspect_kind kind)
{
	static const char *const words[] = {
		[SUSPECT_JOINT] = "joint", [SUSPECT_CABLE] = "cable", [SUSPECT_CONTACT] = "contact",
		[SUSPECT_DRIVER] = "driver", [SUSPECT_STRIP] = "strip",
	};
	return words[kind];
}

const char *core_word(enum core core)
{
	static const char *const words[] = {
		[CORE_BOTH] = NULL, [CORE_PLUS] = "plus", [CORE_MINUS] = "minus",
	};
	return words[core];
}

bool suspect_open(const struct suspect *suspect)
{
	return suspect->extra_ohm >= OPEN_OHM;
}

/* Whatever its core. */
static const char *bare_label(struct arena *arena, const struct job *job, const struct suspect *suspect)
{
	const char *id = item_id(job, suspect->item);
	switch (suspect->kind) {
	case SUSPECT_JOINT:
		return arena_printf(arena, "joint of %s at %s", id, job->terminals[suspect->terminal].name);
	case SUSPECT_CABLE:   return arena_printf(arena, "cable %s", id);
	case SUSPECT_CONTACT: return arena_printf(arena, "contact of %s", id);
	case SUSPECT_DRIVER:  return arena_printf(arena, "%s of %s", suspect->off ? "supply" : "setting", id);
	case SUSPECT_STRIP:   return arena_printf(arena, "load of %s", id);
	}
	return id;
}

const char *suspect_label(struct arena *arena, const struct job *job, const struct suspect *suspect)
{
	const char *core = core_word(suspect->core), *label = bare_label(arena, job, suspect);
	return core != NULL ? arena_printf(arena, "%s, %s core", label, core) : label;
}

const char *suspect_name(struct arena *arena, const struct job *job, const struct suspect *suspect)
{
	const char *core = core_word(suspect->core), *label = bare_label(arena, job, suspect);
	const char *article = suspect->kind == SUSPECT_CABLE ? "" : "the ";
	return core != NULL ? arena_printf(arena, "%s%s in the %s core only", article, label, core)
	                    : arena_printf(arena, "%s%s", article, label);
}

const char *suspect_value(struct arena *arena, const struct suspect *suspect)
{
	switch (suspect->kind) {
	case SUSPECT_DRIVER: return arena_printf(arena, "%.2f V", suspect->value);
	case SUSPECT_STRIP:  return arena_printf(arena, "%.0f %% of its label's watts", 100 * suspect->value);
	default:             return quantity_text(arena, suspect->extra_ohm, DIM_OHM, 2);
	}
}

/* "0.42 ohm more than allowed for (0.36 to 0.48 ohm)"; small ones in mohm. */
static const char *ohm_claim(struct arena *arena, const struct suspect *suspect)
{
	double extra = suspect->extra_ohm, size = fabs(extra);
	double low = size - suspect->uncertainty, high = size + suspect->uncertainty;
	if (suspect_open(suspect))
		return arena_printf(arena, "open, or nearly so (%.0f ohm or more)", OPEN_OHM);
	bool small = size < 0.1;
	double scale = small ? 1000 : 1;
	int decimals = small ? 0 : 2;
	return arena_printf(arena, "about %.*f %s %s than allowed for (%.*f to %.*f %s)",
	                    decimals, scale * size, small ? "mohm" : "ohm", extra < 0 ? "less" : "more",
	                    decimals, scale * fmax(low, 0), decimals, scale * high, small ? "mohm" : "ohm");
}

const char *suspect_claim(struct arena *arena, const struct suspect *suspect)
{
	double low = suspect->value - suspect->uncertainty, high = suspect->value + suspect->uncertainty;
	if (suspect->kind == SUSPECT_DRIVER)
		return arena_printf(arena, "about %.2f V (%.2f to %.2f V)", suspect->value, low, high);
	if (suspect->kind == SUSPECT_STRIP)
		return arena_printf(arena, "about %.0f %% of its label's watts (%.0f to %.0f %%)",
		                    100 * suspect->value, 100 * low, 100 * high);
	return ohm_claim(arena, suspect);
}

/* "none", "one" ... "nine", then digits */
static const char *count_word(struct arena *arena, size_t count)
{
	static const char *const words[] = {
		"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
	};
	return count < sizeof(words) / sizeof(words[0]) ? words[count] : arena_printf(arena, "%zu", count);
}

/* That a meter's readings are shown with. */
static int decimals_of(double digit)
{
	return digit < 0.005 ? 3 : 2;
}

/* The unit of what is left over: volts, unless currents alone were read. */
static enum meter_range range_of(const struct as_built *as_built)
{
	for (size_t i = 0; i < as_built->reading_count; i++)
		if (as_built->readings[i].range == METER_VOLTS)
			return METER_VOLTS;
	return METER_AMPS;
}

const char *suspect_explains(struct arena *arena, const struct verification *result,
                             const struct suspect *suspect)
{
	size_t outside = verify_outside(result);
	enum meter_range range = range_of(result->as_built);
	double digit = range == METER_VOLTS ? result->diagnosis.meter.digit_v : result->diagnosis.meter.digit_a;
	const char *left = meter_text(arena, &result->diagnosis.meter, range,
	                              fmax(suspect->worst, pow(10, -decimals_of(digit))));
	if (outside == 0)
		return arena_printf(arena, "brings all readings within %s together", left);
	if (suspect->explains < outside && outside == 1)
		return arena_printf(arena, "does not explain the reading that disagrees; up to %s remains", left);
	if (outside == 1 && !result->diagnosis.explained)
		return arena_printf(arena, "explains the reading that disagrees, but leaves up to %s elsewhere",
		                    left);
	if (suspect->explains < outside || !result->diagnosis.explained)
		return arena_printf(arena, "explains %s of the %s readings that disagree; up to %s remains",
		                    count_word(arena, suspect->explains), count_word(arena, outside), left);
	if (outside == 1)
		return arena_printf(arena, "explains the reading that disagrees within %s", left);
	return arena_printf(arena, "explains %s %s within %s", outside == 2 ? "both" : "all",
	                    outside == 2 ? "readings that disagree"
	                                 : arena_printf(arena, "%s readings that disagree",
	                                                count_word(arena, outside)), left);
}

const char *off_claim(struct arena *arena, const struct verification *result)
{
	const struct diagnosis *d = &result->diagnosis;
	struct item_ref *items = arena_array(arena, struct item_ref, d->suspect_count);
	struct buf ids;
	buf_init(&ids, arena);
	for (size_t i = 0; i < d->suspect_count; i++)
		items[i] = d->suspects[i].item;
	items_add(&ids, result->built.job, items, d->suspect_count);
	return arena_printf(arena, "%s %s to have been switched off, tripped or not connected when this was read",
	                    ids.data, d->suspect_count == 1 ? "seems" : "seem");
}

/* Whether somebody measured at the terminals of all those drivers. */
static bool read_at_drivers(const struct verification *result)
{
	size_t read = 0;
	for (size_t k = 0; k < result->diagnosis.suspect_count; k++) {
		bool found = false;
		for (size_t i = 0; i < result->as_built->reading_count && !found; i++) {
			const struct reading *r = &result->as_built->readings[i];
			found = r->range == METER_VOLTS && r->item.kind == KIND_DRIVER &&
			        r->item.index == result->diagnosis.suspects[k].item.index;
		}
		read += found;
	}
	return read == result->diagnosis.suspect_count;
}

const char *off_look(struct arena *arena, const struct verification *result)
{
	const char *missing = read_at_drivers(result) ? "" :
		" Where a driver's own low-voltage terminals have their voltage all the same, enter that "
		"reading too: a joint or cable behind it is then open.";
	return arena_printf(arena, "is it switched on? A driver that trips again has a short circuit behind it: "
	                    "with the supply off, look where plus may touch minus. Its mains side, fuse and "
	                    "wall switch too, is the electrician's.%s", missing);
}

/* By the row of the table of joints; "" where the job does not say. */
static const char *reseat(const struct job *job, const struct suspect *suspect)
{
	static const struct { const char *joint, *words; } mends[] = {
		{ "solder", "resolder it" },
		{ "screw", "loosen the screw, look for strands left out, and tighten it again" },
		{ "plug", "pull the plug and push it home" },
		{ "clip", "open the clip, see that every strand and pad sits under it, and close it again" },
	};
	const struct attr *joint = &job->cables[suspect->item.index].joint;
	for (size_t i = 0; attr_has(joint) && i < sizeof(mends) / sizeof(mends[0]); i++)
		if (strcmp(mends[i].joint, joints[(size_t)joint->num].name) == 0)
			return mends[i].words;
	return "take it apart, look for strands left out, and make it again";
}

/* Behind an open joint a strip holds anything from no volts to its knee, where the law holds it. */
static const char *across(struct arena *arena, const struct suspect *suspect, const struct fault_effect *effect,
                          const char *what)
{
	const char *volts;
	if (effect == NULL || !isfinite(effect->volts))
		return "";
	volts = quantity_volts(arena, effect->volts);
	bool open = suspect_open(suspect);
	return arena_printf(arena, " Before that, measure across %s with everything on: %s%s%s if it is this.",
	                    what, open ? "" : "about ", volts, open ? " or more" : "");
}

const char *suspect_look(struct arena *arena, const struct job *job, const struct suspect *suspect,
                         const struct fault_effect *effect)
{
	const char *where = suspect->core == CORE_BOTH ? "" :
		arena_printf(arena, ", the %s core", core_word(suspect->core));
	switch (suspect->kind) {
	case SUSPECT_JOINT:
		return arena_printf(arena, "with the supply off, %s%s.%s", reseat(job, suspect), where,
		                    across(arena, suspect, effect, suspect->core == CORE_BOTH ?
		                           "the joint in each core, and add the two," : "that core of the joint"));
	case SUSPECT_CABLE:
		return arena_printf(arena, "compare its size and length with the job file, and look for a nick, "
		                    "a crushed spot or cut strands at its ends%s.", where);
	case SUSPECT_CONTACT:
		if (suspect_open(suspect))
			return arena_printf(arena, "was it on? If not, write %s=off in the column 'switches' of "
			                    "these rows. If it was, change it.", item_id(job, suspect->item));
		return arena_printf(arena, "change the switch if its data sheet allows less.%s",
		                    across(arena, suspect, effect, "the switch"));
	case SUSPECT_DRIVER:
		if (suspect->value < FAR_BELOW * job->drivers[suspect->item.index].set_v)
			return "read its label, and measure at its own terminals: so far below its setting it is "
			       "made for another voltage, or overloaded, or has a short circuit behind it.";
		return "measure at the driver's own terminals; set its trimmer, or write what it gives as "
		       "'set_voltage' in the job file.";
	default:
		return "see whether it was cut from another reel or type; a reel test (docs/bench-tests.md) "
		       "finds its true watts.";
	}
}

/* "L5 far-end-dim (fail), L5 far-end-drop (caution)": what gets worse. */
static void add_worse(struct buf *out, const struct job *job, const struct verdict_changes *changes)
{
	size_t named = 0;
	for (size_t i = 0; i < changes->count; i++) {
		const struct verdict_change *change = &changes->items[i];
		bool worse = change->after != NULL && change->after->severity > SEVERITY_NOTE &&
		             (change->before == NULL || change->before->severity < change->after->severity);
		if (!worse)
			continue;
		buf_addf(out, "%s%s: %s (%s)", named++ > 0 ? "; " : " It changes what the checks say: ",
		         item_id(job, change->item), change->check->name,
		         severity_word(change->after->severity));
	}
	buf_add(out, named > 0 ? "." : "");
}

const char *effect_text(struct arena *arena, const struct job *job, const struct suspect *suspect,
                        const struct fault_effect *effect)
{
	struct buf out;
	buf_init(&out, arena);
	if (effect->strip != NO_INDEX && suspect_open(suspect))
		buf_addf(&out, "With it, %s is dark, or nearly (%s of full light at its dimmest without).",
		         job->strips[effect->strip].item.id, quantity_percent(arena, effect->light_before));
	else if (effect->strip != NO_INDEX)
		buf_addf(&out, "With it, %s's dimmest point is %s of full light (%s without).",
		         job->strips[effect->strip].item.id, quantity_percent(arena, effect->light_after),
		         quantity_percent(arena, effect->light_before));
	else
		buf_add(&out, "It makes no difference to the light that one could see.");
	add_worse(&out, job, &effect->changes);
	if (effect->watts >= HEAT_NAMED_W && suspect->kind != SUSPECT_CABLE) {
		buf_addf(&out, " It turns about %s into heat%s.", quantity_text(arena, effect->watts, DIM_WATT, 2),
		         effect->watts > WARM_JOINT_W ? " in one spot, enough to get warm (above 0.5 W; common "
		                                        "practice, no source): mend it before closing up"
		                                      : "");
	}
	return out.data;
}

const char *next_at(const struct job *job, const struct next_reading *next)
{
	return next->range == METER_VOLTS ? job->terminals[next->terminal].name : item_id(job, next->item);
}

const char *meter_text(struct arena *arena, const struct meter *meter, enum meter_range range,
                       double value)
{
	double digit = range == METER_VOLTS ? meter->digit_v : meter->digit_a;
	if (!isfinite(value))
		return "-";
	return arena_printf(arena, "%.*f %s", decimals_of(digit), value, range == METER_VOLTS ? "V" : "A");
}

const char *meter_difference(struct arena *arena, const struct meter *meter, enum meter_range range,
                             double value)
{
	const char *text = meter_text(arena, meter, range, fabs(value));
	bool is_zero = strspn(text, "0. ") == strlen(text) - 1;
	if (!isfinite(value) || is_zero)
		return text;
	return arena_printf(arena, "%s%s", value < 0 ? "-" : "+", text);
}

struct check_result figures_in(const struct judged *judged)
{
	return (struct check_result){ .job = judged->job, .solution = judged->solution,
	                              .findings = judged->findings };
}
