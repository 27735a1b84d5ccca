/* What reads nothing: an open joint, a driver that is off, and what the model has no figures for. */
#include "diagnose_support.h"

#include <stdio.h>

#define APART COOL UNIT "strips: {L1: {type: r, length: 2 m}, L2: {type: r, length: 2 m}}\n" \
              "cables: {C1: {size: 0.5 mm2, from: D1, to: L1, length: 3 m}, " \
              "C2: {size: 0.5 mm2, from: D1, to: L2, length: 3 m}}\n"

/* An open joint leaves its strip at no volts, where the law of a cut unit would hold it at the knee. */
static void a_dark_strip_has_an_open_joint(void **state)
{
	(void)state;
	struct bench b = bench_of(APART);
	struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", 0);
	volts(&b, "L1.end", 0);
	volts(&b, "L2.start", s->terminal_v[terminal(&b, "L2.start")]);
	ask(&b);
	const struct suspect *joint = suspect(&b, SUSPECT_JOINT, "C1", "L1.start");
	assert_ptr_equal(joint, &b.d.suspects[0]);
	assert_true(b.d.explained);
	assert_true(joint->extra_ohm > 100);
	assert_int_equal(joint->explains, 2);
	close_bench(&b);
}

/* One cut unit of 9.6 W/m x 50 mm takes 20 mA; above its knee (16.5 V of 24 V) it behaves as 375 ohm, so that
 * 1000 ohm before it would leave it at 18.5 V by its law. */
#define SHORT(metres) COOL UNIT "strips: {L1: {type: r, length: " metres "}, L2: {type: r, length: 2 m}}\n" \
              "cables: {C1: {size: 0.5 mm2, from: D1, to: L1, length: 3 m}, " \
              "C2: {size: 0.5 mm2, from: D1, to: L2, length: 3 m}}\n"

static void a_dark_strip_of_few_units_has_an_open_joint(void **state)
{
	static const char *const jobs[] = { SHORT("50 mm"), SHORT("100 mm"), SHORT("150 mm") };
	static const double found[] = { 0, 3.2, 14 };
	(void)state;
	for (size_t i = 0; i < 9; i++) {
		struct bench b = bench_of(jobs[i / 3]);
		struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
		volts(&b, "D1", 24);
		volts(&b, "L1.start", found[i % 3]);
		volts(&b, "L1.end", found[i % 3]);
		volts(&b, "L2.start", s->terminal_v[terminal(&b, "L2.start")]);
		ask(&b);
		assert_true(b.d.suspect_count > 0 && b.d.explained);
		const struct suspect *joint = suspect(&b, SUSPECT_JOINT, "C1", "L1.start");
		assert_ptr_equal(joint, &b.d.suspects[0]);
		assert_true(joint->extra_ohm > 100);
		assert_int_equal(joint->explains, 2);
		close_bench(&b);
	}
}

static void assert_off(const struct bench *b, const char *driver)
{
	assert_int_equal(b->d.suspect_count, 1);
	const struct suspect *s = suspect(b, SUSPECT_DRIVER, driver, NULL);
	assert_ptr_equal(s, &b->d.suspects[0]);
	assert_true(s->off);
	assert_true(s->value < 1);
	assert_near(s->score, 1, 1e-12, 0);
	assert_false(b->d.agree);
	assert_true(b->d.explained);
	assert_false(b->d.next.is_worth);
}

/* Below 1 V the driver gives nothing: no joint is suspected, whatever else is read. */
static void a_driver_at_nothing_is_off(void **state)
{
	static const double found[] = { 0, 0.03, 0.9 };
	(void)state;
	for (size_t i = 0; i < 3; i++) {
		struct bench b = bench_of(APART);
		volts(&b, "D1", found[i]);
		volts(&b, "L1.start", found[i]);
		volts(&b, "L2.start", 0);
		ask(&b);
		assert_off(&b, "D1");
		assert_int_equal(b.d.suspects[0].explains, 3);
		assert_near(b.d.suspects[0].value, found[i], 0, 1e-12);
		assert_near(b.d.suspects[0].worst, found[i], 0, 1e-12);
		close_bench(&b);
	}
}

/* Residual charge may leave a strip at its LEDs' own voltage for a while. */
static void a_strip_may_hold_some_volts_when_the_driver_is_off(void **state)
{
	(void)state;
	struct bench b = bench_of(APART);
	volts(&b, "D1", 0);
	volts(&b, "L1.end", 9);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 1);
	assert_true(b.d.suspects[0].off);
	assert_int_equal(b.d.suspects[0].explains, 1);
	close_bench(&b);
}

