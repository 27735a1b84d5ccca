/* Lines and columns of an input file, as an editor counts them. */
#include "support.h"

#include "base/source.h"

static struct source *make(struct arena *arena, const char *text)
{
	return source_new(arena, "job.yaml", text, strlen(text));
}

static void assert_line(const struct source *source, size_t line, const char *expected)
{
	size_t length;
	const char *text = source_line(source, line, &length);
	assert_int_equal(length, strlen(expected));
	assert_memory_equal(text, expected, length);
}

static void all_line_ends(void **state)
{
	struct source *source = make(*state, "one\ntwo\r\nthree\rfour\n\nsix");
	static const char *const lines[] = { "one", "two", "three", "four", "", "six" };
	assert_int_equal(source->line_count, 6);
	for (size_t i = 0; i < 6; i++)
		assert_line(source, i + 1, lines[i]);
	assert_line(source, 0, "");
	assert_line(source, 7, "");
}

static void last_line_end_begins_no_line(void **state)
{
	assert_int_equal(make(*state, "a\n")->line_count, 1);
	assert_int_equal(make(*state, "a\r")->line_count, 1);
	assert_int_equal(make(*state, "a")->line_count, 1);
	assert_int_equal(make(*state, "\n\n")->line_count, 2);
	struct source *empty = make(*state, "");
	assert_int_equal(empty->line_count, 1);
	assert_line(empty, 1, "");
	assert_int_equal(source_offset(empty, 1, 1), 0);
	assert_int_equal(source_offset(empty, 9, 9), 0);
}

static void byte_order_mark_is_no_character(void **state)
{
	struct source *source = make(*state, "\xEF\xBB\xBFjob:\n");
	assert_int_equal(source->size, 5);
	assert_line(source, 1, "job:");
	assert_int_equal(source_offset(source, 1, 1), 0);
	assert_int_equal(make(*state, "\xEF\xBB\xBF")->size, 0);
}

static void columns_count_characters(void **state)
{
	/* ü takes 2 bytes, 中 3, and a byte that is not UTF-8 counts as one character. */
	struct source *source = make(*state, "x\n\xC3\xBC\xE4\xB8\xAD\xFFz\n");
	assert_int_equal(source_offset(source, 2, 1), 2);
	assert_int_equal(source_offset(source, 2, 2), 4);
	assert_int_equal(source_offset(source, 2, 3), 7);
	assert_int_equal(source_offset(source, 2, 4), 8);
	assert_int_equal(source_offset(source, 2, 5), 9);      /* the line's end */
	assert_int_equal(source_offset(source, 2, 99), 9);     /* never into the next line */
	assert_int_equal(source_offset(source, 3, 1), source->size);
}

static void bytes_are_copied_and_named(void **state)
{
	char text[] = "a\0b\n";
	struct source *source = source_new(*state, "-", text, sizeof text - 1);
	text[0] = 'X';
	assert_string_equal(source->name, "<standard input>");
	assert_int_equal(source->size, 4);
	assert_memory_equal(source->bytes, "a\0b\n", 5);
	size_t length;
	source_line(source, 1, &length);
	assert_int_equal(length, 3);
}

static void many_lines(void **state)
{
	enum { LINES = 100000 };
	char *text = arena_alloc(*state, 2 * LINES + 1);
	for (size_t i = 0; i < LINES; i++)
		memcpy(text + 2 * i, "x\n", 2);
	struct source *source = make(*state, text);
	assert_int_equal(source->line_count, LINES);
	assert_int_equal(source->line_start[LINES - 1], 2 * (LINES - 1));
	assert_int_equal(source_offset(source, 70000, 1), 139998);
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
		TEST(all_line_ends),
		TEST(last_line_end_begins_no_line),
		TEST(byte_order_mark_is_no_character),
		TEST(columns_count_characters),
		TEST(bytes_are_copied_and_named),
		TEST(many_lines),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
