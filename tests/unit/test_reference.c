/* The tables against the pages that they were published on. */
#include "support.h"

#include "reference/reference.h"

#include <stdio.h>

#define COUNT(table) (sizeof(table) / sizeof *(table))
#define METRES_PER_KFT 304.8

static const struct wire_size *metric(double mm2)
{
	size_t row = wire_size_by_area(mm2 * 1e-6);
	assert_true(row < wire_size_count);
	return &wire_sizes[row];
}

static const struct wire_size *gauge(int number)
{
	size_t row = wire_size_by_gauge(number);
	assert_true(row < wire_size_count);
	return &wire_sizes[row];
}

/* IEC 60228, maximum resistance at 20 C, ohm/km: class 5 plain, class 5 tinned, class 1/2 plain.
 * Below 0.5 mm2 from VDE 0295, which gives no solid figure there. */
static const struct { double mm2, plain, tinned, solid; } iec_60228[] = {
	{ 0.14, 134, 138, 134 },   { 0.22, 96, 99, 96 },      { 0.25, 76, 79, 76 },
	{ 0.34, 53, 56, 53 },      { 0.5, 39.0, 40.1, 36.0 }, { 0.75, 26.0, 26.7, 24.5 },
	{ 1, 19.5, 20.0, 18.1 },   { 1.5, 13.3, 13.7, 12.1 }, { 2.5, 7.98, 8.21, 7.41 },
	{ 4, 4.95, 5.09, 4.61 },   { 6, 3.30, 3.39, 3.08 },
};

static void metric_resistances_are_those_of_iec_60228(void **state)
{
	(void)state;
	size_t metric_rows = 0;
	for (size_t i = 0; i < wire_size_count; i++)
		metric_rows += wire_sizes[i].gauge == 0;
	assert_int_equal(metric_rows, COUNT(iec_60228));
	for (size_t i = 0; i < COUNT(iec_60228); i++) {
		const struct wire_size *size = metric(iec_60228[i].mm2);
		assert_near(size->area_mm2, iec_60228[i].mm2, 0, 0);
		assert_near(size->flexible_ohm_per_m * 1000, iec_60228[i].plain, 0, 1e-9);
		assert_near(size->solid_ohm_per_m * 1000, iec_60228[i].solid, 0, 1e-9);
	}
}

/* BS 7671 Table 4F3B, flexible cables, conductor at 60 C, direct current: mV/A/m out and back,
 * printed as whole numbers. They belong to tinned class 5 copper; the plain copper that this
 * program takes is less by up to 3 %. */
static void volt_drops_round_to_bs_7671_table_4f3b(void **state)
{
	(void)state;
	static const struct { double mm2, printed; } table[] = {
		{ 0.5, 93 }, { 0.75, 62 }, { 1, 46 }, { 1.5, 32 }, { 2.5, 19 }, { 4, 12 },
	};
	for (size_t i = 0; i < COUNT(table); i++) {
		size_t row = 0;
		while (iec_60228[row].mm2 < table[i].mm2)
			row++;
		double tinned = 2 * iec_60228[row].tinned * copper_factor(60);
		assert_near(round(tinned), table[i].printed, 0, 0);
		double plain = 2 * metric(table[i].mm2)->flexible_ohm_per_m * 1000 * copper_factor(60);
		assert_true(plain < tinned && plain > 0.97 * tinned);
	}
}

/* BS 7671 Table 4F3A, direct current, 30 C; 6 mm2 from DIN VDE 0298-4 Table 11 (household flex, two
 * cores), whose other rows are the same. The thin sizes are this project's own suggestions. */
static void metric_ratings_are_those_of_table_4f3a(void **state)
{
	(void)state;
	static const struct { double mm2, amps; const char *source; } table[] = {
		{ 0.5, 3, "4F3A" },        { 0.75, 6, "4F3A" },      { 1, 10, "4F3A" },
		{ 1.5, 16, "4F3A" },       { 2.5, 25, "4F3A" },      { 4, 32, "4F3A" },
		{ 6, 40, "0298" },         { 0.34, 3, "suggestion" },{ 0.25, 2, "suggestion" },
		{ 0.22, 2, "suggestion" }, { 0.14, 1, "suggestion" },
	};
	for (size_t i = 0; i < COUNT(table); i++) {
		assert_near(metric(table[i].mm2)->rating_a, table[i].amps, 0, 0);
		assert_non_null(strstr(metric(table[i].mm2)->rating_source, table[i].source));
	}
}

