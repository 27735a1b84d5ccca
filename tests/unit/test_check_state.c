/* Checks and figures in one state of the switches: what is not lit has no figures to be judged by, and reads
 * as dark and without volts; what is wrong however the switches stand is still said. */
#include "tests/check_support.h"

#include "farend.h"

#include <jansson.h>

/* Two bays behind one block, each with a switch. L2 is far too long for its one feed and thin cable; L1 is
 * sound. Both are seen together. */
static struct job *two_bays(double watts)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, watts);
	add_switch(job, "S1", 5);
	add_switch(job, "S2", 1);
	add_block(job, "B1", 6, 10);
	add_strip(job, "L1", 24, 9.6, 1);
	add_strip(job, "L2", 24, 14.4, 5);
	add_cable(job, "C1", "1.5 mm2", 0.5, "D1", "B1");
	add_cable(job, "C2", "0.75 mm2", 0.5, "B1", "S1.in");
	add_cable(job, "C3", "0.75 mm2", 0.5, "S1.out", "L1.start");
	add_cable(job, "C4", "0.75 mm2", 0.5, "B1", "S2.in");
	add_cable(job, "C5", "0.14 mm2", 4, "S2.out", "L2.start");
	give(&job->strips[1].mount, MOUNT_ALUMINIUM, DIM__END);
	give_text(&job->strips[0].view, "room");
	give_text(&job->strips[1].view, "room");
	return job;
}

static struct findings judge_state(const struct job *job, bool first, bool second)
{
	bool *on = arena_array(job->arena, bool, 2);
	on[0] = first;
	on[1] = second;
	struct solution *s = solve_job_in_state(job, on, job->arena);
	assert_true(s->converged);
	return judge(job, s);
}

static bool any_about(const struct findings *findings, enum kind kind, size_t index)
{
	for (size_t i = 0; i < findings->count; i++)
		if (concerns(&findings->items[i], kind, index))
			return true;
	return false;
}

static void what_is_off_raises_nothing(void **state)
{
	(void)state;
	struct job *job = two_bays(100);
	job_builder_finish(job);
	struct findings lit = judge_state(job, true, true);
	assert_int_equal(count_of(&lit, "far-end-drop") + count_of(&lit, "far-end-dim"), 1);
	the(&lit, "switch-overload");
	the(&lit, "cable-overload");
	assert_true(any_about(&lit, KIND_STRIP, 1));

	struct findings off = judge_state(job, true, false);
	assert_false(any_about(&off, KIND_STRIP, 1) || any_about(&off, KIND_CABLE, 4) ||
	             any_about(&off, KIND_SWITCH, 1));
	assert_int_equal(off.count, 0);
	struct findings dark = judge_state(job, false, false);
	assert_int_equal(dark.count, 0);
	assert_int_equal(findings_verdict(&dark), VERDICT_OK);
	job_builder_free(job);
}

/* A strip cut beside its marks is so in the dark too; only what is lit gets warm on bare timber (14.4 W/m). */
static void cut_marks_are_judged_in_every_state_and_heat_where_lit(void **state)
{
	(void)state;
	struct job *job = two_bays(100);
	job->strips[1].mount.num = MOUNT_TIMBER;
	job->strips[1].length.num = 4.98;
	job_builder_finish(job);
	struct findings off = judge_state(job, true, false);
	assert_about(the(&off, "off-mark"), KIND_STRIP, 1);
	assert_int_equal(off.count, 1);
	struct findings lit = judge_state(job, false, true);
	assert_about(the(&lit, "strip-heat"), KIND_STRIP, 1);
	assert_about(the(&lit, "off-mark"), KIND_STRIP, 1);
	job_builder_free(job);
}

/* 9.6 W and 72 W on 60 W: too much with both on, 16 % in use with S1 alone. */
static void the_load_is_that_of_what_is_lit(void **state)
{
	(void)state;
	struct job *job = two_bays(60);
	job_builder_finish(job);
	struct findings both = judge_state(job, true, true), one = judge_state(job, true, false);
	assert_int_equal(the(&both, "driver-headroom")->severity, SEVERITY_FAIL);
	assert_near(the(&both, "driver-headroom")->value, 81.6, 1e-9, 0);
	assert_int_equal(count_of(&one, "driver-headroom"), 0);
	job_builder_free(job);
}

/* In no state is there a dip: it compares states. */
static void no_dip_in_one_state(void **state)
{
	(void)state;
	struct job *job = two_bays(100);
	give(&job->limits[LIMIT_DIP], 0.001, DIM_RATIO);
	job->cables[0].size.num = job->cables[4].size.num;       /* 0.14 mm2 shared */
	job->cables[0].length.num = 2;
	job_builder_finish(job);
	struct solution *every = solve_job(job, job->arena);
	struct findings cases = judge(job, every), lit = judge_state(job, true, true);
	assert_true(count_of(&cases, "dip") > 0);
	assert_int_equal(count_of(&lit, "dip"), 0);
	job_builder_free(job);
}

/* Wiring does not depend on the switches: parts without a way to a driver are named in every state, and what
 * is only switched off is not. */
