/* `verify` for people and for spreadsheets: widths, words, one table. */
#include "verify_support.h"

#include "base/text.h"
#include "report/verify.h"

#include <csv.h>

static const char hostile[] =
	"item,length (mm),volts,note\n"
	"L5,3400,,\"=HYPERLINK(\"\"x\"\")\"\n"
	"L5.start,,11.1,\"\xE2\x80\xAE turned, and a note that is far too long for the few columns that a page "
	"has left beside the figures\"\n"
	"L5.end,,11.3,@x\nL6.end,,11.69,\n";

static void assert_lines_fit(const char *text, size_t width)
{
	while (*text != '\0') {
		size_t length = strcspn(text, "\n");
		if (text_width(text, length) > width)
			fail_msg("wider than %zu columns: %.*s", width, (int)length, text);
		if (length > 0)
			assert_int_not_equal(text[length - 1], ' ');
		text += length + (text[length] == '\n');
	}
}

static void test_text_fits_the_page(void **state)
{
	(void)state;
	char *path = built_file(hostile);
	struct farend_job *jobs[] = { verified(DEMO_JOB, DEMO_BUILT, NULL), verified(DEMO_JOB, path, NULL) };
	unlink(path);
	for (size_t i = 0; i < 2; i++) {
		for (size_t width = 80; width <= 120; width += 8) {
			const char *text = rendered(jobs[i], FAREND_TEXT, width).bytes;
			assert_lines_fit(text, width);
			assert_null(strstr(text, "\xE2\x80\xAE"));
		}
		farend_free(jobs[i]);
	}
}

static void test_text_names_the_joint(void **state)
{
	(void)state;
	struct farend_job *job = verified(DEMO_JOB, DEMO_BUILT, NULL);
	const char *text = rendered(job, FAREND_TEXT, 1000).bytes;
	assert_says(text, "Most likely: the joint of C4 at L2.start, about 1.6");
	assert_says(text, " 1. The joint of C4 at L2.start: about 1.6");
	assert_says(text, " explains both readings that disagree within 0.0");
	assert_says(text, "These readings cannot tell it from the joint of C4 at B1; cable C4.");
	assert_says(text, "open the clip");
	assert_says(text, "With it, L2's dimmest point is ");
	assert_says(text, "outside");
	assert_says(text, "Before you build");
	farend_free(job);
}

/* Readings that no single fault gives are not said to be explained by one. */
static void test_words_for_what_is_left_open(void **state)
{
	(void)state;
	struct site *s = open_site(ONE(""), ONE(""));
	add_volts(s, "D1", 60);
	add_volts(s, "L1.start", 60);
	verify(s);
	assert_int_equal(s->out.diagnosis.suspect_count, 0);
	struct buf text;
	buf_init(&text, s->arena);
	verify_text(&text, &s->out, &(struct style){ .width = 1000 });
	assert_says(text.data, "Find out what is wrong before closing up: 2 of 2 readings do not fit");
	assert_says(text.data, "No one fault does.");
	assert_null(strstr(text.data, "Most likely"));
	arena_free(s->arena);
}

/* Two faults: one of them comes near, and what it leaves is said. */
static void test_words_for_one_of_two_faults(void **state)
{
	(void)state;
	char *path = built_file("item,volts\nD1,12.00\nL1.start,11.83\nL2.start,11.46\nL2.end,11.43\n"
	                        "L3.start,11.81\nL6.start,11.70\nL7.start,11.30\nL7.end,11.29\n");
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	unlink(path);
	const char *text = rendered(job, FAREND_TEXT, 1000).bytes;
	assert_says(text, "No one fault explains them all; nearest comes: the joint of C");
	assert_says(text, "explains two of the four readings that disagree; up to 0.");
	assert_null(strstr(text, "Most likely"));
	farend_free(job);
}

