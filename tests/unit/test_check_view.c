/* Strips seen together: how much dimmer is the dimmest than the brightest. */
#include "tests/check_support.h"

/* Three strips of one place and one elsewhere. 0.6 of 0.8 is 75 %, and 72 % of 80 % are the limit of 90 %. */
static void the_dimmest_is_held_against_the_brightest(void **state)
{
	(void)state;
	static const struct { double light[4]; int severity; size_t dim, bright; double value; } cases[] = {
		{ { 0.7, 0.8, 0.6, 0.1 }, SEVERITY_CAUTION, 2, 1, 0.75 },
		{ { 0.6, 0.7, 0.8, 1.0 }, SEVERITY_CAUTION, 0, 2, 0.75 },
		{ { 0.8, 0.75, 0.72, 0.1 }, NONE, 0, 0, 0 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = job_builder_new();
		add_driver(job, "D1", 24, 60);
		for (size_t k = 0; k < 4; k++) {
			const char *id = arena_printf(job->arena, "L%zu", k + 1);
			add_strip(job, id, 24, 4.8, 1);
			give_text(&job->strips[k].item.place, k < 3 ? "bay" : "shelf");
			add_cable(job, arena_printf(job->arena, "C%zu", k + 1), "0.75 mm2", 1, "D1",
			          arena_printf(job->arena, "%s.start", id));
		}
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		for (size_t k = 0; k < 4; k++)
			s->strips[k].light_mean = cases[i].light[k];
		assert_int_equal(severity_of(job, s, "mismatch"), cases[i].severity);
		if (cases[i].severity != NONE) {
			struct findings findings = judge(job, s);
			const struct finding *f = the(&findings, "mismatch");
			assert_about(f, KIND_STRIP, cases[i].dim);
			assert_int_equal(f->item_count, 2);
			assert_true(concerns(f, KIND_STRIP, cases[i].bright));
			assert_near(f->value, cases[i].value, 1e-12, 0);
			assert_near(f->limit, 0.9, 0, 0);
		}
		job_builder_free(job);
	}
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_dimmest_is_held_against_the_brightest),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
