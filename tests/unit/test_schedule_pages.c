/* The schedule and the labels in every format, for every job in fixtures/jobs and for one whose texts
 * try to break out: JSON read back by jansson, CSV and HTML read by small readers of their own. */
#include "farend.h"

#include "base/text.h"
#include "report/html.h"

#include "support.h"

#include <glob.h>
#include <jansson.h>
#include <stdlib.h>

/* Names that would be markup, styles, formulas and bidirectional tricks where nobody took care. */
static const char hostile[] =
	"job: {name: \"</style><script>alert(1)</script> & \\\"q\\\" \\u202Eevil 😀\", revision: \"\\\\3c/style>\"}\n"
	"drivers: {D1: {voltage: 24 V, power: 60 W, place: \"<img src=x onerror=alert(1)>\"}}\n"
	"strips:\n"
	"  L1: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 1 m, place: \"=1+1,\\\"x\\\"\"}\n"
	"  L9: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 1 m}\n"
	"blocks: {B9: {ports: 1, max_current: 3 A, place: \"+1\"}}\n"
	"cables:\n"
	"  -C1: {from: D1, to: L1, length: 1 m, size: 18 AWG, colour: \"@sum(A1)\"}\n"
	"  C9: {from: B9, to: L9, length: 1 m, size: 0.5 mm2}\n";

static void each_job(void (*body)(struct farend_job *job))
{
	struct farend_job *job;
	glob_t found;
	assert_int_equal(glob("fixtures/jobs/*.yaml", 0, NULL, &found), 0);
	assert_true(found.gl_pathc > 0);
	for (size_t i = 0; i <= found.gl_pathc; i++) {
		enum farend_status status = i < found.gl_pathc
			? farend_read(found.gl_pathv[i], &job)
			: farend_read_text("hostile.yaml", hostile, strlen(hostile), &job);
		assert_int_equal(status, FAREND_OK);
		assert_int_equal(farend_check(job), FAREND_OK);
		body(job);
		farend_free(job);
	}
	globfree(&found);
}

static const char *rendered(struct farend_job *job, enum farend_result result, enum farend_format format)
{
	struct farend_text text;
	assert_int_equal(farend_render(job, result, format, NULL, &text), FAREND_OK);
	assert_int_equal(text.size, strlen(text.bytes));
	return text.bytes;
}

static json_t *parsed(struct farend_job *job, enum farend_result result)
{
	json_error_t error;
	json_t *json = json_loads(rendered(job, result, FAREND_JSON), JSON_REJECT_DUPLICATES, &error);
	if (json == NULL)
		fail_msg("line %d: %s", error.line, error.text);
	return json;
}

static const char *word(json_t *object, const char *key)
{
	return json_string_value(json_object_get(object, key));
}

/* One cell of RFC 4180, unquoted, into `cell`; returns what follows it: a comma, a newline or the end. */
static const char *csv_cell(const char *at, char *cell, size_t size)
{
	bool quoted = *at == '"';
	size_t used = 0;
	for (at += quoted; *at != '\0'; at++) {
		if (quoted && *at == '"' && *++at != '"')
			break;
		if (!quoted && strchr(",\n", *at) != NULL)
			break;
		assert_true(used + 1 < size);
		cell[used++] = *at;
	}
	cell[used] = '\0';
	assert_true(*at == ',' || *at == '\n');
	return at;
}

#define CELLS 64

/* A line of cells; returns the next line. *count is how many there are. */
static const char *csv_line(const char *at, char cells[CELLS][512], size_t *count)
{
	*count = 0;
	for (;;) {
		assert_true(*count < CELLS);
		at = csv_cell(at, cells[(*count)++], 512);
		if (*at++ == '\n')
			return at;
	}
}

static size_t column(char cells[CELLS][512], size_t count, const char *name)
{
	for (size_t c = 0; c < count; c++)
		if (strcmp(cells[c], name) == 0)
			return c;
	fail_msg("there is no column '%s'", name);
	return 0;
}

/* One header, as many cells in every line, each cable on one line in the order of the JSON, and the same
 * figures. */