static void everything_at_nothing_is_a_driver_that_is_off(void **state)
{
	(void)state;
	struct bench b = bench_of(APART);
	volts(&b, "L1.start", 0);
	volts(&b, "L2.end", 0);
	amps(&b, "C1", 0);
	ask(&b);
	assert_off(&b, "D1");
	assert_int_equal(b.d.suspects[0].explains, 3);
	close_bench(&b);
	b = bench_of(APART);
	amps(&b, "C1", 0);
	amps(&b, "C2", 0.004);
	ask(&b);
	assert_off(&b, "D1");
	close_bench(&b);
}

/* One strip of two that is dark says nothing of the driver; nor does a driver that gives its voltage, or
 * a reading at nothing beside one that is live. */
static void a_driver_that_gives_anything_is_not_off(void **state)
{
	(void)state;
	struct bench b = bench_of(APART);
	volts(&b, "L1.start", 0);
	volts(&b, "L1.end", 0);
	ask(&b);
	assert_true(b.d.suspect_count > 1);
	assert_non_null(suspect(&b, SUSPECT_JOINT, "C1", "L1.start"));
	for (size_t i = 0; i < b.d.suspect_count; i++)
		assert_false(b.d.suspects[i].off);
	close_bench(&b);
	b = bench_of(APART);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", 0);
	volts(&b, "L2.start", 0);
	ask(&b);
	for (size_t i = 0; i < b.d.suspect_count; i++)
		assert_false(b.d.suspects[i].off);
	close_bench(&b);
	b = bench_of(APART);
	volts(&b, "D1", 0);
	volts(&b, "L1.start", 23.7);
	ask(&b);
	for (size_t i = 0; i < b.d.suspect_count; i++)
		assert_false(b.d.suspects[i].off);
	assert_false(b.d.explained);
	close_bench(&b);
}

/* A slip: everything else agrees, and no joint leaves one end of a strip at half its volts. */
static void one_reading_that_fits_nothing_is_odd(void **state)
{
	static const char *const at[] = { "D1", "L1.start", "L1.end", "L2.start", "L2.end" };
	static const double slips[] = { 12.34, 2.33, 33.2, 0 };
	(void)state;
	for (size_t i = 0; i < 4; i++) {
		struct bench b = bench_of(APART);
		struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
		for (size_t k = 0; k < 5; k++)
			volts(&b, at[k], k == 2 ? slips[i] : s->terminal_v[terminal(&b, at[k])]);
		ask(&b);
		assert_int_equal(b.d.odd, 2);
		assert_int_equal(b.d.exchanged, NO_INDEX);
		assert_int_equal(b.d.suspect_count, 0);
		assert_false(b.d.agree || b.d.explained);
		close_bench(&b);
	}
}

static void two_readings_in_each_others_rows_are_seen(void **state)
{
	static const char *const at[] = { "D1", "L1.start", "L1.end", "L2.start", "L2.end" };
	static const char *const written[] = { "L2.end", "L1.start", "L1.end", "L2.start", "D1" };
	(void)state;
	struct bench b = bench_of(APART);
	struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
	for (size_t k = 0; k < 5; k++)
		volts(&b, at[k], s->terminal_v[terminal(&b, written[k])]);
	ask(&b);
	assert_int_equal(b.d.odd, 0);
	assert_int_equal(b.d.exchanged, 4);
	assert_int_equal(b.d.suspect_count, 0);
	close_bench(&b);
}

/* Of faults that explain one dark strip equally, the clip at that strip comes before the screw before all. */
static void the_joint_that_fails_most_easily_leads(void **state)
{
	(void)state;
	struct bench b = bench_of(COOL UNIT "blocks: {B1: {ports: 3, max_current: 6 A}}\n"
		"strips: {L1: {type: r, length: 2 m}, L2: {type: r, length: 2 m}}\n"
		"cables: {C0: {size: 1 mm2, from: D1, to: B1, length: 1 m, joint: screw}, "
		"C1: {size: 0.5 mm2, from: B1, to: L1, length: 3 m, joint: clip}, "
		"C2: {size: 0.5 mm2, from: B1, to: L2, length: 3 m, joint: clip}}\n");
	volts(&b, "L2.start", 0);
	ask(&b);
	assert_ptr_equal(suspect(&b, SUSPECT_JOINT, "C2", "L2.start"), &b.d.suspects[0]);
	assert_non_null(suspect(&b, SUSPECT_JOINT, "C0", "B1"));
	close_bench(&b);
}

/* A strip fed from both ends is dark, the other is not: an open joint before both would darken that too, and
 * one at either end leaves the strip alight. That is not a fault to name. */
