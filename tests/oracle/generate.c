#include "oracle/generate.h"

#include "oracle/chance.h"

#include <math.h>

#define MOST_POINTS 64

/* A place that a cable may start from, and the switch that it hangs on. */
struct point { struct plan_end end; size_t fed_by; };

/* One driver's network while it grows. */
struct grower {
	struct plan *plan;
	struct chance *chance;
	struct point points[MOST_POINTS];
	size_t count;
	double volts;
	size_t driver, first_type, type_count;
	size_t strips_left;
};

static bool one_in(struct chance *c, size_t n)
{
	return chance_below(c, n) == 0;
}

/* About evenly spread over the decades, to `digits` significant ones, in one of two units. */
static struct said spread(struct chance *c, double low, double high, const char *unit,
                          const char *small)
{
	char text[32];
	double value;
	snprintf(text, sizeof text, "%.3g", chance_decades(c, low, high));
	sscanf(text, "%lf", &value);
	if (*small && one_in(c, 2))
		return said(small, 1e-3, value * 1000);
	return said(unit, 1, value);
}

/* Whole millimetres, or feet, inches and sixteenths. */
static struct said random_length(struct chance *c, double low, double high)
{
	double mm = floor(1000 * chance_decades(c, low, high));
	switch (chance_below(c, 4)) {
	case 0:
		return said("m", 1, mm / 1000);
	case 1:
		return said("cm", 0.01, mm / 10);
	case 2:
		if (mm >= 305) {
			struct said s;
			unsigned sixteenths = (unsigned)(mm / 25.4 * 16);
			snprintf(s.text, sizeof s.text, "%u ft %u %u/16 in", sixteenths / 192,
			         sixteenths % 192 / 16, sixteenths % 16);
			if (sixteenths % 16 == 0)
				snprintf(s.text, sizeof s.text, "%u ft %u in", sixteenths / 192,
				         sixteenths % 192 / 16);
			s.si = sixteenths * 0.0254 / 16;
			return s;
		}
		break;
	default:
		break;
	}
	return said("mm", 1e-3, mm);
}

static struct plan_type random_type(struct chance *c, double volts, double most_power)
{
	/* the last ones snap to 60, 120 and 150 units a reel; 71 mm does not snap */
	static const double cut_mm[] = { 25, 50, 100, 62.5, 71, 83, 41.7, 33.3 };
	struct plan_type t = { .voltage = said("V", 1, volts),
	                       .power = spread(c, 3, most_power, "W/m", ""),
	                       .cut_length = said("mm", 1e-3, cut_mm[chance_below(c, COUNT_OF(cut_mm))]) };
	if (one_in(c, 4))
		t.reel = said("m", 1, one_in(c, 2) ? 10 : 2.5);
	if (one_in(c, 3)) {
		t.copper = said("um", 1e-6, one_in(c, 2) ? 70 : 35);
		t.rail_width = said("mm", 1e-3, one_in(c, 2) ? 4 : 2.5);
	} else if (!one_in(c, 4)) {
		t.loop = spread(c, 0.03, 1.5, "ohm/m", "mohm/m");
	}
	double knee = 2.75 * fmax(1, floor(volts / 4));
	if (one_in(c, 4)) {
		double leds = floor(volts / 3.4);
		t.series_leds = said("", 1, leds);
		knee = 2.75 * leds;
	} else if (one_in(c, 4)) {
		t.knee = said("V", 1, floor(volts * chance_between(c, 0.6, 0.95) * 10) / 10);
		knee = t.knee.si;
	}
	if (one_in(c, 3)) {
		double full = knee + (volts - knee) * chance_between(c, 0.3, 1);
		t.regulates = said("V", 1, floor(full * 100) / 100);
	}
	return t;
}

static void add_point(struct grower *g, struct plan_end end, size_t fed_by)
{
	if (g->count < MOST_POINTS)
		g->points[g->count++] = (struct point){ end, fed_by };
}

static void join(struct grower *g, struct plan_end a, struct plan_end b)
{
	static const char *const joints[] = { "solder", "screw", "plug", "clip" };
	struct chance *c = g->chance;
	struct plan_cable cable = { .from = a, .to = b,
	                            .length = random_length(c, 0.1, one_in(c, 4) ? 40 : 5),
	                            .size = chance_below(c, plan_size_count), .driver = g->driver };
	if (one_in(c, 2)) {
		cable.from = b;
		cable.to = a;
	}
	cable.solid = cable.size >= plan_size_solid && one_in(c, 4);
	if (one_in(c, 2))
		cable.joint = joints[chance_below(c, COUNT_OF(joints))];
	if (one_in(c, 4))
		cable.joint_resistance = spread(c, 0.002, 0.2, "ohm", "mohm");
	plan_add_cable(g->plan, cable);
}

static const struct point *random_point(struct grower *g)
{
	/* the latest half more often: deeper trees */
	size_t from = one_in(g->chance, 2) ? 0 : g->count / 2;
	return &g->points[from + chance_below(g->chance, g->count - from)];
}

static void grow_switch(struct grower *g, struct point at)
{
	struct chance *c = g->chance;
	struct plan_switch s = { .max_current = said("A", 1, 5), .above = at.fed_by };
	switch (chance_below(c, 4)) {
	case 0:
		s.on_resistance = spread(c, 0.005, 0.3, "ohm", "mohm");
		break;
	case 1:
		s.voltage_drop = spread(c, 0.02, 0.6, "V", "mV");
		break;
	case 2:
		s.max_current.text[0] = '\0';
		s.max_power = said("W", 1, 72);
		break;
	default:
		break;
	}
	size_t item = plan_add_switch(g->plan, s);
	join(g, at.end, (struct plan_end){ .kind = AT_IN, .item = item });
	add_point(g, (struct plan_end){ .kind = AT_OUT, .item = item }, item);
}