static void wiring_is_judged_in_every_state(void **state)
{
	(void)state;
	struct job *job = two_bays(100);
	add_driver(job, "D2", 24, 30);
	add_driver(job, "D3", 24, 30);
	add_strip(job, "L3", 24, 9.6, 1);
	add_strip(job, "L4", 24, 9.6, 1);
	add_cable(job, "C6", "0.75 mm2", 1, "D2", "L3.start");
	add_cable(job, "C7", "0.75 mm2", 1, "D3", "L3.end");
	add_block(job, "B2", 4, 10);
	add_cable(job, "C8", "0.75 mm2", 1, "B2", "L4.start");
	add_switch(job, "S3", 5);
	job_builder_finish(job);
	bool on[] = { false, false, true };
	struct findings dark = judge(job, solve_job_in_state(job, on, job->arena));
	struct findings all = judge(job, solve_job(job, job->arena));
	static const char *const wiring[] = { "unfed", "double-fed", "loose-part" };
	for (size_t i = 0; i < 3; i++) {
		assert_true(count_of(&all, wiring[i]) > 0);
		assert_int_equal(count_of(&dark, wiring[i]), count_of(&all, wiring[i]));
	}
	assert_true(any_about(&dark, KIND_STRIP, 3));
	assert_false(any_about(&dark, KIND_STRIP, 0) || any_about(&dark, KIND_STRIP, 1));
	job_builder_free(job);
}

#define JOB \
	"strip_types: {w: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, loop_resistance: 0.1 ohm/m}}\n" \
	"drivers: {D1: {voltage: 24 V, power: 60 W}, D2: {voltage: 24 V, power: 60 W}, " \
	          "D3: {voltage: 24 V, power: 60 W}}\n" \
	"switches: {S1: {max_current: 5 A}, S2: {max_current: 5 A}}\n" \
	"blocks: {B1: {ports: 4, max_current: 10 A}}\n" \
	"strips:\n  L1: {type: w, length: 1 m}\n  L2: {type: w, length: 1 m}\n  L3: {type: w, length: 1 m}\n" \
	"cables:\n" \
	"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 1 m}\n" \
	"  C2: {size: 0.75 mm2, from: S1, to: L1, length: 1 m}\n" \
	"  C3: {size: 0.75 mm2, from: D1, to: S2, length: 1 m}\n" \
	"  C4: {size: 0.75 mm2, from: S2, to: B1, length: 1 m}\n" \
	"  C5: {size: 0.75 mm2, from: B1, to: L2, length: 1 m}\n" \
	"  C6: {size: 0.75 mm2, from: D2, to: L3.start, length: 1 m}\n" \
	"  C7: {size: 0.75 mm2, from: D3, to: L3.end, length: 1 m}\n"

static json_t *in(const json_t *answer, const char *group, const char *id, const char *key)
{
	json_t *value = json_object_get(json_object_get(json_object_get(answer, group), id), key);
	assert_non_null(value);
	return value;
}

/* Light 0 and no volts where it is switched off; between two drivers nothing is known, in any state. */
static void json_of_what_is_off(void **state)
{
	(void)state;
	static const char *const lights[] = { "light_min", "light_max", "light_mean" };
	static const char *const none[] = { "current_a", "power_w", "v_min", "v_max", "drop_v", "drop", "evenness",
	                                    "dip" };
	struct farend_job *job;
	struct farend_text text;
	assert_int_equal(farend_read_text("job.yaml", JOB, strlen(JOB), &job), FAREND_OK);
	assert_int_equal(farend_set_switches(job, "S2=off"), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
	json_t *answer = json_loadb(text.bytes, text.size, 0, NULL);
	assert_non_null(answer);
	for (size_t i = 0; i < 3; i++) {
		assert_true(json_number_value(in(answer, "strips", "L1", lights[i])) > 0.5);
		assert_true(json_is_number(in(answer, "strips", "L2", lights[i])));
		assert_true(json_number_value(in(answer, "strips", "L2", lights[i])) == 0);
		assert_true(json_is_null(in(answer, "strips", "L3", lights[i])));
	}
	for (size_t i = 0; i < sizeof none / sizeof *none; i++)
		assert_true(json_is_null(in(answer, "strips", "L2", none[i])));
	assert_true(json_is_null(in(answer, "strips", "L1", "dip")));
	assert_true(json_is_number(in(answer, "strips", "L1", "v_min")));
	static const char *const dead[] = { "current_a", "drop_v", "loss_w", "v_from", "v_to" };
	for (size_t i = 0; i < sizeof dead / sizeof *dead; i++)
		assert_true(json_is_null(in(answer, "cables", "C5", dead[i])));
	assert_true(json_number_value(in(answer, "cables", "C5", "fault_a")) > 1);   /* with every switch on */
	assert_true(json_is_null(in(answer, "blocks", "B1", "v")));
	assert_true(json_is_null(in(answer, "switches", "S2", "current_a")));
	assert_true(json_number_value(in(answer, "cables", "C3", "v_to")) > 23.9);   /* leads to S2 */
	assert_int_equal(json_integer_value(json_object_get(json_object_get(answer, "solution"), "cut_units")), 20);
	for (enum farend_format format = FAREND_TEXT; format <= FAREND_CSV; format++)
		assert_int_equal(farend_render(job, FAREND_CHECK, format, NULL, &text), FAREND_OK);
	json_decref(answer);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(what_is_off_raises_nothing),
		cmocka_unit_test(cut_marks_are_judged_in_every_state_and_heat_where_lit),
		cmocka_unit_test(the_load_is_that_of_what_is_lit),
		cmocka_unit_test(no_dip_in_one_state),
		cmocka_unit_test(wiring_is_judged_in_every_state),
		cmocka_unit_test(json_of_what_is_off),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