/* NEC Table 402.5, fixture wire (18 and 12 AWG seen, 16, 14 and 10 from memory); the thinner gauges
 * are suggestions. */
static void gauge_ratings_are_those_of_nec_402_5(void **state)
{
	(void)state;
	static const struct { int gauge; double amps; const char *source; } table[] = {
		{ 18, 6, "402.5" },  { 16, 8, "memory" },      { 14, 17, "memory" },
		{ 12, 23, "402.5" }, { 10, 28, "memory" },     { 20, 3, "suggestion" },
		{ 22, 3, "suggestion" }, { 24, 2, "suggestion" },
	};
	for (size_t i = 0; i < COUNT(table); i++) {
		assert_near(gauge(table[i].gauge)->rating_a, table[i].amps, 0, 0);
		assert_non_null(strstr(gauge(table[i].gauge)->rating_source, table[i].source));
	}
}

/* ASTM B258 diameters as an independent table prints them, inches, four to five digits (the 10 AWG
 * row is cut off there, not rounded: 0.101897 is printed as 0.10189). */
static void gauge_diameters_are_those_of_astm_b258(void **state)
{
	(void)state;
	static const struct { int gauge; double inches, step; } table[] = {
		{ 10, 0.10189, 1e-5 },   { 12, 0.080808, 1e-6 }, { 14, 0.064084, 1e-6 },
		{ 16, 0.05082, 1e-5 },   { 18, 0.040303, 1e-6 }, { 20, 0.031961, 1e-6 },
		{ 22, 0.025347, 1e-6 },
	};
	for (size_t i = 0; i < COUNT(table); i++)
		assert_near(awg_diameter(table[i].gauge) / 0.0254, table[i].inches, 0, table[i].step);
	/* By definition: 36 AWG is 0.005 in and 0000 (-3) is 0.46 in. */
	assert_near(awg_diameter(36) / 0.0254, 0.005, 0, 1e-12);
	assert_near(awg_diameter(-3) / 0.0254, 0.46, 0, 1e-12);
}

/* The constants written out in the table are area = pi d^2 / 4 and rho / area. */
static void gauge_rows_follow_from_the_diameter(void **state)
{
	(void)state;
	const double pi = acos(-1);
	size_t gauges = 0;
	for (size_t i = 0; i < wire_size_count; i++) {
		const struct wire_size *size = &wire_sizes[i];
		if (size->gauge == 0)
			continue;
		gauges++;
		double area = pi * pow(awg_diameter(size->gauge), 2) / 4;
		assert_near(size->area_mm2 * 1e-6 / area, 1, 0, 1e-14);
		assert_near(size->flexible_ohm_per_m * area / COPPER_OHM_M, 1, 0, 1e-14);
		assert_near(size->solid_ohm_per_m, size->flexible_ohm_per_m, 0, 0);
	}
	assert_int_equal(gauges, 8);
}

/* NEC Chapter 9 Table 8, uncoated solid copper at 75 C, ohm/kFT (10 AWG from memory). */
static void gauge_resistances_are_those_of_nec_table_8(void **state)
{
	(void)state;
	static const struct { int gauge; double ohm_per_kft; } table[] = {
		{ 18, 7.77 }, { 16, 4.89 }, { 14, 3.07 }, { 12, 1.93 }, { 10, 1.21 },
	};
	for (size_t i = 0; i < COUNT(table); i++) {
		double ohm = gauge(table[i].gauge)->solid_ohm_per_m * METRES_PER_KFT * copper_factor(75);
		assert_near(ohm / table[i].ohm_per_kft, 1, 0, 0.005);
	}
}

static void rows_are_in_order_and_named_as_written(void **state)
{
	(void)state;
	for (size_t i = 0; i < wire_size_count; i++) {
		const struct wire_size *size = &wire_sizes[i];
		double number = 0;
		char unit[8] = "";
		assert_int_equal(sscanf(size->name, "%lf %7s", &number, unit), 2);
		assert_string_equal(unit, size->gauge != 0 ? "AWG" : "mm2");
		assert_near(number, size->gauge != 0 ? size->gauge : size->area_mm2, 0, 0);
		assert_true(size->solid_ohm_per_m <= size->flexible_ohm_per_m);
		if (i == 0 || (size->gauge != 0 && wire_sizes[i - 1].gauge == 0))
			continue;
		assert_true(size->area_mm2 > wire_sizes[i - 1].area_mm2);
		assert_true(size->flexible_ohm_per_m < wire_sizes[i - 1].flexible_ohm_per_m);
		assert_true(size->rating_a >= wire_sizes[i - 1].rating_a);
	}
}

