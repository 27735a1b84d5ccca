/* Cutting plans whose best is known, each with the reason why nothing better can be. */
#include "support.h"

#include "cutting_check.h"
#include "oracle/chance.h"

#define RUNS_MOST    5
#define OFFCUTS_MOST 3
#define PIECES_MOST  60

/* By hand. Lists end at 0. */
struct known {
	const char *proof;
	size_t reel;
	size_t offcuts[OFFCUTS_MOST + 1];
	struct { size_t units, count; } runs[RUNS_MOST + 1];
	size_t reels, from_offcuts, longest_left;
};

static const struct known by_hand[] = {
	{ "each piece is over half a reel", 100, { 0 }, { { 51, 9 } }, 9, 0, 49 },
	{ "each piece is over half a reel; the shortest leaves most", 100, { 0 },
	  { { 60, 3 }, { 75, 2 }, { 99, 1 } }, 6, 0, 40 },
	{ "a 70 fills a reel for the 35s, of which two fit on one: 4 + 2", 100, { 0 },
	  { { 70, 4 }, { 35, 4 } }, 6, 0, 30 },
	{ "just over a third: two per reel", 99, { 0 }, { { 34, 10 } }, 5, 0, 31 },
	{ "just over a third, an odd one out: it leaves all but itself", 99, { 0 }, { { 34, 9 } },
	  5, 0, 65 },
	{ "exactly a third: full reels", 99, { 0 }, { { 33, 12 } }, 4, 0, 0 },
	{ "area 450 / 90; one 60 per reel", 90, { 0 }, { { 60, 5 }, { 30, 5 } }, 5, 0, 0 },
	{ "area 900 / 100: 6 (51 + 26 + 23) and 3 (27 + 27 + 23 + 23); first-fit decreasing takes 11 "
	  "(Johnson's worst case, from memory)", 100, { 0 },
	  { { 51, 6 }, { 27, 6 }, { 26, 6 }, { 23, 12 } }, 9, 0, 0 },
	{ "the same twice over: area 1800 / 100", 100, { 0 },
	  { { 51, 12 }, { 27, 12 }, { 26, 12 }, { 23, 24 } }, 18, 0, 0 },
	{ "51 and 50 do not share a reel: 9 + 9 / 2", 100, { 0 }, { { 51, 9 }, { 50, 9 } }, 14, 0, 50 },
	{ "13 units are over one reel; a reel holds 3 at least", 10, { 0 },
	  { { 6, 1 }, { 4, 1 }, { 3, 1 } }, 2, 0, 7 },
	{ "274 units; none add up to 97 ... 100, so two reels leave 4 each and the third 26 - 8", 100,
	  { 0 }, { { 48, 3 }, { 24, 4 }, { 17, 2 } }, 3, 0, 18 },
	{ "one reel holds all", 100, { 0 }, { { 48, 1 }, { 20, 1 }, { 17, 1 } }, 1, 0, 15 },
	{ "nothing to cut", 100, { 0 }, { { 0, 0 } }, 0, 0, 0 },
	{ "nothing to cut from an offcut", 100, { 30, 0 }, { { 0, 0 } }, 0, 0, 30 },
	{ "the offcut holds it to the mark", 100, { 48, 0 }, { { 48, 1 } }, 0, 48, 0 },
	{ "only a reel holds 60, only 50 fits the offcut", 100, { 50, 0 }, { { 50, 1 }, { 60, 1 } },
	  1, 50, 40 },
	{ "area 16 - 6: the longest piece must go on the offcut", 10, { 6, 0 }, { { 6, 1 }, { 5, 2 } },
	  1, 6, 0 },
	{ "area 18 - 8: 5 + 3 and 6 + 4; best-fit decreasing takes 2 reels", 10, { 8, 0 },
	  { { 6, 1 }, { 5, 1 }, { 4, 1 }, { 3, 1 } }, 1, 8, 0 },
	{ "the offcut is shorter than every piece", 100, { 5, 0 }, { { 30, 1 }, { 40, 1 } }, 1, 0, 30 },
	{ "the shorter offcut will do, the longer stays whole", 100, { 50, 20, 0 }, { { 15, 1 } },
	  0, 15, 50 },
	{ "each offcut holds one piece, 9 + 9 at most; 9 + 8 go on the reel", 20, { 12, 9, 0 },
	  { { 9, 3 }, { 8, 1 } }, 1, 18, 3 },
	{ "120 is longer than a reel, an offcut is not", 100, { 130, 0 }, { { 120, 1 }, { 90, 1 } },
	  1, 120, 10 },
};

