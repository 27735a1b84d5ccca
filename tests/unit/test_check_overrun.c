/* Metres and amperes at one feed. Networks are solved by the program's own solver, so that voltages
 * fall as they do in a job; the metres follow from symmetry and from counting. */
#include "tests/check_support.h"

static struct job *job_with_driver(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 200);
	return job;
}

static void give_max_run(struct job *job, double metres)
{
	for (size_t i = 0; i < job->strip_count; i++)
		give(&job->strips[i].max_run, metres, DIM_LENGTH);
}

/* Is the run above `metres`, and not above a hair more? Then it is that long. */
static void assert_run(const struct job *job, double metres, size_t about, size_t concerned)
{
	struct solution *s = solve_job(job, job->arena);
	assert_true(s->converged);
	for (size_t i = 0; i < job->strip_count; i++)
		job->strips[i].max_run.num = metres * (1 + 1e-6);
	assert_int_equal(severity_of(job, s, "strip-overrun"), NONE);
	for (size_t i = 0; i < job->strip_count; i++)
		job->strips[i].max_run.num = metres * (1 - 1e-6);
	struct findings findings = judge(job, s);
	const struct finding *f = the(&findings, "strip-overrun");
	assert_int_equal(f->severity, SEVERITY_CAUTION);
	assert_about(f, KIND_STRIP, about);
	assert_int_equal(f->item_count, concerned);
	assert_near(f->value, metres, 1e-6, 0);
}

static void one_feed_supplies_the_whole_strip(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 9.6, 3);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	give_max_run(job, 3);
	job_builder_finish(job);
	assert_run(job, 3, 0, 1);
	/* Exactly at its limit it passes. */
	job->strips[0].max_run.num = 3;
	assert_int_equal(severity_of(job, solve_job(job, job->arena), "strip-overrun"), NONE);
	job_builder_free(job);
}

/* Fed alike at both ends each feed supplies half, be the number of units even (60) or odd (61, 1). */
static void two_equal_feeds_share_the_strip(void **state)
{
	(void)state;
	static const double lengths[] = { 3.00, 3.05, 0.05 };
	for (size_t i = 0; i < 3; i++) {
		struct job *job = job_with_driver();
		add_strip(job, "L1", 24, 9.6, lengths[i]);
		add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
		add_cable(job, "C2", "1.5 mm2", 1, "D1", "L1.end");
		give_max_run(job, 3);
		job_builder_finish(job);
		assert_run(job, lengths[i] / 2, 0, 1);
		job_builder_free(job);
	}
}

/* Fed at 1 m of 3 m, from either end, the longer side is 2 m. */
static void a_tap_supplies_either_side(void **state)
{
	(void)state;
	for (int turned = 0; turned <= 1; turned++) {
		struct job *job = job_with_driver();
		add_strip(job, "L1", 24, 9.6, 3);
		add_cable(job, "C1", "1.5 mm2", 1, "D1", turned ? "L1@2.0" : "L1@1.0");
		give_max_run(job, 3);
		job_builder_finish(job);
		assert_run(job, 2, 0, 1);
		job_builder_free(job);
	}
}

/* 2 m + 1.5 m + 1 m in a chain, the last of them joined by its end: 4.5 m hang on L1.start. */
static void chained_strips_count(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 2);
	add_strip(job, "L2", 24, 4.8, 1.5);
	add_strip(job, "L3", 24, 4.8, 1);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	add_cable(job, "C2", "1.5 mm2", 0.1, "L1.end", "L2.start");
	add_cable(job, "C3", "1.5 mm2", 0.1, "L3.end", "L2.end");
	give_max_run(job, 5);
	job_builder_finish(job);
	assert_run(job, 4.5, 0, 3);
	/* Each strip has its own limit: only L2's is too short. */
	job->strips[0].max_run.num = job->strips[2].max_run.num = 5;
	job->strips[1].max_run.num = 4;
	struct findings findings = judge(job, solve_job(job, job->arena));
	const struct finding *f = the(&findings, "strip-overrun");
	assert_about(f, KIND_STRIP, 1);
	assert_int_equal(f->item_count, 1);
	assert_near(f->limit, 4, 0, 0);
	assert_non_null(strstr(f->message, "L1.start"));
	job_builder_free(job);
}

