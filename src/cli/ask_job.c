/* The job file that the answers make: as somebody would write it by hand, remarks included. Sizes of
 * driver and cables are a first draft for sizing to correct. */
#include "cli/ask.h"

#include "farend.h"

#include <math.h>
#include <string.h>

#define HEADROOM 0.2             /* docs/sizing.md: load / (1 - headroom) */
#define REMARK 28                /* column of remarks on values */

/* Groups that grow side by side while the bays are gone through. */
struct draft {
	const struct interview *talk;
	size_t spare;
	struct buf switches, blocks, strips, cables;
	size_t switch_count, block_count, strip_count, cable_count;
};

/* As YAML, in quotation marks where it needs them. */
static const char *quoted(const struct interview *talk, const char *text)
{
	struct farend_value value;
	enum farend_status status = farend_value("strips", "place", text, &value);
	const char *written = arena_strdup(talk->arena, value.written);
	farend_free_value(&value);
	if (status != FAREND_OK)
		arena_exhausted(talk->arena);
	return written;
}

static const char *part(const struct interview *talk, enum ask_id id, size_t bay, size_t index)
{
	return quoted(talk, ask_get(talk, id, bay)->parts[index]);
}

static const char *bay_name(const struct interview *talk, size_t bay)
{
	return arena_printf(talk->arena, "bay %zu", bay + 1);
}

/* Lined up with those above and below where there is room. */
static void add_remark(struct buf *out, const char *remark)
{
	size_t start = out->length;
	while (start > 0 && out->data[start - 1] != '\n')
		start--;
	size_t column = out->length - start;
	buf_add_repeat(out, ' ', column + 2 < REMARK ? REMARK - column : 2);
	buf_addf(out, "# %s", remark);
}

/* NULL where the answer was known. `how` goes before where to look, where there is room for it. */
static const char *assumed_remark(const struct interview *talk, enum ask_id id, size_t bay, const char *how)
{
	return ask_get(talk, id, bay)->assumed
		? arena_printf(talk->arena, "assumed: %s%s", how, questions[id].look) : NULL;
}

/* "    voltage: 24 V    # from the reel's label" */
static void add_value(struct buf *out, const struct interview *talk, size_t indent, const char *key,
                      enum ask_id id, const char *remark)
{
	const char *assumed = assumed_remark(talk, id, 0, "a usual value; ");
	buf_add_repeat(out, ' ', indent);
	buf_addf(out, "%s: %s", key, part(talk, id, 0, 0));
	if (assumed != NULL || remark != NULL)
		add_remark(out, assumed != NULL ? assumed : remark);
	buf_add_char(out, '\n');
}

/* What the strips of a bay take, by their labels. */
static double bay_amps(const struct interview *talk, size_t bay)
{
	const struct answer *lengths = ask_get(talk, ASK_LENGTHS, bay);
	double metres = 0;
	for (size_t i = 0; i < lengths->count; i++)
		metres += lengths->numbers[i];
	return metres * ask_get(talk, ASK_POWER, 0)->numbers[0] / ask_get(talk, ASK_VOLTAGE, 0)->numbers[0];
}

double ask_all_amps(const struct interview *talk)
{
	double amps = 0;
	for (size_t bay = 0; bay < ask_bays(talk); bay++)
		amps += bay_amps(talk, bay);
	return amps;
}

double ask_all_watts(const struct interview *talk)
{
	return ask_all_amps(talk) * ask_get(talk, ASK_VOLTAGE, 0)->numbers[0];
}

/* The next rating that parts are commonly sold with. */
static double part_rating(double amps)
{
	static const double ratings[] = { 3, 5, 6, 8, 10, 16, 24, 32, 41 };
	for (size_t i = 0; i < sizeof(ratings) / sizeof(ratings[0]); i++)
		if (amps <= ratings[i])
			return ratings[i];
	return ceil(amps);
}

/* Most that one switch has to carry. */
static double switch_amps(const struct interview *talk)
{
	double most = 0;
	if (!ask_bay_switch(talk))
		return ask_all_amps(talk);
	for (size_t bay = 0; bay < ask_bays(talk); bay++)
		most = fmax(most, bay_amps(talk, bay));
	return most;
}

static const char *add_switch(struct draft *draft, const char *place)
{
	const char *id = arena_printf(draft->talk->arena, "S%zu", ++draft->switch_count);
	buf_addf(&draft->switches, "  %s: {type: switch, place: %s}\n", id, quoted(draft->talk, place));
	return id;
}