static void plan_known(struct arena *arena, const struct known *known)
{
	size_t pieces[PIECES_MOST], count = 0, offcuts = 0;
	for (size_t i = 0; known->runs[i].units > 0; i++)
		for (size_t k = 0; k < known->runs[i].count; k++)
			pieces[count++] = known->runs[i].units;
	while (known->offcuts[offcuts] > 0)
		offcuts++;
	struct cut_order order = cutting_order(arena, known->reel, known->offcuts, offcuts, pieces, count);
	struct cut_plan plan;
	cut_plan_make(&order, arena, &plan);
	cutting_check(&order, &plan);
	if (plan.reels_used != known->reels || plan.offcut_units != known->from_offcuts
	    || plan.longest_left != known->longest_left || plan.too_long_count != 0)
		fail_msg("%s: %zu reels, %zu from offcuts, %zu left", known->proof, plan.reels_used,
		         plan.offcut_units, plan.longest_left);
	if (!plan.optimal || !plan.offcuts_proved || !plan.leftover_proved)
		fail_msg("%s: not proved", known->proof);
}

static void known_by_hand(void **state)
{
	for (size_t i = 0; i < COUNT_OF(by_hand); i++)
		plan_known(*state, &by_hand[i]);
}

/* Cuts `length` units into `parts` pieces of at least `least` units. */
static void cut_up(struct chance *chance, size_t length, size_t parts, size_t least, size_t *pieces)
{
	size_t spare = length - parts * least;
	for (size_t i = 0; i + 1 < parts; i++) {
		size_t more = chance_below(chance, spare * 2 / (parts - i) + 1);
		if (more > spare)
			more = spare;
		pieces[i] = least + more;
		spare -= more;
	}
	pieces[parts - 1] = least + spare;
}

static void shuffle(struct chance *chance, size_t *pieces, size_t count)
{
	for (size_t i = count; i > 1; i--) {
		size_t k = chance_below(chance, i), piece = pieces[i - 1];
		pieces[i - 1] = pieces[k];
		pieces[k] = piece;
	}
}

/* Full reels and offcuts, cut up and shuffled; the last reel's last piece, of `least` units or
 * more, is thrown away if `short_by_one`. Proof: reels >= (units - units of the offcuts) / reel =
 * reels begun with, rounded up; and there is no waste but the piece thrown away, so it is the
 * longest left over. */
static void put_together_again(struct arena *arena, uint64_t seed, size_t reel, size_t reels,
                               size_t per_reel, size_t offcut_count, bool short_by_one)
{
	struct chance chance = { seed };
	size_t pieces[PIECES_MOST], offcuts[OFFCUTS_MOST], count = 0, from_offcuts = 0;
	for (size_t i = 0; i < offcut_count; i++) {
		offcuts[i] = reel / 2 + chance_below(&chance, reel / 2);
		from_offcuts += offcuts[i];
		cut_up(&chance, offcuts[i], per_reel / 2, reel / per_reel / 2, pieces + count);
		count += per_reel / 2;
	}
	for (size_t i = 0; i < reels; i++) {
		cut_up(&chance, reel, per_reel, reel / per_reel / 2, pieces + count);
		count += per_reel;
	}
	size_t left = short_by_one ? pieces[--count] : 0;
	shuffle(&chance, pieces, count);
	struct cut_order order = cutting_order(arena, reel, offcuts, offcut_count, pieces, count);
	struct cut_plan plan;
	cut_plan_make(&order, arena, &plan);
	cutting_check(&order, &plan);
	assert_int_equal(plan.reels_used, reels);
	assert_true(plan.optimal);
	assert_int_equal(plan.offcut_units, from_offcuts);
	assert_int_equal(plan.longest_left, left);
	assert_true(plan.offcuts_proved && plan.leftover_proved);
}

static void full_reels(void **state)
{
	for (uint64_t seed = 1; seed <= 5; seed++) {
		put_together_again(*state, seed, 100, 4, 3, 0, false);
		put_together_again(*state, seed, 100, 12, 5, 0, false);
		put_together_again(*state, seed, 300, 15, 4, 0, false);
		put_together_again(*state, seed, 97, 10, 6, 0, false);
	}
}

