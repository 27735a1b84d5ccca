/* Collecting and showing what is wrong. The expected excerpts are drawn by hand. */
#include "support.h"

#include "base/diag.h"
#include "base/text.h"

static struct source *make(struct arena *arena, const char *text)
{
	return source_new(arena, "job.yaml", text, strlen(text));
}

static struct diag at(const struct source *source, uint32_t line, uint32_t column, uint32_t length)
{
	return (struct diag){
		.level = DIAG_ERROR, .kind = "unknown-key", .message = "unknown key 'curent'",
		.place = { source, line, column, length },
	};
}

static const char *print(struct arena *arena, const struct diag *diag, bool colour, size_t width)
{
	struct buf out;
	buf_init(&out, arena);
	diag_print(&out, diag, colour, width);
	return out.data;
}

static void same_kind_at_same_place_counts_once(void **state)
{
	struct source *source = make(*state, "a\nb\n"), *other = make(*state, "c\n");
	struct diags diags;
	diags_init(&diags, *state);
	char words[] = "first words";
	struct diag diag = at(source, 1, 1, 1);
	diag.message = words;
	diags_add(&diags, &diag);
	words[0] = 'X';                                    /* texts are copied */
	diag.message = "other words";
	diags_add(&diags, &diag);
	assert_int_equal(diags.count, 1);
	assert_string_equal(diags.items[0].message, "first words");
	diag.kind = "missing-key";
	diags_add(&diags, &diag);
	diag.place.column = 2;
	diags_add(&diags, &diag);
	diag.place.line = 2;
	diags_add(&diags, &diag);
	diag.place.source = other;
	diag.level = DIAG_WARNING;
	diags_add(&diags, &diag);
	diags_add(&diags, &diag);
	assert_int_equal(diags.count, 5);
	assert_int_equal(diags.errors, 4);
}

static void without_a_place_the_words_decide(void **state)
{
	struct diags diags;
	struct diag diag = { .level = DIAG_ERROR, .kind = "unreadable", .message = "one" };
	diags_init(&diags, *state);
	diags_add(&diags, &diag);
	diag.message = "two";
	diags_add(&diags, &diag);
	diags_add(&diags, &diag);
	assert_int_equal(diags.count, 2);
}

static void sorted_by_file_line_column(void **state)
{
	struct source *job = make(*state, ""), *parts = make(*state, "");
	static const uint32_t places[][4] = {              /* file, line, column, place when sorted */
		{ 1, 7, 1, 2 }, { 0, 9, 9, 6 }, { 1, 2, 5, 1 }, { 0, 1, 1, 4 },
		{ 1, 2, 3, 0 }, { 1, 7, 2, 3 }, { 0, 9, 1, 5 },
	};
	struct diags diags;
	diags_init(&diags, *state);
	for (size_t i = 0; i < 7; i++) {
		struct diag diag = at(places[i][0] ? parts : job, places[i][1], places[i][2], 1);
		diags_add(&diags, &diag);
	}
	diags_sort(&diags);
	for (size_t i = 0; i < 7; i++) {
		const struct place *place = &diags.items[places[i][3]].place;
		assert_ptr_equal(place->source, places[i][0] ? parts : job);
		assert_int_equal(place->line, places[i][1]);
		assert_int_equal(place->column, places[i][2]);
	}
	struct diag again = at(job, 9, 9, 1);              /* still known after sorting */
	diags_add(&diags, &again);
	assert_int_equal(diags.count, 7);
}

static void sorting_is_stable(void **state)
{
	struct source *job = make(*state, "");
	struct diags diags;
	diags_init(&diags, *state);
	for (int i = 0; i < 3000; i++) {
		struct diag diag = at(job, (uint32_t)(3000 - i) / 100 + 1, 1, 1);
		diag.kind = arena_printf(*state, "kind-%04d", i);
		diags_add(&diags, &diag);
	}
	diags_sort(&diags);
	assert_int_equal(diags.count, 3000);
	for (size_t i = 1; i < diags.count; i++) {
		const struct diag *a = &diags.items[i - 1], *b = &diags.items[i];
		assert_true(a->place.line < b->place.line ||
		            (a->place.line == b->place.line && strcmp(a->kind, b->kind) < 0));
	}
}

static void very_many_are_no_burden(void **state)
{
	enum { COUNT = 300000 };                           /* a quadratic search would take minutes */
	struct source *job = make(*state, "");
	struct diags diags;
	diags_init(&diags, *state);
	for (uint32_t round = 0; round < 2; round++)
		for (uint32_t i = 0; i < COUNT; i++) {
			struct diag diag = at(job, COUNT - i, 5, 1);
			diags_add(&diags, &diag);
		}
	diags_sort(&diags);
	assert_int_equal(diags.count, COUNT);
	assert_int_equal(diags.items[COUNT - 1].place.line, COUNT);
}

