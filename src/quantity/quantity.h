/* Numbers with units: text to SI and back. SI is all that the rest of the program sees. */
#ifndef FAREND_QUANTITY_QUANTITY_H
#define FAREND_QUANTITY_QUANTITY_H

#include "base/buf.h"

/* One row per dimension: enum, the word used in messages, an example of how to write one. */
#define DIMENSIONS(X) \
	X(DIM_COUNT,       "a whole number",            "6") \
	X(DIM_NUMBER,      "a number",                  "12.50") \
	X(DIM_RATIO,       "a percentage",              "20 %") \
	X(DIM_LENGTH,      "a length",                  "1.85 m") \
	X(DIM_AREA,        "a cross-section",           "0.75 mm2") \
	X(DIM_GAUGE,       "a wire gauge",              "18 AWG") \
	X(DIM_VOLT,        "a voltage",                 "24 V") \
	X(DIM_AMP,         "a current",                 "3 A") \
	X(DIM_WATT,        "a power",                   "60 W") \
	X(DIM_WATT_PER_M,  "a power per length",        "9.6 W/m") \
	X(DIM_OHM,         "a resistance",              "40 mohm") \
	X(DIM_OHM_PER_M,   "a resistance per length",   "0.11 ohm/m") \
	X(DIM_LUMEN_PER_M, "a light output per length", "900 lm/m") \
	X(DIM_CELSIUS,     "a temperature",             "30 C")

enum dim {
#define X(id, words, example) id,
	DIMENSIONS(X)
#undef X
	DIM__END
};

const char *dim_words(enum dim dim);
const char *dim_example(enum dim dim);

/* One symbol of a unit; `scale` * written + `offset` = SI. The first row of a dimension is the one
 * that messages propose. docs/input.md's table of units is checked against these rows. */
struct unit {
	enum dim dim;
	const char *symbol;
	double scale;
	double offset;
	const char *name;            /* "metre", "foot" */
};
extern const struct unit unit_table[];
extern const size_t unit_count;

enum quantity_fault {
	QUANTITY_OK,
	QUANTITY_EMPTY,
	QUANTITY_NO_NUMBER,          /* "abc", "inf", "nan": finite decimal numbers only */
	QUANTITY_NO_UNIT,            /* 9.6 */
	QUANTITY_UNKNOWN_UNIT,       /* 9.6 Wm: nearest symbols in `hint` */
	QUANTITY_WRONG_UNIT,         /* 9.6 W where W/m belongs */
	QUANTITY_DECIMAL_COMMA,      /* 9,6 W/m */
	QUANTITY_FRACTION,           /* 3 1/0 in, a fraction where none belongs */
	QUANTITY_TOO_LARGE,          /* not finite once in SI */
	QUANTITY_TRAILING            /* 9.6 W/m please */
};

struct quantity {
	double value;                /* SI; ratio as a fraction of 1; degrees C; area in m2; gauge as its number */
	enum dim dim;
	enum quantity_fault fault;
	size_t at, length;           /* characters of the text that the fault concerns */
	const char *message;         /* when at fault: lower case, no full stop */
	const char *expected;        /* what to write, with the user's own number where that makes sense */
	const char *hint;            /* or NULL */
};

/* Reads "1.85 m", "1850mm", "6 ft 3 1/2 in", "0.75 mm2", "0.75 mm²", "18 AWG", "9.6 W/m", "3 W/ft",
 * "40 mohm", "40 mΩ", "20 %", "86 F". `wants` lists the dimensions that are allowed, ended by DIM__END
 * (a gauge and an area for a cable's size). DIM_COUNT and DIM_NUMBER take no unit. Feet and inches may
 * follow one another and carry fractions; every other quantity is one number and one unit. A sign is
 * read (ranges are the caller's). Exponents (1e3) are read. Texts in the result live in the arena. */
struct quantity quantity_parse(struct arena *arena, const char *text, const enum dim *wants);

/* For people: `digits` significant digits at most, no trailing zeros, an engineering prefix where it
 * reads better (0.0053 ohm as "5.3 mohm"), a unit after a blank. NaN prints "-". */
void quantity_add(struct buf *out, double value, enum dim dim, int digits);
char *quantity_text(struct arena *arena, double value, enum dim dim, int digits);

/* Shorthands with the digits that the reports use: volts 2 decimals, lengths in mm (or metres from
 * 10 m on), percent whole numbers. */
char *quantity_volts(struct arena *arena, double volts);
char *quantity_length(struct arena *arena, double metres);
char *quantity_percent(struct arena *arena, double fraction);

/* What lengths are written and shown in. */
enum length_system { LENGTHS_METRIC, LENGTHS_INCH };

/* The system of a length as written; `text` is one that quantity_parse() takes. */
enum length_system quantity_length_system(const char *text);

/* What a length is measured with: strips, channels and cut marks with a tape, cables by the foot. */
enum length_sort { LENGTH_TAPE, LENGTH_CABLE };

/* Metric, of either sort: as quantity_length(), or as quantity_text() where `digits` is not 0. Otherwise inches to
 * the nearest sixteenth ("33 1/2 in"); cables so below 2 ft, and from there on in feet with two decimals at the
 * most ("13.5 ft"), of which `digits`, where it is not 0, leaves so many significant ones. NaN prints "-". */
char *quantity_length_in(struct arena *arena, double metres, enum length_system system, enum length_sort sort,
                         int digits);

/* A bare number for a table whose head names the unit: millimetres with so many decimals, or with those that they
 * have; inches to the nearest sixteenth. */
#define MARK_AS_IT_IS (-1)
char *quantity_mark(struct arena *arena, double metres, enum length_system system, int decimals);
const char *quantity_mark_unit(enum length_system system);     /* "mm" or "in" */
double quantity_feet(double metres);

/* Does the text begin with a fraction, as in "1/2 in" behind "33 "? Torn off its number by the end of a line, what
 * is left would be read as the length. */
bool quantity_is_fraction(const char *text);

#endif