static void assert_csv_fits(struct farend_job *job)
{
	static char head[CELLS][512], cells[CELLS][512];
	size_t columns, count, rows = 0;
	json_t *json = parsed(job, FAREND_SCHEDULE), *cables = json_object_get(json, "cables");
	const char *at = csv_line(rendered(job, FAREND_SCHEDULE, FAREND_CSV), head, &columns);
	assert_string_equal(head[0], "item");
	assert_string_equal(head[1], "kind");
	while (*at != '\0') {
		at = csv_line(at, cells, &count);
		assert_int_equal(count, columns);
		for (size_t c = 0; c < count; c++)
			assert_true(strchr("=+@", cells[c][0]) == NULL || cells[c][0] == '\0');
		if (strcmp(cells[1], "cable") != 0)
			continue;
		json_t *cable = json_array_get(cables, rows++);
		const char *id = cells[0] + (cells[0][0] == '\'');     /* guarded: it begins with '-' */
		assert_string_equal(id, word(cable, "id"));
		assert_string_equal(cells[column(head, columns, "from")], word(cable, "from"));
		assert_string_equal(cells[column(head, columns, "to")], word(cable, "to"));
		if (json_is_number(json_object_get(cable, "expected_v")))
			assert_near(atof(cells[column(head, columns, "expected_v")]),
			            json_number_value(json_object_get(cable, "expected_v")), 1e-11, 0);
	}
	assert_int_equal(rows, json_array_size(cables));
	json_decref(json);
}

static void test_csv_has_a_line_for_each_cable(void **state)
{
	(void)state;
	each_job(assert_csv_fits);
}

/* Against the JSON of `check`: the same figures, seen from the driver's end. */
static void assert_json_fits(struct farend_job *job)
{
	json_t *json = parsed(job, FAREND_SCHEDULE), *check = parsed(job, FAREND_CHECK), *cable;
	json_t *judged = json_object_get(check, "cables");
	size_t i;
	assert_string_equal(word(json, "command"), "schedule");
	assert_string_equal(word(json, "verdict"), word(check, "verdict"));
	assert_int_equal(json_array_size(json_object_get(json, "cables")), json_object_size(judged));
	json_array_foreach(json_object_get(json, "cables"), i, cable) {
		json_t *same = json_object_get(judged, word(cable, "id"));
		double v = json_number_value(json_object_get(cable, "expected_v"));
		double from = json_number_value(json_object_get(same, "v_from"));
		double to = json_number_value(json_object_get(same, "v_to"));
		if (!json_is_number(json_object_get(same, "v_to"))) {
			assert_true(json_is_null(json_object_get(cable, "expected_v")));
			continue;
		}
		assert_near(v, fmin(from, to), 1e-11, 0);      /* no loop here feeds backwards */
		assert_near(json_number_value(json_object_get(cable, "drop_v")), fabs(from - to), 0, 2e-10);
		assert_true(json_number_value(json_object_get(cable, "expected_low_v")) <= v + 1e-9);
		assert_true(json_number_value(json_object_get(cable, "expected_high_v")) >= v - 1e-9);
	}
	json_decref(json);
	json_decref(check);
}

static void test_json_agrees_with_check(void **state)
{
	(void)state;
	each_job(assert_json_fits);
}

static void assert_narrow(struct farend_job *job)
{
	const char *at = rendered(job, FAREND_SCHEDULE, FAREND_TEXT);
	while (*at != '\0') {
		size_t length = strcspn(at, "\n");
		assert_true(text_width(at, length) <= 80);
		at += length + 1;
	}
}

static void test_text_fits_the_page(void **state)
{
	(void)state;
	each_job(assert_narrow);
}

static bool one_of(const char *const *words, const char *word, size_t length)
{
	for (; *words != NULL; words++)
		if (strlen(*words) == length && strncmp(*words, word, length) == 0)
			return true;
	return false;
}

struct tags {
	const char *open[32];
	size_t length[32], depth;
};

static void open_tag(struct tags *tags, const char *name, size_t length)
{
	static const char *const void_names[] = { "meta", "br", NULL };
	if (one_of(void_names, name, length))
		return;
	assert_true(tags->depth < 32);
	tags->open[tags->depth] = name;
	tags->length[tags->depth++] = length;
}

static void close_tag(struct tags *tags, const char *name, size_t length)
{
	assert_true(tags->depth-- > 0);
	assert_int_equal(tags->length[tags->depth], length);
	assert_memory_equal(tags->open[tags->depth], name, length);
}

/* Attributes of a tag, from behind its name on: only such as load and run nothing. */
static void assert_harmless(const char *at)
{
	static const char *const allowed[] = { "lang", "charset", "name", "content", "class", "id", "scope",
	                                       "colspan", "data-label", NULL };
	while (*at == ' ') {
		size_t length = strcspn(++at, "=");
		assert_true(one_of(allowed, at, length));
		at += length;
		assert_memory_equal(at, "=\"", 2);
		at = strchr(at + 2, '"') + 1;
	}
	assert_int_equal(*at, '>');
}