static void full_reels_but_for_one_piece(void **state)
{
	for (uint64_t seed = 11; seed <= 15; seed++) {
		put_together_again(*state, seed, 100, 5, 3, 0, true);
		put_together_again(*state, seed, 100, 12, 5, 0, true);
		put_together_again(*state, seed, 300, 10, 6, 0, true);
	}
}

static void full_reels_and_offcuts(void **state)
{
	for (uint64_t seed = 21; seed <= 25; seed++) {
		put_together_again(*state, seed, 100, 5, 4, 3, false);
		put_together_again(*state, seed, 100, 12, 4, 2, false);
		put_together_again(*state, seed, 100, 9, 6, 2, true);
	}
}

/* Falkenauer's triplets (1996, from memory): three pieces between a quarter and a half fill each
 * reel of 1000 units. Proof: the area bound, which is met. */
static void plan_triplets(struct arena *arena, uint64_t seed, size_t reels, struct cut_plan *plan)
{
	struct chance chance = { seed };
	size_t *pieces = arena_array(arena, size_t, 3 * reels), count = 0;
	for (size_t i = 0; i < reels; i++) {
		size_t first = 380 + chance_below(&chance, 111);
		size_t second = 250 + chance_below(&chance, (1000 - first) / 2 - 249);
		pieces[count++] = first;
		pieces[count++] = second;
		pieces[count++] = 1000 - first - second;
	}
	shuffle(&chance, pieces, count);
	struct cut_order order = cutting_order(arena, 1000, NULL, 0, pieces, count);
	cut_plan_make(&order, arena, plan);
	cutting_check(&order, plan);
}

static void triplets(void **state)
{
	for (uint64_t seed = 31; seed <= 36; seed++)
		for (size_t reels = 10; reels <= 20; reels += 5) {
			struct cut_plan plan;
			plan_triplets(*state, seed, reels, &plan);
			assert_int_equal(plan.reels_used, reels);
			assert_true(plan.optimal);
			for (size_t i = 0; i < plan.stock_count; i++)
				assert_int_equal(plan.stocks[i].cut_count, 3);
		}
}

/* 180 pieces with no waste are more than the steps allow: the plan takes a reel too many, and must
 * not say that this is needed, for 60 reels are known to do. */
static void what_is_not_proved_is_not_claimed(void **state)
{
	struct cut_plan plan;
	plan_triplets(*state, 38, 60, &plan);
	assert_int_equal(plan.lower_bound, 60);
	assert_true(plan.reels_used <= 61);
}

/* The order in which a job lists its strips changes which piece is which, and nothing else. */
static void sequence_does_not_matter(void **state)
{
	struct chance chance = { 41 };
	size_t pieces[40], offcuts[] = { 70, 33, 33 };
	for (size_t i = 0; i < COUNT_OF(pieces); i++)
		pieces[i] = 6 + chance_below(&chance, 43);
	struct cut_plan first;
	for (size_t round = 0; round < 5; round++) {
		struct cut_order order = cutting_order(*state, 100, offcuts, 3, pieces, COUNT_OF(pieces));
		struct cut_plan plan;
		cut_plan_make(&order, *state, &plan);
		cutting_check(&order, &plan);
		if (round == 0)
			first = plan;
		assert_int_equal(plan.stock_count, first.stock_count);
		assert_int_equal(plan.longest_left, first.longest_left);
		for (size_t i = 0; i < plan.stock_count; i++) {
			assert_int_equal(plan.stocks[i].left, first.stocks[i].left);
			assert_int_equal(plan.stocks[i].cut_count, first.stocks[i].cut_count);
		}
		shuffle(&chance, pieces, COUNT_OF(pieces));
	}
}

/* Sixty pieces of 300 mm to 2.4 m from reels of 5 m, marks every 50 mm: what a large kitchen needs.
 * */
