/* Variants solved side by side against the same jobs solved one by one: every figure, to 1e-12 of its
 * size. */
#include "tests/support.h"

#include "model/subset.h"
#include "model/tolerance.h"
#include "solve/variants.h"
#include "tests/job_builder.h"
#include "tests/oracle/chance.h"

#define SAME 1e-12

/* Two switches, a tap, a strip fed from both ends, a constant-current strip, an unswitched one. */
static struct job *mixed_job(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 100);
	give(&job->drivers[0].output_resistance, 0.05, DIM_OHM);
	add_switch(job, "S1", 5);
	add_switch(job, "S2", 5);
	add_block(job, "B1", 6, 8);
	add_block(job, "B2", 6, 8);
	add_strip(job, "L1", 24, 9.6, 3.0);
	add_strip(job, "L2", 24, 14.4, 5.0);
	add_strip(job, "L3", 24, 9.6, 1.0);
	add_strip(job, "L4", 24, 9.6, 0.05);
	job->strips[2].ballast.num = BALLAST_CONSTANT_CURRENT;
	job->strips[2].ballast.origin = ORIGIN_GIVEN;
	give(&job->strips[2].regulates_above, 22, DIM_VOLT);
	add_cable(job, "C1", "0.75 mm2", 2, "D1", "B1");
	add_cable(job, "C2", "0.5 mm2", 1, "B1", "S1.in");
	add_cable(job, "C3", "0.5 mm2", 1, "S1.out", "L1@1.2");
	add_cable(job, "C4", "0.5 mm2", 3, "B1", "S2.in");
	add_cable(job, "C5", "0.75 mm2", 1, "S2.out", "B2");
	add_cable(job, "C6", "0.75 mm2", 1, "B2", "L2.start");
	add_cable(job, "C7", "0.75 mm2", 6, "B2", "L2.end");
	add_cable(job, "C8", "0.5 mm2", 1, "B2", "L3.start");
	add_cable(job, "C9", "0.5 mm2", 1, "B1", "L4.end");
	job_builder_finish(job);
	return job;
}

#define SAME_FIGURE(list, i, member) \
	assert_near(got->list[i].member, want->list[i].member, SAME, SAME)

static void compare_strips(const struct job *job, const struct solution *got, const struct solution *want)
{
	for (size_t i = 0; i < job->strip_count; i++) {
		assert_int_equal(got->strips[i].live, want->strips[i].live);
		assert_int_equal(got->strips[i].has_dip, want->strips[i].has_dip);
		SAME_FIGURE(strips, i, current_a);
		SAME_FIGURE(strips, i, power_w);
		SAME_FIGURE(strips, i, v_min);
		SAME_FIGURE(strips, i, v_max);
		SAME_FIGURE(strips, i, drop);
		SAME_FIGURE(strips, i, light_min);
		SAME_FIGURE(strips, i, light_max);
		SAME_FIGURE(strips, i, light_mean);
		SAME_FIGURE(strips, i, v_max_worst);
		SAME_FIGURE(strips, i, dip);
	}
}

static void compare_parts(const struct job *job, const struct solution *got, const struct solution *want)
{
	for (size_t i = 0; i < job->cable_count; i++) {
		SAME_FIGURE(cables, i, amps);
		SAME_FIGURE(cables, i, v_from);
		SAME_FIGURE(cables, i, v_to);
		SAME_FIGURE(cables, i, loss_w);
		SAME_FIGURE(cables, i, worst_a);
		SAME_FIGURE(cables, i, fault_a);
	}
	for (size_t i = 0; i < job->switch_count; i++) {
		SAME_FIGURE(switches, i, amps);
		SAME_FIGURE(switches, i, drop_v);
		SAME_FIGURE(switches, i, worst_a);
		SAME_FIGURE(switches, i, least_a);
	}
	for (size_t i = 0; i < job->block_count; i++) {
		SAME_FIGURE(blocks, i, volts);
		SAME_FIGURE(blocks, i, amps);
		SAME_FIGURE(blocks, i, worst_a);
	}
	for (size_t i = 0; i < job->driver_count; i++) {
		SAME_FIGURE(drivers, i, output_w);
		SAME_FIGURE(drivers, i, load_w);
		SAME_FIGURE(drivers, i, worst_w);
		SAME_FIGURE(drivers, i, worst_a);
		SAME_FIGURE(drivers, i, least_w);
	}
	for (size_t i = 0; i < job->terminal_count; i++) {
		SAME_FIGURE(terminals, i, volts);
		SAME_FIGURE(terminals, i, volts_low);
		SAME_FIGURE(terminals, i, volts_high);
		SAME_FIGURE(terminals, i, worst_in_a);
	}
}

/* Another build of the job in every lane, several rounds so that lanes start from one another's answers.
 * Fault currents stay the first job's. */
static void same_as_one_by_one(void **state)
{
	struct job *job = mixed_job();
	struct arena *arena = job->arena;
	struct chance chance = { 7 };
	struct job *jobs[VARIANTS];
	const struct job *list[VARIANTS];
	struct inputs inputs;
	(void)state;

	inputs_of(job, arena, &inputs);
	double *deviations = arena_array(arena, double, inputs.deviation_count);
	struct variants *variants = variants_new(job, 0, arena);
	const struct solution *first = solve_job(job, arena);
	for (int round = 0; round < 4; round++) {
		size_t count = round == 3 ? 3 : VARIANTS;
		for (size_t k = 0; k < count; k++) {
			list[k] = jobs[k] = job_copy(job, arena);
			for (size_t d = 0; d < inputs.deviation_count; d++)
				deviations[d] = chance_between(&chance, -1, 1);
			inputs_apply(&inputs, job, deviations, jobs[k]);
		}
		assert_true(variants_solve(variants, list, count));
		for (size_t k = 0; k < count; k++) {
			struct solution *want = solve_job(jobs[k], arena);
			for (size_t c = 0; c < job->cable_count; c++)
				want->cables[c].fault_a = first->cables[c].fault_a;
			compare_strips(job, variants_solution(variants, k), want);
			compare_parts(job, variants_solution(variants, k), want);
		}
	}
	job_builder_free(job);
}

/* The light at points is that of the units there, across a tap too. */
static void light_at_points(void **state)
{
	struct job *job = mixed_job();
	const struct job *list[1] = { job };
	(void)state;

	struct variants *variants = variants_new(job, 5, job->arena);
	const struct solution *want = solve_job(job, job->arena);
	assert_true(variants_solve(variants, list, 1));
	for (size_t i = 0; i < job->strip_count; i++) {
		const double *light = variants_light(variants, 0, i);
		size_t last = job->strips[i].units - 1;
		for (size_t p = 0; p < 5; p++)
			assert_near(light[p], want->strips[i].light[(size_t)((double)(p * last) / 4 + 0.5)], SAME, SAME);
	}
	job_builder_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(same_as_one_by_one),
		cmocka_unit_test(light_at_points),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
