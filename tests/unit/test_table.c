/* Tables and paragraphs fit the page whatever the names are like, and lose nothing on the way. */
#include "report/table.h"

#include "base/text.h"

#include "support.h"

static const struct table_column three[] = {
	{ "cable", ALIGN_LEFT, true, false },
	{ "place", ALIGN_LEFT, true, true },
	{ "rating A", ALIGN_RIGHT, false, false },
};

struct print {
	struct arena *arena;
	struct buf out;
	size_t width;
	const char *const *cells;
	size_t count;
};

static void print_body(void *data)
{
	struct print *print = data;
	struct style style = { .width = print->width };
	struct table table;
	buf_init(&print->out, print->arena);
	struct page page = page_on(&print->out, &style);
	table_init(&table, print->arena, three, 3);
	for (size_t i = 0; i < print->count; i++)
		table_add(&table, print->cells[i]);
	table_print(&table, &page);
}

static struct print printed(const char *const *cells, size_t count, size_t width)
{
	struct print print = { .arena = arena_new(), .width = width, .cells = cells, .count = count };
	assert_non_null(print.arena);
	assert_true(arena_guard(print.arena, print_body, &print));
	return print;
}

static size_t widest_line(const char *text)
{
	size_t widest = 0;
	while (*text != '\0') {
		size_t length = strcspn(text, "\n");
		size_t width = text_width(text, length);
		widest = width > widest ? width : widest;
		text += length + (text[length] == '\n');
	}
	return widest;
}

static size_t count_of(const char *text, char wanted)
{
	size_t count = 0;
	for (; *text != '\0'; text++)
		count += *text == wanted;
	return count;
}

static void test_plain(void **state)
{
	(void)state;
	const char *const cells[] = { "C1", "bay 1", "6.00", "C12", "bay 2 back", "10.00" };
	struct print print = printed(cells, 6, 80);
	assert_string_equal(print.out.data, "                   rating\n"
	                                    "cable  place            A\n"
	                                    "-------------------------\n"
	                                    "C1     bay 1         6.00\n"
	                                    "C12    bay 2 back   10.00\n");
	arena_free(print.arena);
}

static void test_empty_column_left_out(void **state)
{
	(void)state;
	const char *const cells[] = { "C1", "", "6.00", "C2", NULL, "6.00" };
	struct print print = printed(cells, 6, 80);
	assert_null(strstr(print.out.data, "place"));
	assert_non_null(strstr(print.out.data, "C1       6.00\n"));
	arena_free(print.arena);
}

/* 200 letters without a blank, and a place of many words. */
static void test_long_names_fold(void **state)
{
	(void)state;
	char name[201];
	memset(name, 'q', sizeof(name) - 1);
	name[200] = '\0';
	const char *const cells[] = { name, "behind the tall larder unit on the left hand side of the window",
	                              "6.00" };
	for (size_t width = 40; width <= 120; width++) {
		struct print print = printed(cells, 3, width);
		assert_true(widest_line(print.out.data) <= width);
		assert_int_equal(count_of(print.out.data, 'q'), 200);
		assert_non_null(strstr(print.out.data, "6.00"));
		arena_free(print.arena);
	}
}

/* East Asian wide characters take two columns each (Unicode Standard Annex 11). */
static void test_wide_characters(void **state)
{
	(void)state;
	const char *const cells[] = { "\xE6\xA3\x9A\xE6\xA3\x9A", "x", "6.00", "abcd", "x", "7.00" };
	struct print print = printed(cells, 6, 80);
	const char *first = strstr(print.out.data, "\xE6\xA3\x9A");
	const char *second = strstr(print.out.data, "abcd");
	assert_int_equal(text_width(first, strcspn(first, "\n")), text_width(second, strcspn(second, "\n")));
	arena_free(print.arena);
}

static void paragraph_body(void *data)
{
	struct print *print = data;
	struct style style = { .width = print->width };
	buf_init(&print->out, print->arena);
	struct page page = page_on(&print->out, &style);
	page_paragraph(&page, print->cells[0], 0, 4);
}

/* Escape sequences, line ends and direction overrides of a file never reach the terminal. */
static void test_hostile_paragraph(void **state)
{
	(void)state;
	const char *const text[] = { "\x1b[31mred\x1b]0;title\x07 line\nbreak \xE2\x80\xAE reversed \xFF end "
	                             "and_a_word_that_is_longer_than_any_line_of_the_page_may_ever_become_at_all" };
	struct print print = { .arena = arena_new(), .width = 40, .cells = text };
	assert_true(arena_guard(print.arena, paragraph_body, &print));
	assert_int_equal(count_of(print.out.data, '\x1b'), 0);
	assert_int_equal(count_of(print.out.data, '\x07'), 0);
	assert_int_equal(count_of(print.out.data, '\xFF'), 0);
	assert_null(strstr(print.out.data, "\xE2\x80\xAE"));
	assert_true(widest_line(print.out.data) <= 40);
	assert_non_null(strstr(print.out.data, "\n    "));
	arena_free(print.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_plain),
		cmocka_unit_test(test_empty_column_left_out),
		cmocka_unit_test(test_long_names_fold),
		cmocka_unit_test(test_wide_characters),
		cmocka_unit_test(test_hostile_paragraph),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
