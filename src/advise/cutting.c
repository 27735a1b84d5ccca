/* From an order to a plan: lengths become units, pieces too long for everything are set aside, the
 * stages find the packing, and the packing becomes cut marks on stocks. */
#include "advise/cutting.h"

#include "advise/cutting_stages.h"

#include <stdlib.h>

#define UNITS_MOST     1000000000.0
#define MARK_TOLERANCE 0.02   /* of a unit */
#define LONG_EFFORT    UINT64_C(20000000)

/* A piece or a reel by its units, with the place it has. */
struct ranked { size_t units, index; };

size_t cut_units(double length, double pitch)
{
	if (!(length > 0))
		return 0;
	double units = length / pitch + MARK_TOLERANCE;
	return units < UNITS_MOST ? (size_t)units : (size_t)UNITS_MOST;
}

static int longer_first(const void *a, const void *b)
{
	const struct ranked *x = a, *y = b;
	if (x->units != y->units)
		return x->units > y->units ? -1 : 1;
	return x->index < y->index ? -1 : x->index > y->index;
}

static void list_offcuts(const struct cut_order *order, struct arena *arena, struct stages *st)
{
	size_t *units = arena_array(arena, size_t, order->offcut_count);
	size_t *by_length = arena_array(arena, size_t, order->offcut_count);
	for (size_t i = 0; i < order->offcut_count; i++) {
		units[i] = cut_units(order->offcuts[i].length, order->pitch);
		size_t at = i;
		for (; at > 0 && units[by_length[at - 1]] > units[i]; at--)
			by_length[at] = by_length[at - 1];
		by_length[at] = i;
	}
	st->offcut_units = units;
	st->by_length = by_length;
	st->offcut_count = order->offcut_count;
}

/* The sizes of the first `count` pieces. */
static void sizes_of(const struct ranked *pieces, size_t count, const struct stages *st,
                     struct arena *arena, struct sizes *sizes)
{
	size_t *units = arena_array(arena, size_t, count);
	for (size_t i = 0; i < count; i++)
		units[i] = pieces[i].units;
	size_t limit = st->reel_units;
	if (st->offcut_count > 0 && st->offcut_units[st->by_length[st->offcut_count - 1]] > limit)
		limit = st->offcut_units[st->by_length[st->offcut_count - 1]];
	sizes_init(sizes, units, count, limit, arena);
}

/* Whether the first `count` pieces, all longer than a reel, fit into the offcuts. */
static bool fit_offcuts(const struct ranked *pieces, size_t count, const struct stages *st,
                        uint64_t *effort, struct packing *packing)
{
	struct arena *scratch = arena_child(st->arena);
	struct sizes sizes;
	sizes_of(pieces, count, st, scratch, &sizes);
	struct bins bins = { .first_reel = st->offcut_count };
	bins.singles = arena_array(scratch, struct single, st->offcut_count);
	for (size_t i = 0; i < st->offcut_count; i++) {
		size_t offcut = st->by_length[i];
		bins.singles[bins.single_count++] =
			(struct single){ sizes_reach(&sizes, st->offcut_units[offcut]), offcut, true };
	}
	enum pack_answer answer = pack(&sizes, &bins, effort, scratch, packing);
	arena_free(scratch);
	return answer == PACK_YES;
}

/* Takes out the pieces that no stock holds: those longer than a reel stay, longest first, as long
 * as the offcuts hold them all. `pieces` keeps the rest; `packing` gets the long ones' places. */
static size_t drop_too_long(struct ranked *pieces, size_t count, const struct stages *st,
                            struct cut_plan *plan, struct packing *packing)
{
	uint64_t effort = LONG_EFFORT;
	size_t kept = 0;
	for (size_t i = 0; i < count; i++) {
		pieces[kept++] = pieces[i];
		if (pieces[i].units <= st->reel_units || fit_offcuts(pieces, kept, st, &effort, packing))
			continue;
		plan->too_long[plan->too_long_count++] = pieces[i].index;
		kept--;
	}
	return kept;
}

static int by_bin_and_size(const void *a, const void *b)
{
	const struct take *x = a, *y = b;
	if (x->bin != y->bin)
		return x->bin < y->bin ? -1 : 1;
	return x->size < y->size ? -1 : x->size > y->size;
}

