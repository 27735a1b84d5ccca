/* Quantities in and out. Exact factors: NIST SP 811 (2008), B.8: 1 ft = 0.3048 m, 1 in = 25.4 mm;
 * section 4.2.1.1: t/C = (t/F - 32) / 1.8. What is asked to be equal is equal to the last bit. */
#include "support.h"

#include "quantity/quantity.h"

#define WANTS(...) ((const enum dim[]){ __VA_ARGS__, DIM__END })

static void assert_value_at(struct arena *arena, const char *text, const enum dim *wants,
                            double value, enum dim dim, int line)
{
	struct quantity q = quantity_parse(arena, text, wants);
	if (q.fault == QUANTITY_OK && q.dim == dim && q.value == value)
		return;
	print_error("'%s': fault %d (%s), dimension %d, %.17g instead of %.17g\n", text, (int)q.fault,
	            q.message ? q.message : "none", (int)q.dim, q.value, value);
	_fail(__FILE__, line);
}
#define assert_value(text, dim, value) \
	assert_value_at(*state, text, WANTS(dim), value, dim, __LINE__)

static void si_units_are_exact(void **state)
{
	assert_value("1.85 m", DIM_LENGTH, 1.85);
	assert_value("1850 mm", DIM_LENGTH, 1.85);
	assert_value("1850mm", DIM_LENGTH, 1.85);
	assert_value("185cm", DIM_LENGTH, 1.85);
	assert_value("0.00185 km", DIM_LENGTH, 1.85);
	assert_value("70 um", DIM_LENGTH, 70e-6);
	assert_value("0.75 mm2", DIM_AREA, 7.5e-7);
	assert_value("0.14 mm\xC2\xB2", DIM_AREA, 1.4e-7);
	assert_value("0.05 mm2", DIM_AREA, 5e-8);         /* 0.05 / 1e6 is another number */
	assert_value("0.07 mm", DIM_LENGTH, 7e-5);        /* and so is 0.07 / 1e3 */
	assert_value("24 V", DIM_VOLT, 24);
	assert_value("35 mV", DIM_VOLT, 0.035);
	assert_value("700 mA", DIM_AMP, 0.7);
	assert_value("0.06 kW", DIM_WATT, 60);
	assert_value("40 mohm", DIM_OHM, 0.040);
	assert_value("40 m\xCE\xA9", DIM_OHM, 0.040);             /* Greek letter */
	assert_value("40 m\xE2\x84\xA6", DIM_OHM, 0.040);         /* ohm sign */
	assert_value("0.11 ohm/m", DIM_OHM_PER_M, 0.11);
	assert_value("26 \xCE\xA9/km", DIM_OHM_PER_M, 0.026);
	assert_value("9.6 W/m", DIM_WATT_PER_M, 9.6);
	assert_value("900 lm/m", DIM_LUMEN_PER_M, 900);
	assert_value("20 %", DIM_RATIO, 0.2);
	assert_value("20%", DIM_RATIO, 0.2);
	assert_value("18 AWG", DIM_GAUGE, 18);
	assert_value("30 C", DIM_CELSIUS, 30);
	assert_value("-5 \xC2\xB0" "C", DIM_CELSIUS, -5);
}

static void feet_inches_and_fahrenheit(void **state)
{
	assert_value("1 ft", DIM_LENGTH, 0.3048);
	assert_value("1 in", DIM_LENGTH, 0.0254);
	assert_value("10 in", DIM_LENGTH, 0.254);
	assert_value("6 ft 3 1/2 in", DIM_LENGTH, 1.9177);        /* 75.5 x 0.0254 */
	assert_value("75 1/2 in", DIM_LENGTH, 1.9177);
	assert_value("86 F", DIM_CELSIUS, 30);
	assert_value("212 \xC2\xB0" "F", DIM_CELSIUS, 100);
	assert_value("32 degF", DIM_CELSIUS, 0);
	assert_value("-40 F", DIM_CELSIUS, -40);
	struct quantity q = quantity_parse(*state, "1 W/ft", WANTS(DIM_WATT_PER_M));
	assert_near(q.value, 3.280839895013123, 1e-15, 0);        /* 1 / 0.3048 */
	q = quantity_parse(*state, "1 ohm/kft", WANTS(DIM_OHM_PER_M));
	assert_near(q.value, 1 / 304.8, 1e-15, 0);
	q = quantity_parse(*state, "5 mohm/ft", WANTS(DIM_OHM_PER_M));
	assert_near(q.value, 0.005 / 0.3048, 1e-15, 0);
}

