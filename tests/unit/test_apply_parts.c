/* A plan put into the user's file: drivers and their types, feeds, split runs, and what cannot be done. */
#include "apply_support.h"

#include <stdio.h>

/* ------- drivers */

#define CABLES STRIPS "cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 2 m}}\n"

static void bigger_driver(struct sizing *s)
{
	plan_driver(s, "D1", 100, NULL);
}

/* 100 W / 24 V = 4.1667 A; trips at 1.5 times that: 6.25 A. */
static void test_driver(void **state)
{
	(void)state;
	assert_written(TYPES "drivers: {D1: {voltage: 24 V, power: 60 W}} # psu\n" CABLES, bigger_driver,
	               TYPES "drivers: {D1: {voltage: 24 V, power: 100 W}} # psu\n" CABLES);
	assert_written(TYPES "drivers:\n  D1: {voltage: 24 V, power: 60 W, max_current: 2.5 A, trip_current: 3 A}\n"
	               CABLES, bigger_driver,
	               TYPES "drivers:\n  D1: {voltage: 24 V, power: 100 W, max_current: 4.1667 A, trip_current: "
	               "6.25 A}\n" CABLES);
	assert_written(TYPES "driver_types: {p: {voltage: 24 V, power: 60 W, trip_current: 3 A}}\n"
	               "drivers:\n  D1:\n    type: p\n" CABLES, bigger_driver,
	               TYPES "driver_types: {p: {voltage: 24 V, power: 60 W, trip_current: 3 A}}\n"
	               "drivers:\n  D1:\n    trip_current: 6.25 A\n    power: 100 W\n    type: p\n" CABLES);
}

static void a_part(struct sizing *s)
{
	plan_driver(s, "D1", 100, "big, 24 V");
}

#define PARTS "driver_types:\n" \
	"  small: {voltage: 24 V, power: 60 W, efficiency: 80 %}\n" \
	"  \"big, 24 V\": {voltage: 24 V, power: 100 W, derating: [[40 C, 100 %], [60 C, 70 %]], part: N100, " \
	"class_2: Yes, note: hot}\n"

static void test_driver_of_a_type(void **state)
{
	(void)state;
	assert_written(TYPES PARTS "drivers: {D1: {type: small, place: loft}}\n" CABLES, a_part,
	               TYPES PARTS "drivers: {D1: {type: \"big, 24 V\", place: loft}}\n" CABLES);
	assert_written(TYPES PARTS "drivers:\n"
	               "  D1:\n"
	               "    # from the shed\n"
	               "    voltage: 24 V\n"
	               "    power: 60 W       # label\n"
	               "    derating: [[30 C, 100 %], [50 C, 50 %]] # sheet\n"
	               "    max_current: 2.5 A\n"
	               "    part: 'N60'\n"
	               "    class_2: no\n"
	               "    note: mine\n" CABLES,
	               a_part,
	               TYPES PARTS "drivers:\n"
	               "  D1:\n"
	               "    # from the shed\n"
	               "    type: \"big, 24 V\"\n"
	               "    voltage: 24 V\n"
	               "    power: 100 W       # label\n"
	               "    derating: [[40 C, 100 %], [60 C, 70 %]] # sheet\n"
	               "    max_current: 4.1667 A\n"
	               "    part: 'N100'\n"
	               "    class_2: yes\n"
	               "    note: mine\n" CABLES);
}

/* ------- feeds */

static void moved_to_the_middle(struct sizing *s)
{
	struct job *sized = sized_job(s);
	sized->cables[0].b = job_tap(sized, 0, 5);
	sized->cables[0].length.num = 2.5;
	s->plan.strips[0].proposed = FEED_MIDDLE;
	s->plan.moved = arena_array(s->arena, struct moved_cable, 1);
	s->plan.moved_count = 1;
	s->plan.moved[0] = (struct moved_cable){ .cable = 0, .to = sized->terminals[sized->cables[0].b].name };
}

static void test_moved_feed(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n  C1: {size: 0.75 mm2, from: D1, to: 'L1', length: 2 m}  # near\n",
	               moved_to_the_middle,
	               HEAD "cables:\n  C1: {size: 0.75 mm2, from: D1, to: 'L1@0.5m', length: 2.5 m}  # near\n");
}

/* L1 is cut into runs of 6 and 5 units. */
static void split_in_two(struct sizing *s)
{
	struct job *sized = sized_job(s);
	struct strip part = sized->strips[0];
	sized->strips[0].length = (struct attr){ .origin = ORIGIN_GIVEN, .num = 6 * part.pitch };
	strip_derive(&sized->strips[0], 25);
	sized->terminals[part.terminal + 1].mark = 6;
	part.item.id = "L1b";
	part.length = (struct attr){ .origin = ORIGIN_GIVEN, .num = 5 * part.pitch };
	strip_derive(&part, 25);
	size_t added = job_add_strip(sized, &part);
	plan_feed(s, "C1b", "C1", "L1", 0, 2.6);
	sized->cables[1].b = sized->strips[added].terminal;
	s->plan.added[0].to = sized->terminals[sized->cables[1].b].name;
	s->plan.strips[0].proposed = FEED_SPLIT;
}

