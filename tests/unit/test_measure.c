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

static double taken(const struct check_input *in, const char *check)
{
	struct measures measures;
	measures_of(in, in->job->arena, &measures);
	for (size_t i = 0; i < measures.count; i++)
		if (measures.items[i].check == check_find(check))
			return measures.items[i].take(&measures.items[i], in);
	fail_msg("no %s", check);
	return NAN;
}

/* Two strips of one view, neither at full light: 80 % and 90 % on average, joined end to end from 72 % to
 * 96 % of it. As brighter than their label says just so. */
static void ratios_are_between_strips_and_not_to_the_label(void **state)
{
	static const double more[] = { 1, 2 };
	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct job *job = job_builder_new();
		add_driver(job, "D1", 24, 60);
		add_strip(job, "L1", 24, 9.6, 0.5);
		add_strip(job, "L2", 24, 9.6, 0.5);
		add_cable(job, "C1", "0.75 mm2", 1, "D1", "L1.start");
		add_cable(job, "C2", "0.75 mm2", 1, "L1.end", "L2.start");
		give_text(&job->strips[0].view, "back");
		give_text(&job->strips[1].view, "back");
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		const struct check_input in = { job, s };
		s->strips[0].light_mean = 0.9 * more[i];
		s->strips[1].light_mean = 0.8 * more[i];
		s->strips[0].light_max = 0.96 * more[i];
		s->strips[0].light_min = 0.81 * more[i];
		s->strips[1].light_max = 0.81 * more[i];
		s->strips[1].light_min = 0.72 * more[i];
		assert_near(taken(&in, "mismatch"), 8.0 / 9, 1e-12, 0);
		assert_near(taken(&in, "uneven"), 0.75, 1e-12, 0);
		job_builder_free(job);
	}
}

static bool has_figure(const struct check_input *in, const char *check)
{
	struct measures measures;
	bool found = false;
	measures_of(in, in->job->arena, &measures);
	for (size_t i = 0; i < measures.count; i++)
		found = found || measures.items[i].check == check_find(check);
	return found;
}

/* A least load is asked of what carries something, be it little; with nothing behind it there is no figure. */
static void a_least_load_is_asked_of_what_carries_something(void **state)
{
	(void)state;
	for (int some = 0; some <= 1; some++) {
		struct job *job = job_builder_new();
		add_driver(job, "D1", 24, 60);
		give(&job->drivers[0].min_load, 1, DIM_WATT);
		add_switch(job, "S1", 5);
		give(&job->switches[0].min_load, 0.5, DIM_AMP);
		add_strip(job, "L1", 24, 4.8, 0.1);
		add_cable(job, "C1", "0.75 mm2", 1, "D1", "S1.in");
		add_cable(job, "C2", "0.75 mm2", 1, "S1.out", "L1.start");
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		const struct check_input in = { job, s };
		s->switches[0].worst_a = s->switches[0].least_a = some ? 0.02 : 0;
		s->drivers[0].nameplate_w = s->drivers[0].least_w = some ? 0.48 : 0;
		assert_int_equal(has_figure(&in, "switch-light-load"), some);
		assert_int_equal(has_figure(&in, "driver-light-load"), some);
		if (some) {
			assert_near(taken(&in, "switch-light-load"), 0.02, 0, 0);
			assert_near(taken(&in, "driver-light-load"), 0.48, 0, 0);
		}
		job_builder_free(job);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_broken_figure_has_its_finding),
		cmocka_unit_test(every_finding_has_its_broken_figure),
		cmocka_unit_test(sound_job_has_figures),
		cmocka_unit_test(a_least_load_is_asked_of_what_carries_something),
		cmocka_unit_test(ratios_are_between_strips_and_not_to_the_label),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