/* All ways that one length is written: 6 ft 3 1/2 in = 1.9177 m. */
static void feet_and_inches_are_written_in_many_ways(void **state)
{
	static const char *const ways[] = {
		"6 ft 3 1/2 in", "6ft 3-1/2in", "6ft3-1/2in", "6' 3 1/2\"", "6'3-1/2\"", "6'-3 1/2\"",
		"6'3\xC2\xBD\"", "6 ft 3 \xC2\xBD in", "6 ft 3.5 in", "  6  ft  3  1/2  in  ",
		"6\xE2\x80\xB2" "3\xC2\xBD\xE2\x80\xB3",              /* prime, double prime */
		"6\xE2\x80\x99 3 1\xE2\x81\x84" "2\xE2\x80\x9D",     /* curly quotes, fraction slash */
		"6\xC2\xA0" "ft\xE2\x80\x89" "3\xC2\xA0" "1/2 in",    /* no-break and thin spaces */
	};
	for (size_t i = 0; i < sizeof ways / sizeof *ways; i++)
		assert_value(ways[i], DIM_LENGTH, 1.9177);
	assert_value("1/2 in", DIM_LENGTH, 0.0127);
	assert_value("3-1/2 in", DIM_LENGTH, 0.0889);
	assert_value("\xC2\xBC\"", DIM_LENGTH, 0.00635);
	assert_value("1\xC2\xBE in", DIM_LENGTH, 0.04445);
	assert_value("\xE2\x85\x9B in", DIM_LENGTH, 0.003175);
	assert_value("5/4 in", DIM_LENGTH, 0.03175);
	assert_value("1.5 ft 3 in", DIM_LENGTH, 0.5334);
	assert_value("1/2 ft", DIM_LENGTH, 0.1524);
	assert_value("-1/2 in", DIM_LENGTH, -0.0127);
}

static void numbers_in_every_dress(void **state)
{
	assert_value("+5 m", DIM_LENGTH, 5);
	assert_value("-5 m", DIM_LENGTH, -5);
	assert_value("\xE2\x88\x92" "5 m", DIM_LENGTH, -5);       /* the minus sign U+2212 */
	assert_value(".5 m", DIM_LENGTH, 0.5);
	assert_value("5. m", DIM_LENGTH, 5);
	assert_value("1e3 mm", DIM_LENGTH, 1);
	assert_value("1.5E-3 km", DIM_LENGTH, 1.5);
	assert_value("1e+3mm", DIM_LENGTH, 1);
	assert_value("007 m", DIM_LENGTH, 7);
	assert_value("1e-99999999999999999999999999 m", DIM_LENGTH, 0);
	assert_value("0.1e1 km", DIM_LENGTH, 1000);
	assert_value("9.6 W / m", DIM_WATT_PER_M, 9.6);
	assert_value("9.6 W/ m", DIM_WATT_PER_M, 9.6);
	assert_value("9.6\xE2\x80\xAFW/m", DIM_WATT_PER_M, 9.6);
	assert_value("\t9.6 W/m\n", DIM_WATT_PER_M, 9.6);
	struct quantity zero = quantity_parse(*state, "-0 m", WANTS(DIM_LENGTH));
	assert_int_equal(zero.fault, QUANTITY_OK);
	assert_false(signbit(zero.value));
}

