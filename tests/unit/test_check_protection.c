/* Which cable behind a fuse a weak fault is worst for. */
#include "tests/check_support.h"

/* D1 - C1 (6 A) - B1 - C2 (3 A) - B2 - C3 (3 A) - B3, a 3 A fuse in C1: it needs 2 In = 6 A (ISO 8820-3: up to
 * 5 s at 200 %), 0.5 mm2 stands 1.45 Iz = 4.35 A, 0.75 mm2 8.7 A. */
static struct job *three_cables(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 480);
	add_block(job, "B1", 4, 20);
	add_block(job, "B2", 4, 20);
	add_block(job, "B3", 4, 20);
	add_cable(job, "C1", "0.75 mm2", 2, "D1", "B1");
	add_cable(job, "C2", "0.5 mm2", 2, "B1", "B2");
	add_cable(job, "C3", "0.5 mm2", 2, "B2", "B3");
	give(&job->cables[0].fuse, 3, DIM_AMP);
	return job;
}

/* What a fault draws may be limited by the driver or by the cables; the finding is about the fuse, its value
 * and its words about the cable that draws least. */
static void the_weakest_fault_is_the_one_named(void **state)
{
	(void)state;
	static const struct { double trip, fault[3]; double value; const char *beyond; } cases[] = {
		{ 40, { 9, 5.5, 5 }, 5, "beyond C3" },
		{ 40, { 9, 5, 5.5 }, 5, "beyond C2" },           /* C1 stands what it draws */
		{ 5, { 50, 40, 30 }, 5, "beyond C2" },           /* the driver gives no more, beyond any of them */
		{ 40, { 9, 6.1, 5.5 }, 5.5, "beyond C3" },       /* 6.1 A blow the fuse */
		{ 40, { 4.3, 5, 5.5 }, 5, "beyond C2" },         /* less than all others, and harmless */
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = three_cables();
		give(&job->drivers[0].trip_current, cases[i].trip, DIM_AMP);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		for (size_t c = 0; c < 3; c++)
			s->cables[c].fault_a = cases[i].fault[c];
		for (size_t c = 1; c < 3; c++)
			s->upstream[c] = c - 1;
		struct findings findings = judge(job, s);
		const struct finding *f = the(&findings, "fault-may-not-trip");
		assert_about(f, KIND_CABLE, 0);
		assert_near(f->value, cases[i].value, 0, 0);
		assert_near(f->limit, 6, 0, 0);
		assert_non_null(strstr(f->message, cases[i].beyond));
		assert_int_equal(count_of(&findings, "cable-unprotected"), 0);
		job_builder_free(job);
	}
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_weakest_fault_is_the_one_named),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
