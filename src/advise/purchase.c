/* Counting. Every line says what is needed; packs and prices are settled in one place at the end. */
#include "advise/purchase.h"

#include "advise/part.h"
#include "base/text.h"
#include "reference/reference.h"

#include <math.h>
#include <string.h>

#define JUST_WHOLE 1e-9          /* 14.000000001 m are 14 m */
#define CABLE_STEP 0.001         /* m: the step in which lengths are fitted into packs */

struct counting {
	const struct job *job;
	const struct cut_list *cuts;
	struct arena *arena;
	struct purchase *out;
};

const char *buy_word(enum buy buy)
{
	static const char *const words[BUY__END] = {
		[BUY_STRIP] = "strip", [BUY_DRIVER] = "driver", [BUY_SWITCH] = "switch",
		[BUY_BLOCK] = "block", [BUY_CABLE] = "cable", [BUY_CONNECTOR] = "connector",
		[BUY_FUSE] = "fuse",
	};
	return words[buy];
}

static void note(struct counting *c, const char *text)
{
	c->out->notes = arena_grow(c->arena, c->out->notes, c->out->note_count, &c->out->note_capacity,
	                           sizeof(*c->out->notes));
	c->out->notes[c->out->note_count++] = text;
}

static bool same_price(const struct buy_line *line, const struct buy_line *like)
{
	bool free = isnan(line->price) && isnan(like->price);
	return (free || line->price == like->price) && line->pack == like->pack;
}

/* The line of that part, which is made where there is none yet. */
static struct buy_line *line_for(struct counting *c, const struct buy_line *like)
{
	struct purchase *out = c->out;
	for (size_t i = 0; i < out->line_count; i++) {
		struct buy_line *line = &out->lines[i];
		if (line->kind == like->kind && strcmp(line->part, like->part) == 0 &&
		    strcmp(line->what, like->what) == 0 && same_price(line, like)) {
			return line;
		}
	}
	out->lines = arena_grow(c->arena, out->lines, out->line_count, &out->line_capacity,
	                        sizeof(*out->lines));
	out->lines[out->line_count] = *like;
	return &out->lines[out->line_count++];
}

static void is_for(struct counting *c, struct buy_line *line, enum kind kind, size_t index)
{
	if (line->item_count > 0) {
		struct item_ref last = line->items[line->item_count - 1];
		if (last.kind == kind && last.index == index)
			return;
	}
	line->items = arena_grow(c->arena, line->items, line->item_count, &line->item_capacity,
	                         sizeof(*line->items));
	line->items[line->item_count++] = (struct item_ref){ kind, index };
}

/* A line as a part has it: `unit_length` is the length of one unit (a reel's), for packs that are given
 * as a length. */
static struct buy_line line_of(enum buy kind, const struct part *part, const char *unit,
                               double unit_length)
{
	struct buy_line line = {
		.kind = kind, .part = part->code, .what = part->figures, .needed_unit = unit,
		.pack = part->pack, .price = part->price, .total = NAN,
	};
	if (part->pack > 0 && part->pack_is_length && unit_length > 0)
		line.pack = part->pack / unit_length;
	if (fabs(line.pack - 1) < 1e-6)
		line.pack = 0;
	return line;
}

static void count_matched(struct buy_line *line, const struct part *part, struct item_ref item)
{
	if (part->matched && line->matched_count++ == 0)
		line->matched = item;
}

static void count_strips(struct counting *c)
{
	for (size_t i = 0; i < c->cuts->group_count; i++) {
		const struct cut_group *group = &c->cuts->groups[i];
		struct item_ref first = { KIND_STRIP, group->strips[0] };
		struct part part = part_of(c->job, first, c->arena);
		const struct attr *reel = &c->job->strips[group->strips[0]].reel;
		if (group->plan.reels_used == 0) {
			note(c, arena_printf(c->arena, "No reel of %s: the offcuts are enough.", part.type));
			continue;
		}
		struct buy_line like = line_of(BUY_STRIP, &part, "reel", group->reel);
		like.what = arena_printf(c->arena, "%s, reel of %s", part.figures,
		                         quantity_length_in(c->arena, group->reel, attr_lengths(reel),
		                                            LENGTH_CABLE, 6));
		struct buy_line *line = line_for(c, &like);
		line->needed += (double)group->plan.reels_used;
		count_matched(line, &part, first);
		for (size_t k = 0; k < group->strip_count; k++)
			is_for(c, line, KIND_STRIP, group->strips[k]);
	}
}

