/* Growing text, UTF-8, widths, folding, and the nearest name. */
#include "support.h"

#include "base/text.h"

static void buf_grows_and_stays_terminated(void **state)
{
	struct buf buf;
	buf_init(&buf, *state);
	assert_string_equal(buf.data, "");
	for (int i = 0; i < 3000; i++) {
		buf_add(&buf, "ab");
		buf_add_char(&buf, 'c');
		buf_addf(&buf, "%d", i % 10);
		assert_int_equal(strlen(buf.data), buf.length);
	}
	assert_int_equal(buf.length, 12000);
	assert_memory_equal(buf.data + 11996, "abc9", 5);
	buf_clear(&buf);
	assert_string_equal(buf.data, "");
	buf_add_repeat(&buf, '-', 70000);
	buf_addf(&buf, "%70000s", "end");
	assert_int_equal(buf.length, 140000);
	assert_int_equal(strspn(buf.data, "-"), 70000);
	assert_string_equal(buf.data + 139997, "end");
	buf_clear(&buf);
	buf_add_bytes(&buf, "a\0b", 3);
	assert_int_equal(buf.length, 3);
	assert_memory_equal(buf.data, "a\0b", 4);
	buf_add_bytes(&buf, NULL, 0);
	assert_int_equal(buf.length, 3);
}

/* A line that fills what is left to the last byte must not lose its end. */
static void buf_formats_at_every_fill(void **state)
{
	for (size_t fill = 0; fill < 70; fill++) {
		struct buf buf;
		buf_init(&buf, *state);
		buf_add_repeat(&buf, 'x', fill);
		buf_addf(&buf, "%s", "0123456789");
		assert_int_equal(buf.length, fill + 10);
		assert_string_equal(buf.data + fill, "0123456789");
	}
}

struct coded {
	const char *bytes;
	size_t size;
	uint32_t code;
};

static void decodes_what_the_standard_calls_well_formed(void **state)
{
	(void)state;
	/* Borders of each row of the Unicode standard's table 3-7. */
	static const struct coded cases[] = {
		{ "\x7F", 1, 0x7F },
		{ "\xC2\x80", 2, 0x80 },         { "\xDF\xBF", 2, 0x7FF },
		{ "\xE0\xA0\x80", 3, 0x800 },    { "\xE0\xBF\xBF", 3, 0xFFF },
		{ "\xE1\x80\x80", 3, 0x1000 },   { "\xED\x9F\xBF", 3, 0xD7FF },
		{ "\xEE\x80\x80", 3, 0xE000 },   { "\xEF\xBF\xBF", 3, 0xFFFF },
		{ "\xF0\x90\x80\x80", 4, 0x10000 }, { "\xF4\x8F\xBF\xBF", 4, 0x10FFFF },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		uint32_t code;
		assert_int_equal(text_decode(cases[i].bytes, cases[i].size, &code), cases[i].size);
		assert_int_equal(code, cases[i].code);
		for (size_t cut = 1; cut < cases[i].size; cut++) {
			assert_int_equal(text_decode(cases[i].bytes, cut, &code), 1);
			assert_int_equal(code, 0xFFFD);
		}
	}
}

static void refuses_what_is_ill_formed(void **state)
{
	(void)state;
	static const char *const cases[] = {
		"\x80", "\xBF", "\xC0\x80", "\xC1\xBF",         /* stray, overlong in two */
		"\xE0\x80\x80", "\xE0\x9F\xBF",                 /* overlong in three */
		"\xF0\x80\x80\x80", "\xF0\x8F\xBF\xBF",         /* overlong in four */
		"\xED\xA0\x80", "\xED\xBF\xBF",                 /* surrogates */
		"\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF", /* beyond U+10FFFF */
		"\xE2\x82" "A", "\xF0\x9F\x98" "A", "\xC3" "A", /* not continued */
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		uint32_t code;
		assert_int_equal(text_decode(cases[i], strlen(cases[i]), &code), 1);
		assert_int_equal(code, 0xFFFD);
	}
}

static void every_code_point_survives(void **state)
{
	(void)state;
	for (uint32_t c = 0; c < 0x110000; c++) {
		char b[4];
		size_t n = c < 0x80 ? 1 : c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
		uint32_t code, rest = c;
		static const unsigned lead[] = { 0, 0, 0xC0, 0xE0, 0xF0 };
		for (size_t i = n; i-- > 1; rest >>= 6)
			b[i] = (char)(0x80 | (rest & 0x3F));
		b[0] = (char)(lead[n] | rest);
		bool surrogate = c >= 0xD800 && c < 0xE000;
		assert_int_equal(text_decode(b, n, &code), surrogate ? 1 : n);
		assert_int_equal(code, surrogate ? 0xFFFD : c);
	}
}

