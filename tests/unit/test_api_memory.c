/* The public calls with no memory, at any moment. */
#include "api_support.h"

#include "base/arena_faults.h"

/* Everything that a program does with a job. The first status that is not FAREND_OK. */
static enum farend_status whole_life(const char *bytes, size_t size)
{
	struct farend_job *job;
	struct farend_text text;
	enum farend_status status = farend_read_text("job.yaml", bytes, size, &job);
	if (status == FAREND_OK || status == FAREND_WRONG_INPUT) {
		enum farend_status printed = farend_diagnostics(job, NULL, &text);
		status = printed == FAREND_OK ? status : printed;
	}
	if (status == FAREND_OK)
		status = farend_check(job);
	for (int format = FAREND_TEXT; status == FAREND_OK && format <= FAREND_CSV; format++)
		status = farend_render(job, FAREND_CHECK, (enum farend_format)format, NULL, &text);
	if (status == FAREND_OK)
		status = farend_cut(job, "fixtures/parts/offcuts.csv");
	if (status == FAREND_OK)
		status = farend_order(job, "fixtures/parts/offcuts.csv", FAREND_SPARE_USUAL);
	for (int format = FAREND_TEXT; status == FAREND_OK && format <= FAREND_CSV; format++)
		status = farend_render(job, FAREND_CUT, (enum farend_format)format, NULL, &text);
	for (int format = FAREND_TEXT; status == FAREND_OK && format <= FAREND_CSV; format++)
		status = farend_render(job, FAREND_ORDER, (enum farend_format)format, NULL, &text);
	for (int format = FAREND_TEXT; status == FAREND_OK && format <= FAREND_HTML; format++)
		status = farend_render(job, FAREND_SCHEDULE, (enum farend_format)format, NULL, &text);
	if (status == FAREND_OK)
		status = farend_render(job, FAREND_LABELS, FAREND_HTML, NULL, &text);
	if (status == FAREND_OK)
		status = farend_size(job);
	for (int format = FAREND_TEXT; status == FAREND_OK && format <= FAREND_CSV; format++)
		status = farend_render(job, FAREND_SIZE, (enum farend_format)format, NULL, &text);
	farend_free(job);
	return status;
}

static enum farend_status life_as_built(const char *job_file, const char *built)
{
	struct farend_job *job;
	struct farend_text text;
	enum farend_status status = farend_read_built(job_file, built, &job);
	if (status == FAREND_OK)
		status = farend_set_switches(job, "S1=on");
	if (status == FAREND_OK)
		status = farend_check(job);
	if (status == FAREND_OK)
		status = farend_verify(job, NULL);
	for (int format = FAREND_TEXT; status == FAREND_OK && format <= FAREND_CSV; format++)
		status = farend_render(job, FAREND_VERIFY, (enum farend_format)format, NULL, &text);
	farend_free(job);
	return status;
}

/* Takes memory away after 0, 1, 2, … allocations; further on in steps that grow, or it would take
 * minutes. Leaks and stray accesses are for the sanitizers and valgrind to see. */
static void starve(const char *bytes, size_t size, enum farend_status wanted)
{
	long tried = 0;
	for (long n = 0;; n += 1 + n / 64, tried++) {
		arena_fail_after(n);
		enum farend_status status = whole_life(bytes, size);
		arena_fail_after(-1);
		if (status == wanted)
			break;
		assert_int_equal(status, FAREND_NO_MEMORY);
	}
	assert_true(tried > 50);
}

static void test_no_memory(void **state)
{
	(void)state;
	struct farend_text starter = farend_starter();
	starve(starter.bytes, starter.size, FAREND_OK);
	starve(WRONG_JOB, sizeof(WRONG_JOB) - 1, FAREND_WRONG_INPUT);
}

/* Solving again and again, as a diagnosis does, takes memory often: the steps grow faster. */
static void test_no_memory_as_built(void **state)
{
	(void)state;
	long tried = 0;
	for (long n = 0;; n += 1 + n / 8, tried++) {
		arena_fail_after(n);
		enum farend_status status = life_as_built(DEMO_JOB, DEMO_BUILT);
		arena_fail_after(-1);
		if (status == FAREND_OK)
			break;
		assert_int_equal(status, FAREND_NO_MEMORY);
	}
	assert_true(tried > 30);
}

static void test_no_memory_for_check_then_enough(void **state)
{
	(void)state;
	struct farend_job *job = read_starter();
	struct farend_text text;
	arena_fail_after(100);
	assert_int_equal(farend_check(job), FAREND_NO_MEMORY);
	arena_fail_after(-1);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verdict(job), FAREND_VERDICT_OK);
	arena_fail_after(2);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_TEXT, NULL, &text), FAREND_NO_MEMORY);
	arena_fail_after(-1);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_TEXT, NULL, &text), FAREND_OK);
	farend_free(job);
}

static void test_no_memory_without_a_job(void **state)
{
	(void)state;
	struct farend_text text;
	for (long n = 0; n < 20; n++) {
		arena_fail_after(n);
		enum farend_status status = farend_explain(NULL, NULL, &text);
		arena_fail_after(-1);
		assert_true(status == FAREND_NO_MEMORY || status == FAREND_OK);
		farend_free_text(&text);
	}
	arena_fail_after(0);
	assert_int_equal(farend_write("/dev/null", "x", 1, &text), FAREND_NO_MEMORY);
	arena_fail_after(-1);
	farend_free_text(&text);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_no_memory),
		cmocka_unit_test(test_no_memory_as_built),
		cmocka_unit_test(test_no_memory_for_check_then_enough),
		cmocka_unit_test(test_no_memory_without_a_job),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