static void count_pieces(struct counting *c, enum kind kind, enum buy buy)
{
	for (size_t i = 0; i < job_count(c->job, kind); i++) {
		struct item_ref item = { kind, i };
		struct part part = part_of(c->job, item, c->arena);
		struct buy_line like = line_of(buy, &part, "piece", 0);
		struct buy_line *line = line_for(c, &like);
		line->needed += 1;
		count_matched(line, &part, item);
		is_for(c, line, kind, i);
	}
}

/* m to cut: the way from terminal to terminal, and the slack. */
static double cut_length(const struct cable *cable)
{
	double length = cable->length.num;
	return length + (cable->slack.dim == DIM_RATIO ? cable->slack.num * length : cable->slack.num);
}

static void count_cables(struct counting *c)
{
	for (size_t i = 0; i < c->job->cable_count; i++) {
		const struct cable *cable = &c->job->cables[i];
		if (cable->supplied.num > 0)
			continue;
		struct item_ref item = { KIND_CABLE, i };
		struct part part = part_of(c->job, item, c->arena);
		struct buy_line like = line_of(BUY_CABLE, &part, "m", 1);
		struct buy_line *line = line_for(c, &like);
		line->needed += cut_length(cable);
		count_matched(line, &part, item);
		is_for(c, line, KIND_CABLE, i);
	}
}

/* The strip that a terminal belongs to, or NULL. */
static const struct strip *strip_at(const struct job *job, size_t terminal)
{
	const struct terminal *t = &job->terminals[terminal];
	return t->kind == KIND_STRIP ? &job->strips[t->item] : NULL;
}

static void add_connector(struct counting *c, size_t cable, size_t terminal)
{
	const char *joint = joints[(size_t)c->job->cables[cable].joint.num].name;
	struct item_ref strip = { KIND_STRIP, c->job->terminals[terminal].item };
	struct part part = part_of(c->job, strip, c->arena);
	struct buy_line like = {
		.kind = BUY_CONNECTOR, .needed_unit = "piece", .price = NAN, .total = NAN,
		.part = arena_printf(c->arena, "strip connector, %s", joint),
		.what = arena_printf(c->arena, "for %s", part.type),
	};
	struct buy_line *line = line_for(c, &like);
	line->needed += 1;
	is_for(c, line, KIND_CABLE, cable);
}

/* One for each cable end at a strip, taps too, that is not soldered. */
static void count_connectors(struct counting *c)
{
	size_t unsaid = 0;
	for (size_t i = 0; i < c->job->cable_count; i++) {
		const struct cable *cable = &c->job->cables[i];
		const size_t ends[] = { cable->a, cable->b };
		for (size_t e = 0; e < 2; e++) {
			if (strip_at(c->job, ends[e]) == NULL || cable->supplied.num > 0)
				continue;
			if (!attr_said(&cable->joint))
				unsaid++;
			else if (strcmp(joints[(size_t)cable->joint.num].name, "solder") != 0)
				add_connector(c, i, ends[e]);
		}
	}
	if (unsaid > 0) {
		note(c, arena_printf(c->arena, "%zu cable %s at a strip without 'joint: solder, screw, plug or "
		                     "clip': no connector is counted there.",
		                     unsaid, unsaid == 1 ? "end is" : "ends are"));
	}
}

static void count_fuses(struct counting *c)
{
	size_t fuses = 0;
	for (size_t i = 0; i < c->job->cable_count; i++) {
		const struct cable *cable = &c->job->cables[i];
		if (!attr_said(&cable->fuse) || cable->supplied.num > 0)
			continue;
		const char *rating = quantity_text(c->arena, cable->fuse.num, DIM_AMP, 4);
		struct buy_line like = {
			.kind = BUY_FUSE, .needed_unit = "piece", .price = NAN, .total = NAN, .what = "",
			.part = arena_printf(c->arena, "fuse %s", rating),
		};
		struct buy_line *line = line_for(c, &like);
		line->needed += 1;
		is_for(c, line, KIND_CABLE, i);
		fuses++;
	}
	if (fuses > 0)
		note(c, "Every fuse needs a holder that fits it and its cable. Holders are not counted.");
}

/* "C1", "C1 and 3 more" */
static const char *first_of(struct counting *c, const char *id, size_t count)
{
	return count == 1 ? id : arena_printf(c->arena, "%s and %zu more", id, count - 1);
}

static void note_matched(struct counting *c, const struct buy_line *line)
{
	if (line->matched_count == 0)
		return;
	const char *id = job_item(c->job, line->matched.kind, line->matched.index)->id;
	bool one = line->matched_count == 1;
	note(c, arena_printf(c->arena, "%s %s no part that fits %s figures: %s is the one in the catalogue "
	                     "that has them.", first_of(c, id, line->matched_count),
	                     one ? "names" : "name", one ? "its" : "their", line->part));
}

