/* Quantities that cannot be read: what is wrong, where, and what to write instead. The words are this
 * program's own; what counts as a fault follows docs/input.md. */
#include "support.h"

#include "quantity/quantity.h"

#define WANTS(...) ((const enum dim[]){ __VA_ARGS__, DIM__END })

struct fault {
	const char *text;
	enum dim want;
	enum quantity_fault fault;
	size_t at, length;
	const char *message, *expected, *hint;
};

static const struct fault faults[] = {
	{ "", DIM_LENGTH, QUANTITY_EMPTY, 0, 1, "there is no value", "a length, such as 1.85 m", NULL },
	{ " \t", DIM_VOLT, QUANTITY_EMPTY, 0, 2, "there is no value", "a voltage, such as 24 V", NULL },

	{ "abc", DIM_WATT_PER_M, QUANTITY_NO_NUMBER, 0, 3, "'abc' is not a power per length",
	  "a power per length, such as 9.6 W/m", NULL },
	{ "inf V", DIM_VOLT, QUANTITY_NO_NUMBER, 0, 5, "'inf V' is not a voltage", NULL, NULL },
	{ "nan", DIM_NUMBER, QUANTITY_NO_NUMBER, 0, 3, "'nan' is not a number", NULL, NULL },
	{ "0x1F mm", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 7, "'0x1F mm' is not a length", NULL, NULL },
	{ "\xD9\xA3 V", DIM_VOLT, QUANTITY_NO_NUMBER, 0, 3, NULL, NULL, NULL },   /* Arabic digit */
	{ "\xEF\xBC\x95 V", DIM_VOLT, QUANTITY_NO_NUMBER, 0, 3, NULL, NULL, NULL }, /* full width */
	{ "- m", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 3, NULL, NULL, NULL },
	{ ". m", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 3, NULL, NULL, NULL },
	{ "1.850.000 mm", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 12, NULL, NULL, NULL },
	{ "1 850 mm", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 5, "'1 850' is not one number",
	  "no blanks inside the number: 1850 mm", NULL },
	{ "-6 ft 3 in", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 10, NULL, NULL, NULL },

	{ "9.6", DIM_WATT_PER_M, QUANTITY_NO_UNIT, 0, 3, "'9.6' has no unit", "9.6 W/m", NULL },
	{ " 24 ", DIM_VOLT, QUANTITY_NO_UNIT, 1, 2, "'24' has no unit", "24 V", NULL },
	{ "1.85", DIM_LENGTH, QUANTITY_NO_UNIT, 0, 4, NULL, "1.85 m", NULL },
	{ "1850", DIM_LENGTH, QUANTITY_NO_UNIT, 0, 4, NULL, "1850 mm", NULL },
	{ "3 1/2", DIM_LENGTH, QUANTITY_NO_UNIT, 0, 5, NULL, "3 1/2 in", NULL },
	{ "20", DIM_RATIO, QUANTITY_NO_UNIT, 0, 2, NULL, "20 %", NULL },
	{ "0.2", DIM_RATIO, QUANTITY_NO_UNIT, 0, 3, NULL, "20 % or 0.2 %", NULL },
	{ "6'3", DIM_LENGTH, QUANTITY_NO_UNIT, 2, 1, NULL, "feet and inches: 6' 3 in", NULL },

	{ "9.6 Wm", DIM_WATT_PER_M, QUANTITY_UNKNOWN_UNIT, 4, 2, "unknown unit 'Wm'", "9.6 W/m",
	  "did you mean 'W/m'?" },
	{ "24 v", DIM_VOLT, QUANTITY_UNKNOWN_UNIT, 3, 1, "unknown unit 'v'", "24 V",
	  "did you mean 'V'?" },
	{ "24 volts", DIM_VOLT, QUANTITY_UNKNOWN_UNIT, 3, 5, NULL, "24 V", "did you mean 'V'?" },
	{ "0.75 mm^2", DIM_AREA, QUANTITY_UNKNOWN_UNIT, 5, 4, NULL, "0.75 mm2",
	  "did you mean 'mm2'?" },
	{ "0.75 SQMM", DIM_AREA, QUANTITY_UNKNOWN_UNIT, 5, 4, NULL, "0.75 mm2",
	  "did you mean 'mm2'?" },
	{ "12 MM", DIM_LENGTH, QUANTITY_UNKNOWN_UNIT, 3, 2, NULL, "12 mm", "did you mean 'mm'?" },
	{ "6 feet", DIM_LENGTH, QUANTITY_UNKNOWN_UNIT, 2, 4, NULL, "6 ft", "did you mean 'ft'?" },
	{ "5 MW", DIM_WATT, QUANTITY_UNKNOWN_UNIT, 2, 2, NULL, "5 mW", "did you mean 'mW'?" },
	{ "30 K", DIM_CELSIUS, QUANTITY_UNKNOWN_UNIT, 3, 1, NULL, "30 C", NULL },
	{ "9.6 W / x", DIM_WATT_PER_M, QUANTITY_UNKNOWN_UNIT, 4, 5, "unknown unit 'W / x'", "9.6 W/m",
	  NULL },
	{ "6 ft 3 xx", DIM_LENGTH, QUANTITY_UNKNOWN_UNIT, 7, 2, NULL, "feet and inches: 6 ft 3 in",
	  NULL },
	{ "1\xD9\xA3 V", DIM_VOLT, QUANTITY_UNKNOWN_UNIT, 1, 1, NULL, "1 V", NULL },

	{ "9.6 W", DIM_WATT_PER_M, QUANTITY_WRONG_UNIT, 4, 1,
	  "'9.6 W' is a power, not a power per length", "9.6 W/m", NULL },
	{ "6 V", DIM_COUNT, QUANTITY_WRONG_UNIT, 0, 3, "'6 V' has a unit; a whole number has none", "6",
	  NULL },
	{ "6 ft 3 mm", DIM_LENGTH, QUANTITY_WRONG_UNIT, 7, 2, NULL, "feet and inches: 6 ft 3 in",
	  NULL },
	{ "1'850 mm", DIM_LENGTH, QUANTITY_WRONG_UNIT, 6, 2, NULL, NULL, NULL },
	{ "0.75 mm", DIM_AREA, QUANTITY_WRONG_UNIT, 5, 2, NULL, "0.75 mm2", NULL },

	{ "9,6 W/m", DIM_WATT_PER_M, QUANTITY_DECIMAL_COMMA, 0, 3, "'9,6' has a comma",
	  "a decimal point: 9.6 W/m", NULL },
	{ "9,6", DIM_WATT_PER_M, QUANTITY_DECIMAL_COMMA, 0, 3, NULL, "a decimal point: 9.6 W/m", NULL },
	{ "1,850 mm", DIM_LENGTH, QUANTITY_DECIMAL_COMMA, 0, 5, "'1,850' can be read in two ways",
	  "1850 mm or 1.85 mm", NULL },
	{ "0,850 m", DIM_LENGTH, QUANTITY_DECIMAL_COMMA, 0, 5, NULL, "a decimal point: 0.850 m", NULL },
	{ "1.234,5 mm", DIM_LENGTH, QUANTITY_DECIMAL_COMMA, 0, 7, NULL, "a decimal point: 1234.5 mm",
	  NULL },
	{ "1,234.5 mm", DIM_LENGTH, QUANTITY_DECIMAL_COMMA, 0, 7, NULL, "a decimal point: 1234.5 mm",
	  NULL },
	{ "1,234,567 mm", DIM_LENGTH, QUANTITY_DECIMAL_COMMA, 0, 9, NULL, "a decimal point: 1234567 mm",
	  NULL },
	{ "12,50", DIM_NUMBER, QUANTITY_DECIMAL_COMMA, 0, 5, NULL, "a decimal point: 12.50", NULL },
	{ "1,2,3 m", DIM_LENGTH, QUANTITY_NO_NUMBER, 0, 7, NULL, NULL, NULL },
	{ "6 ft 3,5 in", DIM_LENGTH, QUANTITY_DECIMAL_COMMA, 5, 3, NULL, "a decimal point: 3.5 in",
	  NULL },

	{ "3 1/0 in", DIM_LENGTH, QUANTITY_FRACTION, 0, 5, "'3 1/0' divides by zero", NULL, NULL },
	{ "3 5/4 in", DIM_LENGTH, QUANTITY_FRACTION, 0, 5, NULL, "a fraction such as 3 1/2 in", NULL },
	{ "2.5 1/2 in", DIM_LENGTH, QUANTITY_FRACTION, 0, 7, NULL, NULL, NULL },
	{ "1/2 mm", DIM_LENGTH, QUANTITY_FRACTION, 0, 3,
	  "'1/2' is a fraction, which only feet and inches may have", "0.5 mm", NULL },
	{ "\xC2\xBD V", DIM_VOLT, QUANTITY_FRACTION, 0, 1, NULL, "0.5 V", NULL },
	{ "6.5", DIM_COUNT, QUANTITY_FRACTION, 0, 3, "'6.5' is not a whole number", NULL, NULL },
	{ "1/2", DIM_NUMBER, QUANTITY_FRACTION, 0, 3, NULL, "0.5", NULL },

	{ "1e999 m", DIM_LENGTH, QUANTITY_TOO_LARGE, 0, 7, "'1e999 m' is too large", NULL, NULL },
	{ "1e308 km", DIM_LENGTH, QUANTITY_TOO_LARGE, 0, 8, NULL, NULL, NULL },
	{ "1e999", DIM_NUMBER, QUANTITY_TOO_LARGE, 0, 5, NULL, NULL, NULL },

	{ "9.6 W/m please", DIM_WATT_PER_M, QUANTITY_TRAILING, 8, 6,
	  "unexpected 'please' behind '9.6 W/m'", "9.6 W/m", NULL },
	{ "12-24 V", DIM_VOLT, QUANTITY_TRAILING, 2, 5, NULL, "one value, such as 24 V", NULL },
	{ "3 in 6 ft", DIM_LENGTH, QUANTITY_TRAILING, 5, 4, NULL, NULL, NULL },
	{ "6 please", DIM_COUNT, QUANTITY_TRAILING, 2, 6, NULL, "6", NULL },
	{ "6 ft 3 in 2", DIM_LENGTH, QUANTITY_TRAILING, 10, 1, NULL, "6 ft 3 in", NULL },
	{ "6 ft -3 in", DIM_LENGTH, QUANTITY_TRAILING, 5, 5, NULL, NULL, NULL },
};

