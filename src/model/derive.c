/* What follows from an item's own attributes: cut units, resistances, ratings.
 * See docs/input.md and docs/model.md. */
#include "model/job.h"

#include "reference/reference.h"

#include <math.h>

#define KNEE_VOLTS_PER_LED 2.75   /* 12 V - 20 mA (150 + 3 * 12) ohm = 8.28 V for three, from memory */
#define PITCH_SNAP 0.005          /* reel / cut_length this near to a whole number is meant as one */
#define UNIT_SLACK (0.02 + 1e-9)  /* of a cut unit: a length this little short still holds it */

static void assume(struct attr *attr, enum dim dim, double value)
{
	if (attr_said(attr))
		return;
	attr->origin = ORIGIN_ASSUMED;
	attr->dim = dim;
	attr->num = value;
}

size_t strip_units_in(const struct strip *strip, double metres)
{
	return (size_t)floor(metres / strip->pitch + UNIT_SLACK);
}

/* p = reel / N where reel / cut_length is within 0.5 % of a whole N; n = floor(length / p + 0.02) */
static void derive_units(struct strip *strip)
{
	double count = strip->reel.num / strip->cut_length.num;
	double whole = round(count);
	bool snaps = whole >= 1 && fabs(count - whole) <= PITCH_SNAP * whole;

	strip->pitch = snaps ? strip->reel.num / whole : strip->cut_length.num;
	strip->units = strip_units_in(strip, attr_said(&strip->length) ? strip->length.num
	                                                               : strip->channel.num);
	strip->metres = (double)strip->units * strip->pitch;
}

/* Loop of two rails: R' = 2 rho / (thickness * width), at the ambient temperature. */
static double copper_loop(const struct strip *strip, double ambient_c)
{
	return 2 * COPPER_OHM_M / (strip->copper.num * strip->rail_width.num) * copper_factor(ambient_c);
}

/* The most specific statement wins: item over type; among equals a measurement over copper. The slot
 * of loop_resistance then carries the value found, with the origin of what it was found from. */
static void derive_loop(struct strip *strip, double ambient_c)
{
	const struct attr *test = &strip->reel_test;
	enum origin stated = strip->loop_resistance.origin;
	double ohm, watts;

	if (attr_said(test) && test->origin >= stated && test->origin >= strip->copper.origin &&
	    reel_test_solve(strip, &ohm, &watts)) {
		strip->loop_measured = true;
		strip->loop_resistance.num = ohm;
		strip->loop_resistance.origin = test->origin;
		strip->power_measured = test->origin >= strip->power.origin;
		if (strip->power_measured)
			strip->power_w_per_m = watts;
	} else if (attr_said(&strip->copper) && strip->copper.origin >= stated) {
		strip->loop_from_copper = true;
		strip->loop_resistance.num = copper_loop(strip, ambient_c);
		strip->loop_resistance.origin = strip->copper.origin;
	}
	strip->loop_ohm_per_m = strip->loop_resistance.num;
}

/* A knee found from a piece, carried in the slot of led_knee like a loop resistance in its own. */
static void derive_knee(struct strip *strip)
{
	const struct attr *test = &strip->piece_test;
	double knee;

	assume(&strip->led_knee, DIM_VOLT, KNEE_VOLTS_PER_LED * strip->series_leds.num);
	if (attr_said(test) && test->origin >= strip->led_knee.origin && piece_test_knee(strip, &knee)) {
		strip->knee_measured = true;
		strip->led_knee.num = knee;
		strip->led_knee.origin = test->origin;
		strip->led_knee.place = test->place;
	}
	strip->law.v_knee = strip->led_knee.num;
}

/* A whole reel says more about its watts than a piece. */
static void derive_power(struct strip *strip)
{
	double watts;

	if (strip->power_measured || !strip->knee_measured ||
	    strip->piece_test.origin < strip->power.origin || !piece_test_power(strip, &watts))
		return;
	strip->power_measured = true;
	strip->power_w_per_m = watts;
}

void strip_derive(struct strip *strip, double ambient_c)
{
	derive_units(strip);
	assume(&strip->series_leds, DIM_COUNT, fmax(1, floor(strip->voltage.num / 4)));

	strip->loop_measured = strip->power_measured = strip->knee_measured = false;
	strip->loop_from_copper = false;
	strip->power_w_per_m = strip->power.num;
	strip->law.regulated = strip->ballast.num == BALLAST_CONSTANT_CURRENT;
	strip->law.v_full = strip->law.regulated ? strip->regulates_above.num : strip->voltage.num;
	derive_knee(strip);
	derive_loop(strip, ambient_c);
	derive_power(strip);
	strip->law.amps = strip->power_w_per_m * strip->pitch / strip->voltage.num;
}

