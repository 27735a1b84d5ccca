/* The table of tolerances, and one build of a job by it. A stated tolerance ("9.6 W/m +- 10 %") comes
 * before the table's. */
#include "model/tolerance.h"

#include "base/hash.h"
#include "reference/reference.h"

#include <math.h>

static void change_power(void *item, double share)
{
	struct strip *s = item;
	s->power_w_per_m *= 1 + share;
	s->law.amps *= 1 + share;
}

static void change_loop(void *item, double share)
{
	struct strip *s = item;
	s->loop_ohm_per_m *= 1 + share;
}

/* A knee stays below the voltage at which the law reaches its full current. */
static void change_knee(void *item, double share)
{
	struct strip *s = item;
	s->law.v_knee = fmin(s->law.v_knee * (1 + share), 0.99 * s->law.v_full);
}

static void change_full(void *item, double share)
{
	struct strip *s = item;
	if (s->law.regulated)
		s->law.v_full = fmax(s->law.v_full * (1 + share), s->law.v_knee / 0.99);
}

static void change_contact(void *item, double share)
{
	struct switch_item *s = item;
	s->on_ohm *= 1 + share;
}

static void change_setting(void *item, double share)
{
	struct driver *d = item;
	d->set_v *= 1 + share;
}

static void change_output(void *item, double share)
{
	struct driver *d = item;
	d->output_resistance.num *= 1 + share;
}

static void change_copper(void *item, double share)
{
	struct cable *c = item;
	c->copper_ohm *= 1 + share;
	c->ohm = c->copper_ohm + c->joint_ohm;
}

static void change_joint(void *item, double share)
{
	struct cable *c = item;
	c->joint_ohm *= 1 + share;
	c->ohm = c->copper_ohm + c->joint_ohm;
}

/* stated, assumed, measured */
const struct tolerance_rule tolerance_rules[] = {
	{ KIND_DRIVER, "set_voltage", 0.01, 0.03, 0.01,
	  "a nominal output is kept within a few per cent (a published supply: 11.4 V to 12.6 V), one set "
	  "with a meter within 1 %; common practice, no source",
	  "the voltage", "measure it at the driver, and say set_voltage", change_setting },
	{ KIND_DRIVER, "output_resistance", 0.20, 0.20, 0.20, "common practice, no source",
	  "the output resistance", "measure the voltage with and without load", change_output },
	{ KIND_SWITCH, "on_resistance", 0.20, 0.50, 0.10,
	  "contacts and transistors vary; common practice, no source",
	  "the contact", "measure the voltage across it under load", change_contact },
	{ KIND_STRIP, "power", 0.10, 0.10, 0.02,
	  "labels are rounded and bins differ; common practice, no source",
	  "the watts", "measure a reel (reel_test)", change_power },
	{ KIND_STRIP, "loop_resistance", 0.10, 0.40, 0.02,
	  "copper foil may be a tenth off its thickness; common practice, no source",
	  "the loop resistance", "measure a reel (reel_test)", change_loop },
	{ KIND_STRIP, "led_knee", 0.03, 0.05, 0.01,
	  "0.1 V for each LED is one forward-voltage bin; common practice, no source",
	  "the knee", "measure a short piece (piece_test)", change_knee },
	{ KIND_STRIP, "regulates_above", 0.03, 0.03, 0.01, "common practice, no source",
	  "the voltage that regulates", "measure a short piece (piece_test)", change_full },
	{ KIND_CABLE, "length", 0.05, 0.05, 0.01, "as drawn against as pulled; common practice, no source",
	  "the length", "measure the way it takes", change_copper },
	{ KIND_CABLE, "size", 0.03, 0.03, 0.03,
	  "tables give the most a core may have; common practice, no source",
	  "the copper", "take cable with its standard printed on it", change_copper },
	{ KIND_CABLE, "joint_resistance", 0.50, 0.50, 0.10,
	  "no two joints are alike; common practice, no source",
	  "the joints", "solder or screw them, or measure across them under load", change_joint },
};
const size_t tolerance_rule_count = sizeof(tolerance_rules) / sizeof(tolerance_rules[0]);

static const struct attribute *row_of(const struct tolerance_rule *rule)
{
	return attribute_find(rule->kind, rule->key);
}

const struct attr *input_attr(const struct job *job, const struct input *input)
{
	return input->rule ? attribute_value(row_of(input->rule),
	                                     job_item(job, input->item.kind, input->item.index))
	                   : &job->ambient;
}

/* By a reel or piece test, or after it was built. */
static bool is_measured(const struct tolerance_rule *rule, const struct item *item,
                        const struct attr *attr)
{
	if (attr->origin == ORIGIN_BUILT)
		return true;
	if (rule->kind != KIND_STRIP)
		return false;
	const struct strip *s = (const struct strip *)item;
	return (rule->apply == change_power && s->power_measured) ||
	       (rule->apply == change_loop && s->loop_measured) ||
	       (rule->apply == change_knee && s->knee_measured);
}

