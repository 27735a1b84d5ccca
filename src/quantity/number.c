/* Reading a decimal number or a fraction by hand: strtod() alone would take "0x1p3", "inf" and a
 * comma where the locale has one. It is given a copy that is known to be a decimal number. */
#include "quantity/scan.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LARGEST_EXPONENT 99999  /* beyond it every number is zero or infinite anyway */

/* With up to 15 digits and up to 22 places to move the point, digits and power of ten are doubles both, and
 * one operation rounds once: what strtod() would give (Clinger 1990). False for any other number. */
static bool decimal_at_once(const char *digits, long exponent, double *value)
{
	static const double power[] = {
		1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
		1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22
	};
	const char *c = digits + (*digits == '-');
	uint64_t whole = 0;
	long point = 0;
	for (bool behind = false; *c; c++) {
		if (*c == '.') {
			behind = true;
			continue;
		}
		whole = 10 * whole + (uint64_t)(*c - '0');
		point += behind;
		if (whole > UINT64_C(999999999999999))
			return false;
	}
	exponent -= point;
	if (FLT_EVAL_METHOD != 0 || exponent < -22 || exponent > 22)
		return false;
	double size = exponent < 0 ? (double)whole / power[-exponent] : (double)whole * power[exponent];
	*value = *digits == '-' ? -size : size;
	return true;
}

static double decimal(struct arena *arena, const char *digits, long exponent)
{
	double value;
	if (decimal_at_once(digits, exponent, &value))
		return value;
	return strtod(arena_printf(arena, "%se%ld", digits, exponent), NULL);
}

static char *cut_ascii(const struct scan *scan, size_t from, size_t to)
{
	return arena_strndup(scan->arena, scan->glyphs + from, to - from);
}

/* Numerator and denominator of a fraction at `at`; its end, or 0 where there is none. */
static size_t scan_fraction(const struct scan *scan, size_t at, double *above, double *below)
{
	static const struct { char above, below; } vulgar[] = {
		{ 1, 4 }, { 1, 2 }, { 3, 4 }, { 1, 8 }, { 3, 8 }, { 5, 8 }, { 7, 8 },
	};
	if (scan_is_vulgar(scan, at)) {
		*above = vulgar[scan->glyphs[at] - GLYPH_QUARTER].above;
		*below = vulgar[scan->glyphs[at] - GLYPH_QUARTER].below;
		return at + 1;
	}
	size_t slash = scan_digits(scan, at);
	size_t end = slash > at && scan->glyphs[slash] == '/' ? scan_digits(scan, slash + 1) : 0;
	if (end <= slash + 1)
		return 0;
	*above = decimal(scan->arena, cut_ascii(scan, at, slash), 0);
	*below = decimal(scan->arena, cut_ascii(scan, slash + 1, end), 0);
	return end;
}

static void remove_char(char *text, char unwanted)
{
	char *to = text;
	for (const char *from = text; *from; from++)
		if (*from != unwanted)
			*to++ = *from;
	*to = '\0';
}

/* True for 1,850 and 1,234,567: groups of three behind one to three digits. */
static bool is_grouped(const char *run, char separator)
{
	size_t first = strcspn(run, (char[]){ separator, '\0' });
	if (first < 1 || first > 3 || run[0] == '0')
		return false;
	for (run += first; *run == separator; run += 4)
		if (strspn(run + 1, "0123456789") < 3)
			return false;
	return *run == '\0';
}

static void trim_zeros(char *text)
{
	size_t length = strlen(text);
	while (length > 0 && text[length - 1] == '0')
		text[--length] = '\0';
	if (length > 0 && text[length - 1] == '.')
		text[length - 1] = '\0';
}

/* What a number with commas may mean: 9,6 is 9.6; 1,850 is 1850 or 1.85; 1.234,5 is 1234.5. */
static void read_commas(const struct scan *scan, struct number *number, size_t start)
{
	char *run = cut_ascii(scan, start, number->end);
	char *plain = arena_strdup(scan->arena, run);
	char *comma = strrchr(run, ','), *point = strrchr(run, '.');
	number->fault = NUMBER_COMMA;
	if (point) {
		char *decides = comma > point ? comma : point;
		remove_char(plain, *decides == ',' ? '.' : ',');
		number->reading[0] = plain;
		if (strchr(run, *decides) != decides)
			number->fault = NUMBER_NONE;
		else
			plain[strcspn(plain, ",.")] = '.';
		return;
	}
	if (is_grouped(run, ',')) {
		remove_char(plain, ',');
		number->reading[0] = plain;
	}
	if (strchr(run, ',') == comma) {
		*comma = '.';
		if (number->reading[0])
			trim_zeros(run);
		number->reading[number->reading[0] ? 1 : 0] = run;
	} else if (!number->reading[0]) {
		number->fault = NUMBER_NONE;
	}
}

/* Digits with commas, or with several points. Sets the fault and returns true if that is what it
 * is. */
static bool is_punctuated(const struct scan *scan, struct number *number, size_t start)
{
	size_t at = start, commas = 0, points = 0;
	while (scan_is_digit(scan, at) || ((scan->glyphs[at] == ',' || scan->glyphs[at] == '.') &&
	                                   scan_is_digit(scan, at + 1))) {
		commas += scan->glyphs[at] == ',';
		points += scan->glyphs[at] == '.';
		at++;
	}
	if (!scan_is_digit(scan, start) || (commas == 0 && points < 2))
		return false;
	number->end = at;
	if (commas == 0 || (commas > 1 && points > 1))
		number->fault = NUMBER_NONE;
	else
		read_commas(scan, number, start);
	return true;
}