static void shows_line_caret_and_advice(void **state)
{
	struct source *source = make(*state, "loads:\n  - power: 3 W\n    curent: 1.5 A\n");
	struct diag diag = at(source, 3, 5, 6);
	diag.expected = "one of: power, current, voltage, length, place, note, colour, part, price, "
	                "type";
	diag.hint = "did you mean 'current'?";
	assert_string_equal(print(*state, &diag, false, 60),
		"job.yaml:3:5: error: unknown key 'curent' [unknown-key]\n"
		"    3 |     curent: 1.5 A\n"
		"      |     ^~~~~~\n"
		"  expected: one of: power, current, voltage, length, place,\n"
		"            note, colour, part, price, type\n"
		"  hint: did you mean 'current'?\n");
}

static void colour_adds_nothing_but_emphasis(void **state)
{
	struct source *source = make(*state, "curent: 1.5 A\n");
	struct diag diag = at(source, 1, 1, 6);
	diag.level = DIAG_WARNING;
	const char *plain = print(*state, &diag, false, 80);
	const char *coloured = print(*state, &diag, true, 80);
	assert_non_null(strstr(coloured, "\033[1;35mwarning:\033[0m unknown"));
	assert_non_null(strstr(coloured, "\033[1;35m^~~~~~\033[0m\n"));
	struct buf stripped;
	buf_init(&stripped, *state);
	for (const char *c = coloured; *c; c++) {
		if (*c == '\033')
			c += strcspn(c, "m");
		else
			buf_add_char(&stripped, *c);
	}
	assert_string_equal(stripped.data, plain);
}

static void without_source_or_line(void **state)
{
	struct diag diag = at(NULL, 0, 0, 1);
	diag.level = DIAG_NOTE;
	assert_string_equal(print(*state, &diag, false, 80),
	                    "note: unknown key 'curent' [unknown-key]\n");
	diag = at(make(*state, "x"), 0, 0, 1);
	assert_string_equal(print(*state, &diag, false, 80),
	                    "job.yaml: error: unknown key 'curent' [unknown-key]\n");
	diag = at(make(*state, "x\n"), 2, 1, 1);           /* behind the last line */
	assert_string_equal(print(*state, &diag, false, 80),
	                    "job.yaml:2:1: error: unknown key 'curent' [unknown-key]\n");
}

/* The excerpt's two lines. */
static const char *excerpt(struct arena *arena, const char *text, uint32_t column, uint32_t length,
                           size_t width)
{
	struct diag diag = at(make(arena, text), 1, column, length);
	return strchr(print(arena, &diag, false, width), '\n') + 1;
}

static void caret_stands_under_what_is_seen(void **state)
{
	/* Tab: one blank. 中: two columns. e + U+0301: one column, two characters. */
	assert_string_equal(excerpt(*state, "\tkey: 1", 2, 3, 80),
		"    1 |  key: 1\n"
		"      |  ^~~\n");
	assert_string_equal(excerpt(*state, "\xE4\xB8\xAD\xE4\xB8\xAD: key", 5, 3, 80),
		"    1 | \xE4\xB8\xAD\xE4\xB8\xAD: key\n"
		"      |       ^~~\n");
	assert_string_equal(excerpt(*state, "x \xE4\xB8\xAD\xE4\xB8\xAD", 3, 2, 80),
		"    1 | x \xE4\xB8\xAD\xE4\xB8\xAD\n"
		"      |   ^~~~\n");
	assert_string_equal(excerpt(*state, "e\xCC\x81: key", 5, 3, 80),
		"    1 | e\xCC\x81: key\n"
		"      |    ^~~\n");
	/* An escape character and a stray byte become one visible character each. */
	assert_string_equal(excerpt(*state, "\x1B\xFF: key", 5, 3, 80),
		"    1 | \xEF\xBF\xBD\xEF\xBF\xBD: key\n"
		"      |     ^~~\n");
	/* Behind the end of the line; a span longer than the line. */
	assert_string_equal(excerpt(*state, "key:", 5, 1, 80),
		"    1 | key:\n"
		"      |     ^\n");
	assert_string_equal(excerpt(*state, "key:", 99, 1, 80),
		"    1 | key:\n"
		"      |     ^\n");
	assert_string_equal(excerpt(*state, "key:", 2, 99, 80),
		"    1 | key:\n"
		"      |  ^~~\n");
	assert_string_equal(excerpt(*state, "", 1, 1, 80),
		"    1 | \n"
		"      | ^\n");
}