void switch_derive(struct switch_item *s)
{
	if (attr_said(&s->voltage_drop) && attr_has(&s->max_current) &&
	    s->voltage_drop.origin >= s->on_resistance.origin) {
		s->on_resistance.num = s->voltage_drop.num / s->max_current.num;
		s->on_resistance.origin = s->voltage_drop.origin;
	}
	s->on_ohm = s->on_resistance.num;
}

/* Linear between points, flat outside them. */
static double curve_at(const struct attr *curve, double x)
{
	const struct point *p = curve->points;
	size_t n = curve->point_count;
	if (n == 0)
		return 1;
	if (x <= p[0].x)
		return p[0].y;
	for (size_t i = 1; i < n; i++)
		if (x <= p[i].x)
			return p[i - 1].y + (p[i].y - p[i - 1].y) * (x - p[i - 1].x) / (p[i].x - p[i - 1].x);
	return p[n - 1].y;
}

void driver_derive(struct driver *driver, double ambient_c)
{
	assume(&driver->max_current, DIM_AMP, driver->power.num / driver->voltage.num);
	if (!attr_said(&driver->set_voltage)) {
		driver->set_voltage.has_tolerance = driver->voltage.has_tolerance;
		driver->set_voltage.tolerance = driver->voltage.tolerance;
	}
	assume(&driver->set_voltage, DIM_VOLT, driver->voltage.num);
	assume(&driver->trip_current, DIM_AMP, TRIP_FACTOR * driver->max_current.num);
	driver->rated_a = driver->max_current.num;
	driver->set_v = driver->set_voltage.num;
	driver->trip_a = driver->trip_current.num;
	driver->derate = attr_said(&driver->derating) ? curve_at(&driver->derating, ambient_c) : 1;
}

void cable_derive(struct cable *cable, double ambient_c)
{
	const struct wire_size *size = &wire_sizes[(size_t)cable->size.num];
	double core = cable->stranding.num > 0 ? size->solid_ohm_per_m : size->flexible_ohm_per_m;

	assume(&cable->rating, DIM_AMP, size->rating_a);
	cable->joint_a = INFINITY;
	if (attr_said(&cable->joint)) {
		const struct joint *joint = &joints[(size_t)cable->joint.num];
		if (!attr_said(&cable->joint_resistance) || cable->joint_resistance.origin < cable->joint.origin) {
			cable->joint_resistance.num = joint->ohm;
			cable->joint_resistance.origin = cable->joint.origin;
		}
		if (joint->max_a > 0)
			cable->joint_a = joint->max_a;
	}
	if (attr_said(&cable->joint_current))
		cable->joint_a = cable->joint_current.num;

	/* R = 2 R20 l (1 + 0.00393 (T - 20)) + joints */
	cable->copper_ohm = 2 * core * cable->length.num * copper_factor(ambient_c);
	cable->joint_ohm = cable->joint_resistance.num;
	cable->ohm = cable->copper_ohm + cable->joint_ohm;
	cable->iz = cable->rating.num * ambient_factor(ambient_c, cable->insulation.num);
}

void cable_resize(struct cable *cable, size_t wire, double ambient_c)
{
	cable->size.num = (double)wire;
	cable->rating.origin = ORIGIN_UNSET;
	cable_derive(cable, ambient_c);
}

void job_derive(struct job *job)
{
	double ambient = job->ambient.num;

	if (!attr_has(&job->limits[LIMIT_MIN_SIZE])) {
		job->limits[LIMIT_MIN_SIZE].num = (double)wire_size_by_area(0.5e-6);
		job->limits[LIMIT_MIN_SIZE].origin = ORIGIN_ASSUMED;
	}
	for (size_t i = 0; i < job->driver_count; i++)
		driver_derive(&job->drivers[i], ambient);
	for (size_t i = 0; i < job->switch_count; i++)
		switch_derive(&job->switches[i]);
	for (size_t i = 0; i < job->strip_count; i++)
		strip_derive(&job->strips[i], ambient);
	for (size_t i = 0; i < job->cable_count; i++)
		cable_derive(&job->cables[i], ambient);
}

double job_limit(const struct job *job, enum limit limit)
{
	return job->limits[limit].num;
}
