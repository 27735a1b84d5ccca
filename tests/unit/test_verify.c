/* Plan against built: what changed, what a fault does, what is missing. One cut unit behind one cable has
 * closed forms. */
#include "verify_support.h"

static const struct verdict_change *change_of(const struct verdict_changes *changes, const char *check)
{
	for (size_t i = 0; i < changes->count; i++)
		if (strcmp(changes->items[i].check->name, check) == 0)
			return &changes->items[i];
	return NULL;
}

static double cable_ohm(void)
{
	return 2 * 0.0195 * (1 + 0.00393 * 5) + 0.040;
}

/* What flows with `extra` ohm more: 12 V over the cable, the half section and the unit's 12 ohm. */
static double amps(double extra)
{
	return 12 / (cable_ohm() + extra + 0.1 + 12);
}

static struct site *one_unit_with(double extra)
{
	struct site *s = open_site(ONE(""), ONE(""));
	double i = amps(extra);
	add_volts(s, "D1", 24);
	add_volts(s, "L1.start", 24 - i * (cable_ohm() + extra));
	add_volts(s, "L1.end", 12 + 12 * i);         /* nothing flows beyond the unit */
	verify(s);
	return s;
}

static void test_nothing_wrong(void **state)
{
	(void)state;
	struct site *s = one_unit_with(0);
	assert_true(s->out.diagnosis.agree);
	assert_int_equal(s->out.verdict, VERDICT_OK);
	assert_int_equal(s->out.changes.count, 0);
	assert_null(s->out.effect);
	assert_int_equal(verify_outside(&s->out), 0);
	arena_free(s->arena);
}

static void test_what_a_fault_does(void **state)
{
	(void)state;
	const double extra = 2;
	struct site *s = one_unit_with(extra);
	const struct suspect *first = &s->out.diagnosis.suspects[0];
	const struct fault_effect *e = s->out.effect;
	assert_false(s->out.diagnosis.agree);
	assert_int_equal(first->item.kind, KIND_CABLE);
	assert_near(first->extra_ohm, extra, 0.01, 0);
	assert_non_null(e);
	assert_int_equal(e->strip, 0);
	assert_near(e->light_before, amps(0), 1e-6, 0);      /* i_nom is 1 A */
	assert_near(e->light_after, amps(extra), 0.002, 0);
	assert_near(e->volts, amps(extra) * first->value, 0.002, 0);
	assert_near(e->watts, amps(extra) * amps(extra) * first->value, 0.004, 0);
	assert_true(e->watts > WARM_JOINT_W);
	/* 24 V - 22.2 V is 7.7 % of 24 V: above 5 %, below 10 % */
	const struct verdict_change *change = change_of(&e->changes, "far-end-drop");
	assert_non_null(change);
	assert_null(change->before);
	assert_int_equal(change->after->severity, SEVERITY_CAUTION);
	assert_int_equal(findings_verdict(s->built.findings), VERDICT_OK);
	assert_int_equal(s->out.verdict, VERDICT_CAUTION);
	arena_free(s->arena);
}

/* 12 / 18.2 = 66 % of full light: below the 70 % at which far-end-dim fails. */
static void test_a_fault_that_fails(void **state)
{
	(void)state;
	struct site *s = one_unit_with(6);
	assert_int_equal(findings_verdict(s->built.findings), VERDICT_OK);
	assert_int_equal(s->out.verdict, VERDICT_FAIL);
	arena_free(s->arena);
}

/* ------- what changed verdict */

#define SIZED(metres, limits) \
	"drivers: {D1: {voltage: 24 V, power: 30 W}}\n" \
	"strips: {L1: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, length: " metres ", " \
	"loop_resistance: 0.02 ohm/m, mount: aluminium}}\n" \
	"cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 1 m, joint: screw}}\n" limits