static void plain_numbers_take_no_unit(void **state)
{
	assert_value("6", DIM_COUNT, 6);
	assert_value("-3", DIM_COUNT, -3);
	assert_value("6.0", DIM_COUNT, 6);
	assert_value("12.50", DIM_NUMBER, 12.5);
	assert_value_at(*state, "6", WANTS(DIM_VOLT, DIM_NUMBER), 6, DIM_NUMBER, __LINE__);
	assert_value_at(*state, "6 V", WANTS(DIM_VOLT, DIM_NUMBER), 6, DIM_VOLT, __LINE__);
	assert_value_at(*state, "18 AWG", WANTS(DIM_AREA, DIM_GAUGE), 18, DIM_GAUGE, __LINE__);
	assert_value_at(*state, "1 mm2", WANTS(DIM_AREA, DIM_GAUGE), 1e-6, DIM_AREA, __LINE__);
}

/* Each symbol is read with its factor, with and without a blank, and belongs to its dimension
 * only. */
static void every_unit_is_read(void **state)
{
	for (size_t i = 0; i < unit_count; i++) {
		const struct unit *unit = &unit_table[i];
		for (int blank = 0; blank < 2; blank++) {
			const char *text = arena_printf(*state, "2.5%s%s", blank ? " " : "",
			                                unit->symbol);
			struct quantity q = quantity_parse(*state, text, WANTS(unit->dim));
			assert_int_equal(q.fault, QUANTITY_OK);
			assert_int_equal(q.dim, unit->dim);
			assert_near(q.value, 2.5 * unit->scale + unit->offset, 1e-15, 1e-15);
			enum dim other = unit->dim == DIM_VOLT ? DIM_AMP : DIM_VOLT;
			q = quantity_parse(*state, text, WANTS(other));
			assert_int_equal(q.fault, QUANTITY_WRONG_UNIT);
		}
		for (size_t j = 0; j < i; j++)
			assert_string_not_equal(unit_table[j].symbol, unit->symbol);
	}
}

static void examples_are_right(void **state)
{
	for (enum dim dim = 0; dim < DIM__END; dim++) {
		struct quantity q = quantity_parse(*state, dim_example(dim), WANTS(dim));
		assert_int_equal(q.fault, QUANTITY_OK);
		assert_int_equal(q.dim, dim);
		assert_true(strlen(dim_words(dim)) > 0);
	}
}

struct shown {
	double value;
	enum dim dim;
	int digits;
	const char *text;
};

static void quantities_for_people(void **state)
{
	static const struct shown cases[] = {
		{ 0.0053, DIM_OHM, 3, "5.3 mohm" },
		{ 0.11, DIM_OHM_PER_M, 3, "0.11 ohm/m" },
		{ 0.0265, DIM_OHM_PER_M, 3, "26.5 mohm/m" },
		{ 4700, DIM_OHM, 3, "4.7 kohm" },
		{ 24, DIM_VOLT, 4, "24 V" },
		{ 23.456, DIM_VOLT, 3, "23.5 V" },
		{ 0.0234, DIM_VOLT, 2, "23 mV" },
		{ 0.35, DIM_AMP, 3, "0.35 A" },
		{ 1234, DIM_WATT, 3, "1.23 kW" },
		{ 60, DIM_WATT, 3, "60 W" },
		{ 0.002, DIM_WATT, 3, "2 mW" },
		{ 9.6, DIM_WATT_PER_M, 3, "9.6 W/m" },
		{ 900, DIM_LUMEN_PER_M, 3, "900 lm/m" },
		{ 1.85, DIM_LENGTH, 3, "1.85 m" },
		{ 0.85, DIM_LENGTH, 3, "850 mm" },
		{ 70e-6, DIM_LENGTH, 3, "70 um" },
		{ 7.5e-7, DIM_AREA, 3, "0.75 mm2" },
		{ 18, DIM_GAUGE, 3, "18 AWG" },
		{ 0.2, DIM_RATIO, 3, "20 %" },
		{ 0.123456, DIM_RATIO, 3, "12.3 %" },
		{ 30, DIM_CELSIUS, 3, "30 C" },
		{ -5.25, DIM_CELSIUS, 3, "-5.25 C" },
		{ 1234567, DIM_COUNT, 3, "1234567" },
		{ 12.5, DIM_NUMBER, 6, "12.5" },
		/* Rounded up over the border of a prefix. */
		{ 0.99996, DIM_LENGTH, 4, "1 m" },
		{ 999.96, DIM_LENGTH, 4, "1 km" },
		{ 0.0999996, DIM_OHM, 3, "0.1 ohm" },
		{ 999.7, DIM_OHM, 3, "1 kohm" },
		{ 999.7, DIM_WATT, 3, "1 kW" },
		{ 9.99e-5, DIM_LENGTH, 2, "0.1 mm" },
		/* Zeros, signs, and what is no figure. */
		{ 0, DIM_VOLT, 3, "0 V" },
		{ -0.0, DIM_VOLT, 3, "0 V" },
		{ -0.0, DIM_COUNT, 3, "0" },
		{ -0.4, DIM_COUNT, 3, "0" },
		{ 0, DIM_LENGTH, 3, "0 m" },
		{ -0.0053, DIM_OHM, 3, "-5.3 mohm" },
		{ -1500, DIM_WATT, 3, "-1.5 kW" },
		{ NAN, DIM_VOLT, 3, "-" },
		{ INFINITY, DIM_VOLT, 3, "-" },
		{ 123456, DIM_NUMBER, 2, "120000" },
		{ 1.5e300, DIM_VOLT, 3, "1.5e+300 V" },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		const struct shown *c = &cases[i];
		assert_string_equal(quantity_text(*state, c->value, c->dim, c->digits), c->text);
	}
}