/* Both strips hang on the terminal that is fed, in two directions: 2 m, not 4 m. */
static void a_strip_on_the_feed_itself_is_another_direction(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 2);
	add_strip(job, "L2", 24, 4.8, 2.5);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	add_cable(job, "C2", "1.5 mm2", 0.1, "L1.start", "L2.start");
	give_max_run(job, 5);
	job_builder_finish(job);
	assert_run(job, 2.5, 1, 1);
	job_builder_free(job);
}

/* L1 is fed at both ends; the 2 m of L2 hang on its end, whichever way their cable was written down. */
static void the_feed_that_is_named_is_the_one(void **state)
{
	(void)state;
	for (int turned = 0; turned <= 1; turned++) {
		struct job *job = job_with_driver();
		add_strip(job, "L1", 24, 4.8, 1);
		add_strip(job, "L2", 24, 4.8, 2);
		add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
		add_cable(job, "C2", "1.5 mm2", 0.1, turned ? "L2.start" : "L1.end",
		          turned ? "L1.end" : "L2.start");
		add_cable(job, "C3", "1.5 mm2", 1, "D1", "L1.end");
		give_max_run(job, 3);
		job_builder_finish(job);
		assert_run(job, 2, 1, 1);
		struct findings findings = judge(job, solve_job(job, job->arena));
		assert_int_equal(strncmp(the(&findings, "strip-overrun")->message, "L1.end supplies 2", 17), 0);
		job_builder_free(job);
	}
}

/* A branch at a tap of L1: what hangs on it lies in the same direction from the feed. 3 m + 1 m. */
static void branches_on_the_way_count(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 3);
	add_strip(job, "L2", 24, 4.8, 1);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	add_cable(job, "C2", "1.5 mm2", 0.1, "L1@2.0", "L2.start");
	give_max_run(job, 5);
	job_builder_finish(job);
	assert_run(job, 4, 0, 2);
	job_builder_free(job);
}

/* Four taps on the way, each with a strip of 0.25 m: 3 m + 1 m. */
static void every_branch_on_the_way_counts(void **state)
{
	(void)state;
	static const char *const taps[] = { "L1@0.5", "L1@1.0", "L1@1.5", "L1@2.5" };
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 3);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	for (size_t k = 0; k < 4; k++) {
		add_strip(job, arena_printf(job->arena, "M%zu", k), 24, 4.8, 0.25);
		add_cable(job, arena_printf(job->arena, "X%zu", k), "1.5 mm2", 0.1, taps[k],
		          arena_printf(job->arena, "M%zu.start", k));
	}
	give_max_run(job, 5);
	job_builder_finish(job);
	assert_run(job, 4, 0, 5);
	job_builder_free(job);
}

/* What comes by way of a block is a feed of its own: 2 m and 1.5 m, not 3.5 m. */
static void a_block_on_the_way_begins_a_new_feed(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 2);
	add_strip(job, "L2", 24, 4.8, 1.5);
	add_block(job, "B1", 4, 10);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	add_cable(job, "C2", "1.5 mm2", 0.1, "L1.end", "B1");
	add_cable(job, "C3", "1.5 mm2", 0.1, "B1", "L2.start");
	give_max_run(job, 5);
	job_builder_finish(job);
	assert_run(job, 2, 0, 1);
	job_builder_free(job);
}

/* L1 and L2 meet in the middle, each fed at its far end alike: 2 m on each feed, nothing crosses.
 * Two runs, so two findings. */
