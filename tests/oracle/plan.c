#include "oracle/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* IEC 60228 class 5 and class 1/2, plain copper, largest resistance of one core at 20 C in ohm/km;
 * VDE 0295 below 0.5 mm2. Gauges: ohm/km from the ASTM B258 diameter below. */
static const struct { int awg; double flexible, solid; } cores[] = {
	{ 0, 134, 0 }, { 0, 96, 0 }, { 0, 76, 0 }, { 0, 53, 0 },
	{ 0, 39.0, 36.0 }, { 0, 26.0, 24.5 }, { 0, 19.5, 18.1 }, { 0, 13.3, 12.1 }, { 0, 7.98, 7.41 },
	{ 0, 4.95, 4.61 }, { 0, 3.30, 3.08 },
	{ 24, 0, 0 }, { 22, 0, 0 }, { 20, 0, 0 }, { 18, 0, 0 }, { 16, 0, 0 }, { 14, 0, 0 }, { 12, 0, 0 },
	{ 10, 0, 0 },
};
const char *const plan_sizes[] = {
	"0.14 mm2", "0.22 mm2", "0.25 mm2", "0.34 mm2", "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2",
	"2.5 mm2", "4 mm2", "6 mm2",
	"24 AWG", "22 AWG", "20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG",
};
const size_t plan_size_count = sizeof cores / sizeof *cores;
const size_t plan_size_solid = 4;

/* docs/input.md, joints: both ends, both cores together. */
static const struct { const char *name; double ohm; } joints[] = {
	{ "solder", 0.005 }, { "screw", 0.010 }, { "plug", 0.040 }, { "clip", 0.080 },
};
#define JOINT_UNSAID 0.020
#define IACS 0.017241            /* ohm mm2/m, IEC 60028 */
#define PI 3.14159265358979323846

struct said said(const char *unit, double factor, double value)
{
	struct said s;
	snprintf(s.text, sizeof s.text, *unit ? "%.10g %s" : "%.10g", value, unit);
	s.si = strtod(s.text, NULL) * factor;
	return s;
}

#define ADD(plan, list, count, capacity, row) \
	((plan)->list = arena_grow((plan)->arena, (plan)->list, (plan)->count, &(plan)->capacity, \
	                           sizeof(row)), \
	 (plan)->list[(plan)->count] = (row), (plan)->count++)

void plan_init(struct plan *plan, struct arena *arena, struct said ambient)
{
	*plan = (struct plan){ .arena = arena, .ambient = ambient };
}

size_t plan_add_type(struct plan *plan, struct plan_type type)
{
	return ADD(plan, types, type_count, type_capacity, type);
}

size_t plan_add_strip(struct plan *plan, struct plan_strip strip)
{
	strip.units = plan_units(plan, &strip);
	return ADD(plan, strips, strip_count, strip_capacity, strip);
}

size_t plan_add_switch(struct plan *plan, struct plan_switch s)
{
	return ADD(plan, switches, switch_count, switch_capacity, s);
}

size_t plan_add_driver(struct plan *plan, struct plan_driver driver)
{
	return ADD(plan, drivers, driver_count, driver_capacity, driver);
}

size_t plan_add_block(struct plan *plan)
{
	return ADD(plan, blocks, block_count, block_capacity, (struct plan_block){ 0 });
}

size_t plan_add_cable(struct plan *plan, struct plan_cable cable)
{
	return ADD(plan, cables, cable_count, cable_capacity, cable);
}

static double warm(const struct plan *plan)
{
	return 1 + 0.00393 * (plan->ambient.si - 20);
}

/* p = reel / N where reel / cut_length is within 0.5 % of a whole N */
double plan_pitch(const struct plan_type *type)
{
	double reel = *type->reel.text ? type->reel.si : 5;
	double whole = floor(reel / type->cut_length.si + 0.5);
	double off = reel / type->cut_length.si / whole - 1;
	return whole >= 1 && fabs(off) <= 0.005 ? reel / whole : type->cut_length.si;
}

size_t plan_units(const struct plan *plan, const struct plan_strip *strip)
{
	return (size_t)(strip->length.si / plan_pitch(&plan->types[strip->type]) + 0.02);
}

static double core_ohm_per_m(size_t size, bool solid)
{
	if (cores[size].awg == 0)
		return (solid ? cores[size].solid : cores[size].flexible) / 1000;
	double mm = 0.127 * pow(92, (36 - cores[size].awg) / 39.0);
	return IACS / (PI * mm * mm / 4);
}

static void derive_cable(const struct plan *plan, struct plan_cable *cable)
{
	cable->joint_ohm = JOINT_UNSAID;
	for (size_t i = 0; cable->joint && i < sizeof joints / sizeof *joints; i++)
		if (strcmp(cable->joint, joints[i].name) == 0)
			cable->joint_ohm = joints[i].ohm;
	if (*cable->joint_resistance.text)
		cable->joint_ohm = cable->joint_resistance.si;
	cable->ohm = 2 * core_ohm_per_m(cable->size, cable->solid) * cable->length.si * warm(plan) +
	             cable->joint_ohm;
}