/* The verdict of a caution does not say that things work where that is not known. */
static void test_words_for_what_is_off(void **state)
{
	static const struct { const char *built, *words, *not_said; } cases[] = {
		{ "item,volts\nD1,0\nL5.end,0\n",
		  "D1 seems to have been switched off, tripped or not connected when this was read.", "entered" },
		{ "item,volts\nD1,0\nL5.end,0\n", "Its mains side, fuse and wall switch too, is the electrician's.",
		  "own low-voltage terminals" },
		{ "item,volts\nD1,8\nB1,7.95\nL5.end,7.95\nL7.end,7.95\n", "made for another voltage, or overloaded",
		  "trimmer" },
		{ "item,volts\nD1,3\nB1,3\nL5.end,3\nL7.end,3\n", "made for another voltage, or overloaded",
		  "trimmer" },
		{ "item,volts\nL1.end,0\nL5.end,0\n", "Where a driver's own low-voltage terminals", "joint of" },
		{ "item,volts\nD1,0\nL5.end,0\n", "Measure again with everything on: 2 of 2 readings do not fit",
		  "It works" },
		{ "item,volts\nD1,12\nL1.end,12.9\nL5.end,11.5\nL7.end,11.7\n", "only the reading at L1.end does not",
		  "It works" },
		{ "item,volts\nD1,11.51\nL1.end,11.83\nL5.end,12\nL7.end,11.7\n",
		  "if the readings at D1 and L5.end are exchanged", "joint of" },
		{ "item,volts\nD1,12.0\nL1.start,0\nL2.start,0\nB1,0\nL5.end,11.51\nL6.start,11.7\n",
		  "was it on? If not, write S1=off", "data sheet" },
	};
	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		char *path = built_file(cases[i].built);
		struct farend_job *job = verified(DEMO_JOB, path, NULL);
		unlink(path);
		const char *text = rendered(job, FAREND_TEXT, 1000).bytes;
		assert_says(text, cases[i].words);
		if (strstr(text, cases[i].not_said) != NULL)
			fail_msg("'%s' is in:\n%s", cases[i].not_said, text);
		assert_lines_fit(rendered(job, FAREND_TEXT, 80).bytes, 80);
		farend_free(job);
	}
}

struct table { size_t rows, cells, width; bool formula; };

static void on_cell(void *bytes, size_t size, void *data)
{
	struct table *table = data;
	const char *text = bytes;
	table->cells++;
	table->formula = table->formula || (size > 0 && strchr("=@", text[0]) != NULL);
}

static void on_row(int end, void *data)
{
	struct table *table = data;
	(void)end;
	if (table->rows++ == 0)
		table->width = table->cells;
	assert_int_equal(table->cells, table->width);
	table->cells = 0;
}

/* One table: as many cells in every row, and nothing that a spreadsheet would run. */
static void test_csv_is_one_table(void **state)
{
	(void)state;
	char *path = built_file(hostile);
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	unlink(path);
	struct farend_text text = rendered(job, FAREND_CSV, 80);
	struct csv_parser parser;
	struct table table = { .rows = 0 };
	assert_int_equal(csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI), 0);
	assert_int_equal(csv_parse(&parser, text.bytes, text.size, on_cell, on_row, &table), text.size);
	assert_int_equal(csv_fini(&parser, on_cell, on_row, &table), 0);
	csv_free(&parser);
	assert_int_equal(table.width, 12);
	/* header; 3 readings; D1 2, strips 4 each, cables 3 each, switches and blocks 2 each */
	assert_int_equal(table.rows, 1 + 3 + 2 + 7 * 4 + 14 * 3 + 3 * 2 + 3 * 2);
	assert_false(table.formula);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_text_fits_the_page),
		cmocka_unit_test(test_text_names_the_joint),
		cmocka_unit_test(test_words_for_what_is_left_open),
		cmocka_unit_test(test_words_for_one_of_two_faults),
		cmocka_unit_test(test_words_for_what_is_off),
		cmocka_unit_test(test_csv_is_one_table),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
