/* Quantities for people. */
#include "quantity/quantity.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_DIGITS 15

/* The units that a dimension is shown in, larger ones first; `from` is the least that is shown in
 * it. The last row of a dimension takes whatever is left. */
static const struct shown {
	enum dim dim;
	const char *symbol;
	double from;
} shown[] = {
	{ DIM_RATIO,       "%",      0 },
	{ DIM_LENGTH,      "km",     1 },
	{ DIM_LENGTH,      "m",      1 },
	{ DIM_LENGTH,      "mm",     0.1 },
	{ DIM_LENGTH,      "um",     0 },
	{ DIM_AREA,        "mm2",    0 },
	{ DIM_GAUGE,       "AWG",    0 },
	{ DIM_VOLT,        "V",      0.1 },
	{ DIM_VOLT,        "mV",     0 },
	{ DIM_AMP,         "A",      0.1 },
	{ DIM_AMP,         "mA",     0 },
	{ DIM_WATT,        "kW",     1 },
	{ DIM_WATT,        "W",      0.1 },
	{ DIM_WATT,        "mW",     0 },
	{ DIM_WATT_PER_M,  "W/m",    0 },
	{ DIM_OHM,         "kohm",   1 },
	{ DIM_OHM,         "ohm",    0.1 },
	{ DIM_OHM,         "mohm",   0 },
	{ DIM_OHM_PER_M,   "ohm/m",  0.1 },
	{ DIM_OHM_PER_M,   "mohm/m", 0 },
	{ DIM_LUMEN_PER_M, "lm/m",   0 },
	{ DIM_CELSIUS,     "C",      0 },
};

static const struct unit *unit_of(const char *symbol)
{
	size_t i = 0;
	while (strcmp(unit_table[i].symbol, symbol) != 0)
		i++;
	return &unit_table[i];
}

/* Cuts "1.50" to "1.5", "2.00" to "2", and takes the sign off "-0". Works on the tail behind
 * `start`. */
static void trim(struct buf *out, size_t start)
{
	if (strchr(out->data + start, '.')) {
		while (out->data[out->length - 1] == '0')
			out->length--;
		if (out->data[out->length - 1] == '.')
			out->length--;
		out->data[out->length] = '\0';
	}
	if (strcmp(out->data + start, "-0") == 0) {
		out->data[start] = '0';
		out->data[start + 1] = '\0';
		out->length--;
	}
}

/* `decimals` at most. */
static void add_fixed(struct buf *out, double value, int decimals)
{
	size_t start = out->length;
	buf_addf(out, "%.*f", decimals, value);
	trim(out, start);
}

/* The value rounded to so many digits, and the power of ten of the first of them. */
static double rounded(double value, int digits, int *power)
{
	char text[MOST_DIGITS + 16];
	snprintf(text, sizeof text, "%.*e", digits - 1, value);
	*power = (int)strtol(strchr(text, 'e') + 1, NULL, 10);
	return strtod(text, NULL);
}

static void add_significant(struct buf *out, double value, int digits)
{
	int power;
	double near = rounded(value, digits, &power);
	if (power >= MOST_DIGITS || power < -9)
		buf_addf(out, "%.*g", digits, near);
	else
		add_fixed(out, near, digits - 1 > power ? digits - 1 - power : 0);
}

/* The row whose unit suits the value once it is rounded: 999.96 mohm with four digits is 1 ohm.
 * Zero goes with the unit that the dimension is written in. */
static const struct shown *row_for(double value, enum dim dim, int digits)
{
	const struct shown *row = shown;
	int power;
	while (row->dim != dim)
		row++;
	for (;; row++) {
		const struct unit *unit = unit_of(row->symbol);
		double near = fabs(rounded((value - unit->offset) / unit->scale, digits, &power));
		bool last = row + 1 == shown + sizeof shown / sizeof *shown || row[1].dim != dim;
		if (last || near >= row->from || (value == 0 && unit->scale == 1))
			return row;
	}
}

void quantity_add(struct buf *out, double value, enum dim dim, int digits)
{
	digits = digits < 1 ? 1 : digits > MOST_DIGITS ? MOST_DIGITS : digits;
	if (!isfinite(value))
		buf_add_char(out, '-');
	else if (dim == DIM_NUMBER)
		add_significant(out, value, digits);
	else if (dim == DIM_COUNT)
		add_fixed(out, value, 0);
	else {
		const struct shown *row = row_for(value, dim, digits);
		const struct unit *unit = unit_of(row->symbol);
		add_significant(out, (value - unit->offset) / unit->scale, digits);
		buf_addf(out, " %s", unit->symbol);
	}
}

char *quantity_text(struct arena *arena, double value, enum dim dim, int digits)
{
	struct buf out;
	buf_init(&out, arena);
	quantity_add(&out, value, dim, digits);
	return out.data;
}