/* One way in, one for each cable that goes on, and what is to spare; blocks come with even numbers. */
static const char *add_block(struct draft *draft, const char *place, size_t onward, double amps)
{
	const char *id = arena_printf(draft->talk->arena, "B%zu", ++draft->block_count);
	size_t ports = 1 + onward * (1 + draft->spare);
	ports = ports < 4 ? 4 : ports + ports % 2;
	buf_addf(&draft->blocks, "  %s: {ports: %zu, max_current: %g A, place: %s}\n", id, ports,
	         part_rating(fmax(6, amps)), quoted(draft->talk, place));
	return id;
}

static const char *add_strip(struct draft *draft, size_t bay, size_t index)
{
	const struct interview *talk = draft->talk;
	const char *id = arena_printf(talk->arena, "L%zu", ++draft->strip_count);
	const char *place = arena_printf(talk->arena, "%s %s", bay_name(talk, bay),
	                                 ask_get(talk, ASK_PLACES, bay)->parts[index]);
	const char *remark = assumed_remark(talk, ASK_LENGTHS, bay, "");
	buf_addf(&draft->strips, "  %s: {type: strip, channel: %s, place: %s}%s%s\n", id,
	         part(talk, ASK_LENGTHS, bay, index), quoted(talk, place), remark != NULL ? "  # " : "",
	         remark != NULL ? remark : "");
	return id;
}

static void add_cable(struct draft *draft, const char *from, const char *to, const char *length,
                      const char *remark)
{
	buf_addf(&draft->cables, "  C%zu: {size: %s, from: %s, to: %s, length: %s}%s%s\n", ++draft->cable_count,
	         ask_inches(draft->talk) ? "18 AWG" : "0.75 mm2", from, to, length,
	         remark != NULL ? "  # " : "", remark != NULL ? remark : "");
}

/* A block sits beside the switch before it. */
static const char *beside(const struct draft *draft)
{
	return ask_inches(draft->talk) ? "6 in" : "150 mm";
}

/* One bay, from where its cable starts. */
static void add_bay(struct draft *draft, size_t bay, const char *from)
{
	const struct interview *talk = draft->talk;
	size_t strips = ask_strips(talk, bay);
	const char *route = part(talk, ASK_ROUTES, 0, bay), *remark = assumed_remark(talk, ASK_ROUTES, 0, "");
	buf_addf(&draft->cables, "  # %s\n", bay_name(talk, bay));
	if (ask_bay_switch(talk)) {
		const char *to = add_switch(draft, bay_name(talk, bay));
		add_cable(draft, from, to, route, remark);
		from = to;
		route = beside(draft);
		remark = "side by side";
	}
	if (strips > 1) {
		const char *to = add_block(draft, bay_name(talk, bay), strips, bay_amps(talk, bay));
		add_cable(draft, from, to, route, remark);
		from = to;
	}
	for (size_t i = 0; i < strips; i++) {
		bool direct = strips == 1 && !ask_bay_switch(talk);
		const char *strip = add_strip(draft, bay, i);
		add_cable(draft, from, strip, direct ? route : part(talk, ASK_LEADS, bay, i),
		          direct ? remark : assumed_remark(talk, ASK_LEADS, bay, ""));
	}
}

/* One switch for all: it feeds a block, from which every bay has its cable. */
static void add_bays(struct draft *draft)
{
	const struct interview *talk = draft->talk;
	const char *from = "D1";
	if (ask_any_switch(talk) && !ask_bay_switch(talk)) {
		const char *to = add_switch(draft, "for all bays");
		buf_add(&draft->cables, "  # the switch for all bays\n");
		add_cable(draft, from, to, part(talk, ASK_TO_SWITCH, 0, 0), assumed_remark(talk, ASK_TO_SWITCH, 0, ""));
		from = add_block(draft, "beside the switch", ask_bays(talk), ask_all_amps(talk));
		add_cable(draft, to, from, beside(draft), "side by side");
	}
	for (size_t bay = 0; bay < ask_bays(talk); bay++)
		add_bay(draft, bay, from);
}