static bool is_hexadecimal(const struct scan *scan, size_t at)
{
	return scan->glyphs[at] == '0' && (scan->glyphs[at + 1] | 0x20) == 'x';
}

/* The exponent that begins at `at`; its end, or `at` where there is none ("3 ergs"). */
static size_t scan_exponent(const struct scan *scan, size_t at, long *exponent)
{
	if ((scan->glyphs[at] | 0x20) != 'e')
		return at;
	size_t digit = at + 1;
	if (scan->glyphs[digit] == '-' || scan->glyphs[digit] == '+')
		digit++;
	size_t end = scan_digits(scan, digit);
	if (end == digit)
		return at;
	for (size_t i = digit; i < end && *exponent <= LARGEST_EXPONENT; i++)
		*exponent = 10 * *exponent + (scan->glyphs[i] - '0');
	if (scan->glyphs[at + 1] == '-')
		*exponent = -*exponent;
	return end;
}

/* The fraction of a mixed number: behind blanks or a dash ("3 1/2", "3-1/2"), or ½ at once. */
static size_t scan_mixed(const struct scan *scan, size_t at, double *above, double *below)
{
	if (scan_is_vulgar(scan, at))
		return scan_fraction(scan, at, above, below);
	size_t next = scan->glyphs[at] == '-' ? at + 1 : scan_blanks(scan, at);
	return next > at ? scan_fraction(scan, next, above, below) : 0;
}

static void set_fraction(const struct scan *scan, struct number *number, double whole, double above,
                         double below, bool mixed)
{
	double value = (whole * below + above) / below;
	bool negative = scan->glyphs[number->start] == '-';
	number->digits = NULL;
	number->value = negative ? -value : value;
	number->shown = arena_printf(scan->arena, "%.6g", number->value);
	if (below == 0)
		number->fault = NUMBER_BY_ZERO;
	else if (mixed && (above >= below || whole != floor(whole)))
		number->fault = NUMBER_IMPROPER;
}

/* Digits with a point and an exponent from `at` on. False where there is no digit. */
static bool read_decimal(const struct scan *scan, struct number *number, size_t at)
{
	size_t whole = scan_digits(scan, at);
	size_t end = scan->glyphs[whole] == '.' ? scan_digits(scan, whole + 1) : whole;
	if (end == at || (end == at + 1 && whole == at))
		return false;
	bool negative = scan->glyphs[number->start] == '-';
	char *digits = arena_alloc(scan->arena, negative + (end - at) + 1);
	digits[0] = '-';
	memcpy(digits + negative, scan->glyphs + at, end - at);
	number->digits = digits;
	number->end = scan_exponent(scan, end, &number->exponent);
	number->value = decimal(scan->arena, number->digits, number->exponent);
	number->shown = cut_ascii(scan, number->start, number->end);
	return true;
}

struct number number_scan(const struct scan *scan, size_t at)
{
	struct number number = { .start = at, .end = at };
	double above, below;
	if (scan->glyphs[at] == '-' || scan->glyphs[at] == '+')
		at++;
	if (is_punctuated(scan, &number, at))
		return number;
	size_t end = scan_fraction(scan, at, &above, &below);
	if (end) {
		number.end = end;
		set_fraction(scan, &number, 0, above, below, false);
		return number;
	}
	if (is_hexadecimal(scan, at) || !read_decimal(scan, &number, at)) {
		number.fault = NUMBER_NONE;
		return number;
	}
	end = scan_mixed(scan, number.end, &above, &below);
	if (end) {
		number.end = end;
		set_fraction(scan, &number, fabs(number.value), above, below, true);
		return number;
	}
	size_t next = scan_blanks(scan, number.end);
	if (next > number.end && scan_is_digit(scan, next)) {
		number.fault = NUMBER_SPLIT;
		while (scan_is_digit(scan, scan_blanks(scan, number.end)))
			number.end = scan_digits(scan, scan_blanks(scan, number.end));
		number.digits = cut_ascii(scan, number.start, number.end);
		remove_char((char *)number.digits, ' ');
	}
	return number;
}

static bool is_whole(double x)
{
	return x >= 1 && fabs(x - floor(x + 0.5)) <= 1e-13 * x;
}

/* True for the scales of SI prefixes and their squares: they only move the decimal point. */
static bool is_power_of_ten(double scale, long *power)
{
	static const double powers[] = { 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1, 1e1, 1e2, 1e3 };
	for (size_t i = 0; i < sizeof powers / sizeof *powers; i++)
		if (scale == powers[i]) {
			*power = (long)i - 6;
			return true;
		}
	return false;
}

/* Other units are integers over powers of ten (0.3048) or the inverse (1 / 0.3048), and are applied
 * with integers, because 1 / 0.3048 itself is rounded. */
double number_si(const struct scan *scan, const struct number *number, const struct unit *unit)
{
	long power;
	if (number->digits && is_power_of_ten(unit->scale, &power))
		return decimal(scan->arena, number->digits, number->exponent + power);
	double ten = 1, value = number->value + unit->offset / unit->scale;
	for (int k = 0; k <= 9; k++, ten *= 10) {
		double above = unit->scale * ten, below = ten / unit->scale;
		if (is_whole(above))
			return value * floor(above + 0.5) / ten;
		if (is_whole(below))
			return value * ten / floor(below + 0.5);
	}
	return value * unit->scale;
}