/* Every element is one of those that are meant, closed where it was opened; the style loads nothing. */
static void assert_sound_html(const char *html)
{
	static const char *const allowed[] = { "html", "head", "meta", "title", "style", "body", "header", "main",
	                                       "section", "h1", "h2", "h3", "p", "dl", "dt", "dd", "div", "ul",
	                                       "ol", "li", "span", "strong", "br", "table", "caption", "thead",
	                                       "tbody", "tr", "th", "td", NULL };
	struct tags tags = { .depth = 0 };
	const char *style_end = strstr(html, "</style>");
	const char *import = strstr(html, "@import"), *url = strstr(html, "url(");
	assert_memory_equal(html, "<!DOCTYPE html>\n<html lang=\"en\">", 31);
	assert_true(import == NULL || import > style_end);
	assert_true(url == NULL || url > style_end);
	for (const char *at = html + 15; (at = strchr(at, '<')) != NULL; at++) {
		bool closing = at[1] == '/';
		const char *name = at + 1 + closing;
		size_t length = strspn(name, "abcdefghijklmnopqrstuvwxyz123456789");
		assert_true(one_of(allowed, name, length));
		if (closing) {
			close_tag(&tags, name, length);
		} else {
			assert_harmless(name + length);
			open_tag(&tags, name, length);
		}
	}
	assert_int_equal(tags.depth, 0);
}

static void assert_pages_sound(struct farend_job *job)
{
	json_t *json = parsed(job, FAREND_CHECK), *item;
	const char *html = rendered(job, FAREND_SCHEDULE, FAREND_HTML);
	const char *const kinds[] = { "drivers", "strips", "cables", "switches", "blocks" };
	const char *id;
	assert_sound_html(html);
	assert_sound_html(rendered(job, FAREND_LABELS, FAREND_HTML));
	for (size_t k = 0; k < 5; k++)
		json_object_foreach(json_object_get(json, kinds[k]), id, item)
			if (strstr(html, id) == NULL)
				fail_msg("%s is missing", id);
	json_decref(json);
}

static void test_html_stands_on_its_own(void **state)
{
	(void)state;
	each_job(assert_pages_sound);
}

/* One for either end. */
static void assert_two_labels(struct farend_job *job)
{
	static char cells[CELLS][512];
	json_t *json = parsed(job, FAREND_SCHEDULE), *cable;
	const char *at = rendered(job, FAREND_LABELS, FAREND_CSV);
	size_t count, i;
	at = csv_line(at, cells, &count);
	assert_string_equal(cells[1], "end");
	json_array_foreach(json_object_get(json, "cables"), i, cable) {
		at = csv_line(at, cells, &count);
		assert_string_equal(cells[0] + (cells[0][0] == '\''), word(cable, "id"));
		assert_string_equal(cells[1], word(cable, "from"));
		assert_string_equal(cells[2], word(cable, "to"));
		at = csv_line(at, cells, &count);
		assert_string_equal(cells[1], word(cable, "to"));
		assert_string_equal(cells[2], word(cable, "from"));
	}
	assert_string_equal(at, "");
	json_decref(json);
}

static void test_labels_are_two_for_each_cable(void **state)
{
	(void)state;
	each_job(assert_two_labels);
}

/* HTML Living Standard, 13.1.4 and 13.1.2.3; noncharacters by 3.2.5 of the Infra standard, from memory. */
static void test_texts_are_escaped(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct buf out;
	buf_init(&out, arena);
	html_add(&out, "<a href=\"x\">&amp;'\x01\xE2\x80\xAE\xFF\xEF\xBF\xBF\xEF\xB7\x90\xC3\xA9");
	assert_string_equal(out.data, "&lt;a href=&quot;x&quot;&gt;&amp;amp;&#39;"
	                    "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xC3\xA9");
	buf_clear(&out);
	html_add(&out, NULL);
	assert_string_equal(out.data, "");
	html_element(&out, "p class=\"x\"", "a<b");
	assert_string_equal(out.data, "<p class=\"x\">a&lt;b</p>\n");
	arena_free(arena);
}

/* In a style sheet references do not count: a name must not end the string or the element. */
static void test_names_cannot_leave_the_style_sheet(void **state)
{
	(void)state;
	struct farend_job *job;
	assert_int_equal(farend_read_text("hostile.yaml", hostile, strlen(hostile), &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	const char *html = rendered(job, FAREND_SCHEDULE, FAREND_HTML);
	const char *style = strstr(html, "<style>"), *end = strstr(html, "</style>");
	assert_non_null(style);
	assert_null(strstr(end + 1, "</style>"));
	assert_non_null(strstr(style, "content:\"\\3c \\2f style\\3e \\3c script\\3e alert"));
	assert_true(strstr(style, "@bottom-right") < end);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_csv_has_a_line_for_each_cable),
		cmocka_unit_test(test_json_agrees_with_check),
		cmocka_unit_test(test_text_fits_the_page),
		cmocka_unit_test(test_html_stands_on_its_own),
		cmocka_unit_test(test_labels_are_two_for_each_cable),
		cmocka_unit_test(test_texts_are_escaped),
		cmocka_unit_test(test_names_cannot_leave_the_style_sheet),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
