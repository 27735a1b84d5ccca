/* Cables, joints, fuses and what stops a fault. Iz of 0.5, 0.75 and 1 mm2: 3, 6 and 10 A, BS 7671
 * Table 4F3A. */
#include "tests/check_support.h"

/* D1 - C1 - B1 - C2 - L1, nothing fused. */
struct bench {
	struct job *job;
	struct solution *solution;
};

static struct job *two_cables(double watts, const char *first, const char *second)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, watts);
	add_block(job, "B1", 4, 20);
	add_strip(job, "L1", 24, 4.8, 1);
	add_cable(job, "C1", first, 2, "D1", "B1");
	add_cable(job, "C2", second, 2, "B1", "L1.start");
	return job;
}

static struct bench finish(struct job *job)
{
	job_builder_finish(job);
	struct bench b = { job, blank_solution(job) };
	b.solution->upstream[1] = 0;
	return b;
}

/* 0.75 mm2 carries 6 A up to 30 C; at 45 C the published factor of Table 4F3A is 0.71 (here
 * sqrt(15/30)). */
static void a_cable_may_carry_its_rating(void **state)
{
	(void)state;
	static const struct { double ambient, amps; int severity; double limit; } cases[] = {
		{ 25, 6, NONE, 0 }, { 25, 6.001, SEVERITY_FAIL, 6 },
		{ 45, 4.24, NONE, 0 }, { 45, 4.25, SEVERITY_FAIL, 4.2426 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(60, "0.75 mm2", "0.75 mm2");
		give(&job->ambient, cases[i].ambient, DIM_CELSIUS);
		struct bench b = finish(job);
		b.solution->cables[1].worst_a = cases[i].amps;
		assert_int_equal(severity_of(job, b.solution, "cable-overload"), cases[i].severity);
		if (cases[i].severity != NONE) {
			struct findings findings = judge(job, b.solution);
			const struct finding *f = the(&findings, "cable-overload");
			assert_about(f, KIND_CABLE, 1);
			assert_near(f->value, cases[i].amps, 0, 0);
			assert_near(f->limit, cases[i].limit, 1e-4, 0);
			assert_string_equal(f->source, "BS 7671 Table 4F3A");
		}
		job_builder_free(job);
	}
}

static void a_rating_in_the_job_wins(void **state)
{
	(void)state;
	struct job *job = two_cables(60, "0.75 mm2", "0.75 mm2");
	give(&job->cables[0].rating, 8, DIM_AMP);
	struct bench b = finish(job);
	b.solution->cables[0].worst_a = 8;
	assert_int_equal(severity_of(job, b.solution, "cable-overload"), NONE);
	b.solution->cables[0].worst_a = 8.01;
	struct findings findings = judge(job, b.solution);
	assert_string_equal(the(&findings, "cable-overload")->source, "its rating in the job file");
	job_builder_free(job);
}

/* Plug and clip 3 A (common practice, no source), screw without a limit. ORDER of joints: solder,
 * screw, plug, clip. */
static void joints_may_carry_theirs(void **state)
{
	(void)state;
	static const struct { double joint, current, amps; int severity; } cases[] = {
		{ 2, 0, 3, NONE }, { 2, 0, 3.01, SEVERITY_FAIL }, { 3, 0, 3.01, SEVERITY_FAIL },
		{ 1, 0, 5.9, NONE }, { 2, 5, 5, NONE }, { 2, 5, 5.01, SEVERITY_FAIL },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(60, "0.75 mm2", "0.75 mm2");
		give(&job->cables[0].joint, cases[i].joint, DIM__END);
		if (cases[i].current > 0)
			give(&job->cables[0].joint_current, cases[i].current, DIM_AMP);
		struct bench b = finish(job);
		b.solution->cables[0].worst_a = cases[i].amps;
		assert_int_equal(severity_of(job, b.solution, "joint-overload"), cases[i].severity);
		assert_int_equal(severity_of(job, b.solution, "cable-overload"), NONE);
		job_builder_free(job);
	}
}

/* 80 % of 5 A are 4 A (practice, from memory). */
static void a_fuse_is_used_to_four_fifths(void **state)
{
	(void)state;
	static const struct { double amps; int severity; double limit; } cases[] = {
		{ 4, NONE, 0 }, { 4.001, SEVERITY_CAUTION, 4 }, { 5, SEVERITY_CAUTION, 4 },
		{ 5.001, SEVERITY_FAIL, 5 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(60, "0.75 mm2", "0.75 mm2");
		give(&job->cables[0].fuse, 5, DIM_AMP);
		struct bench b = finish(job);
		b.solution->cables[0].worst_a = cases[i].amps;
		assert_int_equal(severity_of(job, b.solution, "fuse-overload"), cases[i].severity);
		struct findings findings = judge(job, b.solution);
		if (cases[i].severity != NONE)
			assert_near(the(&findings, "fuse-overload")->limit, cases[i].limit, 1e-12, 0);
		job_builder_free(job);
	}
}

/* IEC 60364-4-43 433.1: In <= Iz and I2 <= 1.45 Iz, with the driver's max_current for In and its
 * trip_current for I2. Iz of 0.5 mm2 is 3 A: 1.45 Iz = 4.35 A. 72 W are 3 A at 24 V. */
static void the_driver_protects_what_stands_its_trip_current(void **state)
{
	(void)state;
	static const struct { double watts, trip, fault; int severity; } cases[] = {
		{ 72, 4.35, 50, NONE },
		{ 72, 4.36, 50, SEVERITY_CAUTION },
		{ 73, 4.0, 50, SEVERITY_CAUTION },           /* max_current 3.04 A > Iz */
		{ 240, 15, 3, NONE },                        /* no fault draws more than Iz */
		{ 240, 15, 3.01, SEVERITY_CAUTION },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(cases[i].watts, "6 mm2", "0.5 mm2");
		give(&job->drivers[0].trip_current, cases[i].trip, DIM_AMP);
		struct bench b = finish(job);
		b.solution->cables[1].fault_a = cases[i].fault;
		assert_int_equal(severity_of(job, b.solution, "cable-unprotected"), cases[i].severity);
		assert_int_equal(severity_of(job, b.solution, "fault-may-not-trip"), NONE);
		job_builder_free(job);
	}
}

/* 240 W: 10 A, trips at 15 A. Neither cable is protected by it: Iz 3 A (C2), 6 A (C1). */
static void a_fuse_protects_what_lies_behind_it(void **state)
{
	(void)state;
	static const struct {
		double fuse1, fuse2;
		bool loop1, loop2;
		size_t concerned;            /* cables in the finding */
	} cases[] = {
		{ 0, 0, false, false, 2 },
		{ 6, 0, false, false, 1 },           /* C1 only: 6 A > 3 A of C2 */
		{ 3, 0, false, false, 0 },           /* upstream of both */
		{ 6, 3, false, false, 0 },
		{ 6, 3.1, false, false, 1 },
		{ 6.1, 3, false, false, 1 },
		{ 0, 3, false, true, 2 },            /* a fuse inside a loop protects nothing */
		{ 3, 0, true, false, 2 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(240, "0.75 mm2", "0.5 mm2");
		if (cases[i].fuse1 > 0)
			give(&job->cables[0].fuse, cases[i].fuse1, DIM_AMP);
		if (cases[i].fuse2 > 0)
			give(&job->cables[1].fuse, cases[i].fuse2, DIM_AMP);
		struct bench b = finish(job);
		b.solution->cables[0].fault_a = b.solution->cables[1].fault_a = 100;
		b.solution->cables[0].in_loop = cases[i].loop1;
		b.solution->cables[1].in_loop = cases[i].loop2;
		struct findings findings = judge(job, b.solution);
		if (cases[i].concerned == 0) {
			assert_int_equal(count_of(&findings, "cable-unprotected"), 0);
		} else {
			const struct finding *f = the(&findings, "cable-unprotected");
			assert_int_equal(f->severity, SEVERITY_CAUTION);
			assert_about(f, KIND_DRIVER, 0);
			assert_int_equal(f->item_count, 1 + cases[i].concerned);
		}
		job_builder_free(job);
	}
}

/* Value and limit are those of the cable that a fault overloads most: 100 A over 3 A. */
static void the_worst_cable_is_the_measured_one(void **state)
{
	(void)state;
	struct job *job = two_cables(240, "0.75 mm2", "0.5 mm2");
	struct bench b = finish(job);
	b.solution->cables[0].fault_a = 150;
	b.solution->cables[1].fault_a = 100;
	struct findings findings = judge(job, b.solution);
	const struct finding *f = the(&findings, "cable-unprotected");
	assert_near(f->value, 100, 0, 0);
	assert_near(f->limit, 3, 0, 0);
	assert_non_null(strstr(f->message, "C2"));
	job_builder_free(job);
}

/* docs/checks.md: a note where class_2 is yes and the cable is 0.5 mm2 or more; thin ones stay a
 * caution. */
static void a_class_2_source_spares_all_but_thin_cables(void **state)
{
	(void)state;
	static const struct {
		const char *first, *second;
		int severity;
		size_t count;
		bool first_listed;
	} cases[] = {
		{ "0.5 mm2", "0.5 mm2", SEVERITY_NOTE, 3, true },
		{ "0.5 mm2", "0.34 mm2", SEVERITY_CAUTION, 2, false },
		{ "20 AWG", "0.5 mm2", SEVERITY_NOTE, 3, true },         /* 0.52 mm2, ASTM B258 */
		{ "22 AWG", "0.34 mm2", SEVERITY_CAUTION, 3, true },     /* 0.33 mm2 */
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(96, cases[i].first, cases[i].second);
		give(&job->drivers[0].class_2, 1, DIM__END);
		struct bench b = finish(job);
		b.solution->cables[0].fault_a = b.solution->cables[1].fault_a = 50;
		struct findings findings = judge(job, b.solution);
		const struct finding *f = the(&findings, "cable-unprotected");
		assert_int_equal(f->severity, cases[i].severity);
		assert_non_null(strstr(f->todo, f->severity == SEVERITY_NOTE ? "nothing:" : "fit a fuse"));
		assert_int_equal(f->item_count, cases[i].count);
		assert_true(concerns(f, KIND_CABLE, 0) == cases[i].first_listed);
		assert_true(concerns(f, KIND_CABLE, 1));
		job_builder_free(job);
	}
}

/* A 3 A fuse needs 2 In = 6 A (ISO 8820-3: up to 5 s at 200 %). Behind it 0.5 mm2 with 1.45 Iz =
 * 4.35 A. 96 W: 4 A, so that the driver does not protect it. */
static void a_weak_fault_may_not_blow_the_fuse(void **state)
{
	(void)state;
	static const struct { double fault, trip; int severity; double value; } cases[] = {
		{ 50, 4.35, NONE, 0 },
		{ 50, 4.36, SEVERITY_CAUTION, 4.36 },
		{ 50, 5.99, SEVERITY_CAUTION, 5.99 },
		{ 50, 6, NONE, 0 },
		{ 5, 20, SEVERITY_CAUTION, 5 },
		{ 4.3, 20, NONE, 0 },
		{ 6.5, 20, NONE, 0 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = two_cables(96, "0.75 mm2", "0.5 mm2");
		give(&job->drivers[0].trip_current, cases[i].trip, DIM_AMP);
		give(&job->cables[0].fuse, 3, DIM_AMP);
		struct bench b = finish(job);
		b.solution->cables[1].fault_a = cases[i].fault;
		assert_int_equal(severity_of(job, b.solution, "fault-may-not-trip"), cases[i].severity);
		struct findings findings = judge(job, b.solution);
		assert_int_equal(count_of(&findings, "cable-unprotected"), 0);
		if (cases[i].severity != NONE) {
			const struct finding *f = the(&findings, "fault-may-not-trip");
			assert_about(f, KIND_CABLE, 0);                  /* where the fuse is */
			assert_true(concerns(f, KIND_CABLE, 1));
			assert_near(f->value, cases[i].value, 0, 0);
			assert_near(f->limit, 6, 0, 0);
		}
		job_builder_free(job);
	}
}

/* The smallest fuse on the way counts: 2 A blows from 4 A on. */
static void the_smallest_fuse_on_the_way_counts(void **state)
{
	(void)state;
	struct job *job = two_cables(96, "0.75 mm2", "0.5 mm2");
	give(&job->drivers[0].trip_current, 5, DIM_AMP);
	give(&job->cables[0].fuse, 2, DIM_AMP);
	give(&job->cables[1].fuse, 3, DIM_AMP);
	struct bench b = finish(job);
	b.solution->cables[0].fault_a = b.solution->cables[1].fault_a = 50;
	assert_int_equal(severity_of(job, b.solution, "fault-may-not-trip"), NONE);
	job->cables[0].fuse.num = 3;
	assert_int_equal(severity_of(job, b.solution, "fault-may-not-trip"), SEVERITY_CAUTION);
	job_builder_free(job);
}

/* A fuse must not make worse what would be a note without it. */
static void behind_a_class_2_source_a_weak_fault_is_a_note(void **state)
{
	(void)state;
	struct job *job = two_cables(96, "0.75 mm2", "0.5 mm2");
	give(&job->drivers[0].trip_current, 5, DIM_AMP);
	give(&job->drivers[0].class_2, 1, DIM__END);
	give(&job->cables[0].fuse, 3, DIM_AMP);
	struct bench b = finish(job);
	b.solution->cables[1].fault_a = 50;
	assert_int_equal(severity_of(job, b.solution, "fault-may-not-trip"), SEVERITY_NOTE);
	job_builder_free(job);
}

/* Cables that no driver reaches have no fault current (NAN) and no circuit to judge by. */
static void dead_cables_raise_nothing_but_unfed(void **state)
{
	(void)state;
	struct job *job = two_cables(96, "0.75 mm2", "0.5 mm2");
	add_block(job, "B2", 4, 20);
	add_block(job, "B3", 4, 20);
	add_cable(job, "C3", "0.14 mm2", 2, "B2", "B3");
	give(&job->cables[2].fuse, 10, DIM_AMP);
	struct bench b = finish(job);
	b.solution->cables[2].worst_a = 100;
	struct findings findings = judge(job, b.solution);
	assert_int_equal(findings.count, 1);
	assert_string_equal(findings.items[0].check->name, "unfed");
	job_builder_free(job);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_cable_may_carry_its_rating),
		cmocka_unit_test(a_rating_in_the_job_wins),
		cmocka_unit_test(joints_may_carry_theirs),
		cmocka_unit_test(a_fuse_is_used_to_four_fifths),
		cmocka_unit_test(the_driver_protects_what_stands_its_trip_current),
		cmocka_unit_test(a_fuse_protects_what_lies_behind_it),
		cmocka_unit_test(the_worst_cable_is_the_measured_one),
		cmocka_unit_test(a_class_2_source_spares_all_but_thin_cables),
		cmocka_unit_test(a_weak_fault_may_not_blow_the_fuse),
		cmocka_unit_test(the_smallest_fuse_on_the_way_counts),
		cmocka_unit_test(behind_a_class_2_source_a_weak_fault_is_a_note),
		cmocka_unit_test(dead_cables_raise_nothing_but_unfed),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