static void long_lines_show_a_window(void **state)
{
	/* 28 columns leave 20 beside the gutter. */
	static const char line[] = "0123456789abcdefghijklmnopqrstuvwxyz";
	assert_string_equal(excerpt(*state, line, 3, 2, 28),
		"    1 | 0123456789abcdefg...\n"
		"      |   ^~\n");
	assert_string_equal(excerpt(*state, line, 21, 2, 28),          /* k: 6 columns either side */
		"    1 | ...efghijklmnopqr...\n"
		"      |          ^~\n");
	assert_string_equal(excerpt(*state, line, 36, 1, 28),
		"    1 | ...jklmnopqrstuvwxyz\n"
		"      |                    ^\n");
	assert_string_equal(excerpt(*state, line, 1, 36, 28),
		"    1 | 0123456789abcdefg...\n"
		"      | ^~~~~~~~~~~~~~~~~\n");
	assert_string_equal(excerpt(*state, line, 11, 26, 28),
		"    1 | ...abcdefghijklmn...\n"
		"      |    ^~~~~~~~~~~~~~\n");
	assert_string_equal(excerpt(*state, "0123456789abcdefghij", 20, 1, 28),
		"    1 | 0123456789abcdefghij\n"
		"      |                    ^\n");
}

/* A line of every kind of character, at every column, span and width: nothing is wider than asked,
 * and the caret stands under the character that the place names. */
static void windows_fit_whatever_they_cut(void **state)
{
	static const char *const kinds[] = { "a", "\xE4\xB8\xAD", "e\xCC\x81", "\t", "\xFF", "1" };
	struct buf line;
	buf_init(&line, *state);
	for (size_t i = 0; i < 150; i++)
		buf_add(&line, kinds[i * i % 6]);
	buf_add(&line, "\xF0\x9F\x92\xA1");                    /* the only lamp */
	for (size_t i = 0; i < 150; i++)
		buf_add(&line, kinds[i * 7 % 6]);
	struct source *source = make(*state, line.data);
	for (uint32_t column = 1; column < 400; column += 1 + column % 3)
		for (size_t width = 24; width < 100; width += 7) {
			struct arena *scratch = arena_child(*state);
			struct diag diag = at(source, 1, column, 1 + column % 40);
			const char *text = strchr(print(scratch, &diag, false, width), '\n') + 1;
			size_t first = strcspn(text, "\n"), second = strlen(text) - first - 2;
			assert_true(text_width(text, first) <= width);
			assert_true(text_width(text + first + 1, second) <= width);
			assert_non_null(strchr(text + first, '^'));
			arena_free(scratch);
		}
	uint32_t lamp = 1, code;
	for (size_t i = 0; i < line.length; lamp++) {
		i += text_decode(line.data + i, line.length - i, &code);
		if (code == 0x1F4A1)
			break;
	}
	for (size_t width = 24; width < 400; width++) {
		struct diag diag = at(source, 1, lamp, 1);
		const char *text = strchr(print(*state, &diag, false, width), '\n') + 1;
		size_t before = (size_t)(strstr(text, "\xF0\x9F\x92\xA1") - text);
		const char *below = strchr(text, '\n') + 1;
		assert_int_equal(text_width(text, before), strchr(below, '^') - below);
	}
}

static void one_endless_line_is_no_burden(void **state)
{
	enum { SIZE = 8 << 20 };
	char *text = arena_alloc(*state, SIZE + 1);
	memset(text, 'x', SIZE);
	text[SIZE - 100] = 'K';
	assert_string_equal(excerpt(*state, text, SIZE - 99, 1, 28),
		"    1 | ...xxxxxxKxxxxxxx...\n"
		"      |          ^\n");
}

static void what_comes_from_files_is_disarmed(void **state)
{
	struct source *source = source_new(*state, "a\033[2J.yaml", "k\033[2J: 1\n", 9);
	struct diag diag = at(source, 1, 1, 1);
	diag.message = "unknown key 'k\033[2J'";
	diag.expected = "not \033[2J";
	diag.hint = "\xE2\x80\xAEno";
	const char *text = print(*state, &diag, false, 80);
	assert_null(strchr(text, '\033'));
	assert_null(strstr(text, "\xE2\x80\xAE"));
}

static void long_line_numbers_widen_the_gutter(void **state)
{
	struct buf text;
	buf_init(&text, *state);
	for (int i = 0; i < 1234567; i++)
		buf_add(&text, "x\n");
	struct diag diag = at(make(*state, text.data), 1234567, 1, 1);
	assert_string_equal(strchr(print(*state, &diag, false, 80), '\n') + 1,
		"1234567 | x\n"
		"        | ^\n");
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
		TEST(same_kind_at_same_place_counts_once),
		TEST(without_a_place_the_words_decide),
		TEST(sorted_by_file_line_column),
		TEST(sorting_is_stable),
		TEST(very_many_are_no_burden),
		TEST(shows_line_caret_and_advice),
		TEST(colour_adds_nothing_but_emphasis),
		TEST(without_source_or_line),
		TEST(caret_stands_under_what_is_seen),
		TEST(long_lines_show_a_window),
		TEST(windows_fit_whatever_they_cut),
		TEST(one_endless_line_is_no_burden),
		TEST(what_comes_from_files_is_disarmed),
		TEST(long_line_numbers_widen_the_gutter),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
