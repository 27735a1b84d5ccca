/* Arenas: what they hand out, when it goes, and the way out when memory ends. */
#include "support.h"

#include "base/arena.h"
#include "base/arena_faults.h"

static bool all_zero(const void *block, size_t size)
{
	const unsigned char *bytes = block;
	for (size_t i = 0; i < size; i++)
		if (bytes[i] != 0)
			return false;
	return true;
}

static void blocks_are_zero_aligned_and_apart(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	unsigned char *last = NULL;
	for (size_t size = 0; size < 40000; size = size * 3 / 2 + 1) {
		unsigned char *block = arena_alloc(arena, size);
		assert_int_equal((uintptr_t)block % _Alignof(max_align_t), 0);
		assert_true(all_zero(block, size));
		assert_ptr_not_equal(block, last);
		memset(block, 0xA5, size);
		last = block;
	}
	unsigned char *a = arena_alloc(arena, 0), *b = arena_alloc(arena, 0);
	assert_ptr_not_equal(a, b);
	arena_free(arena);
}

static void many_small_blocks_keep_their_content(void **state)
{
	(void)state;
	enum { COUNT = 200000 };
	struct arena *arena = arena_new();
	size_t **blocks = arena_array(arena, size_t *, COUNT);
	for (size_t i = 0; i < COUNT; i++) {
		blocks[i] = arena_one(arena, size_t);
		*blocks[i] = i;
	}
	for (size_t i = 0; i < COUNT; i++)
		assert_int_equal(*blocks[i], i);
	arena_free(arena);
}

static void grow_keeps_content_and_zeroes_the_rest(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	uint32_t *array = NULL, *other = NULL;
	size_t capacity = 0, other_capacity = 0;
	for (uint32_t i = 0; i < 100000; i++) {
		array = arena_grow(arena, array, i, &capacity, sizeof *array);
		other = arena_grow(arena, other, i, &other_capacity, sizeof *other);
		assert_true(capacity > i);
		assert_int_equal(array[i], 0);
		array[i] = i;
		other[i] = ~i;
	}
	assert_true(all_zero(array + 100000, (capacity - 100000) * sizeof *array));
	for (uint32_t i = 0; i < 100000; i++) {
		assert_int_equal(array[i], i);
		assert_int_equal(other[i], ~i);
	}
	arena_free(arena);
}

static void grow_gives_what_is_asked_for_at_once(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	size_t capacity = 0;
	char *text = arena_grow(arena, NULL, 1000000, &capacity, 1);
	assert_true(capacity > 1000000);
	text[1000000] = 'x';
	char *same = arena_grow(arena, text, 17, &capacity, 1);
	assert_ptr_equal(same, text);
	arena_free(arena);
}

static void reset_hands_out_the_same_memory_wiped(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	void *first = arena_alloc(arena, 100);
	for (int round = 0; round < 5; round++) {
		for (int i = 0; i < 1000; i++)
			memset(arena_alloc(arena, 333), 0xFF, 333);
		memset(arena_alloc(arena, 100000), 0xFF, 100000);
		arena_reset(arena);
		void *again = arena_alloc(arena, 100);
		assert_ptr_equal(again, first);
		assert_true(all_zero(again, 100));
		for (int i = 0; i < 1000; i++)
			assert_true(all_zero(arena_alloc(arena, 333), 333));
	}
	arena_free(arena);
}

struct log {
	int count;
	int order[8];
};
struct entry {
	struct log *log;
	int number;
};

static void note(void *thing)
{
	struct entry *entry = thing;
	entry->log->order[entry->log->count++] = entry->number;
}

static void deferred_runs_last_first_once_children_before(void **state)
{
	(void)state;
	struct log log = { 0 };
	struct entry entries[] = { { &log, 1 }, { &log, 2 }, { &log, 3 }, { &log, 4 } };
	struct arena *arena = arena_new();
	arena_defer(arena, note, &entries[0]);
	arena_defer(arena, note, &entries[1]);
	arena_reset(arena);
	assert_int_equal(log.count, 2);
	assert_int_equal(log.order[0], 2);
	assert_int_equal(log.order[1], 1);
	arena_defer(arena, note, &entries[2]);
	arena_defer(arena_child(arena), note, &entries[3]);
	arena_free(arena);
	assert_int_equal(log.count, 4);
	assert_int_equal(log.order[2], 4);
	assert_int_equal(log.order[3], 3);
}

static void children_may_go_in_any_order(void **state)
{
	(void)state;
	struct log log = { 0 };
	struct entry entry[5];
	struct arena *arena = arena_new(), *child[5];
	for (int i = 0; i < 5; i++) {
		entry[i] = (struct entry){ &log, i };
		child[i] = arena_child(arena);
		arena_defer(child[i], note, &entry[i]);
		memset(arena_alloc(arena_child(child[i]), 50000), 1, 50000);
	}
	arena_free(child[4]);
	arena_free(child[0]);
	arena_free(child[2]);
	arena_free(arena);
	static const int expected[] = { 4, 0, 2, 3, 1 };
	assert_int_equal(log.count, 5);
	assert_memory_equal(log.order, expected, sizeof expected);
	arena_free(NULL);
}

