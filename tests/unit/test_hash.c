/* The map from names to indices, against a plain list. */
#include "support.h"

#include "base/hash.h"

static void empty_map_finds_nothing(void **state)
{
	struct hash hash;
	hash_init(&hash, *state);
	assert_true(hash_find(&hash, "L1") == HASH_NONE);
	assert_true(hash_find(&hash, "") == HASH_NONE);
}

static void first_value_stays(void **state)
{
	struct hash hash;
	hash_init(&hash, *state);
	assert_int_equal(hash_put(&hash, "L1", 7), 7);
	assert_int_equal(hash_put(&hash, "L1", 8), 7);
	assert_int_equal(hash_put(&hash, "", 0), 0);
	assert_int_equal(hash_find(&hash, "L1"), 7);
	assert_int_equal(hash_find(&hash, ""), 0);
	assert_int_equal(hash.count, 2);
	assert_true(hash_find(&hash, "l1") == HASH_NONE);
	assert_true(hash_find(&hash, "L") == HASH_NONE);
	assert_true(hash_find(&hash, "L11") == HASH_NONE);
}

static void many_names_are_all_found(void **state)
{
	enum { COUNT = 50000 };
	struct hash hash;
	hash_init(&hash, *state);
	for (size_t i = 0; i < COUNT; i++) {
		char *name = arena_printf(*state, "strip-%zu", i * 7919 % COUNT);
		assert_int_equal(hash_put(&hash, name, i), i);
	}
	for (size_t i = 0; i < COUNT; i++) {
		char *name = arena_printf(*state, "strip-%zu", i * 7919 % COUNT);
		assert_int_equal(hash_find(&hash, name), i);
		assert_true(hash_find(&hash, arena_printf(*state, "Strip-%zu", i)) == HASH_NONE);
	}
	assert_int_equal(hash.count, COUNT);
	assert_true(hash.count * 3 <= hash.capacity * 2);
}

static void names_are_compared_not_only_their_hashes(void **state)
{
	/* Every name of three letters of a small alphabet, signed bytes among them. */
	static const char letters[] = "ab\xC3\xBCzZ09";
	struct hash hash;
	size_t n = 0;
	hash_init(&hash, *state);
	for (size_t i = 0; i < 512; i++) {
		char name[] = { letters[i & 7], letters[i >> 3 & 7], letters[i >> 6], '\0' };
		assert_int_equal(hash_put(&hash, arena_strdup(*state, name), n), n);
		n++;
	}
	assert_int_equal(hash.count, 512);
}

static int make_arena(void **state)
{
	*state = arena_new();
	return *state ? 0 : -1;
}

static int free_arena(void **state)
{
	arena_free(*state);
	return 0;
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_arena, free_arena)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(empty_map_finds_nothing),
		TEST(first_value_stays),
		TEST(many_names_are_all_found),
		TEST(names_are_compared_not_only_their_hashes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
