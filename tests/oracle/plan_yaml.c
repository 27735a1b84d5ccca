/* Writes a plan as a job file, in the spellings that users mix: bare terminals where they may be
 * bare, flow and block maps, groups and items in any order. */
#include "oracle/plan.h"

#include <string.h>

struct writer {
	const struct plan *plan;
	FILE *out;
	uint64_t shuffle;            /* 0: in order */
	bool first;                  /* key of its item */
};

/* A key of an item in flow style; nothing where it is not said. */
static void key(struct writer *w, const char *name, const char *text)
{
	if (*text == '\0')
		return;
	fprintf(w->out, "%s%s: %s", w->first ? "" : ", ", name, text);
	w->first = false;
}

static void end_text(const struct plan *plan, const struct plan_end *end, bool is_from, char *text,
                     size_t size)
{
	size_t number = end->item + 1;
	switch (end->kind) {
	case AT_DRIVER:
		snprintf(text, size, "D%zu", number);
		return;
	case AT_BLOCK:
		snprintf(text, size, "B%zu", number);
		return;
	case AT_IN:
		snprintf(text, size, is_from || number % 2 ? "S%zu.in" : "S%zu", number);
		return;
	case AT_OUT:
		snprintf(text, size, is_from && number % 2 ? "S%zu" : "S%zu.out", number);
		return;
	case AT_STRIP:
		break;
	}
	const struct plan_strip *strip = &plan->strips[end->item];
	if (end->mark == 0)
		snprintf(text, size, number % 2 ? "L%zu" : "L%zu.start", number);
	else if (end->mark == strip->units)
		snprintf(text, size, "L%zu.end", number);
	else
		snprintf(text, size, "L%zu@%.4fm", number, (double)end->mark * strip->pitch + end->off_mark);
}

static void type_keys(struct writer *w, const struct plan_type *t)
{
	key(w, "voltage", t->voltage.text);
	key(w, "power", t->power.text);
	key(w, "cut_length", t->cut_length.text);
	key(w, "reel", t->reel.text);
	key(w, "loop_resistance", t->loop.text);
	key(w, "copper", t->copper.text);
	key(w, "rail_width", t->rail_width.text);
	key(w, "series_leds", t->series_leds.text);
	key(w, "led_knee", t->knee.text);
	key(w, "ballast", *t->regulates.text ? "constant-current" : "");
	key(w, "regulates_above", t->regulates.text);
}

static void cable_keys(struct writer *w, const struct plan_cable *c)
{
	char from[40], to[40];
	end_text(w->plan, &c->from, true, from, sizeof from);
	end_text(w->plan, &c->to, false, to, sizeof to);
	key(w, "size", plan_sizes[c->size]);
	key(w, "from", from);
	key(w, "to", to);
	key(w, "length", c->length.text);
	key(w, "stranding", c->solid ? "solid" : "");
	key(w, "joint", c->joint ? c->joint : "");
	key(w, "joint_resistance", c->joint_resistance.text);
}

static void strip_keys(struct writer *w, const struct plan_strip *s)
{
	char type[24];
	snprintf(type, sizeof type, "T%zu", s->type + 1);
	key(w, "type", type);
	key(w, s->channel ? "channel" : "length", s->length.text);
	key(w, "power", s->power.text);
}

static void switch_keys(struct writer *w, const struct plan_switch *s)
{
	key(w, "max_current", s->max_current.text);
	key(w, "max_power", s->max_power.text);
	key(w, "on_resistance", s->on_resistance.text);
	key(w, "voltage_drop", s->voltage_drop.text);
}

static void driver_keys(struct writer *w, const struct plan_driver *d)
{
	key(w, "voltage", d->voltage.text);
	key(w, "power", d->power.text);
	key(w, "set_voltage", d->set_voltage.text);
	key(w, "output_resistance", d->output_resistance.text);
}

enum group { TYPES, DRIVERS, SWITCHES, BLOCKS, STRIPS, CABLES, GROUPS };
static const struct { const char *name; char letter; } groups[GROUPS] = {
	{ "strip_types", 'T' }, { "drivers", 'D' }, { "switches", 'S' }, { "blocks", 'B' },
	{ "strips", 'L' }, { "cables", 'C' },
};

static size_t group_count(const struct plan *plan, enum group group)
{
	const size_t counts[GROUPS] = { plan->type_count, plan->driver_count, plan->switch_count,
	                                plan->block_count, plan->strip_count, plan->cable_count };
	return counts[group];
}

static void item_keys(struct writer *w, enum group group, size_t i)
{
	switch (group) {
	case TYPES:
		type_keys(w, &w->plan->types[i]);
		return;
	case DRIVERS:
		driver_keys(w, &w->plan->drivers[i]);
		return;
	case SWITCHES:
		switch_keys(w, &w->plan->switches[i]);
		return;
	case STRIPS:
		strip_keys(w, &w->plan->strips[i]);
		return;
	case CABLES:
		cable_keys(w, &w->plan->cables[i]);
		return;
	case BLOCKS:
	case GROUPS:
		break;
	}
	key(w, "ports", "24");
	key(w, "max_current", "60 A");
}

/* The i-th of n in the order wanted: a walk with a stride that has no common factor with n. */
static size_t in_order(const struct writer *w, size_t i, size_t n)
{
	static const size_t strides[] = { 1, 7, 11, 13, 17 };
	size_t stride = strides[w->shuffle % (sizeof strides / sizeof *strides)];
	return (i * (n % stride ? stride : 1) + (size_t)(w->shuffle % 1000)) % n;
}

static void write_group(struct writer *w, enum group group)
{
	size_t count = group_count(w->plan, group);
	if (count == 0)
		return;
	fprintf(w->out, "%s:\n", groups[group].name);
	for (size_t i = 0; i < count; i++) {
		size_t item = in_order(w, i, count);
		fprintf(w->out, "  %c%zu: {", groups[group].letter, item + 1);
		w->first = true;
		item_keys(w, group, item);
		fputs("}\n", w->out);
	}
}

void plan_write_yaml(const struct plan *plan, uint64_t shuffle, FILE *out)
{
	struct writer w = { .plan = plan, .out = out, .shuffle = shuffle };
	fprintf(out, "job: {name: generated, ambient: %s}\n", plan->ambient.text);
	for (size_t g = 0; g < GROUPS; g++)
		write_group(&w, (enum group)in_order(&w, g, GROUPS));
}
