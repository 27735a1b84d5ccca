/* Faults whose readings follow from Ohm's law on paper: one cut unit that takes 1 A whatever its voltage, at
 * the end of one cable after another. */
#include "diagnose_support.h"

#define ONE COOL UNIT "strips: {L1: {type: cc, length: 500 mm}}\n" \
            "cables: {C1: {size: 0.75 mm2, from: D1, to: L1, length: 10 m, joint: clip}}\n"
/* 1 A through copper and an 80 mohm pair of clips */
#define ONE_AT_START (24 - COPPER_10M - 0.080)

static void readings_within_the_meter_need_no_explaining(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	volts(&b, "L1.start", ONE_AT_START + 0.08);    /* 0.5 % of 23.4 V are 0.117 V */
	volts(&b, "L1.end", ONE_AT_START - 0.025 + 0.09);      /* half a section of rail, 25 mohm, lies before it */
	const struct diagnosis *d = ask(&b);
	assert_true(d->agree);
	assert_int_equal(d->suspect_count, 0);
	assert_false(d->next.is_worth);
	assert_near(d->checks[0].predicted, ONE_AT_START, 0, 1e-6);
	assert_near(d->checks[0].difference, 0.08, 0, 1e-6);
	/* 1.96 standard deviations */
	assert_near(d->checks[0].allowed, 1.96 * hypot(0.010, 0.005 * ONE_AT_START), 1e-6, 0);
	assert_true(d->checks[0].within && d->checks[1].within);
	/* The gain that a meter reading 0.085 V too high has, pulled a little to none. */
	assert_near(d->gain_v, 0.085 / ONE_AT_START, 0.02, 0);
	close_bench(&b);
}

static void no_readings_say_nothing(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	assert_true(ask(&b)->agree);
	assert_int_equal(b.d.suspect_count, 0);
	close_bench(&b);
}

/* 1 V is missing at 1 A: 1 ohm, and the meter may be 1.96 hypot(0.01, 0.005 V) off, V being what is foreseen
 * at the far end of the interval. One reading: everything that leads there is one group. */
static void one_reading_gives_one_unknown(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	volts(&b, "L1.start", ONE_AT_START - 1);
	const struct diagnosis *d = ask(&b);
	assert_false(d->agree);
	assert_true(d->explained);
	assert_int_equal(d->suspect_count, 5);
	for (size_t i = 0; i < d->suspect_count; i++)
		assert_int_equal(d->suspects[i].group, 0);
	const struct suspect *joint = suspect(&b, SUSPECT_JOINT, "C1", "L1.start");
	assert_ptr_equal(joint, &d->suspects[0]);      /* the clip at the strip is looked at first */
	assert_near(joint->extra_ohm, 1, 0, 1e-3);
	assert_near(joint->value, 1.04, 0, 1e-3);      /* half of the two clips */
	double wide = 1.96 * hypot(0.010, 0.005 * (ONE_AT_START - 1 + 0.226));
	assert_near(joint->uncertainty, wide, 0.01, 0);
	assert_near(joint->score, 0.2, 1e-3, 0);
	assert_int_equal(joint->explains, 1);
	assert_near(joint->worst, 0, 0, 1e-3);
	assert_near(suspect(&b, SUSPECT_CABLE, "C1", NULL)->value, COPPER_10M + 0.080 + 1, 0, 1e-3);
	const struct suspect *driver = suspect(&b, SUSPECT_DRIVER, "D1", NULL);
	assert_near(driver->value, 23, 0, 1e-3);
	assert_true(isnan(driver->extra_ohm));
	/* or more amps through what is there: 1.6 V / 0.6 ohm */
	assert_near(suspect(&b, SUSPECT_STRIP, "L1", NULL)->value, 1 + 1 / (COPPER_10M + 0.080), 0, 2e-3);
	close_bench(&b);
}

