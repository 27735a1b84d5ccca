/* farend_value(): one value at a time, read as a job file's. */
#include "farend.h"

#include "base/arena_faults.h"

#include "support.h"

#include <stdio.h>

static void gives(const char *group, const char *attribute, const char *text, double number, const char *written)
{
	struct farend_value value;
	assert_int_equal(farend_value(group, attribute, text, &value), FAREND_OK);
	assert_near(value.number, number, 1e-12, 0);
	assert_string_equal(value.written, written);
	assert_null(value.wrong.kind);
	farend_free_value(&value);
}

static void refuses(const char *group, const char *attribute, const char *text, const char *kind)
{
	struct farend_value value;
	assert_int_equal(farend_value(group, attribute, text, &value), FAREND_WRONG_INPUT);
	assert_string_equal(value.wrong.kind, kind);
	assert_true(value.wrong.message[0] != '\0');
	assert_string_equal(value.written, "");
	farend_free_value(&value);
}

/* One inch is 25.4 mm exactly (international yard and pound agreement, 1959). */
static void test_numbers_are_si(void **state)
{
	(void)state;
	gives("strips", "channel", "850 mm", 0.85, "850 mm");
	gives("cables", "length", "2 ft 9 1/2 in", 33.5 * 0.0254, "2 ft 9 1/2 in");
	gives("strips", "power", "3 W/ft", 3 / 0.3048, "3 W/ft");
	gives("job", "ambient", "86 F", 30, "86 F");
	gives("blocks", "ports", "6", 6, "6");
	gives("strips", "mount", "aluminium", 1, "aluminium");
	gives("drivers", "selv", "YES", 1, "yes");
	gives("switches", "voltage", "12-24 V", 12, "12-24 V");
	gives("job", "name", "Boot room", 0, "Boot room");
}

/* YAML 1.1: a colon and a blank, a blank and #, indicators and words of its own need quotation marks. */
static void test_texts_can_stand_in_a_job(void **state)
{
	(void)state;
	gives("strips", "place", "a: b #1", 0, "\"a: b #1\"");
	gives("job", "name", "null", 0, "\"null\"");
	gives("job", "name", "- \"x\" \\", 0, "\"- \\\"x\\\" \\\\\"");
	gives("cables", "length", "6' 3\"", 75 * 0.0254, "\"6' 3\\\"\"");
}

static void test_mistakes_are_the_files(void **state)
{
	(void)state;
	refuses("strips", "power", "9.6", "no-unit");
	refuses("strips", "power", "9.6 W", "wrong-unit");
	refuses("strips", "power", "9,6 W/m", "decimal-comma");
	refuses("strips", "voltage", "230 V", "out-of-range");
	refuses("strips", "mount", "steel", "unknown-word");
	refuses("drivers", "selv", "perhaps", "not-yes-or-no");
	refuses("job", "name", "a\x1b[31mb", "bad-character");
	refuses("job", "name", "a\xff", "bad-encoding");
	refuses("job", "name", " ", "empty-file");
	struct farend_value value;
	assert_int_equal(farend_value("strips", "power", "9.6", &value), FAREND_WRONG_INPUT);
	assert_string_equal(value.wrong.expected, "9.6 W/m");
	farend_free_value(&value);
}

static void test_wrong_calls(void **state)
{
	static const char *const calls[][2] = {
		{ "strip", "power" }, { "strips", "powr" }, { "job", "power" }, { "drivers", "derating" },
		{ "strips", "reel_test" }, { "limits", "sizes" },
	};
	(void)state;
	struct farend_value value;
	for (size_t i = 0; i < sizeof(calls) / sizeof(calls[0]); i++) {
		assert_int_equal(farend_value(calls[i][0], calls[i][1], "1", &value), FAREND_WRONG_CALL);
		farend_free_value(&value);
	}
}

static void test_no_memory(void **state)
{
	(void)state;
	enum farend_status status = FAREND_NO_MEMORY;
	long tried = 0;
	for (; status == FAREND_NO_MEMORY; tried++) {
		struct farend_value value;
		arena_fail_after(tried);
		status = farend_value("strips", "power", "9,6 W/m", &value);
		arena_fail_after(-1);
		farend_free_value(&value);
	}
	assert_int_equal(status, FAREND_WRONG_INPUT);
	assert_true(tried > 2);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_numbers_are_si),
		cmocka_unit_test(test_texts_can_stand_in_a_job),
		cmocka_unit_test(test_mistakes_are_the_files),
		cmocka_unit_test(test_wrong_calls),
		cmocka_unit_test(test_no_memory),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
