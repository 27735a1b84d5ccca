/* The spread in the JSON of `check`, through the public interface: its keys, its order, its sense. */
#include "support.h"

#include "farend.h"
#include "report/tolerance.h"

#include <jansson.h>

#define JOB "fixtures/jobs/boot-room.yaml"

static json_t *answer_of(struct farend_job *job)
{
	struct farend_text out;
	json_error_t error;
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &out), FAREND_OK);
	json_t *answer = json_loadb(out.bytes, out.size, JSON_REJECT_DUPLICATES, &error);
	assert_non_null(answer);
	return answer;
}

static struct farend_job *checked_job(void)
{
	struct farend_job *job;
	assert_int_equal(farend_read(JOB, &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	return job;
}

static double number(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);
	if (!json_is_number(value))
		fail_msg("'%s' is no number", key);
	return json_number_value(value);
}

static void keys_are_there_when_asked_for(void **state)
{
	struct farend_job *job = checked_job();
	struct farend_tolerance how = { .samples = 300, .seed = 4 };
	const char *id;
	json_t *strip, *check;
	size_t i;
	(void)state;

	json_t *before = answer_of(job);
	assert_null(json_object_get(before, "tolerance"));
	assert_int_equal(farend_tolerance(job, &how), FAREND_OK);
	json_t *answer = answer_of(job);
	const json_t *t = json_object_get(answer, "tolerance");
	assert_int_equal((int)number(t, "samples"), 300);
	assert_int_equal((int)number(t, "seed"), 4);
	assert_true(number(t, "passes") <= number(t, "sound") && number(t, "sound") <= 1);
	json_object_foreach(json_object_get(answer, "strips"), id, strip) {
		assert_null(json_object_get(json_object_get(json_object_get(before, "strips"), id),
		                            "light_min_p05"));
		assert_true(number(strip, "light_min_worst") <= number(strip, "light_min_p05"));
		assert_true(number(strip, "light_min_p05") <= number(strip, "light_min_p50"));
		assert_true(number(strip, "light_min_p50") <= number(strip, "light_min_p95"));
	}
	assert_true(number(json_object_get(json_object_get(answer, "drivers"), "D1"), "load_w_p95") > 0);
	assert_true(json_array_size(json_object_get(t, "checks")) > 30);
	json_array_foreach(json_object_get(t, "checks"), i, check) {
		assert_true(json_is_string(json_object_get(check, "check")));
		assert_true(json_is_string(json_object_get(check, "item")));
		assert_true(number(check, "p05") <= number(check, "p95"));
		assert_true(number(check, "chance") >= 0 && number(check, "chance") <= 1);
		number(check, "limit");
	}
	json_decref(before);
	json_decref(answer);
	farend_free(job);
}

static void matters_are_ranked(void **state)
{
	struct farend_job *job = checked_job();
	struct farend_tolerance how = { .samples = 100, .seed = 1 };
	double before = 1, sum = 0;
	json_t *matter;
	size_t i;
	(void)state;

	assert_int_equal(farend_tolerance(job, &how), FAREND_OK);
	json_t *answer = answer_of(job);
	const json_t *matters = json_object_get(json_object_get(answer, "tolerance"), "matters");
	assert_true(json_array_size(matters) > 0);
	json_array_foreach(matters, i, matter) {
		double share = number(matter, "share");
		assert_true(share > 0 && share <= before);
		assert_true(json_is_string(json_object_get(matter, "item")));
		assert_true(json_is_string(json_object_get(matter, "attribute")));
		before = share;
		sum += share;
	}
	assert_true(sum <= 1 + 1e-9);
	json_decref(answer);
	farend_free(job);
}

static void count_calls(void *data, double share)
{
	double *last = data;
	assert_true(share >= *last && share <= 1);
	*last = share;
}

/* Progress only grows and ends at all of it; out of order, or too many, is a wrong call. */
static void calls_are_checked(void **state)
{
	struct farend_job *job;
	double last = 0;
	struct farend_tolerance how = { .samples = 64, .progress = count_calls, .progress_data = &last };
	struct farend_tolerance many = { .samples = FAREND_SAMPLES_MOST + 1 };
	(void)state;

	assert_int_equal(farend_read(JOB, &job), FAREND_OK);
	assert_int_equal(farend_tolerance(job, &how), FAREND_WRONG_CALL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_tolerance(job, &many), FAREND_WRONG_CALL);
	assert_int_equal(farend_tolerance(job, &how), FAREND_OK);
	assert_true(last >= 1);
	farend_free(job);
}

/* What no tolerance changes is said beside what varies. */
static void standing_findings_are_said(void **state)
{
	static const char dead[] = "strips: {L1: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 1 m}}\n"
		"blocks: {B1: {ports: 3, max_current: 6 A}}\n"
		"cables: {C1: {size: 0.75 mm2, from: B1, to: L1, length: 1 m}}\n";
	struct farend_job *job;
	struct farend_text out;
	(void)state;
	assert_int_equal(farend_read_text("dead.yaml", dead, strlen(dead), &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_tolerance(job, &(struct farend_tolerance){ .samples = 100, .seed = 1 }), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_TEXT, NULL, &out), FAREND_OK);
	assert_non_null(strstr(out.bytes, "in every build: unfed of L1"));
	assert_null(strstr(out.bytes, "Passes in all"));
	farend_free(job);
}

/* One build of the usual 2000 is not "0 of 1000". */
static void one_build_is_not_none(void **state)
{
	struct arena *arena = arena_new();
	struct findings findings = { .arena = arena };
	struct tolerance t = { .check_count = 1, .checks = &(struct checked_spread){ .check = checks },
	                       .passes = 1999.0 / 2000, .sound = 1, .decides = NO_INDEX };
	struct check_result result = { .findings = &findings, .tolerance = &t };
	(void)state;
	assert_string_equal(tolerance_verdict(arena, &result),
	                    "Passes in nearly all builds, needs care in hardly any, fails in none.");
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(keys_are_there_when_asked_for),
		cmocka_unit_test(matters_are_ranked),
		cmocka_unit_test(calls_are_checked),
		cmocka_unit_test(standing_findings_are_said),
		cmocka_unit_test(one_build_is_not_none),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
