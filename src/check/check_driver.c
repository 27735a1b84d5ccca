/* What the driver is asked for, and what its label says about safety. */
#include "check/judge.h"

#include "reference/reference.h"

enum excess { WITHIN, INTO_HEADROOM, OVER_RATING };

static enum excess excess_over(double load, double rated, double headroom)
{
	if (above(load, rated))
		return OVER_RATING;
	return above(load, (1 - headroom) * rated) ? INTO_HEADROOM : WITHIN;
}

static void describe_load(struct findings *out, struct finding *f, const char *id, double rated,
                          enum dim dim, const struct driver *driver)
{
	bool over = f->severity == SEVERITY_FAIL;
	struct pair pair = pair_text(out, f->value, f->limit, dim);
	const char *rating = quantity_text(out->arena, rated, dim, 3);
	const char *heat = "";
	if (driver->derate < 1)
		heat = say(out, ", of which %s is left at this ambient",
		           quantity_percent(out->arena, driver->derate));
	f->message = over
		? say(out, "%s has to deliver %s, above the %s it may give (rated %s%s)",
		      id, pair.value, pair.limit, rating, heat)
		: say(out, "%s has to deliver %s, more than the %s that leave the headroom "
		      "(rated %s%s)", id, pair.value, pair.limit, rating, heat);
}

/* The larger of label watts and solved output, in W or in A (at the driver's voltage), whichever is worse:
 * caution above (1 - headroom) of the derated rating, fail above the derated rating. */
void check_driver_headroom(const struct check *check, const struct check_input *in,
                           struct findings *out)
{
	double headroom = job_limit(in->job, LIMIT_HEADROOM);
	for (size_t i = 0; i < in->job->driver_count; i++) {
		const struct driver *driver = &in->job->drivers[i];
		const struct driver_result *r = &in->solution->drivers[i];
		double rated_w = driver->power.num * driver->derate;
		double rated_a = driver->rated_a * driver->derate;
		enum excess in_w = excess_over(r->worst_w, rated_w, headroom);
		enum excess in_a = excess_over(r->worst_a, rated_a, headroom);
		enum excess excess = in_a > in_w ? in_a : in_w;
		if (!r->live || excess == WITHIN)
			continue;

		bool amps = in_a > in_w, over = excess == OVER_RATING;
		bool by_current = amps && attr_said(&driver->max_current);
		struct finding *f = finding_add(out, check, over ? SEVERITY_FAIL : SEVERITY_CAUTION,
		                                ref_to(KIND_DRIVER, i),
		                                by_current ? &driver->max_current : &driver->power);
		f->value = amps ? r->worst_a : r->worst_w;
		f->limit = (amps ? rated_a : rated_w) * (over ? 1 : 1 - headroom);
		describe_load(out, f, driver->item.id, amps ? driver->rated_a : driver->power.num,
		              amps ? DIM_AMP : DIM_WATT, driver);
		if (!over)
			finding_limit(out, f, in->job, LIMIT_HEADROOM);
		f->todo = say(out, "choose a driver rated %s or more at this ambient, or put "
		              "part of the strips on a second driver",
		              quantity_text(out->arena, f->value / (1 - headroom),
		                            amps ? DIM_AMP : DIM_WATT, 3));
	}
}

/* "L1 and L3 are made for 12 V"; where they differ among themselves only the first one's is
 * said. */
void check_driver_voltage(const struct check *check, const struct check_input *in,
                          struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	size_t *slots = empty_slots(scratch, in->job->driver_count);
	size_t first = out->count;

	for (size_t i = 0; i < in->job->strip_count; i++) {
		const struct strip *strip = &in->job->strips[i];
		if (strip_fits_driver(in, i))
			continue;
		size_t driver = driver_at(in, strip->terminal);
		struct finding *f = finding_in_slot(out, &slots[driver], check, SEVERITY_FAIL,
		                                    ref_to(KIND_DRIVER, driver));
		finding_concerns(out, f, ref_to(KIND_STRIP, i));
	}
	for (size_t i = first; i < out->count; i++) {
		struct finding *f = &out->items[i];
		const struct driver *driver = &in->job->drivers[f->item.index];
		f->value = in->job->strips[f->items[1].index].voltage.num;
		f->limit = driver->voltage.num;
		finding_point(f, &driver->voltage);
		struct pair pair = pair_text(out, f->value, f->limit, DIM_VOLT);
		f->message = say(out, "%s is a %s driver, but %s made for another voltage "
		                 "(%s: %s)", driver->item.id, pair.limit,
		                 say(out, "%s %s", list_text(out, in, f, 1),
		                     f->item_count > 2 ? "are" : "is"),
		                 name_of(in, f->items[1]), pair.value);
		f->todo = "use strips and driver of one voltage, or give these strips their own driver";
	}
	arena_free(scratch);
}