static void sizes_that_nobody_sells_are_not_found(void **state)
{
	(void)state;
	static const double areas[] = { 0, -0.75e-6, 0.6e-6, 0.75, 1.25e-6, 0.5176e-6, 0.823e-6, 10e-6 };
	for (size_t i = 0; i < COUNT(areas); i++)
		assert_true(wire_size_by_area(areas[i]) == WIRE_NONE);
	static const double gauges[] = { 0, 17, 18.5, -18, 26, 8 };
	for (size_t i = 0; i < COUNT(gauges); i++)
		assert_true(wire_size_by_gauge(gauges[i]) == WIRE_NONE);
	assert_true(wire_size_by_area((double)NAN) == WIRE_NONE);
	assert_true(wire_size_by_gauge((double)NAN) == WIRE_NONE);
	/* 0.1 % either way is the same size: 0.75 mm2 through a unit conversion. */
	assert_true(wire_size_by_area(0.7506e-6) == wire_size_by_area(0.75e-6));
	assert_true(wire_size_by_area(0.7509e-6) == WIRE_NONE);
}

/* IEC 60028: 1/58 ohm mm2/m and 0.00393 /K at 20 C; IEC 60228's Kt at 60 C and 40 C (0.862, 0.926)
 * is 1 / R(T)/R(20) with a coefficient of 0.004, so within 0.3 %. */
static void copper_follows_iec_60028(void **state)
{
	(void)state;
	assert_near(COPPER_OHM_M * 1e6, 1 / 58.0, 0, 1e-6);
	assert_near(copper_factor(20), 1, 0, 0);
	assert_near(copper_factor(21), 1.00393, 0, 1e-12);
	assert_near(copper_factor(60) * 0.862, 1, 0, 0.003);
	assert_near(copper_factor(40) * 0.926, 1, 0, 0.003);
	/* 234.45 K below 0 C the straight line meets zero: the copper constant of IEC 60034-1, 235. */
	assert_near(copper_factor(-234.45), 0, 0, 1e-4);
}

/* IPC copper foil, 1 oz = 34.8 um: 0.495 mohm/sq; 0.5 oz = 17.4 um: 0.99. */
static void foil_has_the_sheet_resistance_of_the_trade(void **state)
{
	(void)state;
	assert_near(COPPER_OHM_M / 34.8e-6, 0.495e-3, 0, 0.0005e-3);
	assert_near(COPPER_OHM_M / 17.4e-6, 0.99e-3, 0, 0.001e-3);
}

/* BS 7671 Table 4F3A notes (60 C insulation) and 4F2A (90 C), as printed. */
static void ambient_factors_are_those_of_bs_7671(void **state)
{
	(void)state;
	static const struct { double insulation, ambient, printed; } table[] = {
		{ 60, 35, 0.91 }, { 60, 40, 0.82 }, { 60, 45, 0.71 }, { 60, 50, 0.58 }, { 60, 55, 0.41 },
		{ 90, 35, 0.95 }, { 90, 40, 0.91 }, { 90, 45, 0.86 }, { 90, 50, 0.82 }, { 90, 55, 0.76 },
		{ 90, 60, 0.70 }, { 90, 70, 0.57 }, { 90, 80, 0.40 },
	};
	for (size_t i = 0; i < COUNT(table); i++)
		assert_near(ambient_factor(table[i].ambient, table[i].insulation), table[i].printed, 0, 0.01);
	/* IEC 60364-5-52 Table B.52.14, 70 C PVC (from memory): 0.87 at 40 C, 0.50 at 60 C. */
	assert_near(ambient_factor(40, 70), 0.87, 0, 0.005);
	assert_near(ambient_factor(60, 70), 0.50, 0, 0.005);
	/* No credit for cool air, nothing left at the insulation's own limit. */
	assert_near(ambient_factor(-10, 60), 1, 0, 0);
	assert_near(ambient_factor(30, 60), 1, 0, 0);
	assert_near(ambient_factor(60, 60), 0, 0, 0);
	assert_near(ambient_factor(75, 60), 0, 0, 0);
	assert_near(ambient_factor(28, 25), 0, 0, 0);
}

static size_t steps_at(double volts, double watts)
{
	size_t found = 0;
	for (size_t i = 0; i < driver_step_count; i++)
		found += driver_steps[i].volts == volts && driver_steps[i].watts == watts;
	return found;
}