/* A share of the value; 0 where there is nothing to vary. */
static double half_width(const struct tolerance_rule *rule, const struct item *item,
                         const struct attr *attr)
{
	bool size = row_of(rule)->form == FORM_SIZE;
	if (!attr_has(attr) || (!size && !(attr->num > 0)))
		return 0;
	if (is_measured(rule, item, attr))
		return rule->measured;
	if (!attr->has_tolerance)
		return attr_said(attr) ? rule->stated : rule->assumed;
	return size ? attr->tolerance : attr->tolerance / attr->num;
}

static size_t add_deviation(struct inputs *out, struct arena *arena, struct deviation deviation)
{
	out->deviations = arena_grow(arena, out->deviations, out->deviation_count,
	                             &out->deviation_capacity, sizeof(deviation));
	out->deviations[out->deviation_count] = deviation;
	return out->deviation_count++;
}

static void add_input(struct inputs *out, struct arena *arena, struct input input)
{
	out->items = arena_grow(arena, out->items, out->count, &out->capacity, sizeof(input));
	out->items[out->count++] = input;
}

/* Left to the type, or to what is assumed for the type. */
static bool is_of_type(const struct item *item, const struct attr *attr)
{
	return item->type_name && attr->origin < ORIGIN_GIVEN;
}

static void add_rule(const struct job *job, const struct tolerance_rule *rule, struct arena *arena,
                     struct inputs *out)
{
	struct hash reels;
	hash_init(&reels, arena);
	for (size_t i = 0; i < job_count(job, rule->kind); i++) {
		const struct item *item = job_item(job, rule->kind, i);
		const struct attr *attr = attribute_value(row_of(rule), item);
		struct deviation own = { .rule = rule, .item = { rule->kind, i } }, of_type = own;
		struct input input = { .rule = rule, .item = own.item, .reel = NO_INDEX,
		                       .half = half_width(rule, item, attr) };
		if (!(input.half > 0))
			continue;
		if (is_of_type(item, attr)) {
			of_type.type_name = item->type_name;
			input.reel = hash_put(&reels, item->type_name, out->deviation_count);
			if (input.reel == out->deviation_count)
				add_deviation(out, arena, of_type);
		}
		input.own = add_deviation(out, arena, own);
		add_input(out, arena, input);
	}
}

void inputs_of(const struct job *job, struct arena *arena, struct inputs *out)
{
	*out = (struct inputs){ .items = NULL };
	double ambient = job->ambient.has_tolerance ? job->ambient.tolerance : AMBIENT_TOLERANCE_C;
	if (ambient > 0) {
		size_t own = add_deviation(out, arena, (struct deviation){ .rule = NULL });
		add_input(out, arena, (struct input){ .half = ambient, .reel = NO_INDEX, .own = own });
	}
	for (size_t r = 0; r < tolerance_rule_count; r++)
		add_rule(job, &tolerance_rules[r], arena, out);
}

/* Copper that was taken at the nominal ambient, at another: cables, and rails derived from their foil. */
static void change_ambient(const struct job *nominal, struct job *variant, double change)
{
	double before = copper_factor(nominal->ambient.num);
	double share = copper_factor(nominal->ambient.num + change) / before - 1;
	for (size_t i = 0; i < variant->cable_count; i++)
		change_copper(&variant->cables[i], share);
	for (size_t i = 0; i < variant->strip_count; i++)
		if (variant->strips[i].loop_from_copper)
			change_loop(&variant->strips[i], share);
}

static void reset_item(void *to, const void *from, enum kind kind)
{
	switch (kind) {
	case KIND_DRIVER:
		((struct driver *)to)->set_v = ((const struct driver *)from)->set_v;
		((struct driver *)to)->output_resistance.num =
			((const struct driver *)from)->output_resistance.num;
		break;
	case KIND_SWITCH:
		((struct switch_item *)to)->on_ohm = ((const struct switch_item *)from)->on_ohm;
		break;
	case KIND_STRIP:
		((struct strip *)to)->power_w_per_m = ((const struct strip *)from)->power_w_per_m;
		((struct strip *)to)->loop_ohm_per_m = ((const struct strip *)from)->loop_ohm_per_m;
		((struct strip *)to)->law = ((const struct strip *)from)->law;
		break;
	case KIND_CABLE:
		((struct cable *)to)->copper_ohm = ((const struct cable *)from)->copper_ohm;
		((struct cable *)to)->joint_ohm = ((const struct cable *)from)->joint_ohm;
		((struct cable *)to)->ohm = ((const struct cable *)from)->ohm;
		break;
	case KIND_BLOCK:
	case KIND__END:
		break;
	}
}

void inputs_apply(const struct inputs *inputs, const struct job *nominal, const double *deviations,
                  struct job *variant)
{
	for (enum kind kind = 0; kind < KIND__END; kind++)
		for (size_t i = 0; i < job_count(nominal, kind); i++)
			reset_item(job_item(variant, kind, i), job_item(nominal, kind, i), kind);
	for (size_t i = 0; i < inputs->count; i++) {
		const struct input *input = &inputs->items[i];
		double change = deviations[input->own];
		if (input->reel != NO_INDEX)
			change = REEL_SHARE * deviations[input->reel] + (1 - REEL_SHARE) * change;
		if (!input->rule)
			change_ambient(nominal, variant, change * input->half);
		else
			input->rule->apply(job_item(variant, input->item.kind, input->item.index),
			                   change * input->half);
	}
}