static void grow_block(struct grower *g, struct point at)
{
	struct plan_end end = { .kind = AT_BLOCK, .item = plan_add_block(g->plan) };
	join(g, at.end, end);
	add_point(g, end, at.fed_by);
}

/* A terminal of a strip: its start, its end, or a tap written a little beside its mark. */
static struct plan_end strip_end(struct grower *g, size_t item)
{
	struct plan_end end = { .kind = AT_STRIP, .item = item };
	const struct plan_strip *s = &g->plan->strips[item];
	size_t pick = chance_below(g->chance, 5);
	if (pick >= 2 && pick < 4)
		end.mark = s->units;
	if (pick == 4 && s->units > 2) {
		const struct plan_type *type = &g->plan->types[s->type];
		end.mark = 1 + chance_below(g->chance, s->units - 1);
		end.off_mark = chance_between(g->chance, -0.3, 0.3) * type->cut_length.si;
	}
	return end;
}

/* Sets `b` to another terminal of the strip than `a`, if it can. */
static bool other_end(struct grower *g, struct plan_end a, struct plan_end *b)
{
	for (int tries = 0; tries < 4; tries++) {
		*b = strip_end(g, a.item);
		if (b->mark != a.mark)
			return true;
	}
	return false;
}

static void grow_strip(struct grower *g, struct point at)
{
	struct chance *c = g->chance;
	struct plan_strip s = { .type = g->first_type + chance_below(c, g->type_count),
	                        .length = random_length(c, 0.15, 5), .channel = one_in(c, 4),
	                        .driver = g->driver, .fed_by = at.fed_by };
	/* The 0.02 of a unit that a length may be short by: not where rounding would decide. */
	double pitch = plan_pitch(&g->plan->types[s.type]);
	while (plan_units(g->plan, &s) == 0 || fabs(fmod(s.length.si / pitch + 0.52, 1) - 0.5) < 1e-6)
		s.length = random_length(c, 0.15, 5);
	if (one_in(c, 5))
		s.power = spread(c, 3, 25, "W/m", "");
	size_t item = plan_add_strip(g->plan, s);
	struct plan_end near = strip_end(g, item), far;
	g->strips_left--;
	join(g, at.end, near);
	add_point(g, near, at.fed_by);
	if (other_end(g, near, &far)) {
		add_point(g, far, at.fed_by);
		if (one_in(c, 3))
			join(g, at.end, far);
	}
}

/* Closes a ring between two points on the same switch; on different ones only where `bridge`. */
static void grow_ring(struct grower *g, bool bridge)
{
	const struct point *a = random_point(g), *b = random_point(g);
	bool same = a->end.kind == b->end.kind && a->end.item == b->end.item && a->end.mark == b->end.mark;
	if (same || (a->fed_by != b->fed_by && !bridge))
		return;
	if (a->fed_by != b->fed_by)
		g->plan->bridged = true;
	join(g, a->end, b->end);
}

static void grow_network(struct plan *plan, struct chance *c, bool bridge)
{
	static const double volts[] = { 12, 24, 24, 24, 48, 5 };
	struct grower g = { .plan = plan, .chance = c, .volts = volts[chance_below(c, COUNT_OF(volts))],
	                    .first_type = plan->type_count, .type_count = 1 + chance_below(c, 3),
	                    .strips_left = 1 + chance_below(c, 7) };
	struct plan_driver d = { .voltage = said("V", 1, g.volts), .power = said("W", 1, 100) };
	/* a quarter is overloaded or trimmed so low that some units are at their knee */
	bool starved = one_in(c, 4);
	if (starved || one_in(c, 3)) {
		double share = starved ? chance_between(c, 0.6, 0.95) : chance_between(c, 0.9, 1.08);
		d.set_voltage = said("V", 1, floor(g.volts * share * 100) / 100);
	}
	if (one_in(c, 3))
		d.output_resistance = spread(c, 0.005, 0.3, "ohm", "mohm");
	for (size_t i = 0; i < g.type_count; i++)
		plan_add_type(plan, random_type(c, g.volts, starved ? 100 : 25));
	g.driver = plan_add_driver(plan, d);
	add_point(&g, (struct plan_end){ .kind = AT_DRIVER, .item = g.driver }, PLAN_NONE);
	while (g.strips_left > 0) {
		struct point at = *random_point(&g);
		switch (chance_below(c, 8)) {
		case 0:
		case 1:
			grow_switch(&g, at);
			break;
		case 2:
			grow_block(&g, at);
			break;
		case 3:
			grow_ring(&g, bridge);
			break;
		default:
			grow_strip(&g, at);
			break;
		}
	}
}

void generate_plan(struct plan *plan, struct arena *arena, uint64_t seed)
{
	struct chance chance = { seed * 0x2545F4914F6CDD1Du + 1 };
	double celsius = (double)chance_below(&chance, 50);
	plan_init(plan, arena, said("C", 1, celsius));
	if (one_in(&chance, 4))
		snprintf(plan->ambient.text, sizeof plan->ambient.text, "%.1f F", celsius * 1.8 + 32);
	bool bridge = one_in(&chance, 3);
	size_t drivers = one_in(&chance, 4) ? 1 + chance_below(&chance, 3) : 1;
	for (; drivers > 0; drivers--)
		grow_network(plan, &chance, bridge);
	plan_derive(plan);
}