/* 14 units in 1 m of reel: 71.43 mm each, so that 6 are 428.6 mm and 5 are 357.1 mm. */
static void test_split_run(void **state)
{
	(void)state;
	assert_written(TYPES DRIVER
	               "strips:\n"
	               "  L1: {type: warm, length: 1.1 m, place: \"back: left\", view: back}  # long\n"
	               "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n",
	               split_in_two,
	               TYPES DRIVER
	               "strips:\n"
	               "  L1: {type: warm, length: 600 mm, place: \"back: left\", view: back}  # long\n"
	               "  L1b: {type: warm, place: \"back: left\", view: back, length: 500 mm}\n"
	               "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n"
	               "  C1b: {from: D1, to: L1b.start, length: 2.6 m, size: 0.75 mm2}\n");
	assert_written(DRIVER
	               "strips:\n"
	               "  L1: {channel: 790 mm, reel: 1 m, cut_length: 71.4 mm, voltage: 24 V, power: 9 W/m,\n"
	               "       reel_test: {length: 5 m, feed: 24.0 V, far: 22.1 V, current: 1.82 A}}\n"
	               "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n",
	               split_in_two,
	               DRIVER
	               "strips:\n"
	               "  L1: {length: 428.5714 mm, reel: 1 m, cut_length: 71.4 mm, voltage: 24 V, power: 9 W/m,\n"
	               "       reel_test: {length: 5 m, feed: 24.0 V, far: 22.1 V, current: 1.82 A}}\n"
	               "  L1b: {voltage: 24 V, power: 9 W/m, cut_length: 71.4 mm, reel: 1 m, reel_test: {length: 5 m, "
	               "feed: 24 V, far: 22.1 V, current: 1.82 A}, length: 357.1429 mm}\n"
	               "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n"
	               "  C1b: {from: D1, to: L1b.start, length: 2.6 m, size: 0.75 mm2}\n");
}

/* ------- what cannot be done */

/* The message has `words` in it, points at `line`, and nothing is written. */
static void assert_refused(const char *text, change *plan, const char *words, size_t line)
{
	struct sizing s;
	sizing_open(&s, text);
	plan_nothing(&s);
	plan(&s);
	assert_false(write_copy(&s));
	assert_int_equal(s.copy.length, 0);
	assert_int_equal(s.diags.count, 1);
	assert_int_equal(s.diags.items[0].place.line, line);
	if (strstr(s.diags.items[0].message, words) == NULL)
		fail_msg("'%s' is not in '%s'", words, s.diags.items[0].message);
	sizing_close(&s);
}

static void test_refusals(void **state)
{
	(void)state;
	assert_refused(HEAD "cables:\n"
	               "  C2: &c {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n"
	               "  C1: *c\n", thicker, "cable 'C1' is another item under a second name", 6);
	assert_refused(HEAD "cables:\n"
	               "  ? C1\n"
	               "  : {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n", thicker, "cable 'C1' is written", 5);
	assert_refused(HEAD "cables:\n"
	               "  C1: {? size : 0.75 mm2, from: D1, to: L1, length: 2 m}\n", fused, "cable 'C1' is written", 5);
	assert_refused(HEAD "cables:\n"
	               "  C1:\n    size: 0.75\n      mm2\n    from: D1\n    to: L1\n    length: 2 m\n", thicker,
	               "over several lines", 5);
}

/* An alias may stay beside what is only copied. */
static void test_new_cable_beside_an_alias(void **state)
{
	(void)state;
	assert_written(HEAD "cables:\n"
	               "  C2: &c {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n"
	               "  C1: *c # the same\n",
	               second_feed,
	               HEAD "cables:\n"
	               "  C2: &c {size: 0.75 mm2, from: D1, to: L1, length: 2 m}\n"
	               "  C1: *c # the same\n"
	               "  C1b: {from: D1, to: L1.end, length: 3.01 m, size: 0.75 mm2}\n");
}

/* A change that reaches another item through an alias or a merge is found when the text is read back. */
static void test_shared_values_do_not_agree(void **state)
{
	(void)state;
	static const char *const second[] = {
		"  C2: {size: *s, from: D1, to: L1.end, length: 2 m}\n", "  C2: {<<: *c, to: L1.end}\n", "  C2: *c\n",
	};
	for (size_t i = 0; i < 3; i++) {
		struct sizing s;
		char text[1024];
		snprintf(text, sizeof(text), HEAD "cables:\n"
		         "  C1: &c {size: &s 0.75 mm2, from: D1, to: L1, length: 2 m}\n%s", second[i]);
		sizing_open(&s, text);
		plan_nothing(&s);
		thicker(&s);
		assert_true(write_copy(&s));
		assert_false(apply_agrees(&s.plan, read_job(&s, s.copy.data, s.copy.length), &s.diags));
		assert_int_equal(s.diags.count, 1);
		assert_non_null(strstr(s.diags.items[0].message, "cable 'C2' would not come out as proposed"));
		sizing_close(&s);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_driver),
		cmocka_unit_test(test_driver_of_a_type),
		cmocka_unit_test(test_moved_feed),
		cmocka_unit_test(test_split_run),
		cmocka_unit_test(test_refusals),
		cmocka_unit_test(test_new_cable_beside_an_alias),
		cmocka_unit_test(test_shared_values_do_not_agree),
	};
	return cmocka_run_group_tests_name("apply parts", tests, NULL, NULL);
}