/* Common practice, no source: the ladder's ends, the class 2 step and what the two ways of asking
 * for 20 % headroom lead to (25 W / 0.8 = 31.25 W takes 36 W, 25 W x 1.2 = 30 W takes 30 W). */
static void drivers_climb_a_ladder_per_voltage(void **state)
{
	(void)state;
	for (size_t i = 1; i < driver_step_count; i++) {
		const struct driver_step *a = &driver_steps[i - 1], *b = &driver_steps[i];
		assert_true(a->volts < b->volts || (a->volts == b->volts && a->watts < b->watts));
	}
	static const struct driver_step known[] = {
		{ 12, 6 }, { 12, 30 }, { 12, 36 }, { 12, 60 }, { 12, 75 }, { 12, 100 }, { 12, 350 },
		{ 24, 15 }, { 24, 30 }, { 24, 36 }, { 24, 60 }, { 24, 75 }, { 24, 96 }, { 24, 350 },
	};
	for (size_t i = 0; i < COUNT(known); i++)
		assert_int_equal(steps_at(known[i].volts, known[i].watts), 1);
	assert_int_equal(driver_step_count, 36);
}

/* ISO 8820-3 blade and IEC 60127 series, from memory. */
static void fuses_ascend_from_1_a_to_30_a(void **state)
{
	(void)state;
	static const double series[] = { 1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30 };
	assert_int_equal(fuse_rating_count, COUNT(series));
	for (size_t i = 0; i < COUNT(series); i++)
		assert_near(fuse_ratings[i], series[i], 0, 0);
}

/* Common practice, no source: better joints have less resistance; plugs and clips are made for 3 A.
 * */
static void joints_have_their_resistance_and_limit(void **state)
{
	(void)state;
	static const struct joint known[] = {
		{ "solder", 0.005, 0 }, { "screw", 0.010, 0 }, { "plug", 0.040, 3 }, { "clip", 0.080, 3 },
	};
	assert_int_equal(joint_count, COUNT(known));
	for (size_t i = 0; i < COUNT(known); i++) {
		assert_string_equal(joints[i].name, known[i].name);
		assert_near(joints[i].ohm, known[i].ohm, 0, 0);
		assert_near(joints[i].max_a, known[i].max_a, 0, 0);
	}
	assert_near(JOINT_UNSAID_OHM, 0.020, 0, 0);
}

/* NEC Chapter 9 Table 11(B), from memory: 12 V 60 W and 24 V 96 W are the trade's class 2 drivers.
 * */
static void limited_power_is_that_of_class_2(void **state)
{
	(void)state;
	assert_true(limited_power(12, 60, 5));
	assert_true(limited_power(12.6, 63, 63 / 12.6));
	assert_false(limited_power(12, 60.1, 60.1 / 12));
	assert_true(limited_power(20, 100, 5));
	assert_true(limited_power(24, 96, 4));
	assert_true(limited_power(24, 100, 100 / 24.0));
	assert_false(limited_power(24, 101, 101 / 24.0));
	assert_false(limited_power(24, 150, 5));
	assert_true(limited_power(60, 100, 100 / 60.0));
	assert_false(limited_power(61, 50, 50 / 61.0));
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(metric_resistances_are_those_of_iec_60228),
		cmocka_unit_test(volt_drops_round_to_bs_7671_table_4f3b),
		cmocka_unit_test(metric_ratings_are_those_of_table_4f3a),
		cmocka_unit_test(gauge_ratings_are_those_of_nec_402_5),
		cmocka_unit_test(gauge_diameters_are_those_of_astm_b258),
		cmocka_unit_test(gauge_rows_follow_from_the_diameter),
		cmocka_unit_test(gauge_resistances_are_those_of_nec_table_8),
		cmocka_unit_test(rows_are_in_order_and_named_as_written),
		cmocka_unit_test(sizes_that_nobody_sells_are_not_found),
		cmocka_unit_test(copper_follows_iec_60028),
		cmocka_unit_test(foil_has_the_sheet_resistance_of_the_trade),
		cmocka_unit_test(ambient_factors_are_those_of_bs_7671),
		cmocka_unit_test(drivers_climb_a_ladder_per_voltage),
		cmocka_unit_test(fuses_ascend_from_1_a_to_30_a),
		cmocka_unit_test(joints_have_their_resistance_and_limit),
		cmocka_unit_test(limited_power_is_that_of_class_2),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
