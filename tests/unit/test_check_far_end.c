/* Far end and evenness: limits, and which of them speaks when several could. */
#include "tests/far_end_support.h"

static const char *const family[] = { "far-end-drop", "far-end-dim", "uneven" };

/* Which of the three speaks, and how loudly; at most one may. */
static int family_severity(const struct job *job, const struct solution *s, const char **which)
{
	int severity = NONE;
	*which = "";
	for (size_t i = 0; i < 3; i++) {
		int one = severity_of(job, s, family[i]);
		assert_true(one == NONE || severity == NONE);
		if (one != NONE) {
			severity = one;
			*which = family[i];
		}
	}
	return severity;
}

/* Limits of docs/checks.md: 5 %, 10 % of voltage (IEC 60364-7-715 from memory, AS/NZS 3000 7.5);
 * 80 %, 70 % of light and 85 % evenness (common practice, no source). The worst severity wins;
 * between equals light, then voltage, then evenness. */
static void one_finding_speaks_for_a_run(void **state)
{
	(void)state;
	static const struct {
		double drop, first, last;
		int severity;
		const char *which;
		double value, limit;
	} cases[] = {
		{ 0.05, 0.90, 0.80, NONE, "", 0, 0 },
		{ 0.0501, 0.90, 0.85, SEVERITY_CAUTION, "far-end-drop", 0.0501, 0.05 },
		{ 0.10, 0.95, 0.85, SEVERITY_CAUTION, "far-end-drop", 0.10, 0.05 },
		{ 0.1001, 0.95, 0.85, SEVERITY_FAIL, "far-end-drop", 0.1001, 0.10 },
		{ 0.05, 0.85, 0.7999, SEVERITY_CAUTION, "far-end-dim", 0.7999, 0.80 },
		{ 0.05, 0.80, 0.70, SEVERITY_CAUTION, "far-end-dim", 0.70, 0.80 },
		{ 0.05, 0.80, 0.6999, SEVERITY_FAIL, "far-end-dim", 0.6999, 0.70 },
		{ 0.08, 0.80, 0.75, SEVERITY_CAUTION, "far-end-dim", 0.75, 0.80 }, /* equals: light first */
		{ 0.11, 0.80, 0.75, SEVERITY_FAIL, "far-end-drop", 0.11, 0.10 },      /* voltage worse */
		{ 0.08, 0.80, 0.65, SEVERITY_FAIL, "far-end-dim", 0.65, 0.70 },
		{ 0.05, 1.00, 0.85, NONE, "", 0, 0 },
		{ 0.05, 1.00, 0.8499, SEVERITY_CAUTION, "uneven", 0.8499, 0.85 },
		{ 0.06, 1.00, 0.82, SEVERITY_CAUTION, "far-end-drop", 0.06, 0.05 },   /* before evenness */
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(1);
		const char *which;
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		set_strip(job, s, 0, cases[i].drop, cases[i].first, cases[i].last);
		assert_int_equal(family_severity(job, s, &which), cases[i].severity);
		assert_string_equal(which, cases[i].which);
		if (cases[i].severity != NONE) {
			struct findings findings = judge(job, s);
			const struct finding *f = the(&findings, which);
			assert_about(f, KIND_STRIP, 0);
			assert_near(f->value, cases[i].value, 1e-12, 0);
			assert_near(f->limit, cases[i].limit, 0, 0);
		}
		job_builder_free(job);
	}
}

static void both_figures_are_said_where_both_are_outside(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(1);
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	set_strip(job, s, 0, 0.08, 0.75, 0.62);
	struct findings findings = judge(job, s);
	const char *message = the(&findings, "far-end-dim")->message;
	assert_non_null(strstr(message, "L1's far end gets 22.08 V of 24 V (8 % lost, limit 5 %)"));
	assert_non_null(strstr(message, "62 % of its light (limit 70 %)"));
	/* Voltage within its limit: not said. */
	set_strip(job, s, 0, 0.04, 0.75, 0.72);
	findings = judge(job, s);
	assert_null(strstr(the(&findings, "far-end-dim")->message, " V"));
	job_builder_free(job);
}

