/* What is never left out when cables are sized: that no cable of the answer may be a size thinner (the words of
 * docs/sizing.md), and sizes that 'limits' leaves nothing of. */
#include "size_support.h"

#include "advise/size_group.h"
#include "base/file.h"
#include "solve/solution.h"

static bool passes(const struct job *job, struct arena *arena)
{
	struct findings findings;
	check_job(job, solve_job(job, arena), arena, &findings);
	return findings_verdict(&findings) == VERDICT_OK;
}

static size_t one_thinner(const struct job *job, size_t cable)
{
	size_t now = (size_t)job->cables[cable].size.num;
	for (size_t wire = now; wire-- > 0;)
		if (size_may_be(job, cable, wire))
			return wire;
	return now;
}

static void test_no_cable_may_be_a_size_thinner(void **state)
{
	(void)state;
	struct sizing s;
	struct arena *file = arena_new();
	struct file_bytes text;
	const char *why;
	size_t tried = 0;
	assert_int_equal(file_read(file, "fixtures/good-odd/thinner-late.yaml", 1 << 16, &text, &why), FILE_OK);
	sizing_open(&s, text.data);
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_int_equal(s.plan.verdict, VERDICT_OK);
	for (size_t i = 0; i < s.plan.sized->cable_count; i++) {
		struct job *trial = job_copy(s.plan.sized, s.arena);
		struct cable *cable = &trial->cables[i];
		size_t wire = one_thinner(trial, i);
		if (wire == (size_t)cable->size.num)
			continue;
		tried++;
		cable_resize(cable, wire, trial->ambient.num);
		if (passes(trial, s.arena))
			fail_msg("%s passes at %s", cable->item.id, wire_sizes[wire].name);
	}
	assert_true(tried > 5);
	sizing_close(&s);
	arena_free(file);
}

#define JOB(sizes) \
	"limits: {" sizes "}\n" \
	"drivers: {D1: {voltage: 24 V, power: 60 W, selv: yes, class_2: yes}}\n" \
	"strips:\n  L1: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 1 m, mount: aluminium}\n" \
	"cables:\n  C1: {from: D1, to: L1, length: 1 m, size: 0.75 mm2}\n"

static void test_sizes_that_limits_leaves_nothing_of_are_told(void **state)
{
	(void)state;
	const char *const nothing[] = { JOB("sizes: [16 AWG]"), JOB("sizes: [0.34 mm2]") };
	for (size_t i = 0; i < 2; i++) {
		struct sizing s;
		sizing_open(&s, nothing[i]);
		size_job(s.job, s.solution, s.arena, &s.plan);
		assert_int_equal(s.plan.stuck_count, 1);
		assert_non_null(strstr(s.plan.stuck[0], "C1: 'limits' leaves no size"));
		assert_int_equal(s.plan.cables[0].proposed, s.plan.cables[0].now);
		sizing_close(&s);
	}
}

static void test_a_size_that_may_not_be_used_is_called_that(void **state)
{
	(void)state;
	struct sizing s;
	sizing_open(&s, JOB("sizes: [4 mm2]"));
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_int_equal(s.plan.stuck_count, 0);
	assert_string_equal(wire_sizes[s.plan.cables[0].proposed].name, "4 mm2");
	assert_non_null(strstr(s.plan.cables[0].why, "may not be used"));
	sizing_close(&s);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_no_cable_may_be_a_size_thinner),
		cmocka_unit_test(test_sizes_that_limits_leaves_nothing_of_are_told),
		cmocka_unit_test(test_a_size_that_may_not_be_used_is_called_that),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