/* Whatever is printed is read back as the same figure, and never with four digits before the point
 * where there is a larger unit. */
static void shown_is_read_back(void **state)
{
	for (enum dim dim = DIM_NUMBER; dim < DIM__END; dim++)
		for (double value = 1.23456789e-7; value < 1e7; value *= 1.37) {
			const char *text = quantity_text(*state, value, dim, 6);
			struct quantity q = quantity_parse(*state, text, WANTS(dim));
			if (q.fault != QUANTITY_OK)
				fail_msg("'%s' is not read: %s", text, q.message);
			assert_near(q.value, value, 5.1e-6, 0);
			if (dim == DIM_OHM || dim == DIM_WATT || dim == DIM_LENGTH)
				assert_true(value > 1e6 || strspn(text, "0123456789") < 4);
		}
}

static void shorthands(void **state)
{
	struct arena *a = *state;
	assert_string_equal(quantity_volts(a, 23.406), "23.41 V");
	assert_string_equal(quantity_volts(a, 24), "24.00 V");
	assert_string_equal(quantity_volts(a, -0.001), "0.00 V");
	assert_string_equal(quantity_volts(a, -0.51), "-0.51 V");
	assert_string_equal(quantity_volts(a, NAN), "-");
	assert_string_equal(quantity_length(a, 1.85), "1850 mm");
	assert_string_equal(quantity_length(a, 1.2), "1200 mm");
	assert_string_equal(quantity_length(a, 0.016666), "16.7 mm");
	assert_string_equal(quantity_length(a, 9.99994), "9999.9 mm");
	assert_string_equal(quantity_length(a, 9.99999), "10 m");
	assert_string_equal(quantity_length(a, 12.345678), "12.35 m");
	assert_string_equal(quantity_length(a, 0), "0 mm");
	assert_string_equal(quantity_length(a, -0.00001), "0 mm");
	assert_string_equal(quantity_length(a, NAN), "-");
	assert_string_equal(quantity_percent(a, 0.2), "20 %");
	assert_string_equal(quantity_percent(a, 0.714), "71 %");
	assert_string_equal(quantity_percent(a, -0.001), "0 %");
	assert_string_equal(quantity_percent(a, -0.37), "-37 %");
	assert_string_equal(quantity_percent(a, NAN), "-");
}

static int make_arena(void **state)
{
	*state = arena_new();
	return *state ? 0 : -1;
}

static int free_arena(void **state)
{
	arena_free(*state);
	return 0;
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_arena, free_arena)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(si_units_are_exact),
		TEST(feet_inches_and_fahrenheit),
		TEST(feet_and_inches_are_written_in_many_ways),
		TEST(numbers_in_every_dress),
		TEST(plain_numbers_take_no_unit),
		TEST(every_unit_is_read),
		TEST(examples_are_right),
		TEST(quantities_for_people),
		TEST(shown_is_read_back),
		TEST(shorthands),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
