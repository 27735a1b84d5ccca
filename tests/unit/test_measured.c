/* What was measured is shown as such, to people and to programs. */
#include "support.h"

#include "farend.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* By hand: 2 V and 5 mA apart, so the knee is 22 V - 15 mA x 400 ohm = 16 V. */
static const char job_text[] =
	"strip_types:\n"
	"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, loop_resistance: 0.1 ohm/m,\n"
	"         piece_test: {length: 50 mm, low: 22 V, low_current: 15 mA, high: 24 V, high_current: 20 mA}}\n"
	"  cool: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, led_knee: 17 V,\n"
	"         reel_test: {length: 5 m, feed: 24.0 V, far: 23.4 V, current: 1.8 A}}\n"
	"drivers:\n  D1: {voltage: 24 V, power: 60 W}\n"
	"strips:\n"
	"  L1: {type: warm, length: 850 mm}\n"
	"  L2: {type: warm, length: 900 mm}\n"
	"  L3: {type: cool, length: 900 mm}\n"
	"  L4: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 500 mm}\n"
	"cables:\n"
	"  C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}\n"
	"  C2: {size: 0.75 mm2, from: L1.end, to: L2, length: 1 m}\n"
	"  C3: {size: 0.75 mm2, from: D1, to: L3, length: 1 m}\n"
	"  C4: {size: 0.75 mm2, from: D1, to: L4, length: 1 m}\n";

static struct farend_text rendered(struct farend_job *job, enum farend_format format)
{
	struct farend_text text;
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, format, NULL, &text), FAREND_OK);
	return text;
}

static struct farend_job *read_with(const char *csv)
{
	struct farend_job *job;
	char path[] = "/tmp/farend-measured-XXXXXX";
	int file = mkstemp(path);
	assert_true(file >= 0);
	assert_true(write(file, csv, strlen(csv)) == (ssize_t)strlen(csv));
	close(file);
	assert_int_equal(farend_read_text_built("job.yaml", job_text, sizeof job_text - 1, path, &job),
	                 FAREND_OK);
	unlink(path);
	return job;
}

static void assert_entry(const json_t *entry, const char *items, const char *attribute, const char *from)
{
	char *ids = json_dumps(json_object_get(entry, "items"), JSON_COMPACT);
	assert_string_equal(ids, items);
	assert_string_equal(json_string_value(json_object_get(entry, "attribute")), attribute);
	assert_string_equal(json_string_value(json_object_get(entry, "from")), from);
	assert_true(json_string_length(json_object_get(entry, "value")) > 0);
	free(ids);
}

static void test_json(void **state)
{
	(void)state;
	struct farend_job *job = read_with("item,length\nL1,800 mm\nC2,1.2 m\nL3,1 m\n");
	struct farend_text text = rendered(job, FAREND_JSON);
	json_t *whole = json_loadb(text.bytes, text.size, 0, NULL);
	const json_t *measured = json_object_get(whole, "measured");
	assert_int_equal(json_array_size(measured), 6);
	assert_entry(json_array_get(measured, 0), "[\"L1\",\"L2\"]", "power", "piece_test");
	assert_entry(json_array_get(measured, 1), "[\"L1\",\"L2\"]", "led_knee", "piece_test");
	assert_entry(json_array_get(measured, 2), "[\"L1\",\"L3\"]", "length", "as built");
	assert_entry(json_array_get(measured, 3), "[\"L3\"]", "loop_resistance", "reel_test");
	assert_entry(json_array_get(measured, 4), "[\"L3\"]", "power", "reel_test");
	assert_entry(json_array_get(measured, 5), "[\"C2\"]", "length", "as built");
	assert_string_equal(json_string_value(json_object_get(json_array_get(measured, 1), "value")), "16 V");
	json_decref(whole);
	farend_free(job);
}

static void test_text(void **state)
{
	(void)state;
	struct farend_job *job = read_with("item,length\nL1,800 mm\nL3,1 m\n");
	struct farend_text text = rendered(job, FAREND_TEXT);
	assert_non_null(strstr(text.bytes, "\nMeasured, not taken from plan or label\n"));
	assert_non_null(strstr(text.bytes, "\n- led_knee of warm (L1, L2): 16 V, from its piece_test\n"));
	assert_non_null(strstr(text.bytes, "\n- length of strips (L1, L3): 800 mm to 1 m, as built\n"));
	/* what is assumed of the one strip that was not measured is not mixed up with it */
	assert_non_null(strstr(text.bytes, "\n- led_knee of strips (L4): 16.5 V\n"));
	farend_free(job);
}

static void test_nothing_measured(void **state)
{
	(void)state;
	struct farend_text starter = farend_starter();
	struct farend_job *job;
	assert_int_equal(farend_read_text("starter.yaml", starter.bytes, starter.size, &job), FAREND_OK);
	assert_null(strstr(rendered(job, FAREND_TEXT).bytes, "Measured"));
	assert_non_null(strstr(rendered(job, FAREND_JSON).bytes, "\"measured\": []"));
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_json),
		cmocka_unit_test(test_text),
		cmocka_unit_test(test_nothing_measured),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
