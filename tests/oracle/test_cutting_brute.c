/* Cutting plans against every way there is: each piece on each offcut, on each reel begun and on
 * one more reel (all partitions of the set). The best in the order of the three aims must be the
 * plan's. */
#include "support.h"

#include "cutting_check.h"
#include "oracle/chance.h"

#define PIECES_MOST  8
#define OFFCUTS_MOST 3

struct trial {
	size_t reel, reels, offcut_count, piece_count;
	size_t offcuts[OFFCUTS_MOST];         /* as they are */
	size_t left[OFFCUTS_MOST + PIECES_MOST]; /* room on offcuts, then on reels begun */
	size_t pieces[PIECES_MOST];
	bool found;
	size_t best_reels, best_offcuts, best_left;
};

static void weigh(struct trial *t)
{
	size_t from_offcuts = 0, longest = 0;
	for (size_t i = 0; i < t->offcut_count; i++)
		from_offcuts += t->offcuts[i] - t->left[i];
	for (size_t i = 0; i < t->offcut_count + t->reels; i++)
		longest = t->left[i] > longest ? t->left[i] : longest;
	if (t->found && (t->reels > t->best_reels
	                 || (t->reels == t->best_reels && (from_offcuts < t->best_offcuts
	                     || (from_offcuts == t->best_offcuts && longest <= t->best_left)))))
		return;
	t->found = true;
	t->best_reels = t->reels;
	t->best_offcuts = from_offcuts;
	t->best_left = longest;
}

static void every_way(struct trial *t, size_t piece)
{
	if (piece == t->piece_count) {
		weigh(t);
		return;
	}
	size_t bins = t->offcut_count + t->reels, units = t->pieces[piece];
	for (size_t bin = 0; bin < bins; bin++) {
		if (t->left[bin] < units)
			continue;
		t->left[bin] -= units;
		every_way(t, piece + 1);
		t->left[bin] += units;
	}
	if (units > t->reel)
		return;
	t->left[bins] = t->reel - units;
	t->reels++;
	every_way(t, piece + 1);
	t->reels--;
}

/* Pieces of `low` ... `high` tenths of a reel, of `kinds` lengths at most; some are longer than a
 * reel where `high` is over 10. */
static void compare(uint64_t seed, size_t low, size_t high, size_t kinds)
{
	struct chance chance = { seed };
	struct trial t = { 0 };
	t.reel = 10 + chance_below(&chance, 40);
	t.offcut_count = chance_below(&chance, OFFCUTS_MOST + 1);
	t.piece_count = 1 + chance_below(&chance, PIECES_MOST);
	for (size_t i = 0; i < t.offcut_count; i++)
		t.left[i] = t.offcuts[i] = 1 + chance_below(&chance, t.reel * (high > 10 ? 13 : 9) / 10);
	for (size_t i = 0; i < t.piece_count; i++)
		t.pieces[i] = i >= kinds ? t.pieces[chance_below(&chance, kinds)]
			: 1 + t.reel * low / 10 + chance_below(&chance, t.reel * (high - low) / 10);
	every_way(&t, 0);

	struct arena *arena = arena_new();
	struct cut_order order = cutting_order(arena, t.reel, t.offcuts, t.offcut_count, t.pieces,
	                                       t.piece_count);
	struct cut_plan plan;
	cut_plan_make(&order, arena, &plan);
	cutting_check(&order, &plan);
	assert_int_equal(t.found, plan.too_long_count == 0);
	if (t.found) {
		assert_int_equal(plan.reels_used, t.best_reels);
		assert_int_equal(plan.offcut_units, t.best_offcuts);
		assert_int_equal(plan.longest_left, t.best_left);
		assert_true(plan.optimal && plan.offcuts_proved && plan.leftover_proved);
	}
	arena_free(arena);
}

static void pieces_of_all_lengths(void **state)
{
	(void)state;
	for (uint64_t seed = 1; seed <= 400; seed++)
		compare(seed, 0, 10, PIECES_MOST);
}

static void short_pieces(void **state)
{
	(void)state;
	for (uint64_t seed = 1001; seed <= 1400; seed++)
		compare(seed, 1, 5, PIECES_MOST);
}

static void some_longer_than_a_reel(void **state)
{
	(void)state;
	for (uint64_t seed = 2001; seed <= 2400; seed++)
		compare(seed, 2, 12, PIECES_MOST);
}

/* Strips of one length for every bay: the same piece again and again, alike reels. */
static void few_lengths(void **state)
{
	(void)state;
	for (uint64_t seed = 3001; seed <= 4000; seed++)
		compare(seed, 1, 6, 2 + seed % 3);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(pieces_of_all_lengths),
		cmocka_unit_test(short_pieces),
		cmocka_unit_test(some_longer_than_a_reel),
		cmocka_unit_test(few_lengths),
	};
	return cmocka_run_group_tests_name("cutting against every way there is", tests, NULL, NULL);
}
