/* The public calls: any order, and many jobs at once. */
#include "api_support.h"

#include "base/arena_faults.h"

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* What `new` promises. */
static void test_starter_checks_clean(void **state)
{
	(void)state;
	struct farend_job *job = read_starter();
	struct farend_text text;
	assert_int_equal(farend_diagnostics(job, NULL, &text), FAREND_OK);
	assert_int_equal(text.size, 0);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verdict(job), FAREND_VERDICT_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
	assert_null(strstr(text.bytes, "\"caution\""));
	farend_free(job);
}

static void test_many_jobs_at_once(void **state)
{
	(void)state;
	enum { JOBS = 40 };
	struct farend_job *jobs[JOBS];
	struct farend_text first, other;
	for (int i = 0; i < JOBS; i++)
		jobs[i] = read_starter();
	for (int i = JOBS; i-- > 0;)
		assert_int_equal(farend_check(jobs[i]), FAREND_OK);
	assert_int_equal(farend_render(jobs[0], FAREND_CHECK, FAREND_TEXT, NULL, &first), FAREND_OK);
	for (int i = 1; i < JOBS; i++) {
		assert_int_equal(farend_render(jobs[i], FAREND_CHECK, FAREND_TEXT, NULL, &other), FAREND_OK);
		assert_string_equal(other.bytes, first.bytes);
		farend_free(jobs[i]);
	}
	farend_free(jobs[0]);
}

static void test_wrong_order(void **state)
{
	(void)state;
	struct farend_job *job = read_starter();
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(text.size, 0);
	assert_int_equal(farend_verdict(job), FAREND_VERDICT_FAIL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, (enum farend_format)99, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_CSV, NULL, &text), FAREND_OK);
	farend_free(job);
	farend_free(NULL);
}

static void test_wrong_input(void **state)
{
	(void)state;
	struct farend_job *job;
	struct farend_diagnostic found;
	struct farend_text text;
	assert_int_equal(farend_read_text("hall.yaml", WRONG_JOB, sizeof(WRONG_JOB) - 1, &job),
	                 FAREND_WRONG_INPUT);
	assert_true(farend_diagnostic(job, 0, &found));
	assert_string_equal(found.kind, "unknown-key");
	assert_string_equal(found.file, "hall.yaml");
	assert_int_equal(found.line, 2);
	assert_int_equal(found.column, 39);
	assert_non_null(strstr(found.hint, "cut_length"));
	assert_false(farend_diagnostic(job, 1000, &found));
	assert_int_equal(farend_check(job), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_diagnostics(job, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "hall.yaml:2:39: error:"));
	assert_non_null(strstr(text.bytes, "nothing was solved\n"));
	farend_free(job);
}

static void test_unreadable(void **state)
{
	(void)state;
	static const char *const paths[] = { "no/such/job.yaml", "tests", "" };
	for (size_t i = 0; i < sizeof(paths) / sizeof(paths[0]); i++) {
		struct farend_job *job;
		struct farend_diagnostic found;
		assert_int_equal(farend_read(paths[i], &job), FAREND_WRONG_INPUT);
		assert_true(farend_diagnostic(job, 0, &found));
		farend_free(job);
	}
}

/* L5 is 3600 mm in the plan, 3450 mm as built. */
static void test_lengths_as_built(void **state)
{
	(void)state;
	struct farend_job *plan, *built;
	struct farend_text text;
	assert_int_equal(farend_read(DEMO_JOB, &plan), FAREND_OK);
	assert_int_equal(farend_read_built(DEMO_JOB, DEMO_BUILT, &built), FAREND_OK);
	assert_int_equal(farend_check(plan), FAREND_OK);
	assert_int_equal(farend_check(built), FAREND_OK);
	assert_int_equal(farend_render(plan, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "\"L5\": {\"length_m\": 3.6,"));
	assert_int_equal(farend_render(built, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "\"L5\": {\"length_m\": 3.45,"));
	assert_int_equal(farend_cut(built, NULL), FAREND_OK);
	assert_int_equal(farend_render(built, FAREND_CUT, FAREND_JSON, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "3.45"));
	/* the lengths are not in the job's text, so no copy of it has them */
	assert_int_equal(farend_size(built), FAREND_OK);
	assert_int_equal(farend_apply(built, "copy.yaml", &text), FAREND_WRONG_CALL);
	farend_free(plan);
	farend_free(built);
}

static void test_wrong_order_of_verify(void **state)
{
	(void)state;
	struct farend_job *job = read_starter();
	struct farend_text text;
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verify(job, NULL), FAREND_WRONG_CALL);
	farend_free(job);
	assert_int_equal(farend_read_built(DEMO_JOB, DEMO_BUILT, &job), FAREND_OK);
	assert_int_equal(farend_verify(job, NULL), FAREND_WRONG_CALL);
	assert_int_equal(farend_verify_verdict(job), FAREND_VERDICT_FAIL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_VERIFY, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_verify(job, NULL), FAREND_OK);
	assert_int_equal(farend_verify_verdict(job), FAREND_VERDICT_CAUTION);
	assert_int_equal(farend_render(job, FAREND_VERIFY, FAREND_TEXT, NULL, &text), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_VERIFY, FAREND_HTML, NULL, &text), FAREND_WRONG_CALL);
	farend_free(job);
}