/* Fed from both ends the lowest point of 20 units is not at an end; unit 9 lies at 9.5 x 50 mm. */
static void the_message_says_where_the_voltage_is_lowest(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(1);
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	double volts[20];
	for (size_t k = 0; k < 20; k++)
		volts[k] = 22 + 0.1 * fabs((double)k - 9);
	set_strip(job, s, 0, 0.0833, 0.9, 0.9);
	s->strips[0].volts = volts;
	struct findings findings = judge(job, s);
	assert_non_null(strstr(the(&findings, "far-end-drop")->message,
	                       "lowest point, 475 mm from its start"));
	job_builder_free(job);
}

static void limits_may_be_set_in_the_job(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(1);
	const char *which;
	give(&job->limits[LIMIT_DROP], 0.03, DIM_RATIO);
	give(&job->limits[LIMIT_LIGHT_FAIL], 0.75, DIM_RATIO);
	give(&job->limits[LIMIT_EVENNESS], 0.95, DIM_RATIO);
	job_builder_finish(job);
	struct solution *s = blank_solution(job);

	set_strip(job, s, 0, 0.031, 1, 0.96);
	assert_int_equal(family_severity(job, s, &which), SEVERITY_CAUTION);
	struct findings findings = judge(job, s);
	assert_string_equal(the(&findings, "far-end-drop")->source, "limits: drop in the job file");
	set_strip(job, s, 0, 0.02, 0.9, 0.74);
	findings = judge(job, s);
	assert_string_equal(the(&findings, "far-end-dim")->source,
	                    "limits: light_fail in the job file");
	set_strip(job, s, 0, 0.02, 1, 0.94);
	findings = judge(job, s);
	assert_string_equal(the(&findings, "uneven")->source, "limits: evenness in the job file");
	/* Said in the file, but the limit that decides is another one. */
	set_strip(job, s, 0, 0.11, 1, 0.96);
	findings = judge(job, s);
	assert_string_equal(the(&findings, "far-end-drop")->source, check_find("far-end-drop")->source);
	job_builder_free(job);
}

/* A constant-current strip that has all its light loses voltage without harm. */
static void constant_current_with_full_light_is_a_note(void **state)
{
	(void)state;
	static const struct { double drop, light; int severity; const char *which; } cases[] = {
		{ 0.06, 1, SEVERITY_NOTE, "far-end-drop" },
		{ 0.12, 0.999, SEVERITY_NOTE, "far-end-drop" },
		{ 0.12, 0.998, SEVERITY_FAIL, "far-end-drop" },
		{ 0.06, 0.998, SEVERITY_CAUTION, "far-end-drop" },
		{ 0.05, 1, NONE, "" },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(1);
		const char *which;
		give(&job->strips[0].ballast, BALLAST_CONSTANT_CURRENT, DIM__END);
		give(&job->strips[0].regulates_above, 20, DIM_VOLT);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		set_strip(job, s, 0, cases[i].drop, 1, cases[i].light);
		assert_int_equal(family_severity(job, s, &which), cases[i].severity);
		assert_string_equal(which, cases[i].which);
		if (cases[i].severity == SEVERITY_NOTE) {
			struct findings findings = judge(job, s);
			assert_int_equal(findings_verdict(&findings), VERDICT_OK);
		}
		job_builder_free(job);
	}
}

/* L1 - L2 - L3 joined end to end, L4 alone. The run is one finding about its worst strip. */
static void strips_joined_end_to_end_are_one_run(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(4);
	add_cable(job, "J1", "0.75 mm2", 0.1, "L1.end", "L2.start");
	add_cable(job, "J2", "0.75 mm2", 0.1, "L3.start", "L2.end");
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	set_strip(job, s, 0, 0.03, 1.00, 0.90);
	set_strip(job, s, 1, 0.08, 0.90, 0.78);
	set_strip(job, s, 2, 0.09, 0.78, 0.71);
	set_strip(job, s, 3, 0.06, 1.00, 0.79);

	struct findings findings = judge(job, s);
	assert_int_equal(findings.count, 2);
	assert_int_equal(count_of(&findings, "far-end-dim"), 2);
	const struct finding *run = &findings.items[0], *alone = &findings.items[1];
	assert_about(run, KIND_STRIP, 2);
	assert_int_equal(run->item_count, 2);
	assert_true(concerns(run, KIND_STRIP, 1));
	assert_near(run->value, 0.71, 1e-12, 0);
	assert_about(alone, KIND_STRIP, 3);
	assert_int_equal(alone->item_count, 1);
	job_builder_free(job);
}