/* The stocks that are cut into, in the plan's order; takes' bins become indices into it. */
static void list_stocks(const struct cut_order *order, struct stages *st, struct arena *arena,
                        struct cut_plan *plan)
{
	const size_t *loads = stages_loads(st, &st->best, st->arena);
	size_t bins = st->offcut_count + st->sizes->piece_count;
	size_t *stock_of = arena_array(st->arena, size_t, bins);
	struct ranked *reels = arena_array(st->arena, struct ranked, st->reels);
	size_t reel_count = 0;
	plan->stocks = arena_array(arena, struct cut_stock, bins);
	for (size_t bin = 0; bin < bins; bin++) {
		if (loads[bin] == 0)
			continue;
		if (bin >= st->offcut_count) {
			reels[reel_count++] = (struct ranked){ loads[bin], bin };
			continue;
		}
		stock_of[bin] = plan->stock_count;
		plan->stocks[plan->stock_count++] = (struct cut_stock){
			.offcut = true, .index = bin, .id = order->offcuts[bin].id,
			.length = order->offcuts[bin].length, .units = st->offcut_units[bin],
		};
	}
	qsort(reels, reel_count, sizeof *reels, longer_first);
	for (size_t i = 0; i < reel_count; i++) {
		stock_of[reels[i].index] = plan->stock_count;
		plan->stocks[plan->stock_count++] = (struct cut_stock){
			.index = i, .id = i, .length = order->reel_length, .units = st->reel_units,
		};
	}
	for (size_t i = 0; i < st->best.count; i++)
		st->best.takes[i].bin = stock_of[st->best.takes[i].bin];
	qsort(st->best.takes, st->best.count, sizeof *st->best.takes, by_bin_and_size);
}

/* Lays the pieces along their stocks. Those of one size lie side by side in `pieces`. */
static void mark_cuts(const struct stages *st, const struct ranked *pieces, struct arena *arena,
                      struct cut_plan *plan)
{
	const struct sizes *sizes = st->sizes;
	struct cut_mark *marks = arena_array(arena, struct cut_mark, sizes->piece_count);
	size_t *next = arena_array(st->arena, size_t, sizes->count);
	for (size_t i = 1; i < sizes->count; i++)
		next[i] = next[i - 1] + sizes->pieces[i - 1];
	size_t marked = 0;
	for (size_t i = 0; i < plan->stock_count; i++)
		plan->stocks[i].left = plan->stocks[i].units;
	for (size_t i = 0; i < st->best.count; i++) {
		const struct take *take = &st->best.takes[i];
		struct cut_stock *stock = &plan->stocks[take->bin];
		if (stock->cut_count == 0)
			stock->cuts = marks + marked;
		for (size_t k = 0; k < take->count; k++) {
			size_t from = stock->units - stock->left, units = sizes->units[take->size];
			marks[marked++] = (struct cut_mark){ pieces[next[take->size]++].index, from, from + units };
			stock->cut_count++;
			stock->left -= units;
		}
	}
}

void cut_plan_make(const struct cut_order *order, struct arena *arena, struct cut_plan *plan)
{
	*plan = (struct cut_plan){ 0 };
	plan->too_long = arena_array(arena, size_t, order->piece_count);
	struct stages st = { .arena = arena_child(arena) };
	st.reel_units = cut_units(order->reel_length, order->pitch);
	list_offcuts(order, st.arena, &st);

	struct ranked *pieces = arena_array(st.arena, struct ranked, order->piece_count);
	size_t count = 0;
	for (size_t i = 0; i < order->piece_count; i++)
		if (order->pieces[i].units > 0)
			pieces[count++] = (struct ranked){ order->pieces[i].units, i };
	qsort(pieces, count, sizeof *pieces, longer_first);
	struct packing start = { .takes = arena_array(st.arena, struct take, count) };
	count = drop_too_long(pieces, count, &st, plan, &start);

	struct sizes sizes;
	sizes_of(pieces, count, &st, st.arena, &sizes);
	st.sizes = &sizes;
	stages_init(&st, &start);
	plan->lower_bound = stages_fewest_reels(&st);
	plan->offcuts_proved = stages_most_from_offcuts(&st);
	plan->leftover_proved = stages_longest_left(&st);
	plan->reels_used = st.reels;
	plan->optimal = st.reels == plan->lower_bound;
	plan->offcut_units = st.from_offcuts;
	plan->longest_left = st.longest_left;
	list_stocks(order, &st, arena, plan);
	mark_cuts(&st, pieces, arena, plan);
	arena_free(st.arena);
}