static void a_second_reading_clears_the_driver(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", ONE_AT_START - 1);
	ask(&b);
	assert_null(suspect(&b, SUSPECT_DRIVER, "D1", NULL));
	const struct suspect *joint = suspect(&b, SUSPECT_JOINT, "C1", "L1.start");
	assert_ptr_equal(joint, &b.d.suspects[0]);
	assert_near(joint->extra_ohm, 1, 0, 0.01);
	/* The reading at the driver has told the gain: only the digits are left, one of each reading. */
	assert_near(joint->uncertainty, 1.96 * 0.010 * sqrt(2), 0.05, 0);
	close_bench(&b);
}

static void a_reading_at_the_driver_accuses_the_driver_alone(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	volts(&b, "D1", 23);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 1);
	assert_int_equal(b.d.suspects[0].kind, SUSPECT_DRIVER);
	assert_near(b.d.suspects[0].value, 23, 0, 1e-3);
	assert_near(b.d.suspects[0].score, 1, 1e-9, 0);
	close_bench(&b);
}

/* No resistance lifts a voltage above the driver's, and the driver was measured. */
static void what_no_fault_can_do_is_not_blamed_on_any(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", 26);
	ask(&b);
	assert_false(b.d.agree);
	assert_false(b.d.explained);
	close_bench(&b);
}

/* 2 A where 1 A is expected, and the voltage that goes with it. */
static void a_strip_that_draws_double_is_named(void **state)
{
	(void)state;
	struct bench b = bench_of(ONE);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", 24 - 2 * (COPPER_10M + 0.080));
	amps(&b, "C1", 2);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 1);
	assert_int_equal(b.d.suspects[0].kind, SUSPECT_STRIP);
	assert_near(b.d.suspects[0].value, 2, 0, 2e-3);
	assert_true(b.d.explained);
	close_bench(&b);
}

#define SERIES COOL UNIT "strips: {L1: {type: cc, length: 500 mm}}\n" \
               "switches: {S1: {max_current: 3 A, on_resistance: 50 mohm}}\n" \
               "cables: {C1: {size: 0.75 mm2, from: D1, to: S1, length: 5 m, joint: screw}, " \
               "C2: {size: 0.75 mm2, from: S1, to: L1, length: 5 m, joint: plug}}\n"

/* Whatever lies in series with no reading between is one group; a reading in between is the next. */
static void things_in_series_are_told_apart_by_a_reading_between(void **state)
{
	(void)state;
	struct bench b = bench_of(SERIES);
	double start = 24 - COPPER_10M - 0.010 - 0.040 - 0.050;
	volts(&b, "D1", 24);
	volts(&b, "L1.start", start - 1);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 8);        /* two cables, their joints, the contact, the strip */
	for (size_t i = 0; i < 8; i++)
		assert_int_equal(b.d.suspects[i].group, 0);
	static const char *const order[] = { "C2", "C2", "C1", "C1" };     /* plugs before screws */
	for (size_t i = 0; i < 4; i++) {
		assert_int_equal(b.d.suspects[i].kind, SUSPECT_JOINT);
		assert_string_equal(b.job->cables[b.d.suspects[i].item.index].item.id, order[i]);
	}
	assert_int_equal(b.d.suspects[0].terminal, terminal(&b, "L1.start"));
	assert_int_equal(b.d.suspects[4].kind, SUSPECT_CONTACT);
	const struct next_reading *next = &b.d.next;
	assert_true(next->is_worth);
	assert_int_equal(next->range, METER_VOLTS);
	assert_true(next->terminal == terminal(&b, "S1.in") || next->terminal == terminal(&b, "S1.out"));
	assert_near(fabs(next->first - next->other), 1, 0.01, 0);
	assert_string_equal(next->state.text, "");
	/* Taken, it decides. */
	volts(&b, "S1.out", start + 0.040 + COPPER_10M / 2);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 3);
	for (size_t i = 0; i < 3; i++)
		assert_string_equal(b.job->cables[b.d.suspects[i].item.index].item.id, "C2");
	assert_false(b.d.next.is_worth);               /* where along C2, no meter at its ends can tell */
	close_bench(&b);
}

