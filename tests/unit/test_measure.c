/* What is measured for a spread of builds is what the checks judge: on a job with trouble everywhere, every
 * figure beyond its limit has its finding with the same value, and the other way round. */
#include "tests/check_support.h"

#include "check/measure.h"

static struct job *troubled_job(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 12, 60);
	give(&job->drivers[0].min_load, 70, DIM_WATT);
	give(&job->drivers[0].set_voltage, 13, DIM_VOLT);
	add_switch(job, "S1", 1);
	give(&job->switches[0].min_load, 5, DIM_AMP);
	add_switch(job, "S2", 5);
	add_block(job, "B1", 6, 2);
	give(&job->blocks[0].port_current, 1, DIM_AMP);
	add_strip(job, "L1", 12, 14.4, 3.0);
	give(&job->strips[0].max_current, 2, DIM_AMP);
	add_strip(job, "L2", 12, 9.6, 0.5);
	give_text(&job->strips[0].view, "back");
	give_text(&job->strips[1].view, "back");
	add_cable(job, "C1", "0.14 mm2", 1, "D1", "B1");
	give(&job->cables[0].fuse, 1, DIM_AMP);
	give(&job->cables[0].joint_current, 1, DIM_AMP);
	add_cable(job, "C2", "0.5 mm2", 1, "B1", "S1.in");
	add_cable(job, "C3", "0.5 mm2", 1, "S1.out", "L1.start");
	add_cable(job, "C4", "0.5 mm2", 1, "B1", "S2.in");
	add_cable(job, "C5", "0.5 mm2", 1, "S2.out", "L2.start");
	job_builder_finish(job);
	return job;
}

static bool is_broken(const struct check_input *in, const struct measure *m)
{
	return measure_breaks(m, m->take(m, in), m->limit);
}

static void every_broken_figure_has_its_finding(void **state)
{
	struct job *job = troubled_job();
	const struct solution *solution = solve_job(job, job->arena);
	const struct check_input in = { job, solution };
	struct findings findings = judge(job, solution);
	struct measures measures;
	size_t broken = 0;
	(void)state;

	measures_of(&in, job->arena, &measures);
	for (size_t i = 0; i < measures.count; i++) {
		const struct measure *m = &measures.items[i];
		bool found = false;
		if (!is_broken(&in, m))
			continue;
		broken++;
		for (size_t f = 0; f < findings.count; f++)
			found = found || (findings.items[f].check == m->check &&
			                  concerns(&findings.items[f], m->item.kind, m->item.index));
		/* strips joined end to end have one far-end finding, and it explains a mismatch */
		bool shared = check_find("far-end-dim") == m->check || check_find("far-end-drop") == m->check ||
		              check_find("uneven") == m->check || check_find("mismatch") == m->check;
		if (!found && !shared)
			fail_msg("%s is broken, but has no finding", m->check->name);
	}
	assert_true(broken >= 12);
	job_builder_free(job);
}

static void every_finding_has_its_broken_figure(void **state)
{
	static const char *const not_measured[] = { "cable-unprotected", "driver-limited-power",
	                                            "fault-may-not-trip", NULL };
	struct job *job = troubled_job();
	const struct solution *solution = solve_job(job, job->arena);
	const struct check_input in = { job, solution };
	struct findings findings = judge(job, solution);
	struct measures measures;
	(void)state;

	measures_of(&in, job->arena, &measures);
	for (size_t f = 0; f < findings.count; f++) {
		const struct finding *finding = &findings.items[f];
		bool found = false;
		for (const char *const *name = not_measured; *name; name++)
			found = found || strcmp(finding->check->name, *name) == 0;
		for (size_t i = 0; i < measures.count && !found; i++) {
			const struct measure *m = &measures.items[i];
			found = m->check == finding->check && m->item.index == finding->item.index &&
			        is_broken(&in, m) && fabs(m->take(m, &in) - finding->value) <= 1e-12 * finding->value;
		}
		if (!found)
			fail_msg("%s has no broken figure of its value", finding->check->name);
	}
	job_builder_free(job);
}

/* In a sound job nothing is broken, and figures are there all the same. */
static void sound_job_has_figures(void **state)
{
	struct job *job = job_builder_new();
	struct measures measures;
	(void)state;
	add_driver(job, "D1", 24, 60);
	add_strip(job, "L1", 24, 9.6, 0.5);
	add_cable(job, "C1", "0.75 mm2", 1, "D1", "L1.start");
	job_builder_finish(job);
	const struct check_input in = { job, solve_job(job, job->arena) };
	measures_of(&in, job->arena, &measures);
	/* headroom, drop, light, overvoltage, heat, uneven, cable */
	assert_int_equal(measures.count, 7);
	for (size_t i = 0; i < measures.count; i++)
		assert_false(is_broken(&in, &measures.items[i]));
	job_builder_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_broken_figure_has_its_finding),
		cmocka_unit_test(every_finding_has_its_broken_figure),
		cmocka_unit_test(sound_job_has_figures),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
