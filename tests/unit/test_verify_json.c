/* `verify --format json` of the demo, read back by jansson. */
#include "verify_support.h"

/* The lengths are those of the file: 3450 mm of 7.2 W/m. */
static void assert_items(json_t *items)
{
	json_t *l5 = json_object_get(items, "L5"), *c14 = json_object_get(items, "C14");
	assert_int_equal(json_object_size(items), 1 + 7 + 14 + 3 + 3);
	assert_near(number(l5, "planned_m"), 3.6, 1e-9, 0);
	assert_near(number(l5, "built_m"), 3.45, 1e-9, 0);
	assert_near(number(l5, "nameplate_w"), 3.45 * 7.2, 1e-9, 0);
	assert_near(number(l5, "planned_nameplate_w"), 3.6 * 7.2, 1e-9, 0);
	assert_true(number(l5, "light_min") > number(l5, "planned_light_min"));
	assert_int_equal(json_array_size(json_object_get(l5, "changed")), 0);
	assert_near(number(c14, "built_m"), 4.3, 1e-9, 0);
	assert_true(json_is_null(json_object_get(c14, "light_min")));
	assert_true(json_is_null(json_object_get(json_object_get(items, "L2"), "built_m")));
	assert_true(json_is_null(json_object_get(json_object_get(items, "B1"), "planned_m")));
}

static void assert_readings(json_t *readings)
{
	size_t i, outside = 0;
	json_t *reading;
	assert_int_equal(json_array_size(readings), 16);
	json_array_foreach(readings, i, reading) {
		double difference = number(reading, "measured") - number(reading, "predicted");
		bool within = json_is_true(json_object_get(reading, "within"));
		assert_near(number(reading, "difference"), difference, 1e-9, 1e-9);
		assert_int_equal(within, fabs(difference) <= number(reading, "allowed"));
		assert_string_equal(word(reading, "quantity"), "volts");
		assert_int_equal((int)number(reading, "line"), 8 + (int)i);
		outside += !within;
	}
	assert_true(outside > 0);
}

/* The readings were made with 1.6 ohm more in the joint of C4 at L2.start. */
static void test_demo_json(void **state)
{
	(void)state;
	struct farend_job *job = verified(DEMO_JOB, DEMO_BUILT, NULL);
	json_t *json = parsed(job), *suspects = json_object_get(json, "suspects");
	assert_string_equal(word(json, "command"), "verify");
	assert_string_equal(word(json, "verdict"), "caution");
	assert_int_equal(farend_verify_verdict(job), FAREND_VERDICT_CAUTION);
	assert_items(json_object_get(json, "items"));
	assert_readings(json_object_get(json, "readings"));
	json_t *first = json_array_get(suspects, 0);
	assert_string_equal(word(first, "item"), "C4");
	assert_string_equal(word(first, "terminal"), "L2.start");
	assert_string_equal(word(first, "kind"), "joint");
	assert_true(json_is_null(json_object_get(first, "core")));
	assert_true(fabs(number(first, "extra_ohm") - 1.6) < number(first, "uncertainty"));
	double score = 0, last = INFINITY;
	size_t i, k;
	json_t *suspect, *tied;
	json_array_foreach(suspects, i, suspect) {
		score += number(suspect, "score");
		last = fmin(last, number(suspect, "score"));
		json_array_foreach(json_object_get(suspect, "tied_with"), k, tied)
			assert_string_not_equal(json_string_value(tied), word(suspect, "item"));
	}
	assert_true(score <= 1 + 1e-9 && last > 0);
	/* both joints of a cable and the cable lie in one line: no reading at a terminal tells them apart */
	assert_int_equal(json_array_size(suspects), 3);
	assert_true(json_is_null(json_object_get(json, "next_reading")));
	json_decref(json);
	farend_free(job);
}

/* One reading behind a switch: before or behind it is what to read next. */
static void test_next_reading(void **state)
{
	(void)state;
	char *path = built_file("item,volts\nL1.end,11.3\n");
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	unlink(path);
	json_t *json = parsed(job), *next = json_object_get(json, "next_reading");
	json_t *first = json_array_get(json_object_get(json, "suspects"), 0);
	json_t *expected = json_object_get(next, "expected");
	assert_string_equal(word(next, "quantity"), "volts");
	assert_int_equal(json_object_size(expected), 2);
	assert_non_null(json_object_get(expected, word(first, "label")));
	assert_true(json_array_size(json_object_get(first, "tied_with")) > 0);
	assert_non_null(strstr(rendered(job, FAREND_TEXT, 80).bytes, "Next, read the voltage at "));
	json_decref(json);
	farend_free(job);
}

static void test_agreeing_json(void **state)
{
	(void)state;
	struct farend_job *job = verified(DEMO_JOB, "fixtures/built/boot-room-mended.csv", NULL);
	json_t *json = parsed(job);
	assert_string_equal(word(json, "verdict"), "ok");
	assert_true(json_is_true(json_object_get(json, "agree")));
	assert_int_equal(json_array_size(json_object_get(json, "suspects")), 0);
	assert_true(json_is_null(json_object_get(json, "next_reading")));
	assert_true(json_is_null(json_object_get(json, "effect")));
	json_decref(json);
	farend_free(job);
}

