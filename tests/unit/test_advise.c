/* Every proposal is put into the job and checked again here, from the file on: what advice promises must
 * come true in a job that somebody writes by hand after it. */
#include "support.h"

#include "advise/advise.h"
#include "load/load.h"

#include <stdio.h>

struct advised {
	struct arena *arena;
	struct job *job;
	struct solution *solution;
	struct findings findings;
};

static struct advised advise(const char *text)
{
	struct advised a = { .arena = arena_new() };
	struct diags diags;
	diags_init(&diags, a.arena);
	struct load_text input = { "test.yaml", text, strlen(text) };
	enum load_status status = load_job(a.arena, &input, &diags, &a.job);
	for (size_t i = 0; i < diags.count; i++)
		print_error("%u: %s\n", diags.items[i].place.line, diags.items[i].message);
	assert_int_equal(status, LOAD_OK);
	a.solution = solve_job(a.job, a.arena);
	check_job(a.job, a.solution, a.arena, &a.findings);
	advise_job(a.job, a.solution, a.arena, &a.findings);
	return a;
}

static const struct finding *find(const struct advised *a, const char *check)
{
	for (size_t i = 0; i < a->findings.count; i++)
		if (strcmp(a->findings.items[i].check->name, check) == 0)
			return &a->findings.items[i];
	return NULL;
}

static void assert_says(const struct finding *finding, const char *words)
{
	assert_non_null(finding);
	if (!strstr(finding->todo, words))
		fail_msg("'%s' is not in: %s", words, finding->todo);
}

static double light(const struct advised *a, size_t strip)
{
	return a->solution->strips[strip].light_min;
}

#define STRIP "{voltage: 12 V, power: 9.6 W/m, cut_length: 50 mm, loop_resistance: 0.1 ohm/m, led_knee: 8.25 V}"
#define TYPES "strip_types: {w: " STRIP "}\n"
#define DRIVER(watts) "drivers: {D1: {voltage: 12 V, power: " watts " W}}\n"
#define BLOCK(ports) "blocks: {B1: {ports: " ports ", max_current: 6 A}}\n"
#define FEED "  C1: {size: 0.75 mm2, from: D1, to: B1, length: 1 m}\n" \
             "  C2: {size: 0.75 mm2, from: B1, to: L1, length: 500 mm}\n"

/* The second feed: same size, same block, as long as the present feed and the strip together. */
static void test_feed_from_both_ends_comes_true(void **state)
{
	(void)state;
	struct advised before = advise(TYPES DRIVER("60") BLOCK("3")
		"strips: {L1: {type: w, length: 3.5 m}}\ncables:\n" FEED);
	const struct finding *f = find(&before, "feed-both-ends");
	assert_says(f, "feed L1 from both ends: a second 0.75 mm2 cable of about 4 m from B1 to L1.end "
	               "(B1 has a free port)");
	assert_null(find(&before, "far-end-drop"));
	assert_null(find(&before, "far-end-dim"));
	assert_null(find(&before, "uneven"));

	struct advised after = advise(TYPES DRIVER("60") BLOCK("3")
		"strips: {L1: {type: w, length: 3.5 m}}\ncables:\n" FEED
		"  C3: {size: 0.75 mm2, from: B1, to: L1.end, length: 4 m}\n");
	assert_null(find(&after, "feed-both-ends"));
	assert_int_equal(findings_verdict(&after.findings), VERDICT_OK);
	assert_says(f, arena_printf(before.arena, "from %s to %s", quantity_percent(before.arena, light(&before, 0)),
	                            quantity_percent(before.arena, light(&after, 0))));
	arena_free(before.arena);
	arena_free(after.arena);
}

/* In a job that is measured in feet and inches: 500 mm are 19.69 in and 3.5 m 137.8, together 13.12 ft. The metric
 * cable of the other driver is outvoted. */
