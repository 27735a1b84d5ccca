/* `size` as text, JSON and CSV, and the copy, through the public interface: every key is there, the
 * page fits, the verdict is that of what was proposed, and what cannot pass says so. */
#include "farend.h"

#include "base/text.h"

#include "support.h"

#include <csv.h>
#include <jansson.h>
#include <stdio.h>

static const char spoilt[] =
	"job: {name: \"one \\\"long\\\" shelf\"}\n"
	"strip_types: {warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, loop_resistance: 0.11 ohm/m, "
	"led_knee: 16.5 V, mount: aluminium}}\n"
	"drivers:\n"
	"  D1: {voltage: 24 V, power: 60 W}   # too small\n"
	"blocks: {B1: {ports: 4, max_current: 6 A}}\n"
	"strips:\n"
	"  L1: {type: warm, length: 8 m, place: =back}\n"
	"  L2: {type: warm, length: 1 m}\n"
	"cables:\n"
	"  C1: {size: 0.5 mm2, from: D1, to: B1, length: 4 m}\n"
	"  C2: {size: 0.5 mm2, from: B1, to: L1, length: 500 mm}\n"
	"  C3: {size: 0.5 mm2, from: B1, to: L2, length: 500 mm}\n";

/* 4 V below nominal: no cable gives the light back. */
static const char hopeless[] =
	"strip_types: {warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, led_knee: 16.5 V}}\n"
	"drivers: {D1: {voltage: 24 V, set_voltage: 20 V, power: 60 W}}\n"
	"strips: {L1: {type: warm, length: 1 m}}\n"
	"cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 500 mm}}\n";

static struct farend_job *sized(const char *text)
{
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", text, strlen(text), &job), FAREND_OK);
	assert_int_equal(farend_size(job), FAREND_WRONG_CALL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_size_verdict(job), FAREND_VERDICT_FAIL);
	assert_int_equal(farend_size(job), FAREND_OK);
	return job;
}

static struct farend_text rendered(struct farend_job *job, enum farend_format format, bool colour,
                                   size_t width)
{
	struct farend_style style = { .colour = colour, .width = width };
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_SIZE, format, &style, &text), FAREND_OK);
	assert_int_equal(strlen(text.bytes), text.size);
	return text;
}

static json_t *as_json(struct farend_job *job)
{
	json_error_t error;
	struct farend_text text = rendered(job, FAREND_JSON, false, 0);
	json_t *json = json_loadb(text.bytes, text.size, JSON_REJECT_DUPLICATES, &error);
	if (json == NULL)
		fail_msg("line %d: %s", error.line, error.text);
	return json;
}

/* Keys in order; "|" separates them. */
static void assert_keys(json_t *object, const char *keys)
{
	char found[512] = "";
	const char *name;
	json_t *value;
	assert_true(json_is_object(object));
	json_object_foreach(object, name, value)
		snprintf(found + strlen(found), sizeof(found) - strlen(found), "%s|", name);
	assert_string_equal(found, keys);
}

static json_t *member(json_t *json, const char *group, const char *id)
{
	return json_object_get(json_object_get(json, group), id);
}

static const char *text_of(json_t *object, const char *key)
{
	return json_string_value(json_object_get(object, key));
}

static double number_of(json_t *object, const char *key)
{
	assert_true(json_is_number(json_object_get(object, key)));
	return json_number_value(json_object_get(object, key));
}

/* 86.4 W / 0.8 = 108 W: the next driver of the ladder is 120 W. 8 m from one end is too long for this strip
 * whatever the cable: w l^2 r / (2 V) alone is 1.41 V, 5.9 % of 24 V. */