/* --switches says once what a column says row by row, and leaves the checks of the whole job alone. */
static void test_the_state_of_readings(void **state)
{
	(void)state;
	char *path = built_file("item,volts\nL5.end,11.5\nB1,11.8\n");
	struct farend_job *by_option = verified(DEMO_JOB, path, "S1=off");
	unlink(path);
	path = built_file("item,volts,switches\nL5.end,11.5,S1=off\nB1,11.8,S1=off\n");
	struct farend_job *by_column = verified(DEMO_JOB, path, NULL);
	unlink(path);
	json_t *a = parsed(by_option), *b = parsed(by_column);
	assert_true(json_equal(json_object_get(a, "items"), json_object_get(b, "items")));
	for (size_t i = 0; i < 2; i++) {
		json_t *at_a = json_array_get(json_object_get(a, "readings"), i);
		json_t *at_b = json_array_get(json_object_get(b, "readings"), i);
		assert_string_equal(word(at_a, "switches"), "S1=off");
		assert_true(json_equal(json_object_get(at_a, "predicted"), json_object_get(at_b, "predicted")));
		/* B1 lies behind S1 */
		assert_int_equal(json_is_null(json_object_get(at_a, "predicted")), i == 1);
	}
	json_decref(a);
	json_decref(b);
	farend_free(by_option);
	farend_free(by_column);
}

/* The place of a finding is where its length was said: line 2, second cell. */
static void test_a_length_as_built_is_found_in_its_row(void **state)
{
	(void)state;
	char *path = built_file("item,length (mm)\nL5,3430\n");
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	json_t *json = parsed(job), *finding = json_array_get(json_object_get(json, "findings"), 0);
	assert_string_equal(word(finding, "check"), "off-mark");
	assert_string_equal(word(finding, "item"), "L5");
	assert_int_equal((int)number(finding, "line"), 2);
	assert_int_equal((int)number(finding, "column"), 4);
	char row[80];
	snprintf(row, sizeof(row), "(off-mark, %s:2)", path);
	assert_says(rendered(job, FAREND_TEXT, 1000).bytes, row);
	unlink(path);
	json_decref(json);
	farend_free(job);
}

static void test_a_driver_that_is_off(void **state)
{
	(void)state;
	char *path = built_file("item,volts\nD1,0.02\nL5.end,0\nB1,0\n");
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	unlink(path);
	json_t *json = parsed(job), *suspects = json_object_get(json, "suspects");
	json_t *first = json_array_get(suspects, 0);
	assert_string_equal(word(json, "verdict"), "caution");
	assert_int_equal(json_array_size(suspects), 1);
	assert_string_equal(word(first, "item"), "D1");
	assert_string_equal(word(first, "kind"), "driver");
	assert_string_equal(word(first, "label"), "supply of D1");
	assert_near(number(first, "value"), 0.02, 1e-12, 0);
	assert_true(json_is_null(json_object_get(first, "extra_ohm")));
	assert_true(json_is_null(json_object_get(json, "effect")));
	assert_true(json_is_null(json_object_get(json, "next_reading")));
	json_decref(json);
	farend_free(job);
}

/* Two drivers on one strip: no figure, so that nothing is said of the reading either. */
static void test_what_cannot_be_foreseen_is_null(void **state)
{
	static const char *const keys[] = { "predicted", "difference", "within", "allowed" };
	static const char twice_fed[] =
		"drivers: {D1: {voltage: 24 V, power: 60 W}, D2: {voltage: 24 V, power: 60 W}}\n"
		"strips: {L1: {voltage: 24 V, power: 5 W/m, cut_length: 100 mm, length: 1 m}}\n"
		"cables: {C1: {size: 1 mm2, from: D1, to: L1.start, length: 1 m}, "
		"C2: {size: 1 mm2, from: D2, to: L1.end, length: 1 m}}\n";
	struct farend_job *job;
	(void)state;
	char *path = built_file("item,volts,amps\nC1,,0.4\nL1,23.9,0.2\n");
	assert_int_equal(farend_read_text_built("job.yaml", twice_fed, strlen(twice_fed), path, &job), FAREND_OK);
	unlink(path);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verify(job, NULL), FAREND_OK);
	json_t *json = parsed(job), *reading;
	size_t i;
	assert_int_equal(json_array_size(json_object_get(json, "readings")), 3);
	json_array_foreach(json_object_get(json, "readings"), i, reading)
		for (size_t k = 0; k < sizeof(keys) / sizeof(keys[0]); k++)
			assert_true(json_is_null(json_object_get(reading, keys[k])));
	assert_int_equal(json_array_size(json_object_get(json, "suspects")), 0);
	const char *text = rendered(job, FAREND_TEXT, 1000).bytes;
	assert_says(text, "there are no figures to compare the readings with");
	assert_says(text, "Not foreseen: two drivers feed one network there");
	assert_null(strstr(text, "outside"));
	json_decref(json);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_demo_json),
		cmocka_unit_test(test_next_reading),
		cmocka_unit_test(test_agreeing_json),
		cmocka_unit_test(test_the_state_of_readings),
		cmocka_unit_test(test_a_length_as_built_is_found_in_its_row),
		cmocka_unit_test(test_a_driver_that_is_off),
		cmocka_unit_test(test_what_cannot_be_foreseen_is_null),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