static void leave(void *data)
{
	arena_exhausted(data);
}

static void stay(void *data)
{
	arena_alloc(data, 10);
}

struct nested {
	struct arena *arena;
	bool inner;
	bool went_on;
};

static void inner_then_leave(void *data)
{
	struct nested *nested = data;
	struct arena *child = arena_child(nested->arena);
	nested->inner = arena_guard(child, leave, child);
	nested->went_on = true;
	arena_exhausted(child);
}

static void guards_nest_and_children_share_them(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct nested nested = { arena, true, false };
	assert_true(arena_guard(arena, stay, arena));
	assert_false(arena_guard(arena, leave, arena));
	assert_false(arena_guard(arena, inner_then_leave, &nested));
	assert_false(nested.inner);
	assert_true(nested.went_on);
	assert_true(arena_guard(arena, stay, arena));
	arena_free(arena);
}

static void too_much(void *data)
{
	arena_alloc(data, SIZE_MAX - 100);
}

static void too_many(void *data)
{
	arena_alloc_array(data, SIZE_MAX / 4, 8);
}

static void grow_too_far(void *data)
{
	size_t capacity = 0;
	arena_grow(data, NULL, SIZE_MAX / 16, &capacity, 24);
}

static void sizes_beyond_memory_leave(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	assert_false(arena_guard(arena, too_much, arena));
	assert_false(arena_guard(arena, too_many, arena));
	assert_false(arena_guard(arena, grow_too_far, arena));
	assert_true(arena_guard(arena, stay, arena));
	arena_free(arena);
}

static void texts_are_copied_and_terminated(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	assert_string_equal(arena_strndup(arena, "abcdef", 3), "abc");
	assert_string_equal(arena_strndup(arena, "abc", 0), "");
	assert_string_equal(arena_strdup(arena, "bay 1"), "bay 1");
	assert_string_equal(arena_printf(arena, "%s-%d", "L", 12), "L-12");
	char *wide = arena_printf(arena, "%9000d", 7);
	assert_int_equal(strlen(wide), 9000);
	assert_int_equal(wide[8999], '7');
	arena_free(arena);
}

#ifdef FAREND_FAULTS
struct work {
	struct arena *arena;
	struct log *log;
	struct entry entry[3];
	int opened;
};

/* Takes memory in every way there is and opens three things on the way. */
static void work(void *data)
{
	struct work *work = data;
	struct arena *child = arena_child(work->arena);
	char *array = NULL;
	size_t capacity = 0;
	for (int i = 0; i < 3; i++) {
		work->entry[i] = (struct entry){ work->log, i };
		work->opened++;
		arena_defer(i == 1 ? child : work->arena, note, &work->entry[i]);
		array = arena_grow(child, array, (size_t)5000 << (2 * i), &capacity, 1);
		array[capacity - 1] = 'x';
		arena_printf(child, "%d", i);
		arena_alloc(work->arena, 20000);
	}
}

static void memory_may_end_at_any_block(void **state)
{
	(void)state;
	long failures = 0;
	for (bool finished = false; !finished; failures++) {
		struct log log = { 0 };
		struct arena *arena = arena_new();
		struct work job = { .arena = arena, .log = &log };
		arena_fail_after(failures);
		finished = arena_guard(arena, work, &job);
		arena_fail_after(-1);
		assert_true(arena_guard(arena, stay, arena));
		arena_free(arena);
		assert_int_equal(log.count, job.opened);   /* each released once, never lost */
		assert_int_equal(job.opened == 3 || !finished, 1);
	}
	assert_true(failures > 12);                        /* four blocks a round at least */
	arena_fail_after(0);
	assert_null(arena_new());
	arena_fail_after(-1);
}
#endif

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(blocks_are_zero_aligned_and_apart),
		cmocka_unit_test(many_small_blocks_keep_their_content),
		cmocka_unit_test(grow_keeps_content_and_zeroes_the_rest),
		cmocka_unit_test(grow_gives_what_is_asked_for_at_once),
		cmocka_unit_test(reset_hands_out_the_same_memory_wiped),
		cmocka_unit_test(deferred_runs_last_first_once_children_before),
		cmocka_unit_test(children_may_go_in_any_order),
		cmocka_unit_test(guards_nest_and_children_share_them),
		cmocka_unit_test(sizes_beyond_memory_leave),
		cmocka_unit_test(texts_are_copied_and_terminated),
#ifdef FAREND_FAULTS
		cmocka_unit_test(memory_may_end_at_any_block),
#endif
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