/* Wherever it lies in the run and in the file: a fail before a caution that loses more elsewhere,
 * and the lowest of several of one severity. */
static void the_worst_strip_of_a_run_is_the_one_named(void **state)
{
	(void)state;
	static const struct { double lights[3]; size_t worst; } cases[] = {
		{ { 0.69, 0.78, 0.75 }, 0 }, { { 0.78, 0.75, 0.79 }, 1 }, { { 0.79, 0.78, 0.75 }, 2 },
		{ { 0.68, 0.65, 0.69 }, 1 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(3);
		add_cable(job, "J1", "0.75 mm2", 0.1, "L1.end", "L2.start");
		add_cable(job, "J2", "0.75 mm2", 0.1, "L3.start", "L2.end");
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		for (size_t k = 0; k < 3; k++)
			set_strip(job, s, k, 0.03, 0.9, cases[i].lights[k]);
		struct findings findings = judge(job, s);
		const struct finding *f = the(&findings, "far-end-dim");
		assert_about(f, KIND_STRIP, cases[i].worst);
		assert_int_equal(f->item_count, 3);
		assert_near(f->value, cases[i].lights[cases[i].worst], 0, 0);
		job_builder_free(job);
	}
}

/* The same for voltage. */
static void the_strip_that_loses_most_is_the_one_named(void **state)
{
	(void)state;
	static const struct { double drops[2]; size_t worst; } cases[] = {
		{ { 0.08, 0.06 }, 0 }, { { 0.06, 0.08 }, 1 }, { { 0.12, 0.09 }, 0 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(2);
		add_cable(job, "J1", "0.75 mm2", 0.1, "L1.end", "L2.start");
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		for (size_t k = 0; k < 2; k++)
			set_strip(job, s, k, cases[i].drops[k], 1, 0.95);
		struct findings findings = judge(job, s);
		const struct finding *f = the(&findings, "far-end-drop");
		assert_about(f, KIND_STRIP, cases[i].worst);
		assert_near(f->value, cases[i].drops[cases[i].worst], 0, 0);
		job_builder_free(job);
	}
}

/* 0.82 at the end of L2 beside 1.00 at the start of L1: each strip alone is even enough. */
static void evenness_is_judged_over_the_run(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(2);
	add_cable(job, "J1", "0.75 mm2", 0.1, "L1.end", "L2.start");
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	set_strip(job, s, 0, 0.02, 1.00, 0.91);
	set_strip(job, s, 1, 0.04, 0.91, 0.82);
	struct findings findings = judge(job, s);
	const struct finding *f = the(&findings, "uneven");
	assert_about(f, KIND_STRIP, 1);
	assert_int_equal(f->item_count, 2);
	assert_near(f->value, 0.82, 1e-12, 0);
	assert_non_null(strstr(f->message, "the brightest of L1"));
	/* The same strips, not joined. */
	job->cables[2].b = job->drivers[0].terminal;
	s = blank_solution(job);
	set_strip(job, s, 0, 0.02, 1.00, 0.91);
	set_strip(job, s, 1, 0.04, 0.91, 0.82);
	findings = judge(job, s);
	assert_int_equal(count_of(&findings, "uneven"), 0);
	job_builder_free(job);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(one_finding_speaks_for_a_run),
		cmocka_unit_test(both_figures_are_said_where_both_are_outside),
		cmocka_unit_test(the_message_says_where_the_voltage_is_lowest),
		cmocka_unit_test(limits_may_be_set_in_the_job),
		cmocka_unit_test(constant_current_with_full_light_is_a_note),
		cmocka_unit_test(strips_joined_end_to_end_are_one_run),
		cmocka_unit_test(the_worst_strip_of_a_run_is_the_one_named),
		cmocka_unit_test(the_strip_that_loses_most_is_the_one_named),
		cmocka_unit_test(evenness_is_judged_over_the_run),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
