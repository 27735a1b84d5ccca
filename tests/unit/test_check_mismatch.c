/* Strips seen together, and lights that come on: mismatch and dip. */
#include "tests/far_end_support.h"

/* 90 % between strips of one view: common practice, no source. */
static void strips_of_one_view_are_compared(void **state)
{
	(void)state;
	static const struct { double a, b; int severity; } cases[] = {
		{ 1.00, 0.90, NONE }, { 1.00, 0.8999, SEVERITY_CAUTION }, { 0.9, 1.0, NONE },
		{ 0.89, 1.0, SEVERITY_CAUTION }, { 0.95, 0.95, NONE },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = strips_on_one_driver(2);
		give_text(&job->strips[0].view, "shelf");
		give_text(&job->strips[1].item.place, "shelf");
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		set_strip(job, s, 0, 0.01, cases[i].a, cases[i].a);
		set_strip(job, s, 1, 0.01, cases[i].b, cases[i].b);
		assert_int_equal(severity_of(job, s, "mismatch"), cases[i].severity);
		if (cases[i].severity != NONE) {
			struct findings findings = judge(job, s);
			const struct finding *f = the(&findings, "mismatch");
			assert_about(f, KIND_STRIP, cases[i].a < cases[i].b ? 0 : 1);
			assert_int_equal(f->item_count, 2);
			assert_near(f->value, fmin(cases[i].a, cases[i].b), 1e-12, 0);
		}
		job_builder_free(job);
	}
}

static void strips_of_no_view_or_of_others_are_not_compared(void **state)
{
	(void)state;
	static const char *const views[][2] = {
		{ NULL, NULL }, { "shelf", NULL }, { "shelf", "plinth" },
	};
	for (size_t i = 0; i < 3; i++) {
		struct job *job = strips_on_one_driver(2);
		for (size_t k = 0; k < 2; k++) {
			/* A view wins over the place. */
			if (views[i][k]) {
				give_text(&job->strips[k].item.place, "bay 1");
				give_text(&job->strips[k].view, views[i][k]);
			}
		}
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		set_strip(job, s, 0, 0.01, 0.85, 0.85);
		assert_int_equal(severity_of(job, s, "mismatch"), NONE);
		job_builder_free(job);
	}
}

/* A strip whose dimness is explained by its far end is not also a mismatch; a note explains
 * nothing. */
static void a_far_end_explains_a_mismatch(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(2);
	give_text(&job->strips[0].view, "shelf");
	give_text(&job->strips[1].view, "shelf");
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	set_strip(job, s, 1, 0.04, 0.85, 0.79);
	struct findings findings = judge(job, s);
	assert_int_equal(count_of(&findings, "far-end-dim"), 1);
	assert_int_equal(count_of(&findings, "mismatch"), 0);
	set_strip(job, s, 1, 0.04, 0.85, 0.85);
	findings = judge(job, s);
	assert_int_equal(findings.count, 1);
	assert_int_equal(count_of(&findings, "mismatch"), 1);
	job_builder_free(job);
}

/* 10 %: common practice, no source. Strips of one switch are one finding about the one that dips
 * most. */
static void dips_are_one_finding_per_switch(void **state)
{
	(void)state;
	struct job *job = strips_on_one_driver(5);
	add_switch(job, "S1", 3);
	add_switch(job, "S2", 3);
	add_cable(job, "X1", "0.75 mm2", 1, "D1", "S1.in");
	add_cable(job, "X2", "0.75 mm2", 1, "D1", "S2.in");
	job_builder_finish(job);
	struct solution *s = blank_solution(job);
	static const double dips[] = { 0.10, 0.11, 0.14, 0.12, 0.5 };
	static const size_t switches[] = { 0, 0, 0, 1, 1 };
	for (size_t i = 0; i < 5; i++) {
		s->strips[i].has_dip = i < 4;                /* the last one has no switch */
		s->strips[i].dip = dips[i];
		s->strips[i].dip_switch = switches[i];
	}
	struct findings findings = judge(job, s);
	assert_int_equal(findings.count, 2);
	assert_int_equal(count_of(&findings, "dip"), 2);
	assert_int_equal(findings.items[0].severity, SEVERITY_CAUTION);
	assert_about(&findings.items[0], KIND_STRIP, 2);
	assert_int_equal(findings.items[0].item_count, 2);
	assert_true(concerns(&findings.items[0], KIND_STRIP, 1));
	assert_near(findings.items[0].value, 0.14, 0, 0);
	assert_near(findings.items[0].limit, 0.10, 0, 0);
	assert_about(&findings.items[1], KIND_STRIP, 3);
	assert_int_equal(findings.items[1].item_count, 1);
	job_builder_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(strips_of_one_view_are_compared),
		cmocka_unit_test(strips_of_no_view_or_of_others_are_not_compared),
		cmocka_unit_test(a_far_end_explains_a_mismatch),
		cmocka_unit_test(dips_are_one_finding_per_switch),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