/* A meter good to 20 % explains everything; what no meter can be is refused. */
static void test_meters(void **state)
{
	static const struct farend_meter wrong[] = {
		{ -0.1, 0.01, 0.01 }, { 1, 0.01, 0.01 }, { NAN, 0.01, 0.01 }, { 0.005, 0, 0.01 },
		{ 0.005, 0.01, -1 }, { 0.005, INFINITY, 0.01 },
	};
	(void)state;
	struct farend_job *job;
	assert_int_equal(farend_read_built(DEMO_JOB, DEMO_BUILT, &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verify(job, &(struct farend_meter){ 0.005, 2, 0.01 }), FAREND_OK);
	assert_int_equal(farend_verify_verdict(job), FAREND_VERDICT_OK);
	for (size_t i = 0; i < sizeof(wrong) / sizeof(wrong[0]); i++)
		assert_int_equal(farend_verify(job, &wrong[i]), FAREND_WRONG_CALL);
	farend_free(job);
}

static void test_one_state(void **state)
{
	(void)state;
	struct farend_job *job;
	struct farend_text text;
	struct farend_diagnostic found;
	assert_int_equal(farend_read(DEMO_JOB, &job), FAREND_OK);
	assert_int_equal(farend_set_switches(job, "S9=off"), FAREND_WRONG_CALL);
	assert_true(farend_diagnostic(job, 0, &found));
	farend_free(job);
	assert_int_equal(farend_read(DEMO_JOB, &job), FAREND_OK);
	assert_int_equal(farend_set_switches(job, "S1=off"), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_set_switches(job, "S2=off"), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "\"switches\": \"S1=off\""));
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_TEXT, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "S1=off"));
	assert_int_equal(farend_size(job), FAREND_WRONG_CALL);
	assert_int_equal(farend_cut(job, NULL), FAREND_WRONG_CALL);
	assert_int_equal(farend_order(job, NULL, FAREND_SPARE_USUAL), FAREND_WRONG_CALL);
	assert_int_equal(farend_report(job, NULL, true), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_SCHEDULE, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	farend_free(job);
}

static void test_explain(void **state)
{
	(void)state;
	struct farend_text text;
	assert_int_equal(farend_explain("far-end-dim", NULL, &text), FAREND_OK);
	assert_int_equal(strncmp(text.bytes, "far-end-dim\n", 12), 0);
	farend_free_text(&text);
	assert_int_equal(farend_explain("far-end-dimm", NULL, &text), FAREND_WRONG_CALL);
	assert_non_null(strstr(text.bytes, "'far-end-dim'"));
	farend_free_text(&text);
	assert_int_equal(farend_explain("zzzzzzzzz", NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(text.size, 0);
	farend_free_text(&text);
	assert_int_equal(farend_explain(NULL, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "block-ports"));
	farend_free_text(&text);
	farend_free_text(&text);
}

/* The caller's locale stays as it was, with and without failure. */
static void test_locale_is_left_alone(void **state)
{
	(void)state;
	locale_t own = newlocale(LC_ALL_MASK, "POSIX", (locale_t)0);
	locale_t before = uselocale(own);
	farend_free(read_starter());
	assert_ptr_equal(uselocale((locale_t)0), own);
	arena_fail_after(3);
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", WRONG_JOB, sizeof(WRONG_JOB) - 1, &job),
	                 FAREND_NO_MEMORY);
	arena_fail_after(-1);
	farend_free(job);
	assert_ptr_equal(uselocale((locale_t)0), own);
	uselocale(before);
	freelocale(own);
}

static void test_write(void **state)
{
	(void)state;
	char folder[] = "/tmp/farend-test-XXXXXX";
	char path[64], back[8] = "";
	struct farend_text reason;
	assert_non_null(mkdtemp(folder));
	snprintf(path, sizeof(path), "%s/out", folder);
	assert_int_equal(farend_write(path, "abc", 3, &reason), FAREND_OK);
	assert_int_equal(reason.size, 0);
	farend_free_text(&reason);
	FILE *file = fopen(path, "r");
	assert_non_null(file);
	assert_int_equal(fread(back, 1, sizeof(back), file), 3);
	assert_string_equal(back, "abc");
	fclose(file);
	assert_int_equal(farend_write(folder, "abc", 3, &reason), FAREND_SYSTEM);
	assert_true(reason.size > 0);
	farend_free_text(&reason);
	unlink(path);
	rmdir(folder);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_starter_checks_clean),
		cmocka_unit_test(test_many_jobs_at_once),
		cmocka_unit_test(test_wrong_order),
		cmocka_unit_test(test_wrong_input),
		cmocka_unit_test(test_unreadable),
		cmocka_unit_test(test_lengths_as_built),
		cmocka_unit_test(test_wrong_order_of_verify),
		cmocka_unit_test(test_meters),
		cmocka_unit_test(test_one_state),
		cmocka_unit_test(test_explain),
		cmocka_unit_test(test_locale_is_left_alone),
		cmocka_unit_test(test_write),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
