/* What follows from one item: cut units, rails, knees, ratings, and the reel test. */
#include "support.h"

#include "model/job.h"
#include "reference/reference.h"
#include "solve/network.h"

static struct attr given(double num, enum dim dim)
{
	return (struct attr){ .origin = ORIGIN_GIVEN, .num = num, .dim = dim };
}

static struct strip plain_strip(double volts, double watts_per_m, double cut, double length)
{
	struct strip strip = {
		.voltage = given(volts, DIM_VOLT), .power = given(watts_per_m, DIM_WATT_PER_M),
		.cut_length = given(cut, DIM_LENGTH), .length = given(length, DIM_LENGTH),
	};
	item_assume(KIND_STRIP, &strip);
	return strip;
}

/* docs/model.md: p = reel / N where reel / cut_length is within 0.5 % of a whole N. */
static void test_pitch_snaps_to_the_reel(void **state)
{
	(void)state;
	struct strip strip = plain_strip(24, 9.6, 0.0625, 1.0);
	strip_derive(&strip, 25);
	assert_near(strip.pitch, 0.0625, 1e-15, 0);
	assert_int_equal(strip.units, 16);

	strip = plain_strip(12, 9.6, 0.0333, 1.0);         /* 5 m / 33.3 mm = 150.15: meant as 150 */
	strip_derive(&strip, 25);
	assert_near(strip.pitch, 5.0 / 150, 1e-15, 0);
	assert_int_equal(strip.units, 30);

	strip = plain_strip(12, 9.6, 0.7, 5.0);            /* 7.14: no whole number within 0.5 % */
	strip_derive(&strip, 25);
	assert_near(strip.pitch, 0.7, 1e-15, 0);
	assert_int_equal(strip.units, 7);
	assert_near(strip.metres, 4.9, 1e-15, 0);
}