/* With so many decimals, kept even where they are zeros, so that columns of figures compare. */
static char *with_decimals(struct arena *arena, double value, int decimals, const char *unit)
{
	if (!isfinite(value))
		return arena_strdup(arena, "-");
	char *text = arena_printf(arena, "%.*f %s", decimals, value, unit);
	bool zero = strtod(text, NULL) == 0;
	return zero && text[0] == '-' ? text + 1 : text;
}

char *quantity_volts(struct arena *arena, double volts)
{
	return with_decimals(arena, volts, 2, "V");
}

/* Tenths of a millimetre below 10 m, where a cut mark may need them; centimetres above. */
char *quantity_length(struct arena *arena, double metres)
{
	struct buf out;
	buf_init(&out, arena);
	if (!isfinite(metres)) {
		buf_add_char(&out, '-');
		return out.data;
	}
	bool long_one = floor(fabs(metres) * 10000 + 0.5) >= 100000;
	add_fixed(&out, long_one ? metres : metres * 1000, long_one ? 2 : 1);
	buf_add(&out, long_one ? " m" : " mm");
	return out.data;
}

/* The units of inches and feet have no m in them, those of metres all have one or begin with another letter of
 * theirs; typographic marks of inches and feet are no ASCII. */
enum length_system quantity_length_system(const char *text)
{
	const char *unit = strpbrk(text, "mckufi'\"");
	return unit == NULL || strchr("fi'\"", *unit) != NULL ? LENGTHS_INCH : LENGTHS_METRIC;
}

#define SIXTEENTHS 16            /* of an inch: the finest marks of a tape */

/* NaN where the length is too large to count them. */
static double sixteenths_in(double metres)
{
	double count = floor(fabs(metres) / unit_of("in")->scale * SIXTEENTHS + 0.5);
	return isfinite(count) ? count : NAN;
}

/* "33 1/2", "7/8", "0": the fraction in its lowest terms. */
static void add_inches(struct buf *out, double metres)
{
	double count = sixteenths_in(metres);
	if (!isfinite(count)) {
		buf_add_char(out, '-');
		return;
	}
	double whole = floor(count / SIXTEENTHS);
	int part = (int)(count - whole * SIXTEENTHS), of = SIXTEENTHS;
	for (; part > 0 && part % 2 == 0; of /= 2)
		part /= 2;
	buf_add(out, metres < 0 && count > 0 ? "-" : "");
	if (whole > 0 || part == 0)
		buf_addf(out, "%.0f", whole);
	if (part > 0)
		buf_addf(out, "%s%d/%d", whole > 0 ? " " : "", part, of);
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

bool quantity_is_fraction(const char *text)
{
	while (is_digit(*text) && is_digit(text[1]))
		text++;
	return is_digit(text[0]) && text[1] == '/' && is_digit(text[2]);
}

char *quantity_mark(struct arena *arena, double metres, enum length_system system, int decimals)
{
	struct buf out;
	buf_init(&out, arena);
	if (!isfinite(metres))
		buf_add_char(&out, '-');
	else if (system == LENGTHS_INCH)
		add_inches(&out, metres);
	else if (decimals == MARK_AS_IT_IS)
		buf_addf(&out, "%.6g", 1000 * metres);
	else
		buf_addf(&out, "%.*f", decimals, 1000 * metres);
	return out.data;
}

const char *quantity_mark_unit(enum length_system system)
{
	return system == LENGTHS_INCH ? "in" : "mm";
}

double quantity_feet(double metres)
{
	return metres / unit_of("ft")->scale;
}

/* A hundredth of a foot is an eighth of an inch. */
static void add_feet(struct buf *out, double metres, int digits)
{
	double feet = quantity_feet(metres);
	double hundredth = floor(fabs(feet) * 100 + 0.5) / 100;
	if (digits > 0)
		add_significant(out, feet < 0 ? -hundredth : hundredth, digits);
	else
		add_fixed(out, feet, 2);
}

#define FEET_FROM 24             /* in: shorter cables are shown in inches */

char *quantity_length_in(struct arena *arena, double metres, enum length_system system, enum length_sort sort,
                         int digits)
{
	struct buf out;
	if (system == LENGTHS_METRIC || !isfinite(sixteenths_in(metres)))
		return digits > 0 ? quantity_text(arena, metres, DIM_LENGTH, digits) : quantity_length(arena, metres);
	buf_init(&out, arena);
	bool feet = sort == LENGTH_CABLE && sixteenths_in(metres) >= FEET_FROM * SIXTEENTHS;
	if (feet)
		add_feet(&out, metres, digits);
	else
		add_inches(&out, metres);
	buf_add(&out, feet ? " ft" : " in");
	return out.data;
}

char *quantity_percent(struct arena *arena, double fraction)
{
	return with_decimals(arena, 100 * fraction, 0, "%");
}
