/* Stepping through the text of a quantity. Inside the layer. */
#ifndef FAREND_QUANTITY_SCAN_H
#define FAREND_QUANTITY_SCAN_H

#include "quantity/quantity.h"

/* One byte for each character of the text, so that positions are what people count: ASCII as it
 * is, every sort of blank as ' ', typographic quotes, minus and fraction slash as their ASCII
 * relatives, the letters that units use and fractions as below, whatever else as GLYPH_OTHER. */
struct scan {
	struct arena *arena;
	const char *text;
	const char *glyphs;          /* NUL-terminated */
	size_t length;
};

enum glyph {
	GLYPH_OTHER = 1,
	GLYPH_OHM,
	GLYPH_MICRO,
	GLYPH_SQUARED,
	GLYPH_DEGREE,
	GLYPH_QUARTER,               /* ¼ and on: one character that is a fraction */
	GLYPH_HALF,
	GLYPH_THREE_QUARTERS,
	GLYPH_EIGHTH,
	GLYPH_THREE_EIGHTHS,
	GLYPH_FIVE_EIGHTHS,
	GLYPH_SEVEN_EIGHTHS
};

struct scan scan_text(struct arena *arena, const char *text);

bool scan_is_digit(const struct scan *scan, size_t at);
bool scan_is_vulgar(const struct scan *scan, size_t at);       /* ¼ ½ ¾ ... */
size_t scan_digits(const struct scan *scan, size_t at);        /* behind the digits from `at` on */
size_t scan_blanks(const struct scan *scan, size_t at);

/* The user's own characters from `from` to `to`, shortened where they are very many. */
const char *scan_cut(const struct scan *scan, size_t from, size_t to);

/* The longest symbol of a unit that stands at `at`, and in *end where it ends; NULL where there is
 * none, with *end behind the word that stands in its place. Blanks around a slash are allowed. */
const struct unit *scan_unit(const struct scan *scan, size_t at, size_t *end);

/* A number without its unit. */
enum number_fault {
	NUMBER_OK,
	NUMBER_NONE,                 /* not a finite decimal number */
	NUMBER_SPLIT,                /* 1 850 */
	NUMBER_COMMA,                /* 9,6 or 1,850: see `reading` */
	NUMBER_BY_ZERO,              /* 3 1/0 */
	NUMBER_IMPROPER              /* 3 5/4, 2.5 1/2 */
};

struct number {
	enum number_fault fault;
	size_t start, end;
	const char *digits;          /* sign, digits and point as C writes them; NULL for a fraction */
	long exponent;
	double value;
	const char *shown;           /* as messages repeat it: a decimal number */
	const char *reading[2];      /* of one with commas: what may have been meant, or NULL */
};

struct number number_scan(const struct scan *scan, size_t at);

/* In SI, correctly rounded where the unit is a power of ten. */
double number_si(const struct scan *scan, const struct number *number, const struct unit *unit);

#endif
