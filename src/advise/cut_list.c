/* From strips to orders for the cutting plan, and what the plan says about each sort of strip. */
#include "advise/cut_list.h"

#include "advise/part.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

static bool same(double a, double b)
{
	return fabs(a - b) <= 1e-9 * fmax(a, b);
}

static struct cut_group *group_for(struct cut_list *list, const struct part *part, double pitch,
                                   double reel)
{
	for (size_t i = 0; i < list->group_count; i++) {
		struct cut_group *group = &list->groups[i];
		if (strcmp(group->strip_type, part->type) == 0 &&
		    strcmp(group->figures, part->figures) == 0 && same(group->pitch, pitch) &&
		    same(group->reel, reel)) {
			return group;
		}
	}
	return NULL;
}

static void sort_strips(const struct job *job, struct arena *arena, struct cut_list *list)
{
	list->groups = arena_array(arena, struct cut_group, job->strip_count);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		struct part part = part_of(job, (struct item_ref){ KIND_STRIP, i }, arena);
		double reel = fmax(strip->reel.num, strip->pitch);   /* an assumed one may hold no unit */
		struct cut_group *group = group_for(list, &part, strip->pitch, reel);
		if (group == NULL) {
			group = &list->groups[list->group_count++];
			*group = (struct cut_group){
				.strip_type = part.type, .figures = part.figures,
				.pitch = strip->pitch, .reel = reel,
				.strips = arena_array(arena, size_t, job->strip_count - i),
			};
		}
		group->strips[group->strip_count++] = i;
	}
}

static bool is_strip_type(const struct job *job, const char *name)
{
	const struct strip *types = job->types[KIND_STRIP];
	for (size_t i = 0; i < job->type_count[KIND_STRIP]; i++)
		if (strcmp(types[i].item.id, name) == 0)
			return true;
	return false;
}

static void add_strange(const struct job *job, struct arena *arena, struct cut_list *list, size_t offcut)
{
	const char *name = list->offcuts->items[offcut].strip_type.text;
	struct nearest nearest = nearest_to(name);
	for (size_t g = 0; g < list->group_count && !is_strip_type(job, name); g++)
		nearest_offer(&nearest, list->groups[g].strip_type);
	list->strange[list->strange_count++] = (struct cut_strange){ offcut, nearest_hint(&nearest, arena) };
}

/* Every offcut belongs to the first sort of strip that has its name: no length is cut twice. */
static void share_offcuts(const struct job *job, struct arena *arena, struct cut_list *list)
{
	struct cut_offcut *shared = arena_array(arena, struct cut_offcut, list->offcuts->count);
	size_t count = 0;
	bool *used = arena_array(arena, bool, list->offcuts->count);
	for (size_t g = 0; g < list->group_count; g++) {
		struct cut_order *order = &list->groups[g].order;
		order->offcuts = shared + count;
		for (size_t i = 0; i < list->offcuts->count; i++) {
			const struct offcut *offcut = &list->offcuts->items[i];
			if (used[i] || strcmp(offcut->strip_type.text, list->groups[g].strip_type) != 0)
				continue;
			used[i] = true;
			shared[count++] = (struct cut_offcut){ offcut->length.num, i };
			order->offcut_count++;
		}
	}
	list->strange = arena_array(arena, struct cut_strange, list->offcuts->count);
	for (size_t i = 0; i < list->offcuts->count; i++)
		if (!used[i])
			add_strange(job, arena, list, i);
}

/* The order's pieces: strips of which `joined` holds as full reels and the rest. */
static void list_pieces(const struct job *job, const bool *joined, struct arena *arena,
                        struct cut_group *group)
{
	size_t reel = cut_units(group->reel, group->pitch), most = 0, count = 0;
	for (size_t i = 0; i < group->strip_count; i++)
		most += joined[i] ? job->strips[group->strips[i]].units / reel + 1 : 1;
	struct cut_piece *pieces = arena_array(arena, struct cut_piece, most);
	group->parts = arena_array(arena, struct cut_part, most);
	for (size_t i = 0; i < group->strip_count; i++) {
		size_t strip = group->strips[i], units = job->strips[strip].units;
		size_t step = joined[i] ? reel : units, of = (units + step - 1) / step;
		for (size_t nth = 0; nth < of; nth++) {
			size_t at = nth * step, left = units - at;
			group->parts[count] = (struct cut_part){ strip, nth, of, at };
			pieces[count] = (struct cut_piece){ left < step ? left : step, count };
			count++;
		}
	}
	group->order.pieces = pieces;
	group->order.piece_count = count;
}

