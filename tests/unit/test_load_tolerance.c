/* Tolerances as they are written: shares, amounts, signs; and what cannot be one. */
#include "load_support.h"

#define WITH_SETTING(text) "drivers:\n  D1: {voltage: 24 V, power: 60 W, set_voltage: " text "}\n"

static void written_in_every_way(void **state)
{
	static const struct { const char *job; double tolerance; } cases[] = {
		{ WITH_SETTING("24 V +- 3 %"), 0.72 },   { WITH_SETTING("24 V +-0.5 V"), 0.5 },
		{ WITH_SETTING("24 V +/- 500 mV"), 0.5 },        { WITH_SETTING("24 V \xC2\xB1 1 %"), 0.24 },
		{ WITH_SETTING("24V+-3%"), 0.72 },       { WITH_SETTING("24 V +- 0 %"), 0 },
	};
	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job_reading r = read_text(cases[i].job);
		assert_int_equal(r.status, LOAD_OK);
		const struct attr *attr = &r.job->drivers[0].set_voltage;
		assert_true(attr->has_tolerance);
		assert_near(attr->num, 24, 1e-12, 0);
		assert_near(attr->tolerance, cases[i].tolerance, 1e-12, 1e-12);
		done(&r);
	}
}

/* 9 F are 5 C; of a size it is a share of the copper; a driver's voltage hands it on. */
static void taken_where_it_belongs(void **state)
{
	(void)state;
	struct job_reading r = read_text("job: {ambient: 86 F +- 9 F}\n" WARM
		"drivers:\n  D1: {voltage: 24 V +- 2 %, power: 60 W}\n" STRIP
		"cables:\n  C1: {size: 0.75 mm2 +- 4 %, from: D1, to: L1, length: 10 ft +- 6 in}\n");
	assert_int_equal(r.status, LOAD_OK);
	assert_near(r.job->ambient.num, 30, 1e-12, 0);
	assert_near(r.job->ambient.tolerance, 5, 1e-9, 0);
	assert_near(r.job->cables[0].size.tolerance, 0.04, 1e-12, 0);
	assert_near(r.job->cables[0].length.tolerance, 6 * 0.0254, 1e-12, 0);
	assert_near(r.job->drivers[0].set_voltage.tolerance, 0.48, 1e-12, 0);
	assert_false(r.job->strips[0].power.has_tolerance);
	done(&r);
}

static void wrong_ones_are_reported(void **state)
{
	static const struct { const char *job, *kind; unsigned column; } cases[] = {
		{ WITH_SETTING("24 V +- 3 A"), "wrong-unit", 59 }, { WITH_SETTING("24 V +- 3"), "no-unit", 57 },
		{ WITH_SETTING("24 V +-"), "empty-value", 0 }, { WITH_SETTING("24 V +- 200 %"), "out-of-range", 49 },
		{ WITH_SETTING("24 V +- -1 %"), "out-of-range", 49 }, { WITH_SETTING("+- 3 %"), "empty-value", 0 },
		{ WITH_SETTING("24 V +- 1 % +- 1 %"), "bad-number", 0 },
	};
	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job_reading r = read_text(cases[i].job);
		assert_int_equal(r.status, LOAD_WRONG);
		assert_int_equal(r.diags.errors, 1);
		assert_string_equal(r.diags.items[0].kind, cases[i].kind);
		assert_int_equal(r.diags.items[0].place.line, 2);
		if (cases[i].column > 0)
			assert_int_equal(r.diags.items[0].place.column, cases[i].column);
		done(&r);
	}
}

/* What is wrong is the tolerance, not the value: the message says where the two lead. */
static void what_a_tolerance_reaches_is_said(void **state)
{
	static const struct { const char *job, *message; } cases[] = {
		{ "drivers:\n  D1: {voltage: 24 V, power: 60 W}\nswitches:\n  S1: {max_current: 3 A, on_resistance: 20 mohm +- 150 %}\n",
		  "on_resistance: with its tolerance '20 mohm +- 150 %' reaches below zero" },
		{ WITH_SETTING("24 V +- 24 V"), "set_voltage: with its tolerance '24 V +- 24 V' reaches down to 0 V" },
		{ WITH_SETTING("170 V +- 10 %"), "set_voltage: with its tolerance '170 V +- 10 %' reaches up to 187 V" },
		{ WITH_SETTING("200 V +- 1 %"), "set_voltage: '200 V +- 1 %' is too large" },
	};
	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job_reading r = read_text(cases[i].job);
		assert_int_equal(r.status, LOAD_WRONG);
		assert_int_equal(r.diags.errors, 1);
		assert_string_equal(r.diags.items[0].kind, "out-of-range");
		assert_string_equal(r.diags.items[0].message, cases[i].message);
		done(&r);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(written_in_every_way),
		cmocka_unit_test(taken_where_it_belongs),
		cmocka_unit_test(wrong_ones_are_reported),
		cmocka_unit_test(what_a_tolerance_reaches_is_said),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
