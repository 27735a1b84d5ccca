/* One strip against its label and its mount: overvoltage, cut marks, heat. */
#include "tests/check_support.h"

static struct job *strips_on_one_driver(size_t count)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 60);
	for (size_t i = 0; i < count; i++) {
		add_strip(job, arena_printf(job->arena, "L%zu", i + 1), 24, 4.8, 1);
		add_cable(job, arena_printf(job->arena, "C%zu", i + 1), "0.75 mm2", 1, "D1",
		          arena_printf(job->arena, "L%zu.start", i + 1));
	}
	return job;
}

/* 5 % of 24 V are 1.2 V, 10 % are 2.4 V. */
static void overvoltage_is_judged_at_the_highest_unit(void **state)
{
	(void)state;
	static const struct { double volts; int severity; double value, limit; } cases[] = {
		{ 24, NONE, 0, 0 }, { 25.2, NONE, 0, 0 },
		{ 25.21, SEVERITY_CAUTION, 1.21 / 24, 0.05 }, { 26.4, SEVERITY_CAUTION, 0.10, 0.05 },
		{ 26.41, SEVERITY_FAIL, 2.41 / 24, 0.10 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(1);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		s->strips[0].v_max_worst = cases[i].volts;
		assert_int_equal(severity_of(job, s, "strip-overvoltage"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE) {
			assert_near(the(&findings, "strip-overvoltage")->value, cases[i].value, 1e-9, 0);
			assert_near(the(&findings, "strip-overvoltage")->limit, cases[i].limit, 0, 0);
		}
		job_builder_free(job);
	}
}

/* The driver's setting is the one cause: one finding, about the strip that gets most. */
static void overvoltage_is_one_finding_per_driver(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(3);
	add_driver(job, "D2", 24, 60);
	add_strip(job, "M1", 24, 4.8, 1);
	add_cable(job, "X1", "0.75 mm2", 1, "D2", "M1.start");
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	s->strips[0].v_max_worst = 25.5;
	s->strips[2].v_max_worst = 26.5;
	s->strips[3].v_max_worst = 25.3;
	struct findings findings = judge(job, s);
	assert_int_equal(findings.count, 2);
	assert_int_equal(findings.items[0].severity, SEVERITY_FAIL);
	assert_about(&findings.items[0], KIND_STRIP, 2);
	assert_int_equal(findings.items[0].item_count, 2);
	assert_true(concerns(&findings.items[0], KIND_STRIP, 0));
	assert_int_equal(findings.items[1].severity, SEVERITY_CAUTION);
	assert_about(&findings.items[1], KIND_STRIP, 3);
	job_builder_free(job);
}

/* Cut units of 50 mm: 17 are 850 mm; 0.02 of a unit is 1 mm. */
static void a_length_is_a_whole_number_of_units(void **state)
{
	(void)state;
	static const struct { double length; int severity; double on_mark; } cases[] = {
		{ 0.850, NONE, 0 }, { 0.851, NONE, 0 }, { 0.8491, NONE, 0 },
		{ 0.8511, SEVERITY_CAUTION, 0.850 }, { 0.875, SEVERITY_CAUTION, 0.850 },
		{ 0.8989, SEVERITY_CAUTION, 0.850 }, { 0.8991, NONE, 0 },
		{ 0.030, SEVERITY_CAUTION, 0 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(1);
		give(&job->strips[0].length, cases[i].length, DIM_LENGTH);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		assert_int_equal(severity_of(job, s, "off-mark"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE) {
			assert_near(the(&findings, "off-mark")->value, cases[i].length, 0, 0);
			assert_near(the(&findings, "off-mark")->limit, cases[i].on_mark, 1e-12, 0);
		}
		job_builder_free(job);
	}
}

static void off_mark_names_both_lengths_that_are_on_marks(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(1);
	give(&job->strips[0].length, 0.875, DIM_LENGTH);
	job_builder_finish(job);
	struct findings findings = judge(job, blank_solution(job));
	const struct finding *f = the(&findings, "off-mark");
	assert_non_null(strstr(f->todo, "850 mm"));
	assert_non_null(strstr(f->todo, "900 mm"));
	job_builder_free(job);
}

/* The gap is worth a note from 1 mm on; a length, where given, settles the matter. */
static void a_channel_leaves_a_gap(void **state)
{
	(void)state;
	static const struct { double channel; bool length; int severity; double gap; } cases[] = {
		{ 0.850, false, NONE, 0 }, { 0.8509, false, NONE, 0 },
		{ 0.851, false, SEVERITY_NOTE, 0.001 }, { 0.880, false, SEVERITY_NOTE, 0.030 },
		{ 0.880, true, NONE, 0 },
		{ 0.040, false, SEVERITY_CAUTION, 0.040 },           /* no unit fits */
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(1);
		give(&job->strips[0].channel, cases[i].channel, DIM_LENGTH);
		if (!cases[i].length)
			job->strips[0].length.origin = ORIGIN_UNSET;
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		assert_int_equal(severity_of(job, s, "off-mark"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE) {
			assert_near(the(&findings, "off-mark")->value, cases[i].gap, 1e-9, 0);
			assert_true(isnan(the(&findings, "off-mark")->limit));
		}
		job_builder_free(job);
	}
}

/* 10 W/m: common practice, no source. Unsaid is timber; aluminium takes the heat away. */
static void timber_takes_10_w_per_m(void **state)
{
	(void)state;
	static const struct { double power; int mount; double limit; int severity; } cases[] = {
		{ 10, -1, 0, NONE }, { 10.1, -1, 0, SEVERITY_CAUTION },
		{ 10.1, MOUNT_TIMBER, 0, SEVERITY_CAUTION }, { 19.2, MOUNT_ALUMINIUM, 0, NONE },
		{ 10.1, -1, 12, NONE }, { 12.1, -1, 12, SEVERITY_CAUTION },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(1);
		give(&job->strips[0].power, cases[i].power, DIM_WATT_PER_M);
		if (cases[i].mount >= 0)
			give(&job->strips[0].mount, cases[i].mount, DIM__END);
		if (cases[i].limit > 0)
			give(&job->limits[LIMIT_TIMBER_POWER], cases[i].limit, DIM_WATT_PER_M);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		assert_int_equal(severity_of(job, s, "strip-heat"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE)
			assert_string_equal(the(&findings, "strip-heat")->source,
			                    cases[i].limit > 0 ? "limits: timber_power in the job file"
			                                       : check_find("strip-heat")->source);
		job_builder_free(job);
	}
}

/* Three strips of one type: its power is the one cause. A strip that says its own power is another
 * one. */
static void heat_is_one_finding_per_type(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(4);
	for (size_t i = 0; i < 4; i++) {
		job->strips[i].item.type_name = "warm";
		give(&job->strips[i].power, 14.4, DIM_WATT_PER_M);
		job->strips[i].power.origin = i == 1 ? ORIGIN_GIVEN : ORIGIN_TYPE;
	}
	job_builder_finish(job);
	struct findings findings = judge(job, blank_solution(job));
	assert_int_equal(findings.count, 2);
	assert_int_equal(count_of(&findings, "strip-heat"), 2);
	assert_about(&findings.items[0], KIND_STRIP, 0);
	assert_int_equal(findings.items[0].item_count, 3);
	assert_about(&findings.items[1], KIND_STRIP, 1);
	assert_int_equal(findings.items[1].item_count, 1);
	job_builder_free(job);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(overvoltage_is_judged_at_the_highest_unit),
		cmocka_unit_test(overvoltage_is_one_finding_per_driver),
		cmocka_unit_test(a_length_is_a_whole_number_of_units),
		cmocka_unit_test(off_mark_names_both_lengths_that_are_on_marks),
		cmocka_unit_test(a_channel_leaves_a_gap),
		cmocka_unit_test(timber_takes_10_w_per_m),
		cmocka_unit_test(heat_is_one_finding_per_type),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