static void test_a_job_in_feet_is_advised_in_feet(void **state)
{
	(void)state;
	struct advised a = advise(TYPES "drivers: {D1: {voltage: 12 V, power: 60 W}, D2: {voltage: 12 V, power: 60 W}}\n"
		BLOCK("3") "strips: {L1: {type: w, length: 137.8 in}, L2: {type: w, length: 8 m}}\ncables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: B1, length: 3 ft 3 1/2 in}\n"
		"  C2: {size: 0.75 mm2, from: B1, to: L1, length: 19 11/16 in}\n"
		"  C3: {size: 2.5 mm2, from: D2, to: L2, length: 500 mm}\n");
	assert_says(find(&a, "feed-both-ends"), "cable of about 13 ft from B1 to L1.end");
	assert_says(find(&a, "split-run"), " in fed from both ends");
	arena_free(a.arena);
}

static void test_a_full_block_is_said(void **state)
{
	(void)state;
	struct advised a = advise(TYPES DRIVER("60") BLOCK("2")
		"strips: {L1: {type: w, length: 3.5 m}}\ncables:\n" FEED);
	assert_says(find(&a, "feed-both-ends"), "B1 has no free port: take one with 3");
	arena_free(a.arena);
}

/* Strips joined end to end are one run: the second feed goes to its far end. */
static void test_joined_strips_are_fed_at_the_far_end_of_the_run(void **state)
{
	(void)state;
	struct advised a = advise(TYPES DRIVER("60") BLOCK("4")
		"strips: {L1: {type: w, length: 1.7 m}, L2: {type: w, length: 1.7 m}}\ncables:\n" FEED
		"  C3: {size: 0.75 mm2, from: L1.end, to: L2.start, length: 100 mm, joint_resistance: 5 mohm}\n");
	assert_says(find(&a, "feed-both-ends"), "from B1 to L2.end");
	arena_free(a.arena);
}

/* 7 m at 9.6 W/m do not pass even from both ends. The longest run that does is found in whole cut units:
 * one unit more must fail. */
static void test_split_run(void **state)
{
	(void)state;
	struct advised a = advise(TYPES DRIVER("100") BLOCK("6")
		"strips: {L1: {type: w, length: 8 m}}\ncables:\n"
		"  C1: {size: 2.5 mm2, from: D1, to: B1, length: 500 mm}\n"
		"  C2: {size: 2.5 mm2, from: B1, to: L1, length: 500 mm}\n");
	const struct finding *f = find(&a, "split-run");
	assert_says(f, "split L1 into");
	assert_near(f->value, 8, 1e-9, 0);
	assert_int_equal(f->severity, SEVERITY_FAIL);
	for (int more = 0; more < 2; more++) {
		char text[1024];
		snprintf(text, sizeof(text), TYPES DRIVER("100") BLOCK("6")
			"strips: {L1: {type: w, length: %.2f m}}\ncables:\n"
			"  C1: {size: 2.5 mm2, from: D1, to: B1, length: 500 mm}\n"
			"  C2: {size: 2.5 mm2, from: B1, to: L1, length: 500 mm}\n"
			"  C3: {size: 2.5 mm2, from: B1, to: L1.end, length: %.2f m}\n",
			f->limit + 0.05 * more, f->limit + 0.5 + 0.05 * more);
		struct advised longest = advise(text);
		bool dim = longest.solution->strips[0].drop > 0.05 || light(&longest, 0) < 0.80 ||
		           light(&longest, 0) < 0.85 * longest.solution->strips[0].light_max;
		assert_int_equal(dim, more);
		arena_free(longest.arena);
	}
	arena_free(a.arena);
}