static bool differs(const char *got, const char *want)
{
	return want && (!got || strcmp(got, want) != 0);
}

static void every_fault_says_what_to_write(void **state)
{
	bool seen[QUANTITY_TRAILING + 1] = { [QUANTITY_OK] = true };
	for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
		const struct fault *f = &faults[i];
		struct quantity q = quantity_parse(*state, f->text, WANTS(f->want));
		seen[q.fault] = true;
		if (q.fault != f->fault || q.at != f->at || q.length != f->length ||
		    differs(q.message, f->message) || differs(q.expected, f->expected) ||
		    differs(q.hint, f->hint) || (!f->hint && q.hint) || !q.message || !q.expected)
			fail_msg("'%s': fault %d at %zu+%zu: %s | %s | %s", f->text, (int)q.fault, q.at,
			         q.length, q.message ? q.message : "OK", q.expected ? q.expected : "-",
			         q.hint ? q.hint : "-");
	}
	for (size_t fault = 0; fault < sizeof seen; fault++)
		assert_true(seen[fault]);
}

static void several_dimensions_are_all_offered(void **state)
{
	struct quantity q = quantity_parse(*state, "18", WANTS(DIM_AREA, DIM_GAUGE));
	assert_int_equal(q.fault, QUANTITY_NO_UNIT);
	assert_string_equal(q.expected, "18 mm2 or 18 AWG");
	q = quantity_parse(*state, "18 awg", WANTS(DIM_AREA, DIM_GAUGE));
	assert_string_equal(q.expected, "18 AWG");
	q = quantity_parse(*state, "AWG 18", WANTS(DIM_AREA, DIM_GAUGE));
	assert_string_equal(q.message, "'AWG 18' is not a cross-section or a wire gauge");
	q = quantity_parse(*state, "2 m", WANTS(DIM_AREA, DIM_GAUGE));
	assert_string_equal(q.message, "'2 m' is a length, not a cross-section or a wire gauge");
}