/* Loop of two rails of `rail_width` in foil of `copper`: 2 rho / (w t). */
static double rails_ohm_per_m(const struct plan *plan, const struct plan_type *type)
{
	if (*type->copper.text)
		return 2 * IACS * 1e-6 / (type->copper.si * type->rail_width.si) * warm(plan);
	return *type->loop.text ? type->loop.si : 0.20;
}

static void derive_strip(const struct plan *plan, struct plan_strip *strip)
{
	const struct plan_type *type = &plan->types[strip->type];
	double power = *strip->power.text ? strip->power.si : type->power.si;
	double leds = *type->series_leds.text ? type->series_leds.si : floor(type->voltage.si / 4);

	strip->pitch = plan_pitch(type);
	strip->units = plan_units(plan, strip);
	strip->section_ohm = rails_ohm_per_m(plan, type) * strip->pitch;
	strip->amps = power * strip->pitch / type->voltage.si;
	strip->v_knee = *type->knee.text ? type->knee.si : 2.75 * fmax(leds, 1);
	strip->regulated = *type->regulates.text;
	strip->v_full = strip->regulated ? type->regulates.si : type->voltage.si;
	strip->mark_count = 2;
	strip->marks[0] = 0;
	strip->marks[1] = strip->units;
}

static void add_mark(struct plan_strip *strip, size_t mark)
{
	size_t i = 0;
	while (strip->marks[i] < mark)
		i++;
	if (strip->marks[i] == mark || strip->mark_count == PLAN_MARKS)
		return;
	memmove(strip->marks + i + 1, strip->marks + i, (strip->mark_count - i) * sizeof *strip->marks);
	strip->marks[i] = mark;
	strip->mark_count++;
}

static size_t node_of(const struct plan *plan, struct plan_end end)
{
	switch (end.kind) {
	case AT_DRIVER:
		return plan->drivers[end.item].node;
	case AT_BLOCK:
		return plan->blocks[end.item].node;
	case AT_IN:
		return plan->switches[end.item].in;
	case AT_OUT:
		return plan->switches[end.item].out;
	case AT_STRIP:
		break;
	}
	const struct plan_strip *strip = &plan->strips[end.item];
	size_t i = 0;
	while (i + 1 < strip->mark_count && strip->marks[i] != end.mark)
		i++;
	return strip->nodes[i];
}

static void number_nodes(struct plan *plan)
{
	size_t next = 0;
	for (size_t i = 0; i < plan->driver_count; i++)
		plan->drivers[i].node = next++;
	for (size_t i = 0; i < plan->block_count; i++)
		plan->blocks[i].node = next++;
	for (size_t i = 0; i < plan->switch_count; i++) {
		plan->switches[i].in = next++;
		plan->switches[i].out = next++;
	}
	for (size_t i = 0; i < plan->strip_count; i++)
		for (size_t m = 0; m < plan->strips[i].mark_count; m++)
			plan->strips[i].nodes[m] = next++;
	plan->unit_count = 0;
	for (size_t i = 0; i < plan->strip_count; i++) {
		plan->strips[i].first_unit = next + plan->unit_count;
		plan->unit_count += plan->strips[i].units;
	}
	plan->node_count = next + plan->unit_count;
}

void plan_derive(struct plan *plan)
{
	for (size_t i = 0; i < plan->driver_count; i++) {
		struct plan_driver *d = &plan->drivers[i];
		d->set_v = *d->set_voltage.text ? d->set_voltage.si : d->voltage.si;
		d->ohm = d->output_resistance.si;
	}
	for (size_t i = 0; i < plan->switch_count; i++) {
		struct plan_switch *s = &plan->switches[i];
		s->ohm = *s->voltage_drop.text ? s->voltage_drop.si / s->max_current.si :
		         *s->on_resistance.text ? s->on_resistance.si : 0.050;
	}
	for (size_t i = 0; i < plan->strip_count; i++)
		derive_strip(plan, &plan->strips[i]);
	for (size_t i = 0; i < plan->cable_count; i++) {
		struct plan_cable *cable = &plan->cables[i];
		derive_cable(plan, cable);
		if (cable->from.kind == AT_STRIP)
			add_mark(&plan->strips[cable->from.item], cable->from.mark);
		if (cable->to.kind == AT_STRIP)
			add_mark(&plan->strips[cable->to.item], cable->to.mark);
	}
	number_nodes(plan);
	for (size_t i = 0; i < plan->cable_count; i++) {
		plan->cables[i].a = node_of(plan, plan->cables[i].from);
		plan->cables[i].b = node_of(plan, plan->cables[i].to);
	}
}