/* 20 W of 30 W leave 33 %; 27 W leave 10 %, less than 20 %; 34 W are more than the rating. */
static void test_changes_both_ways(void **state)
{
	static const struct {
		const char *plan, *built;
		bool before, after;
		enum severity severity;      /* after, or before where there is nothing after */
	} cases[] = {
		{ SIZED("2 m", ""), SIZED("2.7 m", ""), false, true, SEVERITY_CAUTION },
		{ SIZED("2.7 m", ""), SIZED("2 m", ""), true, false, SEVERITY_CAUTION },
		{ SIZED("2.7 m", ""), SIZED("3.4 m", ""), true, true, SEVERITY_FAIL },
	};
	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct site *s = open_site(cases[i].plan, cases[i].built);
		verify(s);
		const struct verdict_change *change = change_of(&s->out.changes, "driver-headroom");
		assert_non_null(change);
		assert_int_equal(change->item.kind, KIND_DRIVER);
		assert_int_equal(change->before != NULL, cases[i].before);
		assert_int_equal(change->after != NULL, cases[i].after);
		assert_int_equal((cases[i].after ? change->after : change->before)->severity, cases[i].severity);
		assert_int_equal(s->out.verdict, findings_verdict(s->built.findings));
		assert_true(s->out.diagnosis.agree);
		arena_free(s->arena);
	}
}

static void test_the_same_finding_is_no_change(void **state)
{
	(void)state;
	struct site *s = open_site(SIZED("2.7 m", ""), SIZED("2.8 m", ""));
	verify(s);
	assert_int_equal(s->built.findings->count, 1);
	assert_int_equal(s->out.changes.count, 0);
	arena_free(s->arena);
}

/* ------- what is not measured */

#define FORK \
	"drivers: {D1: {voltage: 24 V, power: 60 W}}\n" \
	"blocks: {B1: {ports: 3, max_current: 6 A}}\n" \
	"strips:\n" \
	"  L1: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, channel: 1040 mm}\n" \
	"  L2: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, length: 1 m}\n" \
	"cables:\n" \
	"  C1: {size: 1 mm2, from: D1, to: B1, length: 1 m}\n" \
	"  C2: {size: 1 mm2, from: B1, to: L1, length: 1 m, supplied: yes}\n"

static void test_what_is_missing(void **state)
{
	(void)state;
	struct site *s = open_site(FORK, FORK);
	struct built_length length = {
		.item = { KIND_STRIP, 0 }, .length = { .origin = ORIGIN_BUILT, .num = 1.0 },
	};
	s->as_built.lengths = &length;
	s->as_built.length_count = 1;
	add_volts(s, "L1.end", s->built.solution->terminals[s->built.job->strips[0].terminal + 1].volts);
	verify(s);
	/* L1 is measured, C2 came with a part */
	assert_int_equal(s->out.uncut_count, 2);
	assert_int_equal(s->out.uncut[0].kind, KIND_STRIP);
	assert_int_equal(s->out.uncut[0].index, 1);
	assert_int_equal(s->out.uncut[1].kind, KIND_CABLE);
	assert_int_equal(s->out.uncut[1].index, 0);
	/* L1.end is read, no driver reaches L2 */
	assert_int_equal(s->out.unread_count, 2);
	for (size_t i = 0; i < 2; i++) {
		const char *name = s->built.job->terminals[s->out.unread[i]].name;
		assert_true(strcmp(name, "B1") == 0 || strcmp(name, "L1.start") == 0);
	}
	assert_near(verify_length(s->plan.job, (struct item_ref){ KIND_STRIP, 0 }), 1.0, 1e-12, 0);
	assert_near(verify_built_length(&s->out, (struct item_ref){ KIND_STRIP, 0 }), 1.0, 1e-12, 0);
	assert_true(isnan(verify_built_length(&s->out, (struct item_ref){ KIND_STRIP, 1 })));
	assert_true(isnan(verify_length(s->plan.job, (struct item_ref){ KIND_BLOCK, 0 })));
	arena_free(s->arena);
}

/* ------- as it is written */

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nothing_wrong),
		cmocka_unit_test(test_what_a_fault_does),
		cmocka_unit_test(test_a_fault_that_fails),
		cmocka_unit_test(test_changes_both_ways),
		cmocka_unit_test(test_the_same_finding_is_no_change),
		cmocka_unit_test(test_what_is_missing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