static void add_strip_type(struct buf *out, const struct interview *talk)
{
	buf_add(out, "\n# What the label on the reel says, once for all strips.\nstrip_types:\n  strip:\n");
	add_value(out, talk, 4, "voltage", ASK_VOLTAGE, NULL);
	add_value(out, talk, 4, "power", ASK_POWER, NULL);
	add_value(out, talk, 4, "cut_length", ASK_CUT, "from one cut mark to the next");
	add_value(out, talk, 4, "reel", ASK_REEL, NULL);
	add_value(out, talk, 4, "mount", ASK_MOUNT, "or timber: what takes their heat");
	buf_add(out, "    view: all bays");
	add_remark(out, "seen together, so they should look alike");
	buf_add(out, "\n    # Known from a data sheet (both rails together)? Then take the # away.\n"
	             "    # loop_resistance: 0.2 ohm/m\n");
}

static void add_switch_type(struct buf *out, const struct interview *talk)
{
	const struct answer *rating = ask_get(talk, ASK_SWITCH_CURRENT, 0);
	buf_add(out, "\nswitch_types:\n  switch:\n    max_current: ");
	if (rating->assumed)
		buf_addf(out, "%g A", part_rating(1.1 * switch_amps(talk)));
	else
		buf_add(out, part(talk, ASK_SWITCH_CURRENT, 0, 0));
	if (rating->assumed)
		add_remark(out, assumed_remark(talk, ASK_SWITCH_CURRENT, 0, ""));
	buf_add_char(out, '\n');
}

/* Ten watts are the step of the first draft. */
static void add_driver(struct buf *out, const struct interview *talk)
{
	buf_addf(out, "\n# The hidden driver. Its mains side is the electrician's.\ndrivers:\n  D1:\n"
	              "    voltage: %s\n    power: %g W", part(talk, ASK_VOLTAGE, 0, 0),
	         10 * ceil(ask_all_watts(talk) / (1 - HEADROOM) / 10));
	add_remark(out, "at least: a fifth of it stays free");
	buf_addf(out, "\n    place: %s\n    # If its label says so, take the # away:\n    # selv: yes\n"
	              "    # class_2: yes\n", part(talk, ASK_DRIVER, 0, 0));
}

static void add_group(struct buf *out, const char *remark, const char *group, const struct buf *rows)
{
	if (rows->length > 0)
		buf_addf(out, "\n# %s\n%s:\n%s", remark, group, rows->data);
}

const char *ask_job(const struct interview *talk, size_t spare)
{
	struct draft draft = { .talk = talk, .spare = spare };
	struct buf out;
	struct buf *all[] = { &draft.switches, &draft.blocks, &draft.strips, &draft.cables, &out };
	for (size_t i = 0; i < sizeof(all) / sizeof(all[0]); i++)
		buf_init(all[i], talk->arena);
	add_bays(&draft);
	buf_add(&out, "# Drawn up by 'farend new --ask'. Every quantity carries its unit: 850 mm, 24 V,\n"
	              "# 2 ft 9 1/2 in, 18 AWG. What is marked 'assumed' is a guess: put in what is\n"
	              "# true, save, and run 'farend check' on this file again.\n\njob:\n");
	add_value(&out, talk, 2, "name", ASK_NAME, NULL);
	add_value(&out, talk, 2, "ambient", ASK_AMBIENT, "air around the driver and the cables");
	add_strip_type(&out, talk);
	if (draft.switches.length > 0)
		add_switch_type(&out, talk);
	add_driver(&out, talk);
	add_group(&out, "A switch has two sides: S1.in and S1.out.", "switches", &draft.switches);
	add_group(&out, "One two-core cable takes one port, the incoming one too. Ratings: at least.", "blocks",
	          &draft.blocks);
	add_group(&out, "A strip is cut down to the last cut mark that fits its channel.", "strips",
	          &draft.strips);
	add_group(&out, "Lengths along the route. Every cable is a two-core.", "cables", &draft.cables);
	return out.data;
}

void ask_add_assumed(const struct interview *talk, struct buf *out)
{
	for (enum ask_id id = 0; id < ASK__END; id++) {
		const struct question *q = &questions[id];
		for (size_t bay = 0; bay < ASK_BAYS; bay++) {
			const struct answer *answer = &talk->answers[id][bay];
			if (!ask_applies(talk, id, bay) || !answer->given || !answer->assumed)
				continue;
			buf_addf(out, "- %s", q->key);
			if (q->per_bay && !ask_alike(talk))
				buf_addf(out, ", %s", bay_name(talk, bay));
			if (q->worked_out)
				buf_addf(out, ": %g A", part_rating(1.1 * switch_amps(talk)));
			else
				buf_addf(out, ": %s", answer->parts[0]);
			buf_addf(out, " (%s)\n", q->look);
		}
	}
}