static void what_contradicts_a_good_reading_is_not_named(void **state)
{
	(void)state;
	struct bench b = bench_of(COOL UNIT "blocks: {B1: {ports: 4, max_current: 6 A}}\n"
		"strips: {L1: {type: r, length: 2 m}, L2: {type: r, length: 2 m}}\n"
		"cables: {C0: {size: 1 mm2, from: D1, to: B1, length: 4 m}, "
		"C1: {size: 0.5 mm2, from: B1, to: L1.start, length: 3 m}, "
		"C2: {size: 0.5 mm2, from: B1, to: L1.end, length: 3 m}, "
		"C3: {size: 0.5 mm2, from: B1, to: L2, length: 3 m}}\n");
	struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", 0);
	volts(&b, "L1.end", 0);
	volts(&b, "L2.end", s->terminal_v[terminal(&b, "L2.end")]);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 0);
	assert_false(b.d.agree || b.d.explained);
	assert_int_equal(b.d.odd, NO_INDEX);
	close_bench(&b);
}

#define TWO_DRIVERS(to) COOL UNIT "strips: {L1: {type: r, length: 2 m}, L2: {type: r, length: 2 m}}\n" \
              "cables: {C1: {size: 0.5 mm2, from: D1, to: L1, length: 3 m}, " \
              "C2: {size: 0.5 mm2, from: D2, to: L2, length: 3 m}" to "}\n"
#define SECOND "drivers: {D1: {voltage: 24 V, power: 150 W}, D2: {voltage: 24 V, power: 150 W}}\n"

/* UNIT with a second driver */
static struct bench two_drivers(const char *text)
{
	const char *one = strstr(text, "drivers:"), *rest = strchr(one, '\n') + 1;
	char job[2048];
	snprintf(job, sizeof(job), "%.*s%s%s", (int)(one - text), text, SECOND, rest);
	return bench_of(job);
}

/* The other circuit is judged all the same: it is right, or it is not. */
static void drivers_are_off_one_by_one(void **state)
{
	static const double beside[] = { 0, -1.5 };
	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct bench b = two_drivers(TWO_DRIVERS(""));
		struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
		volts(&b, "D1", 0);
		volts(&b, "D2", 24);
		volts(&b, "L2.start", s->terminal_v[terminal(&b, "L2.start")] + beside[i]);
		ask(&b);
		assert_int_equal(b.d.suspect_count, 1);
		assert_non_null(suspect(&b, SUSPECT_DRIVER, "D1", NULL));
		assert_int_equal(b.d.explained, i == 0);
		close_bench(&b);
	}
	struct bench b = two_drivers(TWO_DRIVERS(""));
	volts(&b, "D1", 0);
	volts(&b, "D2", 0);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 2);
	assert_true(b.d.suspects[0].off && b.d.suspects[1].off && b.d.explained);
	assert_int_not_equal(b.d.suspects[0].group, b.d.suspects[1].group);
	assert_near(b.d.suspects[0].score + b.d.suspects[1].score, 1, 1e-12, 0);
	close_bench(&b);
}

/* What two drivers feed has no figures (double-fed): nothing is foreseen there, no current of 0 A either, and
 * no reading is outside. Elsewhere everything is as ever. */
static void what_two_drivers_feed_is_not_foreseen(void **state)
{
	(void)state;
	struct bench b = two_drivers(TWO_DRIVERS(", C3: {size: 0.5 mm2, from: L1.end, to: L2.end, length: 1 m}"));
	volts(&b, "D1", 24.02);
	volts(&b, "L1.start", 23.7);
	amps(&b, "C1", 0.4);
	amps(&b, "C3", 0.1);
	ask(&b);
	for (size_t i = 0; i < 4; i++) {
		assert_true(b.d.checks[i].unknown);
		assert_true(isnan(b.d.checks[i].predicted) && isnan(b.d.checks[i].difference));
		assert_true(b.d.checks[i].within);
	}
	assert_int_equal(b.d.suspect_count, 0);
	close_bench(&b);
	b = bench_of(APART);
	amps(&b, "C1", 0.4);
	ask(&b);
	assert_false(b.d.checks[0].unknown);
	close_bench(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_dark_strip_has_an_open_joint),
		cmocka_unit_test(a_dark_strip_of_few_units_has_an_open_joint),
		cmocka_unit_test(a_driver_at_nothing_is_off),
		cmocka_unit_test(a_strip_may_hold_some_volts_when_the_driver_is_off),
		cmocka_unit_test(everything_at_nothing_is_a_driver_that_is_off),
		cmocka_unit_test(a_driver_that_gives_anything_is_not_off),
		cmocka_unit_test(one_reading_that_fits_nothing_is_odd),
		cmocka_unit_test(two_readings_in_each_others_rows_are_seen),
		cmocka_unit_test(the_joint_that_fails_most_easily_leads),
		cmocka_unit_test(what_contradicts_a_good_reading_is_not_named),
		cmocka_unit_test(drivers_are_off_one_by_one),
		cmocka_unit_test(what_two_drivers_feed_is_not_foreseen),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