double driver_least_w(const struct driver *driver)
{
	return driver->min_load.num * (driver->min_load.dim == DIM_AMP ? driver->voltage.num : 1);
}

/* Smallest output over the operating cases against min_load (A: times the driver's voltage). */
void check_driver_light_load(const struct check *check, const struct check_input *in,
                             struct findings *out)
{
	for (size_t i = 0; i < in->job->driver_count; i++) {
		const struct driver *driver = &in->job->drivers[i];
		const struct driver_result *r = &in->solution->drivers[i];
		if (!r->live || !attr_has(&driver->min_load) || !(r->nameplate_w > 0))
			continue;
		double least = driver_least_w(driver);
		if (!below(r->least_w, least))
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_CAUTION, ref_to(KIND_DRIVER, i),
		                                &driver->min_load);
		f->value = r->least_w;
		f->limit = least;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_WATT);
		f->message = say(out, "%s has as little as %s to deliver at times, but needs %s "
		                 "to run properly", driver->item.id, pair.value, pair.limit);
		f->todo = "choose a driver without a minimum load or a smaller one, or keep one strip "
		          "unswitched";
	}
}

#define LIMITED_LOW_V 20.0       /* up to here 5 A, above it 100 W */

/* Up to 20 V the limit of 5 A is said in watts (5 A x voltage), so that value and limit are
 * alike. */
void check_driver_limited_power(const struct check *check, const struct check_input *in,
                                struct findings *out)
{
	for (size_t i = 0; i < in->job->driver_count; i++) {
		const struct driver *driver = &in->job->drivers[i];
		double volts = driver->voltage.num;
		if (above(volts, ELV_TOUCH_LIMIT_V) ||
		    limited_power(volts, driver->power.num, driver->rated_a))
			continue;
		bool low = volts <= LIMITED_LOW_V;
		struct finding *f = finding_add(out, check, SEVERITY_NOTE, ref_to(KIND_DRIVER, i),
		                                &driver->power);
		f->value = low ? driver->rated_a * volts : driver->power.num;
		f->limit = low ? 5 * volts : 100;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_WATT);
		f->message = say(out, "%s can deliver %s, more than the %s of a limited-power "
		                 "source at %s: a fault on its cables is not harmless by itself",
		                 driver->item.id, pair.value, pair.limit, volts_text(out, volts));
		f->todo = "nothing, if the cables are protected as the other checks ask; two smaller "
		          "drivers would each be limited";
	}
}

void check_driver_selv(const struct check *check, const struct check_input *in,
                       struct findings *out)
{
	for (size_t i = 0; i < in->job->driver_count; i++) {
		const struct driver *driver = &in->job->drivers[i];
		if (!attr_said(&driver->selv) || driver->selv.num > 0)
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_DRIVER, i),
		                                &driver->selv);
		f->message = say(out, "the output of %s is not separated from the mains (selv: "
		                 "no), so nothing on it may be touched", driver->item.id);
		f->todo = "choose a driver marked SELV";
	}
}

void check_driver_enclosed(const struct check *check, const struct check_input *in,
                           struct findings *out)
{
	for (size_t i = 0; i < in->job->driver_count; i++) {
		const struct driver *driver = &in->job->drivers[i];
		if (!(driver->enclosed.num > 0) || attr_said(&driver->derating))
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_CAUTION, ref_to(KIND_DRIVER, i),
		                                &driver->enclosed);
		f->message = say(out, "%s is shut in without moving air, and nothing says how "
		                 "much it may deliver when it gets warm", driver->item.id);
		f->todo = "give its derating curve from the data sheet and the air temperature around it, "
		          "or leave it room for air";
	}
}

void check_elv_limit(const struct check *check, const struct check_input *in, struct findings *out)
{
	for (size_t i = 0; i < in->job->driver_count; i++) {
		const struct driver *driver = &in->job->drivers[i];
		bool set = driver->set_v > driver->voltage.num;
		double volts = set ? driver->set_v : driver->voltage.num;
		if (!above(volts, ELV_TOUCH_LIMIT_V))
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_DRIVER, i),
		                                set ? &driver->set_voltage : &driver->voltage);
		f->value = volts;
		f->limit = ELV_TOUCH_LIMIT_V;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_VOLT);
		f->message = say(out, "%s gives %s, more than the %s DC that may be touched",
		                 driver->item.id, pair.value, pair.limit);
		f->todo = "use a driver and strips of 12 V, 24 V or 48 V";
	}
}
