/* Everything is counted again from the marks; nothing of the plan is believed. */
#include "support.h"

#include "cutting_check.h"

#define PITCH 0.05

struct cut_order cutting_order(struct arena *arena, size_t reel, const size_t *offcuts,
                               size_t offcut_count, const size_t *pieces, size_t piece_count)
{
	struct cut_offcut *offcut = arena_array(arena, struct cut_offcut, offcut_count);
	struct cut_piece *piece = arena_array(arena, struct cut_piece, piece_count);
	for (size_t i = 0; i < offcut_count; i++)
		offcut[i] = (struct cut_offcut){ PITCH * (double)offcuts[i], 200 + i };
	for (size_t i = 0; i < piece_count; i++)
		piece[i] = (struct cut_piece){ pieces[i], 100 + i };
	return (struct cut_order){
		PITCH, PITCH * (double)reel, offcut, offcut_count, piece, piece_count,
	};
}

static void check_stock(const struct cut_order *order, const struct cut_stock *stock, size_t *times)
{
	size_t at = 0;
	assert_true(stock->cut_count > 0);
	for (size_t i = 0; i < stock->cut_count; i++) {
		const struct cut_mark *mark = &stock->cuts[i];
		assert_true(mark->piece < order->piece_count);
		assert_int_equal(mark->from, at);
		at = mark->to;
		assert_int_equal(mark->to - mark->from, order->pieces[mark->piece].units);
		times[mark->piece]++;
		if (i > 0)
			assert_true(mark->to - mark->from <= mark[-1].to - mark[-1].from);
	}
	assert_int_equal(at + stock->left, stock->units);
	if (stock->offcut) {
		assert_true(stock->index < order->offcut_count);
		assert_int_equal(stock->id, order->offcuts[stock->index].id);
		assert_near(stock->length, order->offcuts[stock->index].length, 0, 0);
	} else {
		assert_int_equal(stock->id, stock->index);
		assert_near(stock->length, order->reel_length, 0, 0);
	}
	assert_int_equal(stock->units, cut_units(stock->length, order->pitch));
}

static void check_pieces(const struct cut_order *order, const struct cut_plan *plan, size_t *times)
{
	for (size_t i = 0; i < plan->too_long_count; i++) {
		size_t piece = plan->too_long[i];
		assert_true(order->pieces[piece].units > cut_units(order->reel_length, order->pitch));
		times[piece]++;
	}
	for (size_t i = 0; i < order->piece_count; i++)
		assert_int_equal(times[i], order->pieces[i].units > 0);
}

void cutting_check(const struct cut_order *order, const struct cut_plan *plan)
{
	struct arena *arena = arena_new();
	size_t *times = arena_array(arena, size_t, order->piece_count);
	size_t *left = arena_array(arena, size_t, order->offcut_count);
	size_t reels = 0, from_offcuts = 0, longest = 0, offcuts_seen = 0;
	for (size_t i = 0; i < order->offcut_count; i++)
		left[i] = cut_units(order->offcuts[i].length, order->pitch);
	for (size_t i = 0; i < plan->stock_count; i++) {
		const struct cut_stock *stock = &plan->stocks[i];
		check_stock(order, stock, times);
		if (stock->offcut) {
			assert_int_equal(reels, 0);
			assert_true(offcuts_seen <= stock->index);
			offcuts_seen = stock->index + 1;
			left[stock->index] = stock->left;
			from_offcuts += stock->units - stock->left;
			continue;
		}
		assert_int_equal(stock->index, reels++);
		longest = stock->left > longest ? stock->left : longest;
	}
	for (size_t i = 0; i < order->offcut_count; i++)
		longest = left[i] > longest ? left[i] : longest;
	check_pieces(order, plan, times);
	assert_int_equal(plan->reels_used, reels);
	assert_int_equal(plan->offcut_units, from_offcuts);
	assert_int_equal(plan->longest_left, longest);
	assert_true(plan->lower_bound <= reels);
	assert_int_equal(plan->optimal, plan->lower_bound == reels);
	arena_free(arena);
}
