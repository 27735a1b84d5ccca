/* The parts that the cutting search stands on, where a fault would only show in a rare order: sets
 * of sums, the memory of what does not fit, and the bound. */
#include "support.h"

#include "advise/cutting_bits.h"
#include "advise/cutting_known.h"
#include "advise/cutting_pack.h"
#include "oracle/chance.h"

#define SUMS 200

static void sums_are_those_of_a_plain_list(void **state)
{
	(void)state;
	struct chance chance = { 1 };
	for (size_t round = 0; round < 200; round++) {
		uint64_t bits[SUMS / 64 + 1] = { 1 };
		bool plain[SUMS + 64] = { true };
		for (size_t pieces = 0; pieces < 4; pieces++) {
			size_t units = 1 + chance_below(&chance, 130);
			bits_add(bits, COUNT_OF(bits), units);
			for (size_t x = SUMS + 1; x-- > units;)
				plain[x] = plain[x] || plain[x - units];
		}
		for (size_t x = 0; x <= SUMS; x++)
			assert_int_equal(bits_has(bits, x), plain[x]);
		size_t low = chance_below(&chance, SUMS), high = low + chance_below(&chance, SUMS - low + 1);
		bool any = false;
		for (size_t x = low; x <= high; x++)
			any = any || plain[x];
		assert_int_equal(bits_any(bits, low, high), any);
	}
}

static void only_what_was_added_is_known(void **state)
{
	struct known known;
	known_init(&known, 3, *state);
	size_t a[] = { 4, 0, 1 }, b[] = { 4, 0, 2 };
	assert_false(known_unfit(&known, a, 1));
	known_add(&known, a, 2);
	assert_true(known_unfit(&known, a, 2));
	assert_true(known_unfit(&known, a, 1));
	assert_false(known_unfit(&known, a, 3));
	assert_false(known_unfit(&known, b, 1));
	known_add(&known, b, 5);
	assert_true(known_unfit(&known, b, 5));
}

/* More states than places, each unfit on as many reels as its first number: some are forgotten,
 * none is mistaken for another. */
static void known_states_are_never_mixed_up(void **state)
{
	enum { STATES = 1000, WIDTH = 100000 };
	struct known known;
	known_init(&known, WIDTH, *state);
	assert_true(known.slots < STATES);
	size_t *left = arena_array(*state, size_t, WIDTH), found = 0;
	for (size_t i = 1; i <= STATES; i++) {
		left[0] = left[WIDTH - 1] = i;
		known_add(&known, left, i);
	}
	for (size_t i = 1; i <= STATES; i++) {
		left[0] = left[WIDTH - 1] = i;
		assert_false(known_unfit(&known, left, i + 1));
		found += known_unfit(&known, left, i);
	}
	assert_true(found > 0 && found <= known.slots);
}

static size_t bound_of(struct arena *arena, const size_t *units, size_t count, size_t reel,
                       const size_t *offcuts, size_t offcut_count)
{
	struct sizes sizes;
	struct bound bound;
	struct bins bins = { .reel_units = reel, .single_count = offcut_count };
	bins.singles = arena_array(arena, struct single, offcut_count);
	for (size_t i = 0; i < offcut_count; i++)
		bins.singles[i] = (struct single){ offcuts[i], i, true };
	sizes_init(&sizes, units, count, 200, arena);
	bound_init(&bound, &sizes, &bins, arena);
	return bound_reels(&bound, sizes.pieces, 0);
}

/* By hand, each with the function that it takes. */
static void bound_is_as_strong_as_by_hand(void **state)
{
	static const struct {
		const char *why;
		size_t reel, pieces[9], count, offcuts[2], offcut_count, reels;
	} table[] = {
		{ "f_0: area 240 / 100", 100, { 40, 40, 40, 40, 40, 40 }, 6, { 0 }, 0, 3 },
		{ "g_1: over half, one per reel", 100, { 51, 51, 51 }, 3, { 0 }, 0, 3 },
		{ "g_1: halves, two per reel", 100, { 50, 50, 50, 50 }, 4, { 0 }, 0, 2 },
		{ "g_2: over a third, two per reel", 100, { 34, 34, 34, 34, 34 }, 5, { 0 }, 0, 3 },
		{ "g_2: exactly a third, three per reel", 99, { 33, 33, 33, 33, 33, 33 }, 6, { 0 }, 0, 2 },
		{ "f_35: beside 70 nothing of 35 fits: (2 * 100 + 3 * 35) / 100", 100,
		  { 70, 70, 35, 35, 35 }, 5, { 0 }, 0, 4 },
		{ "f_35: an offcut of 34 is no use", 100, { 70, 70, 35, 35, 35 }, 5, { 34 }, 1, 4 },
		{ "f_35: an offcut of 35 is", 100, { 70, 70, 35, 35, 35 }, 5, { 35 }, 1, 3 },
		{ "f_35: an offcut of 65 takes one 35, no 70: two 70s and a 35", 100, { 70, 70, 35, 35 }, 4,
		  { 65 }, 1, 3 },
		{ "f_0: area (200 - 60 - 50) / 100", 100, { 50, 50, 50, 50 }, 4, { 60, 50 }, 2, 1 },
		{ "f_20: reels of 10 are no use", 10, { 150, 150, 20 }, 3, { 160 }, 1, SIZE_MAX },
		{ "nothing to cut", 100, { 0 }, 0, { 60 }, 1, 0 },
	};
	for (size_t i = 0; i < COUNT_OF(table); i++) {
		size_t reels = bound_of(*state, table[i].pieces, table[i].count, table[i].reel,
		                        table[i].offcuts, table[i].offcut_count);
		if (reels != table[i].reels)
			fail_msg("%s: %zu", table[i].why, reels);
	}
}

/* 48 48 24 17: the sums up to 100 are 17 24 41 48 65 72 89 96. */
static void reach_is_the_largest_sum(void **state)
{
	static const size_t units[] = { 48, 48, 24, 17 };
	struct sizes sizes;
	sizes_init(&sizes, units, COUNT_OF(units), 100, *state);
	assert_int_equal(sizes.count, 3);
	assert_int_equal(sizes.pieces[0], 2);
	assert_int_equal(sizes.total, 137);
	assert_int_equal(sizes_reach(&sizes, 100), 96);
	assert_int_equal(sizes_reach(&sizes, 95), 89);
	assert_int_equal(sizes_reach(&sizes, 96), 96);
	assert_int_equal(sizes_reach(&sizes, 71), 65);
	assert_int_equal(sizes_reach(&sizes, 16), 0);
	assert_int_equal(sizes_reach(&sizes, 1000), 96);
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
		cmocka_unit_test(sums_are_those_of_a_plain_list),
		WITH_ARENA(only_what_was_added_is_known),
		WITH_ARENA(known_states_are_never_mixed_up),
		WITH_ARENA(bound_is_as_strong_as_by_hand),
		WITH_ARENA(reach_is_the_largest_sum),
	};
	return cmocka_run_group_tests_name("parts of cutting", tests, NULL, NULL);
}