static void note_joins(struct counting *c)
{
	size_t joins = 0, strips = c->cuts->join_count;
	for (size_t i = 0; i < strips; i++)
		joins += c->cuts->joins[i].pieces - 1;
	if (joins == 0)
		return;
	const char *id = c->job->strips[c->cuts->joins[0].strip].item.id;
	note(c, arena_printf(c->arena, "%s %s longer than a reel: %zu %s between lengths to solder, or as many "
	                     "strip-to-strip connectors to add.",
	                     first_of(c, id, strips), strips == 1 ? "is" : "are", joins,
	                     joins == 1 ? "join" : "joins"));
}

static void note_profiles(struct counting *c)
{
	double metres = 0;
	for (size_t i = 0; i < c->cuts->profile_count; i++)
		metres += c->cuts->profiles[i].length;
	if (metres > 0) {
		note(c, arena_printf(c->arena, "Aluminium profile, %s in all, is not in the list: 'farend cut' "
		                     "has the lengths.", quantity_length_in(c->arena, metres, job_lengths(c->job),
		                                                            LENGTH_CABLE, 4)));
	}
}

/* Packs of cable: enough metres with the spare, and every cable in one length. */
static double cable_packs(struct counting *c, const struct buy_line *line, double metres)
{
	struct arena *scratch = arena_child(c->arena);
	struct cut_piece *pieces = arena_array(scratch, struct cut_piece, line->item_count);
	struct cut_order order = {
		.pitch = CABLE_STEP, .reel_length = line->pack, .pieces = pieces,
		.piece_count = line->item_count,
	};
	for (size_t i = 0; i < line->item_count; i++) {
		double length = cut_length(&c->job->cables[line->items[i].index]);
		pieces[i] = (struct cut_piece){ (size_t)ceil(length / CABLE_STEP - JUST_WHOLE), i };
	}
	struct cut_plan plan;
	cut_plan_make(&order, scratch, &plan);
	double packs = (double)plan.reels_used;
	for (size_t i = 0; i < plan.too_long_count; i++) {
		struct item_ref item = line->items[plan.too_long[i]];
		packs += ceil((double)pieces[plan.too_long[i]].units * CABLE_STEP / line->pack);
		note(c, arena_printf(c->arena, "%s is longer than a pack of %s: ask for it in one length.",
		                     job_item(c->job, item.kind, item.index)->id, line->part));
	}
	arena_free(scratch);
	return fmax(packs, ceil(metres / line->pack - JUST_WHOLE));
}

static const char *pack_words(struct counting *c, const struct buy_line *line)
{
	if (line->kind == BUY_CABLE)
		return arena_printf(c->arena, "pack of %.6g m", line->pack);
	return arena_printf(c->arena, "pack of %.6g", line->pack);
}

/* The quantity goes up to whole packs; without packs to whole reels, pieces or metres. */
static void settle(struct counting *c, struct buy_line *line)
{
	bool cable = line->kind == BUY_CABLE;
	double amount = line->needed * (cable ? 1 + c->out->spare : 1);
	line->unit = line->needed_unit;
	line->quantity = ceil(amount - JUST_WHOLE);
	if (line->pack > 0) {
		line->unit = pack_words(c, line);
		line->quantity = cable ? cable_packs(c, line, amount)
		                       : ceil(amount / line->pack - JUST_WHOLE);
	}
	if (isnan(line->price)) {
		c->out->unpriced++;
		return;
	}
	line->total = round(line->quantity * line->price * 100) / 100;
	c->out->total = (isnan(c->out->total) ? 0 : c->out->total) + line->total;
}

void purchase_make(const struct job *job, const struct cut_list *cuts, double spare,
                   struct arena *arena, struct purchase *out)
{
	struct counting c = { job, cuts, arena, out };
	*out = (struct purchase){ .total = NAN, .spare = spare };
	if (attr_has(&job->currency))
		out->currency = job->currency.text;
	count_strips(&c);
	count_pieces(&c, KIND_DRIVER, BUY_DRIVER);
	count_pieces(&c, KIND_SWITCH, BUY_SWITCH);
	count_pieces(&c, KIND_BLOCK, BUY_BLOCK);
	count_cables(&c);
	count_connectors(&c);
	count_fuses(&c);
	note_joins(&c);
	note_profiles(&c);
	for (size_t i = 0; i < out->line_count; i++) {
		note_matched(&c, &out->lines[i]);
		settle(&c, &out->lines[i]);
	}
}