static void test_json(void **state)
{
	(void)state;
	struct farend_job *job = sized(spoilt);
	json_t *json = as_json(job), *options;
	assert_keys(json, "farend|format|command|verdict|job|drivers|cables|strips|added|moved|longest_run|stuck|"
	            "optimal|copy|assumed|findings|cautions|");
	assert_string_equal(text_of(json, "command"), "size");
	assert_string_equal(text_of(json, "verdict"), "ok");
	assert_keys(member(json, "drivers", "D1"), "now_w|proposed_w|proposed_part|why|split|");
	assert_near(number_of(member(json, "drivers", "D1"), "now_w"), 60, 0, 0);
	assert_near(number_of(member(json, "drivers", "D1"), "proposed_w"), 120, 0, 0);
	assert_keys(member(json, "cables", "C1"), "now|proposed|why|fuse_now_a|fuse_proposed_a|");
	assert_string_equal(text_of(member(json, "cables", "C1"), "now"), "0.5 mm2");
	assert_string_not_equal(text_of(member(json, "cables", "C1"), "proposed"), "0.5 mm2");
	assert_true(json_is_null(json_object_get(member(json, "cables", "C1"), "fuse_now_a")));
	assert_keys(member(json, "strips", "L1"), "now|proposed|why|options|");
	assert_string_equal(text_of(member(json, "strips", "L1"), "proposed"), "both ends");
	options = json_object_get(member(json, "strips", "L1"), "options");
	assert_int_equal(json_array_size(options), 5);
	assert_keys(json_array_get(options, 0), "feed|light_min|drop|passes|");
	assert_keys(json_array_get(options, 4), "feed|runs|light_min|drop|passes|");
	assert_true(json_is_false(json_object_get(json_array_get(options, 0), "passes")));
	assert_int_equal(json_array_size(json_object_get(json, "added")), 1);
	assert_keys(json_array_get(json_object_get(json, "added"), 0), "id|from|to|length_m|size|like|");
	/* as long as the present feed and the strip together */
	assert_near(number_of(json_array_get(json_object_get(json, "added"), 0), "length_m"), 8.5, 0, 1e-9);
	assert_keys(json_array_get(json_object_get(json, "longest_run"), 0),
	            "strip_type|like|one_end_m|both_ends_m|middle_m|");
	assert_true(json_is_array(json_object_get(json, "moved")));
	assert_int_equal(json_array_size(json_object_get(json, "stuck")), 0);
	assert_true(json_is_boolean(json_object_get(json, "optimal")));
	assert_true(json_is_null(json_object_get(json, "copy")));
	assert_int_equal(farend_size_verdict(job), FAREND_VERDICT_OK);
	json_decref(json);
	farend_free(job);
}

static void test_text(void **state)
{
	(void)state;
	struct farend_job *job = sized(spoilt);
	static const char *const parts[] = {
		" shelf\n", "Order this: with the changes below it passes every check.\n", "\nWhat changes\n",
		"driver D1", "strip L1", "cable C2b", "\nHow each strip can be fed", "\nLongest run that passes",
		"\nHow sure\n", "common practice", "\nAssumed, not given\n", "\nBefore you build\n",
		"licensed electrician",
	};
	const char *at = rendered(job, FAREND_TEXT, false, 80).bytes;
	for (size_t i = 0; i < sizeof(parts) / sizeof(parts[0]); i++) {
		const char *found = strstr(at, parts[i]);
		if (found == NULL)
			fail_msg("'%s' is missing or out of order in\n%s", parts[i], at);
		at = found;
	}
	for (size_t width = 76; width <= 120; width += 4)
		for (at = rendered(job, FAREND_TEXT, false, width).bytes; *at != '\0'; at += at[0] == '\n') {
			size_t length = strcspn(at, "\n");
			if (text_width(at, length) > width)
				fail_msg("wider than %zu columns: %.*s", width, (int)length, at);
			at += length;
		}
	struct farend_text plain = rendered(job, FAREND_TEXT, false, 80);
	for (size_t i = 0; i < plain.size; i++)
		assert_true((unsigned char)plain.bytes[i] >= 0x20 || plain.bytes[i] == '\n');
	assert_true(rendered(job, FAREND_TEXT, true, 80).size > plain.size);
	farend_free(job);
}

static void test_sound_job_needs_nothing(void **state)
{
	(void)state;
	struct farend_job *job = sized(spoilt);
	struct farend_text copy;
	assert_int_equal(farend_apply(job, "copy.yaml", &copy), FAREND_OK);
	struct farend_job *again = sized(copy.bytes);
	assert_non_null(strstr(rendered(again, FAREND_TEXT, false, 80).bytes, "Order what is drawn"));
	assert_int_equal(farend_verdict(again), FAREND_VERDICT_OK);
	struct farend_text same;
	assert_int_equal(farend_apply(again, "copy.yaml", &same), FAREND_OK);
	assert_int_equal(same.size, copy.size);
	assert_memory_equal(same.bytes, copy.bytes, copy.size);
	farend_free(again);
	farend_free(job);
}

static void test_what_cannot_pass(void **state)
{
	(void)state;
	struct farend_job *job = sized(hopeless);
	const char *text = rendered(job, FAREND_TEXT, false, 80).bytes;
	assert_int_not_equal(farend_size_verdict(job), FAREND_VERDICT_OK);
	assert_non_null(strstr(text, "It cannot pass as drawn: "));
	assert_non_null(strstr(text, "\nWhat is stuck\n\n 1. "));
	json_t *json = as_json(job);
	assert_true(json_array_size(json_object_get(json, "stuck")) > 0);
	assert_true(json_array_size(json_object_get(json, "findings")) > 0);
	assert_string_not_equal(text_of(json, "verdict"), "ok");
	json_decref(json);
	farend_free(job);
}