static void widths_follow_unicode(void **state)
{
	(void)state;
	/* Unicode 15.0 EastAsianWidth.txt and general categories. */
	static const struct { uint32_t code; int width; } cases[] = {
		{ 'a', 1 }, { ' ', 1 }, { 0x00E9, 1 }, { 0x03A9, 1 }, { 0xFFFD, 1 }, { 0x00AD, 1 },
		{ 0, 0 }, { '\t', 0 }, { 0x1B, 0 }, { 0x7F, 0 }, { 0x9F, 0 }, { 0xA0, 1 },
		{ 0x0301, 0 }, { 0x200D, 0 }, { 0xFE0F, 0 }, { 0x20DD, 0 }, { 0x0E31, 0 },
		{ 0x3042, 2 }, { 0x4E2D, 2 }, { 0xAC00, 2 }, { 0xFF21, 2 }, { 0x3000, 2 },
		{ 0x1F4A1, 2 }, { 0x1F527, 2 }, { 0x26A1, 2 }, { 0x20000, 2 },
		{ 0x303F, 1 }, { 0xFF61, 1 }, { 0x2603, 1 }, { 0x1F321, 1 },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
		if (text_char_width(cases[i].code) != cases[i].width)
			fail_msg("U+%04lX is not %d wide", (unsigned long)cases[i].code,
			         cases[i].width);
	static const char text[] = "e\xCC\x81\xE4\xB8\xAD" "b";
	assert_int_equal(text_width(text, strlen(text)), 4);
}

static void add_safe_disarms_terminals(void **state)
{
	static const struct { const char *in, *out; } cases[] = {
		{ "a\tb", "a b" },
		{ "\x1B[31mred", "\xEF\xBF\xBD[31mred" },
		{ "a\nb\rc\x7F", "a\xEF\xBF\xBD" "b\xEF\xBF\xBD" "c\xEF\xBF\xBD" },
		{ "\xC2\x9B" "31m", "\xEF\xBF\xBD" "31m" },                /* CSI as one C1 control */
		{ "\xE2\x80\xAE" "x\xE2\x81\xA6", "\xEF\xBF\xBDx\xEF\xBF\xBD" },  /* RLO, LRI */
		{ "\xFF\xC3\xA9", "\xEF\xBF\xBD\xC3\xA9" },
		{ "40 m\xCE\xA9 \xE2\x80\x8D", "40 m\xCE\xA9 \xE2\x80\x8D" },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		struct buf out;
		buf_init(&out, *state);
		text_add_safe(&out, cases[i].in, strlen(cases[i].in));
		assert_string_equal(out.data, cases[i].out);
	}
}

static const char *wrapped(struct arena *arena, const char *text, size_t column, size_t indent,
                           size_t width)
{
	struct buf out;
	buf_init(&out, arena);
	text_add_wrapped(&out, text, column, indent, width);
	return out.data;
}

static void folds_at_blanks(void **state)
{
	assert_string_equal(wrapped(*state, "", 0, 2, 10), "");
	assert_string_equal(wrapped(*state, "aaa bbb ccc", 0, 0, 11), "aaa bbb ccc");
	assert_string_equal(wrapped(*state, "aaa bbb ccc", 0, 0, 10), "aaa bbb\nccc");
	assert_string_equal(wrapped(*state, "aaa bbb ccc", 0, 2, 7), "aaa bbb\n  ccc");
	assert_string_equal(wrapped(*state, "aaa bbb ccc", 4, 4, 10), "aaa\n    bbb\n    ccc");
	assert_string_equal(wrapped(*state, "aaa  bbb", 0, 0, 5), "aaa\nbbb");
	assert_string_equal(wrapped(*state, "a\n\nb c", 0, 1, 3), "a\n\n b\n c");
	assert_string_equal(wrapped(*state, "long first", 8, 2, 10), "\n  long\n  first");
	/* A no-break space holds its words together. */
	assert_string_equal(wrapped(*state, "at 24\xC2\xA0V", 0, 0, 5), "at\n24\xC2\xA0V");
	/* What is wider than a line is broken, by columns and never inside a character. */
	assert_string_equal(wrapped(*state, "abcdefgh", 0, 0, 3), "abc\ndef\ngh");
	assert_string_equal(wrapped(*state, "\xE4\xB8\xAD\xE4\xB8\xAD\xE4\xB8\xAD", 0, 0, 5),
	                    "\xE4\xB8\xAD\xE4\xB8\xAD\n\xE4\xB8\xAD");
	assert_string_equal(wrapped(*state, "abc", 0, 4, 2), "ab\n    c");
}

static void folded_lines_keep_the_width(void **state)
{
	static const char text[] = "feed L2 from both ends: its dimmest point rises from 71 % to 93 %; "
	                           "the second cable is as long as the first one and the strip";
	for (size_t width = 12; width < 90; width++) {
		const char *line = wrapped(*state, text, 3, 3, width);
		for (size_t column = 3; *line; line += strcspn(line, "\n"), line += *line == '\n') {
			assert_true(column + strcspn(line, "\n") <= width);
			column = 0;
		}
	}
}

static void equal_texts(void **state)
{
	(void)state;
	char copy[] = "door";
	assert_true(text_equal(copy, "door"));
	assert_false(text_equal(copy, "Door"));
	assert_true(text_equal(NULL, NULL));
	assert_false(text_equal(NULL, ""));
	assert_false(text_equal("", NULL));
}

static const char *hint(struct arena *arena, const char *word, const char *const *offers)
{
	struct nearest nearest = nearest_to(word);
	for (; *offers; offers++)
		nearest_offer(&nearest, *offers);
	return nearest_hint(&nearest, arena);
}
#define HINT(word, ...) hint(*state, word, (const char *const[]){ __VA_ARGS__, NULL })

/* Distances counted by hand, as the definition of optimal string alignment says. */
static void nearest_names(void **state)
{
	assert_string_equal(HINT("pwoer", "power", "lower", "place"), "did you mean 'power'?");
	assert_string_equal(HINT("voltag", "voltage"), "did you mean 'voltage'?");
	assert_string_equal(HINT("LENGTH", "length"), "did you mean 'length'?");
	assert_string_equal(HINT("L3", "L1", "S1", "L2"), "did you mean 'L1' or 'L2'?");
	assert_string_equal(HINT("L9", "L1", "L1", "L2", "L3", "L4"),
	                    "did you mean 'L1', 'L2' or 'L3'?");
	assert_string_equal(HINT("L10", "L2", "L1", "L100"), "did you mean 'L1' or 'L100'?");
	/* "loop_resistence": one letter. "max_curent": one letter missing. */
	assert_string_equal(HINT("max_curent", "max_power", "max_current"),
	                    "did you mean 'max_current'?");
	/* Length 7 allows 2 (7 / 3), not 3. */
	assert_non_null(HINT("abcdefg", "abcdeXY"));
	assert_null(HINT("abcdefg", "abcdXYZ"));
	/* Length 3 allows 1: a swap is one, two substitutions are not. */
	assert_non_null(HINT("abc", "acb"));
	assert_null(HINT("abc", "axy"));
	/* The optimal string alignment of "ca" and "abc" is 3, where the unrestricted distance is 2. */
	assert_null(HINT("ca", "abc"));
	assert_null(HINT("x", "V", "A", "m"));
	assert_null(HINT("", "a"));
	assert_null(HINT("no", "nothing near"));
}

static void nearest_distance_is_kept(void **state)
{
	(void)state;
	struct nearest nearest = nearest_to("resistor");          /* 8 letters: up to 2 */
	assert_int_equal(nearest.distance, 2);
	nearest_offer(&nearest, "resitsro");                      /* two swaps */
	assert_int_equal(nearest.count, 1);
	assert_int_equal(nearest.distance, 2);
	nearest_offer(&nearest, "resistors");
	assert_int_equal(nearest.count, 1);
	assert_int_equal(nearest.distance, 1);
	nearest_offer(&nearest, "resitsro");
	assert_int_equal(nearest.count, 1);
	assert_string_equal(nearest.name[0], "resistors");
}

static void endless_words_have_no_neighbours(void **state)
{
	char *word = arena_alloc(*state, 100001);
	memset(word, 'a', 100000);
	assert_null(HINT(word, word, "a"));
	assert_null(HINT("aaaa", word));
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
		TEST(buf_grows_and_stays_terminated),
		TEST(buf_formats_at_every_fill),
		TEST(decodes_what_the_standard_calls_well_formed),
		TEST(refuses_what_is_ill_formed),
		TEST(every_code_point_survives),
		TEST(widths_follow_unicode),
		TEST(add_safe_disarms_terminals),
		TEST(folds_at_blanks),
		TEST(folded_lines_keep_the_width),
		TEST(equal_texts),
		TEST(nearest_names),
		TEST(nearest_distance_is_kept),
		TEST(endless_words_have_no_neighbours),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