/* n = floor(length / p + 0.02): a length short by a fiftieth of a unit still holds it. */
static void test_units_are_whole(void **state)
{
	(void)state;
	static const struct { double length; size_t units; } cases[] = {
		{ 0.850, 17 }, { 0.8491, 17 }, { 0.8489, 16 }, { 0.8988, 17 }, { 0.8992, 18 }, { 0.900, 18 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(*cases); i++) {
		struct strip strip = plain_strip(24, 9.6, 0.05, cases[i].length);
		strip_derive(&strip, 25);
		assert_int_equal(strip.units, cases[i].units);
	}
	struct strip channel = plain_strip(24, 9.6, 0.05, 1);
	channel.length.origin = ORIGIN_UNSET;
	channel.channel = given(0.88, DIM_LENGTH);
	strip_derive(&channel, 25);
	assert_near(channel.metres, 0.85, 1e-12, 0);
}

/* Reference data 0.4: the tangent at 20 mA meets zero at about 2.75 V for each LED, 8.28 V for three. */
static void test_knee_and_nominal_current(void **state)
{
	(void)state;
	struct strip strip = plain_strip(24, 9.6, 0.05, 1);
	strip_derive(&strip, 25);
	assert_near(strip.series_leds.num, 6, 0, 0);
	assert_near(strip.law.v_knee, 16.5, 1e-15, 0);
	assert_near(strip.law.amps, 9.6 * 0.05 / 24, 1e-15, 0);      /* i_nom = power p / v_nom */

	strip = plain_strip(12, 9.6, 0.05, 1);
	strip_derive(&strip, 25);
	assert_near(strip.law.v_knee, 8.28, 0.01, 0);
}

/* Reference data 6.5: two rails of 3 mm in 2 oz copper (69.6 um) have 0.165 ohm/m at 20 C; the factor at
 * 50 C is 1.118. Only what is derived from copper follows the ambient. */
static void test_loop_from_copper(void **state)
{
	(void)state;
	struct strip strip = plain_strip(24, 9.6, 0.05, 1);
	strip.copper = given(69.6e-6, DIM_LENGTH);
	strip.rail_width = given(3e-3, DIM_LENGTH);
	strip_derive(&strip, 20);
	assert_near(strip.loop_ohm_per_m, 0.165, 0, 0.0005);
	double cold = strip.loop_ohm_per_m;
	strip_derive(&strip, 50);
	assert_near(strip.loop_ohm_per_m / cold, 1.118, 0, 0.0005);

	strip = plain_strip(24, 9.6, 0.05, 1);
	strip.loop_resistance = given(0.11, DIM_OHM_PER_M);
	strip_derive(&strip, 50);
	assert_near(strip.loop_ohm_per_m, 0.11, 0, 0);
}

/* The statement nearest to the item wins, and a default never wins over one. */
static void test_most_specific_loop_wins(void **state)
{
	(void)state;
	struct strip strip = plain_strip(24, 9.6, 0.05, 1);
	strip_derive(&strip, 25);
	assert_near(strip.loop_ohm_per_m, 0.20, 0, 0);
	assert_int_equal(strip.loop_resistance.origin, ORIGIN_ASSUMED);

	strip.loop_resistance = given(0.11, DIM_OHM_PER_M);
	strip.copper = given(69.6e-6, DIM_LENGTH);
	strip.rail_width = given(3e-3, DIM_LENGTH);
	strip.copper.origin = strip.rail_width.origin = ORIGIN_TYPE;
	strip_derive(&strip, 25);
	assert_near(strip.loop_ohm_per_m, 0.11, 0, 0);
}

/* A strip of known loop and watts is solved at its feed; the reel test must find both again. */
static void check_reel_test(struct arena *arena, double feed, double loop, double watts, double length,
                            bool regulated)
{
	struct strip strip = plain_strip(24, 9.6, 0.05, length);
	if (regulated) {
		strip.ballast = given(BALLAST_CONSTANT_CURRENT, DIM__END);
		strip.regulates_above = given(21, DIM_VOLT);
	}
	strip_derive(&strip, 25);
	struct unit_law law = strip.law;
	law.amps = watts * strip.pitch / 24;
	struct network net;
	network_init(&net, arena, feed);
	uint32_t near = network_add_node(&net), far = network_add_node(&net);
	network_fix(&net, near, 0);
	network_add_chain(&net, near, far, strip.units, loop * strip.pitch, law);
	struct net_solution s;
	network_solve(&net, arena, &s);

	struct point reading[REEL__END] = { { length, 0 }, { feed, 0 }, { feed - s.node_drop[far], 0 },
	                                    { s.source_a, 0 } };
	strip.reel_test = given(0, DIM__END);
	strip.reel_test.points = reading;
	strip.reel_test.point_count = REEL__END;
	strip_derive(&strip, 25);
	assert_true(strip.loop_measured);
	assert_near(strip.loop_ohm_per_m, loop, 1e-9, 0);
	assert_near(strip.power_w_per_m, watts, 1e-9, 0);
}

static void test_reel_test_inverts_a_solved_strip(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	check_reel_test(arena, 24.0, 0.11, 9.6, 5.0, false);
	check_reel_test(arena, 23.4, 0.25, 14.4, 5.0, false);
	check_reel_test(arena, 24.2, 0.11, 8.1, 2.5, true);
	check_reel_test(arena, 24.0, 0.60, 19.2, 5.0, true);         /* the far half is below regulation */
	arena_free(arena);
}

static void test_impossible_reel_test_is_refused(void **state)
{
	(void)state;
	struct strip strip = plain_strip(24, 9.6, 0.05, 5);
	struct point below_knee[REEL__END] = { { 5, 0 }, { 24, 0 }, { 16, 0 }, { 2, 0 } };
	double ohm, watts;
	strip_derive(&strip, 25);
	strip.reel_test.points = below_knee;
	assert_false(reel_test_solve(&strip, &ohm, &watts));
}

/* docs/input.md: derating linear between points, flat outside. */
static void test_driver_derating(void **state)
{
	(void)state;
	static const struct point curve[] = { { 40, 1.0 }, { 60, 0.7 } };
	static const struct { double ambient, share; } cases[] = {
		{ 25, 1.0 }, { 40, 1.0 }, { 50, 0.85 }, { 60, 0.7 }, { 75, 0.7 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(*cases); i++) {
		struct driver driver = { .voltage = given(24, DIM_VOLT), .power = given(60, DIM_WATT) };
		driver.derating = given(0, DIM_RATIO);
		driver.derating.points = curve;
		driver.derating.point_count = 2;
		item_assume(KIND_DRIVER, &driver);
		driver_derive(&driver, cases[i].ambient);
		assert_near(driver.derate, cases[i].share, 1e-12, 0);
		assert_near(driver.rated_a, 2.5, 1e-12, 0);
		assert_near(driver.trip_a, 3.75, 1e-12, 0);
	}
}

static struct cable plain_cable(double square_mm, double length)
{
	struct cable cable = { .length = given(length, DIM_LENGTH) };
	cable.size = given((double)wire_size_by_area(square_mm * 1e-6), DIM_AREA);
	item_assume(KIND_CABLE, &cable);
	return cable;
}

/* IEC 60228 class 5: 0.75 mm2 has at most 26.0 ohm/km; BS 7671 Table 4F3A: 6 A at 30 C, and 0.82 of that
 * at 40 C for 60 C insulation. */
static void test_cable_resistance_and_rating(void **state)
{
	(void)state;
	struct cable cable = plain_cable(0.75, 10);
	cable_derive(&cable, 20);
	assert_near(cable.copper_ohm, 2 * 26.0e-3 * 10, 1e-12, 0);
	assert_near(cable.ohm, 0.52 + 0.020, 1e-12, 0);
	assert_near(cable.iz, 6, 1e-12, 0);
	assert_true(isinf(cable.joint_a));

	cable_derive(&cable, 40);
	assert_near(cable.copper_ohm, 0.52 * (1 + 0.00393 * 20), 1e-12, 0);
	assert_near(cable.iz, 6 * 0.82, 0.01, 0);

	cable.joint = given(3, DIM__END);                  /* clip: 80 mohm, 3 A */
	cable_derive(&cable, 20);
	assert_near(cable.joint_ohm, 0.080, 1e-12, 0);
	assert_near(cable.joint_a, 3, 0, 0);
	cable.joint_resistance = given(0.011, DIM_OHM);
	cable.joint_current = given(2, DIM_AMP);
	cable_derive(&cable, 20);
	assert_near(cable.joint_ohm, 0.011, 1e-12, 0);
	assert_near(cable.joint_a, 2, 0, 0);
}

static void test_switch_resistance_from_its_drop(void **state)
{
	(void)state;
	struct switch_item s = { .max_current = given(3, DIM_AMP), .voltage_drop = given(0.15, DIM_VOLT) };
	item_assume(KIND_SWITCH, &s);
	switch_derive(&s);
	assert_near(s.on_ohm, 0.05, 1e-12, 0);
	s.voltage_drop = given(0.30, DIM_VOLT);
	switch_derive(&s);
	assert_near(s.on_ohm, 0.10, 1e-12, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_pitch_snaps_to_the_reel),
		cmocka_unit_test(test_units_are_whole),
		cmocka_unit_test(test_knee_and_nominal_current),
		cmocka_unit_test(test_loop_from_copper),
		cmocka_unit_test(test_most_specific_loop_wins),
		cmocka_unit_test(test_reel_test_inverts_a_solved_strip),
		cmocka_unit_test(test_impossible_reel_test_is_refused),
		cmocka_unit_test(test_driver_derating),
		cmocka_unit_test(test_cable_resistance_and_rating),
		cmocka_unit_test(test_switch_resistance_from_its_drop),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