/* What is offered without other words around it must itself be right. */
static void what_is_expected_is_accepted(void **state)
{
	size_t tried = 0;
	for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
		struct quantity q = quantity_parse(*state, faults[i].text, WANTS(faults[i].want));
		const char *colon = strrchr(q.expected, ':');
		if (strstr(q.expected, "such as") || strstr(q.expected, " or "))
			continue;
		const char *offer = colon ? colon + 2 : q.expected;
		struct quantity again = quantity_parse(*state, offer, WANTS(faults[i].want));
		if (again.fault != QUANTITY_OK)
			fail_msg("'%s' offers '%s'", faults[i].text, offer);
		tried++;
	}
	assert_true(tried > 30);
}

static void long_texts_are_shortened(void **state)
{
	char *text = arena_alloc(*state, 1000001);
	memset(text, 'x', 1000000);
	struct quantity q = quantity_parse(*state, text, WANTS(DIM_VOLT));
	assert_int_equal(q.fault, QUANTITY_NO_NUMBER);
	assert_int_equal(q.length, 1000000);
	assert_true(strlen(q.message) < 80);
	memset(text, '9', 1000000);
	q = quantity_parse(*state, text, WANTS(DIM_NUMBER));
	assert_int_equal(q.fault, QUANTITY_TOO_LARGE);
}

/* No text of up to five characters out of what quantities are made of upsets the reader. */
static void any_text_is_read_or_refused(void **state)
{
	static const char *const parts[] = {
		"1", "0", " ", ".", ",", "/", "-", "e", "m", "ft", "'", "\"", "in", "\xC2\xBD", "x", "%",
	};
	enum { PARTS = sizeof parts / sizeof *parts };
	for (size_t n = 0; n < (size_t)PARTS * PARTS * PARTS * PARTS * PARTS; n += 3) {
		struct arena *scratch = *state;
		char text[24] = "";
		for (size_t i = 0, rest = n; i < 5; i++, rest /= PARTS)
			strcat(text, parts[rest % PARTS]);
		struct quantity q = quantity_parse(scratch, text, WANTS(DIM_LENGTH, DIM_RATIO));
		if (q.fault == QUANTITY_OK)
			assert_true(isfinite(q.value) && !q.message);
		else
			assert_true(q.message && q.expected && q.length >= 1 &&
			            q.at + q.length <= strlen(text) + 1);
		arena_reset(scratch);
	}
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
		TEST(every_fault_says_what_to_write),
		TEST(several_dimensions_are_all_offered),
		TEST(what_is_expected_is_accepted),
		TEST(long_texts_are_shortened),
		TEST(any_text_is_read_or_refused),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
