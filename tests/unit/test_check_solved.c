/* Solved jobs from end to end: sound work is left in peace, one cause is one finding, and work
 * grows no faster than the job. */
#include "tests/check_support.h"

#include <time.h>

/* The job of the input manual: two strips of three bays, the long one fed from both ends. */
static struct job *boot_room(double driver_watts, bool both_ends)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, driver_watts);
	add_switch(job, "S1", 3);
	add_block(job, "B1", 6, 6);
	add_strip(job, "L1", 24, 9.6, 0.85);
	add_strip(job, "L2", 24, 9.6, 2.4);
	add_cable(job, "C1", "0.75 mm2", 3.2, "D1", "S1.in");
	add_cable(job, "C2", "0.75 mm2", 0.3, "S1.out", "B1");
	add_cable(job, "C3", "0.75 mm2", 0.5, "B1", "L1.start");
	add_cable(job, "C4", "0.75 mm2", 0.5, "B1", "L2.start");
	if (both_ends)
		add_cable(job, "C5", "0.75 mm2", 2.9, "B1", "L2.end");
	return job;
}

static struct findings solve_and_judge(struct job *job)
{
	job_builder_finish(job);
	struct solution *s = solve_job(job, job->arena);
	assert_true(s->converged);
	return judge(job, s);
}

static void a_sound_job_raises_nothing(void **state)
{
	(void)state;
	struct job *job = boot_room(60, true);
	struct findings findings = solve_and_judge(job);
	assert_int_equal(findings.count, 0);
	assert_int_equal(findings_verdict(&findings), VERDICT_OK);
	job_builder_free(job);
}

/* A 120 W driver is more than it needs, and no limited-power source: a note, and the cables of 0.75
 * mm2 stand its 5 A (Iz 6 A) and its 7.5 A (1.45 Iz = 8.7 A). */
static void a_sound_job_may_have_notes(void **state)
{
	(void)state;
	struct job *job = boot_room(120, true);
	struct findings findings = solve_and_judge(job);
	assert_int_equal(findings.count, 1);
	assert_int_equal(the(&findings, "driver-limited-power")->severity, SEVERITY_NOTE);
	assert_int_equal(findings_verdict(&findings), VERDICT_OK);
	job_builder_free(job);
}

/* 31.2 W on 36 W: above 28.8 W. The only thing wrong is the only thing said. */
static void a_small_driver_is_one_finding(void **state)
{
	(void)state;
	struct job *job = boot_room(36, true);
	struct findings findings = solve_and_judge(job);
	assert_int_equal(findings.count, 1);
	const struct finding *f = the(&findings, "driver-headroom");
	assert_int_equal(f->severity, SEVERITY_CAUTION);
	assert_near(f->value, 9.6 * 3.25, 1e-9, 0);  /* label watts: above what is really drawn */
	assert_near(f->limit, 28.8, 1e-12, 0);
	job_builder_free(job);
}

/* 5 m fed from one end: 0.20 ohm/m; 14.4 W/m above a knee of 16.5 V, so 0.6 A/m / 7.5 V = 0.08 S/m.
 * A ladder of resistors has V(far) - Vknee = (Vset - Vknee) / cosh(k l) with k = sqrt(r g): 16.5 V
 * + 7.5 V / cosh(0.632) = 22.72 V, 5.3 % lost; 83 % of its light, 83 % evenness. Voltage and
 * evenness are outside, and beside L2 it is a mismatch too: one cause, so one finding. The cable
 * adds next to nothing. */
static void a_long_strip_is_one_finding(void **state)
{
	(void)state;
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 96);
	add_strip(job, "L1", 24, 14.4, 5);
	give(&job->strips[0].mount, MOUNT_ALUMINIUM, DIM__END);
	give_text(&job->strips[0].view, "shelf");
	add_strip(job, "L2", 24, 4.8, 0.5);
	give_text(&job->strips[1].view, "shelf");
	give(&job->limits[LIMIT_MISMATCH], 0.95, DIM_RATIO);
	for (size_t i = 0; i < 2; i++) {
		add_cable(job, i ? "C2" : "C1", "6 mm2", 0.01, "D1", i ? "L2.start" : "L1.start");
		give(&job->cables[i].joint_resistance, 0, DIM_OHM);
	}
	struct findings findings = solve_and_judge(job);
	assert_int_equal(findings.count, 1);
	const struct finding *f = the(&findings, "far-end-drop");
	assert_int_equal(f->severity, SEVERITY_CAUTION);
	assert_about(f, KIND_STRIP, 0);
	assert_near(f->value, 7.5 * (1 - 1 / cosh(sqrt(0.20 * 0.08) * 5)) / 24, 2e-3, 0);
	job_builder_free(job);
}

/* 12 V strips on a 24 V driver: what follows from it about those strips is not said. */
static void a_wrong_voltage_is_said_once_about_its_strips(void **state)
{
	(void)state;
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 100);
	add_strip(job, "L1", 12, 4.8, 1);
	add_cable(job, "C1", "0.75 mm2", 1, "D1", "L1.start");
	struct findings findings = solve_and_judge(job);
	assert_int_equal(findings.count, 1);
	assert_string_equal(findings.items[0].check->name, "driver-voltage");
	job_builder_free(job);
}

/* Drivers with 20 strips each, every strip with a cable of its own, a view and a max_run: sound,
 * but for all strips being asked everything. Processor time, the best of a few. */
static double seconds_to_judge(size_t drivers)
{
	struct job *job = job_builder_new();
	for (size_t d = 0; d < drivers; d++) {
		const char *driver = arena_printf(job->arena, "D%zu", d);
		add_driver(job, driver, 24, 90);
		for (size_t k = 0; k < 20; k++) {
			const char *strip = arena_printf(job->arena, "L%zu-%zu", d, k);
			size_t i = add_strip(job, strip, 24, 4.8, 0.1);
			give_text(&job->strips[i].view, driver);
			give(&job->strips[i].max_run, 5, DIM_LENGTH);
			add_cable(job, arena_printf(job->arena, "C%zu-%zu", d, k), "0.75 mm2", 1, driver,
			          arena_printf(job->arena, "%s.start", strip));
		}
	}
	job_builder_finish(job);
	struct solution *s = solve_job(job, job->arena);
	double best = INFINITY;
	for (int k = 0; k < 5; k++) {
		clock_t start = clock();
		struct findings findings = judge(job, s);
		best = fmin(best, (double)(clock() - start) / CLOCKS_PER_SEC);
		assert_int_equal(findings.count, 0);
	}
	job_builder_free(job);
	return best;
}

/* Four times the job: about 4 times the work where it grows in proportion, 16 times where with the
 * square. */
static void work_grows_in_proportion_to_the_job(void **state)
{
	(void)state;
	double small = seconds_to_judge(100), large = seconds_to_judge(400);
	assert_true(large < 10 * fmax(small, 1e-4));
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_sound_job_raises_nothing),
		cmocka_unit_test(a_sound_job_may_have_notes),
		cmocka_unit_test(a_small_driver_is_one_finding),
		cmocka_unit_test(a_long_strip_is_one_finding),
		cmocka_unit_test(a_wrong_voltage_is_said_once_about_its_strips),
		cmocka_unit_test(work_grows_in_proportion_to_the_job),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