static void where_two_supplies_meet_both_runs_end(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 2);
	add_strip(job, "L2", 24, 4.8, 2);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	add_cable(job, "C2", "1.5 mm2", 0.1, "L1.end", "L2.end");
	add_cable(job, "C3", "1.5 mm2", 1, "D1", "L2.start");
	give_max_run(job, 2.001);
	job_builder_finish(job);
	struct solution *s = solve_job(job, job->arena);
	assert_int_equal(severity_of(job, s, "strip-overrun"), NONE);
	job->strips[0].max_run.num = job->strips[1].max_run.num = 1.999;
	struct findings findings = judge(job, s);
	assert_int_equal(count_of(&findings, "strip-overrun"), 2);
	job_builder_free(job);
}

/* A ring: L2 gets its supply from both ends of L1's far end, and counts once. 1 m + 2 m. */
static void a_strip_reached_by_two_ways_counts_once(void **state)
{
	(void)state;
	struct job *job = job_with_driver();
	add_strip(job, "L1", 24, 4.8, 1);
	add_strip(job, "L2", 24, 4.8, 2);
	add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
	add_cable(job, "C2", "1.5 mm2", 0.1, "L1.end", "L2.start");
	add_cable(job, "C3", "1.5 mm2", 2.1, "L1.end", "L2.end");
	give_max_run(job, 5);
	job_builder_finish(job);
	assert_run(job, 3, 0, 2);
	job_builder_free(job);
}

/* The largest inflow at any terminal of the strip, over the cases. */
static void a_feed_carries_no_more_than_max_current(void **state)
{
	(void)state;
	static const struct { double start, end; int severity; double value; } cases[] = {
		{ 3, 2, NONE, 0 }, { 3.001, 2, SEVERITY_FAIL, 3.001 }, { 1, 3.5, SEVERITY_FAIL, 3.5 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = job_with_driver();
		add_strip(job, "L1", 24, 9.6, 3);
		give(&job->strips[0].max_current, 3, DIM_AMP);
		add_cable(job, "C1", "1.5 mm2", 1, "D1", "L1.start");
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		s->terminals[job->strips[0].terminal].worst_in_a = cases[i].start;
		s->terminals[job->strips[0].terminal + 1].worst_in_a = cases[i].end;
		assert_int_equal(severity_of(job, s, "strip-overrun"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE)
			assert_near(the(&findings, "strip-overrun")->value, cases[i].value, 0, 0);
		job_builder_free(job);
	}
}

/* Dark strips have no current to follow. */
static void a_network_without_figures_has_no_runs(void **state)
{
	(void)state;
	struct job *job = job_builder_new();
	add_block(job, "B1", 4, 10);
	add_strip(job, "L1", 24, 9.6, 3);
	add_cable(job, "C1", "1.5 mm2", 1, "B1", "L1.start");
	give_max_run(job, 1);
	job_builder_finish(job);
	assert_int_equal(severity_of(job, solve_job(job, job->arena), "strip-overrun"), NONE);
	job_builder_free(job);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(one_feed_supplies_the_whole_strip),
		cmocka_unit_test(two_equal_feeds_share_the_strip),
		cmocka_unit_test(a_tap_supplies_either_side),
		cmocka_unit_test(chained_strips_count),
		cmocka_unit_test(a_strip_on_the_feed_itself_is_another_direction),
		cmocka_unit_test(the_feed_that_is_named_is_the_one),
		cmocka_unit_test(branches_on_the_way_count),
		cmocka_unit_test(every_branch_on_the_way_counts),
		cmocka_unit_test(a_block_on_the_way_begins_a_new_feed),
		cmocka_unit_test(where_two_supplies_meet_both_runs_end),
		cmocka_unit_test(a_strip_reached_by_two_ways_counts_once),
		cmocka_unit_test(a_feed_carries_no_more_than_max_current),
		cmocka_unit_test(a_network_without_figures_has_no_runs),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