/* A short strip behind a long thin cable is the cable's fault where the strip cannot be fed twice. */
static void test_thicker_cable_for_a_tapped_strip(void **state)
{
	(void)state;
	static const char pattern[] = TYPES DRIVER("60")
		"strips: {L1: {type: w, length: 2 m}}\ncables:\n"
		"  C1: {size: %s, from: D1, to: L1@1m, length: %s}\n";
	char text[512];
	snprintf(text, sizeof(text), pattern, "0.5 mm2", "9 m");
	struct advised before = advise(text);
	const struct finding *f = find(&before, "far-end-dim");
	assert_says(f, "put C1 in 1 mm2");
	snprintf(text, sizeof(text), pattern, "0.75 mm2", "9 m");
	struct advised thinner = advise(text);
	assert_int_equal(findings_verdict(&thinner.findings), VERDICT_CAUTION);
	snprintf(text, sizeof(text), pattern, "1 mm2", "9 m");
	struct advised after = advise(text);
	assert_int_equal(findings_verdict(&after.findings), VERDICT_OK);
	arena_free(before.arena);
	arena_free(thinner.arena);
	arena_free(after.arena);
}

/* Reference data section 8, definition A (load / 0.8): 25 W wants 31.25 W, which is 36 W on the ladder of
 * common wattages; 50 W wants 62.5 W, which is 75 W; 80 W wants 100 W. */
static void test_next_driver(void **state)
{
	(void)state;
	static const struct { const char *watts_per_m, *now, *next; } cases[] = {
		{ "12.5", "30", "take a 36 W, 3 A driver" },
		{ "25", "60", "take a 75 W, 6.25 A driver" },
		{ "40", "75", "take a 100 W, 8.33 A driver" },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(*cases); i++) {
		char text[512];
		snprintf(text, sizeof(text),
			"drivers: {D1: {voltage: 12 V, power: %s W}}\n"
			"strips: {L1: {voltage: 12 V, power: %s W/m, cut_length: 50 mm, length: 2 m, "
			"loop_resistance: 0.01 ohm/m, mount: aluminium}}\n"
			"cables: {C1: {size: 4 mm2, from: D1, to: L1, length: 200 mm}}\n",
			cases[i].now, cases[i].watts_per_m);
		struct advised a = advise(text);
		assert_says(find(&a, "driver-headroom"), cases[i].next);
		arena_free(a.arena);
	}
}

/* 12 V 60 W: 5 A rated, 7.5 A before it trips. 0.5 mm2 stands 3 A. Load 0.8 A: In >= 1 A. */
static void test_fuse_for_a_thin_cable(void **state)
{
	(void)state;
	struct advised before = advise(TYPES DRIVER("60") "strips: {L1: {type: w, length: 1 m}}\n"
		"cables: {C1: {size: 0.5 mm2, from: L1, to: D1, length: 1 m}}\n");
	assert_says(find(&before, "cable-unprotected"), "put a 1 A fuse in C1 at its D1 end");
	struct advised after = advise(TYPES DRIVER("60") "strips: {L1: {type: w, length: 1 m}}\n"
		"cables: {C1: {size: 0.5 mm2, from: L1, to: D1, length: 1 m, fuse: 1 A}}\n");
	assert_int_equal(findings_verdict(&after.findings), VERDICT_OK);
	arena_free(before.arena);
	arena_free(after.arena);
}

/* A 0.5 mm2 cable that carries 2.9 A has no room for a fuse (2.9 / 0.8 > 3): a thicker one it is. 0.75 mm2
 * stands 6 A and the driver goes on to 7.5 A, within 1.45 x 6 A = 8.7 A. */
static void test_thicker_where_no_fuse_fits(void **state)
{
	(void)state;
	struct advised a = advise(
		"drivers: {D1: {voltage: 12 V, power: 60 W}}\n"
		"strips: {L1: {voltage: 12 V, power: 35 W/m, cut_length: 50 mm, length: 1 m, "
		"loop_resistance: 0.01 ohm/m, led_knee: 8 V, mount: aluminium}}\n"
		"cables: {C1: {size: 0.5 mm2, from: D1, to: L1, length: 200 mm, joint: solder}}\n");
	assert_says(find(&a, "cable-unprotected"), "put C1 in 0.75 mm2");
	arena_free(a.arena);
}

/* 150 W at 12 V for a load of 18 W: 12.5 A, up to 18.75 A. No fuse fits between 2.9 / 0.8 A and 3 A, and the
 * cable came with the strip. */