#define TWO COOL UNIT "strips: {L1: {type: cc, length: 500 mm}, L2: {type: cc, length: 500 mm}}\n" \
            "switches: {S1: {max_current: 3 A, on_resistance: 50 mohm}}\n" \
            "cables: {C1: {size: 0.75 mm2, from: D1, to: S1, length: 5 m}, " \
            "C2: {size: 0.75 mm2, from: S1, to: L1, length: 5 m}, " \
            "C3: {size: 0.75 mm2, from: D1, to: L2, length: 10 m}}\n"

static void two_faults_are_not_explained_by_one(void **state)
{
	(void)state;
	struct bench b = bench_of(TWO);
	volts(&b, "D1", 24);
	volts(&b, "L1.start", 24 - COPPER_10M - 0.050 - 0.040 - 1);
	volts(&b, "L2.start", 24 - COPPER_10M - 0.020 - 3);
	ask(&b);
	assert_false(b.d.agree);
	assert_false(b.d.explained);
	assert_string_equal(b.job->cables[b.d.suspects[0].item.index].item.id, "C3");
	assert_int_equal(b.d.suspects[0].explains, 1);
	/* the volt missing at L1, half of it put down to a meter that then reads D1 as much too low */
	assert_near(b.d.suspects[0].worst, 0.5, 0.1, 0);
	close_bench(&b);
}

/* A reading belongs to its state: with S1 off, L1 is dark and L2 as before. */
static void readings_are_taken_in_their_state(void **state)
{
	(void)state;
	static const bool off[] = { false };
	struct bench b = bench_of(TWO);
	b.built.states[b.built.state_count++] = (struct switch_state){ off, "S1=off" };
	volts(&b, "L1.start", 0.0)->state = 1;
	volts(&b, "L2.start", 24 - COPPER_10M - 0.020)->state = 1;
	volts(&b, "L1.start", 24 - COPPER_10M - 0.050 - 0.040);
	ask(&b);
	assert_true(b.d.agree);
	assert_true(isnan(b.d.checks[0].predicted) && b.d.checks[0].within);
	for (size_t i = 1; i < 3; i++)
		assert_near(b.d.checks[i].difference, 0, 0, 1e-6);
	b.built.readings[0].value = 5;                 /* a dead strip that is not */
	ask(&b);
	assert_false(b.d.checks[0].within);
	assert_false(b.d.agree);
	close_bench(&b);
}

static void an_applied_suspect_gives_the_readings(void **state)
{
	(void)state;
	struct bench b = bench_of(SERIES);
	double start = 24 - COPPER_10M - 0.010 - 0.040 - 0.050;
	volts(&b, "L1.start", start - 1);
	ask(&b);
	assert_int_equal(b.d.suspect_count, 9);        /* the driver too: it was not measured */
	for (size_t i = 0; i < b.d.suspect_count; i++) {
		struct job *job = suspect_apply(b.job, &b.d.suspects[i], b.arena);
		struct state_solution *s = solve_state(job, NULL, NULL, 0, NO_INDEX, b.arena);
		assert_near(s->terminal_v[terminal(&b, "L1.start")], start - 1, 0, 1e-3);
	}
	struct state_solution *s = solve_state(b.job, NULL, NULL, 0, NO_INDEX, b.arena);
	assert_near(s->terminal_v[terminal(&b, "L1.start")], start, 0, 1e-6);  /* the job itself is left alone */
	close_bench(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(readings_within_the_meter_need_no_explaining),
		cmocka_unit_test(no_readings_say_nothing),
		cmocka_unit_test(one_reading_gives_one_unknown),
		cmocka_unit_test(a_second_reading_clears_the_driver),
		cmocka_unit_test(a_reading_at_the_driver_accuses_the_driver_alone),
		cmocka_unit_test(what_no_fault_can_do_is_not_blamed_on_any),
		cmocka_unit_test(a_strip_that_draws_double_is_named),
		cmocka_unit_test(things_in_series_are_told_apart_by_a_reading_between),
		cmocka_unit_test(two_faults_are_not_explained_by_one),
		cmocka_unit_test(readings_are_taken_in_their_state),
		cmocka_unit_test(an_applied_suspect_gives_the_readings),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
