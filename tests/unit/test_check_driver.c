/* Checks of the driver, each just within and just outside its limit. */
#include "tests/check_support.h"

/* A 60 W, 24 V driver (2.5 A) that feeds 2.4 m of 9.6 W/m. */
struct bench {
	struct job *job;
	struct driver *driver;
	struct solution *solution;
	struct driver_result *result;
};

static struct bench open_bench(double volts, double watts)
{
	struct bench b = { .job = job_builder_new() };
	add_driver(b.job, "D1", volts, watts);
	add_strip(b.job, "L1", volts, 9.6, 2.4);
	add_cable(b.job, "C1", "0.75 mm2", 1, "D1", "L1.start");
	b.driver = &b.job->drivers[0];
	return b;
}

static void solve_bench(struct bench *b)
{
	job_builder_finish(b->job);
	b->solution = blank_solution(b->job);
	b->result = &b->solution->drivers[0];
	b->result->nameplate_w = 23.04;
}

static void close_bench(struct bench *b)
{
	job_builder_free(b->job);
}

/* 60 W with 20 % headroom leaves 48 W; in amperes 2.5 A leave 2 A (docs/checks.md:
 * load / 0.8 <= rating). The last bits of a solved figure must not decide. */
static void headroom_is_judged_in_watts_and_amperes(void **state)
{
	(void)state;
	static const struct { double watts, amps; int severity; double value, limit; } cases[] = {
		{ 48, 2, NONE, 0, 0 },
		{ 48 * (1 + 1e-12), 2 * (1 + 1e-12), NONE, 0, 0 },
		{ 48.001, 2, SEVERITY_CAUTION, 48.001, 48 },
		{ 60, 2.5, SEVERITY_CAUTION, 60, 48 },
		{ 60.001, 2.4, SEVERITY_FAIL, 60.001, 60 },
		{ 47, 2.001, SEVERITY_CAUTION, 2.001, 2 },
		{ 47, 2.501, SEVERITY_FAIL, 2.501, 2.5 },
		{ 59, 2.501, SEVERITY_FAIL, 2.501, 2.5 },    /* worse in A than in W */
		{ 61, 2.6, SEVERITY_FAIL, 61, 60 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct bench b = open_bench(24, 60);
		solve_bench(&b);
		b.result->worst_w = cases[i].watts;
		b.result->worst_a = cases[i].amps;
		assert_int_equal(severity_of(b.job, b.solution, "driver-headroom"), cases[i].severity);
		if (cases[i].severity != NONE) {
			struct findings findings = judge(b.job, b.solution);
			const struct finding *f = the(&findings, "driver-headroom");
			assert_near(f->value, cases[i].value, 0, 0);
			assert_near(f->limit, cases[i].limit, 1e-12, 0);
			assert_about(f, KIND_DRIVER, 0);
		}
		close_bench(&b);
	}
}

/* 70 % left at this ambient: 60 W become 42 W, of which 80 % are 33.6 W. */
static void headroom_is_of_the_derated_rating(void **state)
{
	(void)state;
	static const struct { double watts; int severity; } cases[] = {
		{ 33.6, NONE }, { 33.61, SEVERITY_CAUTION }, { 42, SEVERITY_CAUTION },
		{ 42.01, SEVERITY_FAIL },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct bench b = open_bench(24, 60);
		solve_bench(&b);
		b.driver->derate = 0.7;
		b.result->worst_w = cases[i].watts;
		assert_int_equal(severity_of(b.job, b.solution, "driver-headroom"), cases[i].severity);
		close_bench(&b);
	}
}

/* The ampere limit is derated alike: 2.5 A at 70 % are 1.75 A, of which 80 % are 1.4 A. What is
 * asked for is the rating that would leave the headroom: 1.5 A / 0.8. */
static void amperes_are_derated_too(void **state)
{
	(void)state;
	struct bench b = open_bench(24, 60);
	solve_bench(&b);
	b.driver->derate = 0.7;
	b.result->worst_a = 1.4;
	assert_int_equal(severity_of(b.job, b.solution, "driver-headroom"), NONE);
	b.result->worst_a = 1.5;
	struct findings findings = judge(b.job, b.solution);
	const struct finding *f = the(&findings, "driver-headroom");
	assert_int_equal(f->severity, SEVERITY_CAUTION);
	assert_non_null(strstr(f->message, "1.5 A"));
	assert_non_null(strstr(f->message, "headroom"));
	assert_non_null(strstr(f->message, "70 %"));
	assert_non_null(strstr(f->todo, "1.88 A"));
	b.result->worst_a = 1.8;
	findings = judge(b.job, b.solution);
	f = the(&findings, "driver-headroom");
	assert_int_equal(f->severity, SEVERITY_FAIL);
	assert_non_null(strstr(f->message, "above"));
	close_bench(&b);
}

static void headroom_may_be_set_in_the_job(void **state)
{
	(void)state;
	struct bench b = open_bench(24, 60);
	give(&b.job->limits[LIMIT_HEADROOM], 0.30, DIM_RATIO);
	solve_bench(&b);
	b.result->worst_w = 42;
	assert_int_equal(severity_of(b.job, b.solution, "driver-headroom"), NONE);
	b.result->worst_w = 42.1;
	struct findings findings = judge(b.job, b.solution);
	assert_string_equal(the(&findings, "driver-headroom")->source,
	                    "limits: headroom in the job file");
	/* The rating itself is no matter of the job's limits. */
	b.result->worst_w = 60.1;
	findings = judge(b.job, b.solution);
	assert_string_equal(the(&findings, "driver-headroom")->source,
	                    check_find("driver-headroom")->source);
	close_bench(&b);
}

static void figures_that_were_not_solved_raise_nothing(void **state)
{
	(void)state;
	struct bench b = open_bench(24, 60);
	give(&b.driver->min_load, 5, DIM_WATT);
	solve_bench(&b);
	b.result->live = false;
	b.result->worst_w = 1000;
	struct findings findings = judge(b.job, b.solution);
	assert_int_equal(count_of(&findings, "driver-headroom"), 0);
	assert_int_equal(count_of(&findings, "driver-light-load"), 0);
	close_bench(&b);
}

/* Two 12 V strips and one of 24 V on a 24 V driver: one finding about the driver. A strip on the
 * wrong voltage raises no other finding about its voltage or light. */
static void other_voltages_are_one_finding_per_driver(void **state)
{
	(void)state;
	struct bench b = open_bench(24, 60);
	size_t second = add_strip(b.job, "L2", 12, 4.8, 1);
	size_t third = add_strip(b.job, "L3", 12, 4.8, 1);
	add_cable(b.job, "C2", "0.75 mm2", 1, "D1", "L2.start");
	add_cable(b.job, "C3", "0.75 mm2", 1, "D1", "L3.start");
	solve_bench(&b);
	b.solution->strips[second].v_max_worst = 24;         /* +100 % */
	b.solution->strips[third].light_min = 0.1;
	b.solution->strips[third].drop = 0.5;

	struct findings findings = judge(b.job, b.solution);
	const struct finding *f = the(&findings, "driver-voltage");
	assert_int_equal(f->severity, SEVERITY_FAIL);
	assert_about(f, KIND_DRIVER, 0);
	assert_int_equal(f->item_count, 3);
	assert_true(concerns(f, KIND_STRIP, second) && concerns(f, KIND_STRIP, third));
	assert_near(f->value, 12, 0, 0);
	assert_near(f->limit, 24, 0, 0);
	assert_int_equal(findings.count, 1);
	close_bench(&b);
}

static void driver_voltage_is_judged_without_figures(void **state)
{
	(void)state;
	struct bench b = open_bench(24, 60);
	b.job->strips[0].voltage.num = 12;
	solve_bench(&b);
	b.solution->strips[0].live = b.result->live = false;
	assert_int_equal(severity_of(b.job, b.solution, "driver-voltage"), SEVERITY_FAIL);
	close_bench(&b);
}

/* 0.25 A at 24 V are 6 W. */
static void light_load_is_judged_in_watts(void **state)
{
	(void)state;
	static const struct {
		double min_load;
		enum dim dim;
		double least_w, nameplate;
		int severity;
	} cases[] = {
		{ 6, DIM_WATT, 6, 23, NONE },
		{ 6, DIM_WATT, 5.99, 23, SEVERITY_CAUTION },
		{ 0.25, DIM_AMP, 6, 23, NONE },
		{ 0.25, DIM_AMP, 5.99, 23, SEVERITY_CAUTION },
		{ 0, DIM_WATT, 0, 23, NONE },
		{ 6, DIM_WATT, 0, 0, NONE },                 /* nothing connected */
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct bench b = open_bench(24, 60);
		give(&b.driver->min_load, cases[i].min_load, cases[i].dim);
		solve_bench(&b);
		b.result->least_w = cases[i].least_w;
		b.result->nameplate_w = cases[i].nameplate;
		assert_int_equal(severity_of(b.job, b.solution, "driver-light-load"), cases[i].severity);
		close_bench(&b);
	}
}

/* NEC Chapter 9 Table 11(B), from memory: 5 A up to 20 V (60 W at 12 V), 100 W above. Above 60 V it
 * is elv-limit that speaks. */
static void limited_power_ends_at_5_a_or_100_w(void **state)
{
	(void)state;
	static const struct { double volts, watts; int severity; double limit; } cases[] = {
		{ 12, 60, NONE, 0 }, { 12, 61, SEVERITY_NOTE, 60 },
		{ 20, 100, NONE, 0 }, { 20, 101, SEVERITY_NOTE, 100 },
		{ 24, 100, NONE, 0 }, { 24, 101, SEVERITY_NOTE, 100 },
		{ 60, 101, SEVERITY_NOTE, 100 }, { 72, 101, NONE, 0 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct bench b = open_bench(cases[i].volts, cases[i].watts);
		solve_bench(&b);
		assert_int_equal(severity_of(b.job, b.solution, "driver-limited-power"), cases[i].severity);
		struct findings findings = judge(b.job, b.solution);
		if (cases[i].severity != NONE) {
			assert_near(the(&findings, "driver-limited-power")->value, cases[i].watts, 1e-12, 0);
			assert_near(the(&findings, "driver-limited-power")->limit, cases[i].limit, 1e-12, 0);
		}
		close_bench(&b);
	}
}

static void selv_fails_only_where_it_is_denied(void **state)
{
	(void)state;
	static const struct { bool said; double num; int severity; } cases[] = {
		{ false, 0, NONE }, { true, 1, NONE }, { true, 0, SEVERITY_FAIL },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct bench b = open_bench(24, 60);
		if (cases[i].said)
			give(&b.driver->selv, cases[i].num, DIM__END);
		solve_bench(&b);
		assert_int_equal(severity_of(b.job, b.solution, "driver-selv"), cases[i].severity);
		close_bench(&b);
	}
}

static void an_enclosed_driver_needs_its_derating(void **state)
{
	(void)state;
	static const struct point curve[] = { { 40, 1 }, { 60, 0.7 } };
	struct bench b = open_bench(24, 60);
	solve_bench(&b);
	assert_int_equal(severity_of(b.job, b.solution, "driver-enclosed"), NONE);
	give(&b.driver->enclosed, 1, DIM__END);
	assert_int_equal(severity_of(b.job, b.solution, "driver-enclosed"), SEVERITY_CAUTION);
	b.driver->derating = (struct attr){ .origin = ORIGIN_TYPE, .points = curve, .point_count = 2 };
	assert_int_equal(severity_of(b.job, b.solution, "driver-enclosed"), NONE);
	close_bench(&b);
}

/* BS 7671 414.4.5: 60 V DC. The set voltage counts as well as the nominal one. */
static void elv_ends_at_60_v(void **state)
{
	(void)state;
	static const struct { double volts, set; int severity; double value; } cases[] = {
		{ 60, 60, NONE, 0 }, { 60.1, 60.1, SEVERITY_FAIL, 60.1 }, { 48, 60.1, SEVERITY_FAIL, 60.1 },
		{ 72, 58, SEVERITY_FAIL, 72 }, { 24, 24, NONE, 0 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct bench b = open_bench(cases[i].volts, 60);
		give(&b.driver->set_voltage, cases[i].set, DIM_VOLT);
		solve_bench(&b);
		assert_int_equal(severity_of(b.job, b.solution, "elv-limit"), cases[i].severity);
		struct findings findings = judge(b.job, b.solution);
		if (cases[i].severity != NONE)
			assert_near(the(&findings, "elv-limit")->value, cases[i].value, 0, 0);
		close_bench(&b);
	}
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(headroom_is_judged_in_watts_and_amperes),
		cmocka_unit_test(headroom_is_of_the_derated_rating),
		cmocka_unit_test(amperes_are_derated_too),
		cmocka_unit_test(headroom_may_be_set_in_the_job),
		cmocka_unit_test(figures_that_were_not_solved_raise_nothing),
		cmocka_unit_test(other_voltages_are_one_finding_per_driver),
		cmocka_unit_test(driver_voltage_is_judged_without_figures),
		cmocka_unit_test(light_load_is_judged_in_watts),
		cmocka_unit_test(limited_power_ends_at_5_a_or_100_w),
		cmocka_unit_test(selv_fails_only_where_it_is_denied),
		cmocka_unit_test(an_enclosed_driver_needs_its_derating),
		cmocka_unit_test(elv_ends_at_60_v),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