static void sixty_pieces_are_proved(void **state)
{
	static const size_t offcuts[] = { 66, 40, 21 };
	for (uint64_t seed = 51; seed <= 70; seed++) {
		struct chance chance = { seed };
		size_t pieces[60];
		for (size_t i = 0; i < COUNT_OF(pieces); i++)
			pieces[i] = 6 + chance_below(&chance, 43);
		struct cut_order order = cutting_order(*state, 100, offcuts, 3, pieces, COUNT_OF(pieces));
		struct cut_plan plan;
		cut_plan_make(&order, *state, &plan);
		cutting_check(&order, &plan);
		assert_true(plan.optimal && plan.offcuts_proved);
	}
}

/* 120 is the longest that the one offcut of 125 holds; 126 is longer than everything. */
static void too_long_is_said_and_the_rest_cut(void **state)
{
	static const size_t offcuts[] = { 125 }, pieces[] = { 101, 40, 126, 120, 0, 60 };
	struct cut_order order = cutting_order(*state, 100, offcuts, 1, pieces, COUNT_OF(pieces));
	struct cut_plan plan;
	cut_plan_make(&order, *state, &plan);
	cutting_check(&order, &plan);
	assert_int_equal(plan.too_long_count, 2);
	assert_int_equal(plan.too_long[0], 2);
	assert_int_equal(plan.too_long[1], 0);
	assert_int_equal(plan.reels_used, 1);
	assert_int_equal(plan.offcut_units, 120);
	assert_int_equal(plan.stocks[0].cuts[0].piece, 3);
	assert_int_equal(plan.stocks[1].cuts[0].piece, 5);
	assert_int_equal(plan.stocks[1].cuts[1].piece, 1);
	assert_int_equal(plan.stocks[1].cuts[1].from, 60);
}

/* Best-fit decreasing with the bound alone. 1500 pieces of 51 need 1500 reels of 100, and the 1500
 * of 49 fit beside them: proved without a search. Random ones must still make a valid plan. */
static void thousands_of_pieces_are_planned(void **state)
{
	enum { COUNT = 3000 };
	struct chance chance = { 61 };
	size_t *pieces = arena_array(*state, size_t, COUNT);
	for (size_t round = 0; round < 2; round++) {
		for (size_t i = 0; i < COUNT; i++)
			pieces[i] = round == 0 ? 49 + i % 2 * 2 : 1 + chance_below(&chance, 100);
		struct cut_order order = cutting_order(*state, 100, NULL, 0, pieces, COUNT);
		struct cut_plan plan;
		cut_plan_make(&order, *state, &plan);
		cutting_check(&order, &plan);
		if (round == 0)
			assert_true(plan.optimal && plan.reels_used == COUNT / 2);
	}
}

/* floor(length / pitch + 0.02): a millimetre short of a 50 mm mark still reaches it, two do not. */
static void units_are_whole(void **state)
{
	(void)state;
	assert_int_equal(cut_units(2.4, 0.05), 48);
	assert_int_equal(cut_units(0.8495, 0.05), 17);
	assert_int_equal(cut_units(0.848, 0.05), 16);
	assert_int_equal(cut_units(0.04, 0.05), 0);
	assert_int_equal(cut_units(5, 5 / 300.0), 300);
	assert_int_equal(cut_units(0, 0.05), 0);
	assert_int_equal(cut_units(-1, 0.05), 0);
	assert_int_equal(cut_units((double)NAN, 0.05), 0);
	assert_int_equal(cut_units((double)INFINITY, 0.05), 1000000000);
}

static int open_arena(void **state)
{
	return (*state = arena_new()) == NULL;
}

static int close_arena(void **state)
{
	arena_free(*state);
	return 0;
}

#define WITH_ARENA(test) cmocka_unit_test_setup_teardown(test, open_arena, close_arena)

int main(void)
{
	static const struct CMUnitTest tests[] = {
		WITH_ARENA(known_by_hand),
		WITH_ARENA(full_reels),
		WITH_ARENA(full_reels_but_for_one_piece),
		WITH_ARENA(full_reels_and_offcuts),
		WITH_ARENA(triplets),
		WITH_ARENA(what_is_not_proved_is_not_claimed),
		WITH_ARENA(sequence_does_not_matter),
		WITH_ARENA(sixty_pieces_are_proved),
		WITH_ARENA(too_long_is_said_and_the_rest_cut),
		WITH_ARENA(thousands_of_pieces_are_planned),
		WITH_ARENA(units_are_whole),
	};
	return cmocka_run_group_tests_name("cutting", tests, NULL, NULL);
}