static void test_copy(void **state)
{
	(void)state;
	struct farend_job *job = sized(spoilt);
	struct farend_text copy;
	assert_int_equal(farend_apply(job, "copy.yaml", &copy), FAREND_OK);
	assert_non_null(strstr(copy.bytes, "}   # too small\n"));
	assert_non_null(strstr(copy.bytes, "\n  C2b: {from: B1, to: L1.end, length: 8.5 m, size: "));
	json_t *json = as_json(job);
	assert_string_equal(text_of(json, "copy"), "copy.yaml");
	assert_string_equal(text_of(json, "verdict"), "ok");
	json_decref(json);
	assert_non_null(strstr(rendered(job, FAREND_TEXT, false, 80).bytes, "Written to copy.yaml"));
	farend_free(job);
}

/* An item that is an alias: a diagnostic, and no copy. */
static void test_copy_refused(void **state)
{
	(void)state;
	static const char shared[] =
		"strip_types: {warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm}}\n"
		"drivers: {D1: &d {voltage: 24 V, power: 15 W}, D2: *d}\n"
		"strips: {L1: {type: warm, length: 500 mm}, L2: {type: warm, length: 4 m}}\n"
		"cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 1 m}, C2: {size: 1 mm2, from: D2, to: L2, "
		"length: 1 m}}\n";
	struct farend_job *job = sized(shared);
	struct farend_text copy;
	struct farend_diagnostic diagnostic;
	assert_int_equal(farend_apply(job, "copy.yaml", &copy), FAREND_WRONG_INPUT);
	assert_int_equal(copy.size, 0);
	assert_true(farend_diagnostic(job, 0, &diagnostic));
	assert_string_equal(diagnostic.kind, "cannot-edit");
	assert_int_equal(diagnostic.line, 2);
	farend_free(job);
}


static void test_calls_out_of_order(void **state)
{
	(void)state;
	struct farend_job *job;
	struct farend_text text;
	assert_int_equal(farend_read_text("job.yaml", spoilt, strlen(spoilt), &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_apply(job, "copy.yaml", &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_SIZE, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	farend_free(job);
}

struct cells { size_t rows, column; char kinds[64][16]; bool formula; };

static void on_cell(void *bytes, size_t size, void *data)
{
	struct cells *cells = data;
	const char *text = bytes;
	if (cells->column++ == 0 && cells->rows < 64)
		snprintf(cells->kinds[cells->rows], sizeof(cells->kinds[0]), "%.*s", (int)size, text);
	cells->formula = cells->formula || (size > 0 && strchr("=+@", text[0]) != NULL);
}

static void on_row(int end, void *data)
{
	struct cells *cells = data;
	(void)end;
	cells->rows++;
	cells->column = 0;
}

static bool has_kind(const struct cells *cells, const char *kind)
{
	for (size_t i = 0; i < cells->rows && i < 64; i++)
		if (strcmp(cells->kinds[i], kind) == 0)
			return true;
	return false;
}

static void test_csv(void **state)
{
	(void)state;
	static const char *const kinds[] = { "kind", "driver", "cable", "strip", "added", "longest_run" };
	struct farend_job *job = sized(spoilt);
	struct farend_text text = rendered(job, FAREND_CSV, false, 0);
	struct csv_parser parser;
	struct cells cells = { .rows = 0 };
	assert_int_equal(csv_init(&parser, CSV_STRICT), 0);
	assert_int_equal(csv_parse(&parser, text.bytes, text.size, on_cell, on_row, &cells), text.size);
	csv_fini(&parser, on_cell, on_row, &cells);
	csv_free(&parser);
	for (size_t i = 0; i < sizeof(kinds) / sizeof(kinds[0]); i++)
		assert_true(has_kind(&cells, kinds[i]));
	assert_false(cells.formula);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_json),
		cmocka_unit_test(test_text),
		cmocka_unit_test(test_sound_job_needs_nothing),
		cmocka_unit_test(test_what_cannot_pass),
		cmocka_unit_test(test_copy),
		cmocka_unit_test(test_copy_refused),
		cmocka_unit_test(test_calls_out_of_order),
		cmocka_unit_test(test_csv),
	};
	return cmocka_run_group_tests_name("size report", tests, NULL, NULL);
}
