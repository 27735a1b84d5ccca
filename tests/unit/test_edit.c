/* Edits of a text: what is not named stays byte for byte. */
#include "base/edit.h"

#include "support.h"

#include <stdio.h>
#include <stdlib.h>

static struct arena *arena;

static int open_arena(void **state)
{
	(void)state;
	arena = arena_new();
	return arena == NULL;
}

static int close_arena(void **state)
{
	(void)state;
	arena_free(arena);
	return 0;
}

static const char *applied(struct edits *edits)
{
	struct buf out;
	buf_init(&out, arena);
	edits_apply(edits, &out);
	assert_int_equal(strlen(out.data), out.length);
	return out.data;
}

static struct edits edits_of(const char *text)
{
	struct edits edits;
	edits_init(&edits, arena, text, strlen(text));
	return edits;
}

static void test_nothing(void **state)
{
	(void)state;
	struct edits edits = edits_of("one two");
	assert_string_equal(applied(&edits), "one two");
	struct edits empty = edits_of("");
	assert_string_equal(applied(&empty), "");
}

static void test_replace_and_insert_in_any_order(void **state)
{
	(void)state;
	struct edits edits = edits_of("one two three");
	edits_insert(&edits, 13, "!");
	edits_replace(&edits, 4, 3, "2");
	edits_insert(&edits, 0, "0 ");
	edits_replace(&edits, 8, 5, "");
	assert_string_equal(applied(&edits), "0 one 2 !");
}

static void test_insertions_at_one_place_keep_their_order(void **state)
{
	(void)state;
	struct edits edits = edits_of("ac");
	edits_insert(&edits, 1, "1");
	edits_replace(&edits, 1, 1, "C");
	edits_insert(&edits, 1, "2");
	edits_insert(&edits, 1, "3");
	assert_string_equal(applied(&edits), "a123C");
}

static void test_neighbours_do_not_overlap(void **state)
{
	(void)state;
	struct edits edits = edits_of("abcd");
	edits_replace(&edits, 2, 2, "Y");
	edits_replace(&edits, 0, 2, "X");
	edits_insert(&edits, 2, "-");
	assert_string_equal(applied(&edits), "X-Y");
}

static void test_bytes_that_are_no_text(void **state)
{
	(void)state;
	static const char bytes[] = "\xFF\0\r\nend";
	struct edits edits;
	struct buf out;
	edits_init(&edits, arena, bytes, sizeof(bytes) - 1);
	edits_replace(&edits, 4, 3, "fin");
	buf_init(&out, arena);
	edits_apply(&edits, &out);
	assert_int_equal(out.length, 7);
	assert_memory_equal(out.data, "\xFF\0\r\nfin", 7);
}

/* Against the plain way: the same edits from the last to the first, each on the whole text. */
static void test_many_against_one_by_one(void **state)
{
	(void)state;
	char text[401], plain[2001];
	for (size_t i = 0; i < 400; i++)
		text[i] = (char)('a' + i % 26);
	text[400] = '\0';
	strcpy(plain, text);
	struct edits edits = edits_of(text);
	for (size_t i = 0; i < 100; i++) {
		size_t at = 4 * (i * 37 % 100), length = at / 4 % 4;     /* 37 and 100 share no factor */
		char with[16];
		snprintf(with, sizeof(with), "<%zu>", at);
		edits_replace(&edits, at, length, with);
	}
	for (size_t k = 100; k-- > 0;) {
		size_t at = 4 * k, length = k % 4;
		char with[16], rest[2001];
		snprintf(with, sizeof(with), "<%zu>", at);
		strcpy(rest, plain + at + length);
		strcpy(plain + at, with);
		strcat(plain, rest);
	}
	assert_string_equal(applied(&edits), plain);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nothing),
		cmocka_unit_test(test_replace_and_insert_in_any_order),
		cmocka_unit_test(test_insertions_at_one_place_keep_their_order),
		cmocka_unit_test(test_neighbours_do_not_overlap),
		cmocka_unit_test(test_bytes_that_are_no_text),
		cmocka_unit_test(test_many_against_one_by_one),
	};
	return cmocka_run_group_tests_name("edit", tests, open_arena, close_arena);
}