static void add_join(const struct job *job, const struct cut_group *group, size_t strip,
                     struct cut_list *list)
{
	size_t reel = cut_units(group->reel, group->pitch);
	list->joins[list->join_count++] = (struct cut_join){
		.strip = strip, .group = (size_t)(group - list->groups), .reel_units = reel,
		.pieces = (job->strips[strip].units + reel - 1) / reel,
	};
}

/* First with every strip whole; what neither a reel nor an offcut holds is then cut to be joined. */
static void plan_group(const struct job *job, struct arena *arena, struct cut_list *list,
                       struct cut_group *group)
{
	bool *joined = arena_array(arena, bool, group->strip_count);
	group->order.pitch = group->pitch;
	group->order.reel_length = group->reel;
	list_pieces(job, joined, arena, group);
	cut_plan_make(&group->order, arena, &group->plan);
	if (group->plan.too_long_count == 0)
		return;
	for (size_t i = 0; i < group->plan.too_long_count; i++)
		joined[group->plan.too_long[i]] = true;      /* pieces are still the strips, one by one */
	for (size_t i = 0; i < group->strip_count; i++)
		if (joined[i])
			add_join(job, group, group->strips[i], list);
	list_pieces(job, joined, arena, group);
	cut_plan_make(&group->order, arena, &group->plan);
}

static void list_profiles(const struct job *job, struct arena *arena, struct cut_list *list)
{
	list->profiles = arena_array(arena, struct cut_profile, job->strip_count);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		if (strip->mount.num != MOUNT_ALUMINIUM)
			continue;
		const struct attr *length = attr_said(&strip->channel) ? &strip->channel : &strip->length;
		list->profiles[list->profile_count++] = (struct cut_profile){ i, length->num };
	}
}

/* Leaves in `cut` which offcuts are cut into. */
static void keep_stocks(struct cut_list *list, bool *cut)
{
	for (size_t g = 0; g < list->group_count; g++) {
		const struct cut_group *group = &list->groups[g];
		for (size_t i = 0; i < group->plan.stock_count; i++) {
			const struct cut_stock *stock = &group->plan.stocks[i];
			if (stock->offcut)
				cut[stock->id] = true;
			if (stock->left == 0)
				continue;
			list->leftovers[list->leftover_count++] = (struct cut_leftover){
				group->strip_type, cut_left(group, stock), stock->offcut ? stock->id : NO_INDEX, false,
			};
		}
	}
}

static void list_leftovers(struct arena *arena, struct cut_list *list)
{
	size_t most = list->offcuts->count;
	for (size_t g = 0; g < list->group_count; g++)
		most += list->groups[g].plan.stock_count;
	list->leftovers = arena_array(arena, struct cut_leftover, most);
	bool *cut = arena_array(arena, bool, list->offcuts->count);
	keep_stocks(list, cut);
	for (size_t i = 0; i < list->offcuts->count; i++) {
		const struct offcut *offcut = &list->offcuts->items[i];
		if (cut[i])
			continue;
		list->leftovers[list->leftover_count++] = (struct cut_leftover){
			offcut->strip_type.text, offcut->length.num, i, true,
		};
	}
}

void cut_list_make(const struct job *job, const struct offcuts *offcuts, struct arena *arena,
                   struct cut_list *out)
{
	*out = (struct cut_list){ .offcuts = offcuts, .optimal = true };
	out->joins = arena_array(arena, struct cut_join, job->strip_count);
	sort_strips(job, arena, out);
	share_offcuts(job, arena, out);
	for (size_t i = 0; i < out->group_count; i++) {
		struct cut_group *group = &out->groups[i];
		plan_group(job, arena, out, group);
		out->reels_used += group->plan.reels_used;
		out->lower_bound += group->plan.lower_bound;
		out->optimal = out->optimal && group->plan.optimal;
	}
	list_profiles(job, arena, out);
	list_leftovers(arena, out);
}

double cut_at(const struct cut_group *group, size_t mark)
{
	return (double)mark * group->pitch;
}

double cut_left(const struct cut_group *group, const struct cut_stock *stock)
{
	return fmax(0, stock->length - cut_at(group, stock->units - stock->left));
}