static void test_smaller_driver_where_the_cable_is_fixed(void **state)
{
	(void)state;
	struct advised a = advise(
		"drivers: {D1: {voltage: 12 V, power: 150 W}}\n"
		"strips: {L1: {voltage: 12 V, power: 20 W/m, cut_length: 50 mm, length: 1 m, "
		"loop_resistance: 0.01 ohm/m, led_knee: 8 V, mount: aluminium}}\n"
		"cables: {C1: {size: 0.25 mm2, from: D1, to: L1, length: 200 mm, joint: solder, supplied: yes}}\n");
	const struct finding *f = find(&a, "cable-unprotected");
	assert_non_null(f);
	assert_null(strstr(f->todo, "put C1 in"));
	arena_free(a.arena);
}

static void test_overvoltage_is_trimmed(void **state)
{
	(void)state;
	struct advised a = advise(TYPES "drivers: {D1: {voltage: 12 V, power: 60 W, set_voltage: 13.0 V}}\n"
		"strips: {L1: {type: w, length: 1 m}}\n"
		"cables: {C1: {size: 0.75 mm2, from: D1, to: L1, length: 500 mm}}\n");
	assert_says(find(&a, "strip-overvoltage"), "trim D1 down to 12");
	arena_free(a.arena);
}

/* What was left out is listed once per type or group, with what it moves: at half the loop resistance the
 * figure must be that of the job that says so. */
static void test_assumptions(void **state)
{
	(void)state;
	static const char pattern[] = "strip_types: {w: {voltage: 12 V, power: 9.6 W/m, cut_length: 50 mm%s}}\n"
		DRIVER("60") "strips: {L1: {type: w, length: 3 m}, L2: {type: w, length: 1 m}}\n"
		"cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 500 mm, joint: screw}\n"
		"  C2: {size: 0.75 mm2, from: D1, to: L2, length: 500 mm}\n";
	char text[1024];
	snprintf(text, sizeof(text), pattern, "");
	struct advised a = advise(text);
	struct assumptions list;
	assumptions_of(a.job, a.solution, a.arena, &list);
	size_t loops = 0, joints = 0;
	for (size_t i = 0; i < list.count; i++) {
		const struct assumption *s = &list.items[i];
		assert_string_not_equal(s->effect, "not worked out");    /* every listed row says how far it moves */
		if (strcmp(s->row->key, "joint_resistance") == 0) {
			joints++;
			assert_int_equal(s->item_count, 1);          /* C1 says how it is joined */
		}
		if (strcmp(s->row->key, "loop_resistance") != 0)
			continue;
		loops++;
		assert_string_equal(s->owner, "w");
		assert_int_equal(s->item_count, 2);
		assert_string_equal(s->value, "0.2 ohm/m");
		snprintf(text, sizeof(text), pattern, ", loop_resistance: 0.1 ohm/m");
		struct advised half = advise(text);
		assert_non_null(strstr(s->effect, arena_printf(a.arena, "at 0.1 ohm/m the dimmest point gives %s",
		                quantity_percent(a.arena, fmin(light(&half, 0), light(&half, 1))))));
		arena_free(half.arena);
	}
	assert_int_equal(loops, 1);
	assert_int_equal(joints, 1);
	arena_free(a.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_feed_from_both_ends_comes_true),
		cmocka_unit_test(test_a_job_in_feet_is_advised_in_feet),
		cmocka_unit_test(test_a_full_block_is_said),
		cmocka_unit_test(test_joined_strips_are_fed_at_the_far_end_of_the_run),
		cmocka_unit_test(test_split_run),
		cmocka_unit_test(test_thicker_cable_for_a_tapped_strip),
		cmocka_unit_test(test_next_driver),
		cmocka_unit_test(test_fuse_for_a_thin_cable),
		cmocka_unit_test(test_thicker_where_no_fuse_fits),
		cmocka_unit_test(test_smaller_driver_where_the_cable_is_fixed),
		cmocka_unit_test(test_overvoltage_is_trimmed),
		cmocka_unit_test(test_assumptions),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
