/* `check` as text and as CSV: the page fits its columns, nothing of the file reaches the terminal or a
 * spreadsheet as a command, colour changes nothing but colour. libcsv reads the CSV back. */
#include "farend.h"

#include "base/text.h"

#include "support.h"

#include <csv.h>
#include <stdio.h>
#include <stdlib.h>

#define TYPES "strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, " \
	"loop_resistance: 0.1 ohm/m, led_knee: 12 V}}\n"

/* Texts that hurt, as YAML double-quoted scalars, and an id as long as ids may be. */
static char *hostile_job(void)
{
	char id[65];
	char *text = malloc(4096);
	assert_non_null(text);
	memset(id, 'k', 64);
	id[64] = '\0';
	snprintf(text, 4096,
	         "job: {name: \"\\u202E reversed\"}\n" TYPES
	         "strips:\n"
	         "  %s: {type: warm, length: 1 m, place: \"=HYPERLINK(\\\"x\\\")\"}\n"
	         "  L2: {type: warm, length: 1 m, place: \"a,b \\\"quoted\\\"\"}\n"
	         "  L3: {type: warm, length: 1 m, place: \"@two\\nlines\"}\n"
	         "drivers: {D1: {voltage: 24 V, power: 20 W}}\n"
	         "blocks: {B1: {ports: 2, max_current: 6 A, place: \"+1\"}}\n"
	         "cables:\n"
	         "  C1: {from: B1, to: D1, size: 1 mm2, length: 1 m, place: \"-1\"}\n"
	         "  C2: {from: B1, to: %s, size: 1 mm2, length: 1 m}\n"
	         "  C3: {from: B1, to: L2, size: 1 mm2, length: 1 m}\n"
	         "  C4: {from: B1, to: L3, size: 1 mm2, length: 1 m}\n", id, id);
	return text;
}

static struct farend_job *checked(const char *text)
{
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", text, strlen(text), &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	return job;
}

static struct farend_text rendered(struct farend_job *job, enum farend_format format, bool colour,
                                   size_t width)
{
	struct farend_style style = { .colour = colour, .width = width };
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_CHECK, format, &style, &text), FAREND_OK);
	assert_int_equal(strlen(text.bytes), text.size);
	return text;
}

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
	char *hostile = hostile_job();
	struct farend_job *jobs[] = { checked(hostile), checked(farend_starter().bytes) };
	for (size_t i = 0; i < 2; i++) {
		for (size_t width = 76; width <= 120; width += 4)
			assert_lines_fit(rendered(jobs[i], FAREND_TEXT, false, width).bytes, width);
		farend_free(jobs[i]);
	}
	free(hostile);
}

static void test_text_is_safe_for_a_terminal(void **state)
{
	(void)state;
	char *hostile = hostile_job();
	struct farend_job *job = checked(hostile);
	struct farend_text text = rendered(job, FAREND_TEXT, false, 80);
	for (size_t i = 0; i < text.size; i++)
		assert_true((unsigned char)text.bytes[i] >= 0x20 || text.bytes[i] == '\n');
	assert_null(strstr(text.bytes, "\xE2\x80\xAE"));
	assert_non_null(strstr(text.bytes, "@two lines"));
	farend_free(job);
	free(hostile);
}

/* Drops "ESC [ … m". */
static char *without_colour(const char *text)
{
	char *plain = malloc(strlen(text) + 1), *end = plain;
	assert_non_null(plain);
	while (*text != '\0') {
		if (*text == '\x1b')
			text += strcspn(text, "m") + 1;
		else
			*end++ = *text++;
	}
	*end = '\0';
	return plain;
}

static void test_colour_is_only_colour(void **state)
{
	(void)state;
	char *hostile = hostile_job();
	struct farend_job *job = checked(hostile);
	struct farend_text plain = rendered(job, FAREND_TEXT, false, 80);
	struct farend_text coloured = rendered(job, FAREND_TEXT, true, 80);
	char *stripped = without_colour(coloured.bytes);
	assert_true(coloured.size > plain.size);
	assert_string_equal(stripped, plain.bytes);
	free(stripped);
	farend_free(job);
	free(hostile);
}

/* The verdict and the key figures come first, the cautions last. */
static void test_text_order(void **state)
{
	(void)state;
	struct farend_job *job = checked(farend_starter().bytes);
	struct farend_text text = rendered(job, FAREND_TEXT, false, 0);
	static const char *const parts[] = {
		"Boot room and pantry, three bays\n", "All right to build.\n", "Dimmest point: ", "What to do\n",
		"\nStrips\n", "\nCables\n", "\nDrivers\n", "\nSwitches\n", "\nJunction blocks\n", "\nSolved: ",
		"\nBefore you build\n", "licensed electrician", "damp zones",
	};
	const char *at = text.bytes;
	for (size_t i = 0; i < sizeof(parts) / sizeof(parts[0]); i++) {
		const char *found = strstr(at, parts[i]);
		if (found == NULL)
			fail_msg("'%s' is missing or out of order", parts[i]);
		at = found;
	}
	farend_free(job);
}

struct csv_reading {
	size_t cells, rows;          /* cells of this row so far */
	size_t bare_formulas, guarded, negative;
};

static void on_cell(void *bytes, size_t length, void *data)
{
	struct csv_reading *reading = data;
	const char *cell = bytes;
	char *end;
	reading->cells++;
	if (length == 0)
		return;
	(void)strtod(cell, &end);
	bool number = end == cell + length;
	reading->negative += number && cell[0] == '-';
	reading->bare_formulas += !number && strchr("=+-@\t\r", cell[0]) != NULL;
	reading->guarded += length > 1 && cell[0] == '\'' && strchr("=+-@\t\r", cell[1]) != NULL;
}

static void on_row(int end, void *data)
{
	struct csv_reading *reading = data;
	(void)end;
	assert_true(reading->cells >= 2);
	reading->rows++;
	reading->cells = 0;
}

static struct csv_reading read_csv(const char *text, size_t size)
{
	struct csv_reading reading = { 0 };
	struct csv_parser parser;
	assert_int_equal(csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL), 0);
	assert_int_equal(csv_parse(&parser, text, size, on_cell, on_row, &reading), size);
	assert_int_equal(csv_fini(&parser, on_cell, on_row, &reading), 0);
	csv_free(&parser);
	return reading;
}

/* Bytes of the first row, and its cells; line ends and commas inside quotes are data. */
static size_t row_length(const char *text, size_t *cells)
{
	bool quoted = false;
	size_t length = 0;
	*cells = 1;
	for (; text[length] != '\0' && (quoted || text[length] != '\n'); length++) {
		quoted = quoted != (text[length] == '"');
		*cells += !quoted && text[length] == ',';
	}
	return length;
}

/* Blocks are set apart by an empty line; every row of one has as many cells as its header. */
static void assert_blocks_even(const char *text)
{
	size_t wanted = 0, cells, blocks = 0;
	while (*text != '\0') {
		size_t length = row_length(text, &cells);
		if (length > 0 && wanted == 0) {
			assert_int_equal(strncmp(text, "kind,", 5), 0);
			blocks++;
			wanted = cells;
		}
		assert_int_equal(length > 0 ? cells : wanted, wanted);
		wanted = length > 0 ? wanted : 0;
		text += length + (text[length] == '\n');
	}
	assert_int_equal(blocks, 6);
}

static void test_csv(void **state)
{
	(void)state;
	char *hostile = hostile_job();
	struct farend_job *job = checked(hostile);
	struct farend_text text = rendered(job, FAREND_CSV, false, 0);
	struct csv_reading reading = read_csv(text.bytes, text.size);
	assert_true(reading.rows > 6 + 10);      /* six headers, ten items, findings */
	assert_int_equal(reading.bare_formulas, 0);
	assert_int_equal(reading.guarded, 4);    /* =HYPERLINK, @two, +1, -1 */
	assert_true(reading.negative > 0);       /* C1 is written against its current */
	assert_non_null(strstr(text.bytes, "\"a,b \"\"quoted\"\"\""));
	assert_null(strchr(text.bytes, '\r'));
	assert_blocks_even(text.bytes);
	farend_free(job);
	free(hostile);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_text_fits_the_page),
		cmocka_unit_test(test_text_is_safe_for_a_terminal),
		cmocka_unit_test(test_colour_is_only_colour),
		cmocka_unit_test(test_text_order),
		cmocka_unit_test(test_csv),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
