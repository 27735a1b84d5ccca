/* Text to a quantity: a number, a unit that is wanted here, and nothing else. Every way to go wrong
 * ends in fail() with what to write instead, made from the user's own number. */
#include "quantity/scan.h"

#include "base/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct parse {
	struct scan scan;
	const enum dim *wants;
	struct quantity out;
};

/* What people write for a unit, where spelling alone does not lead to the symbol. */
static const struct slip {
	const char *wrote;
	const char *meant;
} slips[] = {
	{ "volt", "V" },         { "volts", "V" },        { "vdc", "V" },
	{ "amp", "A" },          { "amps", "A" },         { "ampere", "A" },    { "amperes", "A" },
	{ "milliamp", "mA" },    { "milliamps", "mA" },
	{ "watt", "W" },         { "watts", "W" },        { "watts/m", "W/m" }, { "watts/ft", "W/ft" },
	{ "ohms", "ohm" },       { "milliohm", "mohm" },  { "milliohms", "mohm" },
	{ "metre", "m" },        { "metres", "m" },       { "meter", "m" },     { "meters", "m" },
	{ "millimetre", "mm" },  { "millimetres", "mm" }, { "millimeter", "mm" },
	{ "millimeters", "mm" }, { "micron", "um" },      { "microns", "um" },
	{ "foot", "ft" },        { "feet", "ft" },        { "inch", "in" },     { "inches", "in" },
	{ "sqmm", "mm2" },       { "qmm", "mm2" },        { "mmq", "mm2" },     { "sq.mm", "mm2" },
	{ "mm^2", "mm2" },       { "ga", "AWG" },         { "gauge", "AWG" },   { "swg", "AWG" },
	{ "percent", "%" },      { "pct", "%" },          { "lumens/m", "lm/m" },
	{ "celsius", "C" },      { "deg", "C" },          { "degrees", "C" },   { "fahrenheit", "F" },
};

static bool is_plain(enum dim dim)
{
	return dim == DIM_COUNT || dim == DIM_NUMBER;
}

static bool is_wanted(const struct parse *p, enum dim dim)
{
	for (const enum dim *want = p->wants; *want != DIM__END; want++)
		if (*want == dim)
			return true;
	return false;
}

/* The plain dimension among the wanted ones, or DIM__END. */
static enum dim plain_wanted(const struct parse *p)
{
	const enum dim *want = p->wants;
	while (*want != DIM__END && !is_plain(*want))
		want++;
	return *want;
}

/* "a cross-section or a wire gauge" */
static const char *wanted_words(const struct parse *p)
{
	struct buf words;
	buf_init(&words, p->scan.arena);
	for (const enum dim *want = p->wants; *want != DIM__END; want++)
		buf_addf(&words, "%s%s", want > p->wants ? " or " : "", dim_words(*want));
	return words.data;
}

static const char *wanted_example(const struct parse *p)
{
	struct buf out;
	buf_init(&out, p->scan.arena);
	buf_addf(&out, "%s, such as ", wanted_words(p));
	for (const enum dim *want = p->wants; *want != DIM__END; want++)
		buf_addf(&out, "%s%s", want > p->wants ? " or " : "", dim_example(*want));
	return out.data;
}

/* The unit that goes with a number without a usable one: the first of its dimension, but joiners
 * mean millimetres when they say 850. */
static const char *proposed_unit(enum dim dim, double value)
{
	if (dim == DIM_LENGTH && fabs(value) >= 20)
		return "mm";
	for (size_t i = 0; i < unit_count; i++)
		if (unit_table[i].dim == dim)
			return unit_table[i].symbol;
	return "";
}

/* "18 mm2 or 18 AWG": the number with a unit of each dimension that is wanted. */
static const char *proposal(const struct parse *p, const char *number, double value)
{
	struct buf out;
	buf_init(&out, p->scan.arena);
	for (const enum dim *want = p->wants; *want != DIM__END; want++) {
		buf_add(&out, want > p->wants ? " or " : "");
		if (*want == DIM_RATIO && value > 0 && value <= 1)
			buf_addf(&out, "%.6g %% or ", 100 * value);
		buf_add(&out, number);
		if (!is_plain(*want))
			buf_addf(&out, " %s", proposed_unit(*want, value));
	}
	return out.data;
}

static const char *number_proposal(const struct parse *p, const struct number *number)
{
	return proposal(p, number->shown, number->value);
}

static struct quantity fail(struct parse *p, enum quantity_fault fault, size_t from, size_t to,
                            const char *message)
{
	p->out.fault = fault;
	p->out.at = from;
	p->out.length = to > from ? to - from : 1;
	p->out.message = message;
	return p->out;
}

/* The message with the user's own characters between the quotes. */
static struct quantity fail_cut(struct parse *p, enum quantity_fault fault, size_t from, size_t to,
                                const char *before, const char *behind)
{
	const char *cut = scan_cut(&p->scan, from, to);
	return fail(p, fault, from, to, arena_printf(p->scan.arena, "%s'%s'%s", before, cut, behind));
}

/* The rest of the text if it is a unit that is wanted, else the unit to propose for the number. */
static const char *unit_behind(const struct parse *p, size_t at, const char *number)
{
	size_t end;
	const struct unit *unit = scan_unit(&p->scan, scan_blanks(&p->scan, at), &end);
	if (unit && is_wanted(p, unit->dim))
		return unit->symbol;
	return is_plain(p->wants[0]) ? "" : proposed_unit(p->wants[0], strtod(number, NULL));
}

static struct quantity fail_comma(struct parse *p, const struct number *number)
{
	struct arena *arena = p->scan.arena;
	const char *unit = unit_behind(p, number->end, number->reading[0]);
	const char *blank = *unit ? " " : "";
	const char *const *reading = number->reading;
	if (reading[1])
		p->out.expected = arena_printf(arena, "%s%s%s or %s%s%s", reading[0], blank, unit,
		                               reading[1], blank, unit);
	else
		p->out.expected = arena_printf(arena, "a decimal point: %s%s%s", reading[0], blank, unit);
	return fail_cut(p, QUANTITY_DECIMAL_COMMA, number->start, number->end, "",
	                reading[1] ? " can be read in two ways" : " has a comma");
}

static size_t end_of_text(const struct parse *p)
{
	size_t end = p->scan.length;
	while (end > 0 && p->scan.glyphs[end - 1] == ' ')
		end--;
	return end;
}

static struct quantity fail_number(struct parse *p, const struct number *number)
{
	struct arena *arena = p->scan.arena;
	size_t from = number->start, to = number->end;
	const char *fraction = "a fraction such as 3 1/2 in";
	switch (number->fault) {
	case NUMBER_COMMA:
		return fail_comma(p, number);
	case NUMBER_SPLIT:
		p->out.expected = arena_printf(arena, "no blanks inside the number: %s %s",
		                               number->digits, unit_behind(p, to, number->digits));
		return fail_cut(p, QUANTITY_NO_NUMBER, from, to, "", " is not one number");
	case NUMBER_BY_ZERO:
		p->out.expected = is_wanted(p, DIM_LENGTH) ? fraction : wanted_example(p);
		return fail_cut(p, QUANTITY_FRACTION, from, to, "", " divides by zero");
	case NUMBER_IMPROPER:
		p->out.expected = is_wanted(p, DIM_LENGTH) ? fraction : wanted_example(p);
		return fail_cut(p, QUANTITY_FRACTION, from, to, "",
		                " is not a whole number and a fraction below one");
	default:
		p->out.expected = wanted_example(p);
		return fail_cut(p, QUANTITY_NO_NUMBER, from, end_of_text(p), "",
		                arena_printf(arena, " is not %s", wanted_words(p)));
	}
}

/* The symbol for a word of the slips, if it is wanted here. */
static const char *slip_meant(const struct parse *p, const char *word)
{
	for (size_t i = 0; i < sizeof slips / sizeof *slips; i++) {
		struct nearest same = nearest_to(word);
		nearest_offer(&same, slips[i].wrote);
		if (same.count == 0 || same.distance > 0)
			continue;
		for (size_t u = 0; u < unit_count; u++)
			if (strcmp(unit_table[u].symbol, slips[i].meant) == 0 &&
			    is_wanted(p, unit_table[u].dim))
				return slips[i].meant;
	}
	return NULL;
}

static struct nearest nearest_units(const struct parse *p, const char *word)
{
	struct nearest nearest = nearest_to(word);
	const char *meant = slip_meant(p, word);
	if (meant) {
		nearest.name[nearest.count++] = meant;
		return nearest;
	}
	for (size_t i = 0; i < unit_count; i++)
		if (is_wanted(p, unit_table[i].dim))
			nearest_offer(&nearest, unit_table[i].symbol);
	return nearest;
}

static struct quantity fail_unit(struct parse *p, const struct number *number, size_t at,
                                 size_t end)
{
	struct nearest nearest = nearest_units(p, scan_cut(&p->scan, at, end));
	p->out.hint = nearest_hint(&nearest, p->scan.arena);
	if (nearest.count == 1)
		p->out.expected = arena_printf(p->scan.arena, "%s %s", number->shown, nearest.name[0]);
	else
		p->out.expected = number_proposal(p, number);
	return fail_cut(p, QUANTITY_UNKNOWN_UNIT, at, end, "unknown unit ", "");
}

/* A unit that was cut short or run on ("9.6 W" for "9.6 W/m"): the number is meant as it stands. Any other, 36 W
 * where amperes belong, is another quantity, and its number must not be handed on. */
static bool number_is_meant(const struct parse *p, enum dim written)
{
	static const enum dim alike[][2] = {
		{ DIM_WATT, DIM_WATT_PER_M }, { DIM_OHM, DIM_OHM_PER_M }, { DIM_LENGTH, DIM_AREA },
	};
	for (size_t i = 0; i < sizeof(alike) / sizeof(alike[0]); i++)
		if ((written == alike[i][0] && is_wanted(p, alike[i][1])) ||
		    (written == alike[i][1] && is_wanted(p, alike[i][0])))
			return true;
	return false;
}

static struct quantity fail_wrong(struct parse *p, const struct number *number, size_t at,
                                  size_t end, const struct unit *unit)
{
	const char *not_this = arena_printf(p->scan.arena, "' is %s, not ", dim_words(unit->dim));
	const char *cut = scan_cut(&p->scan, number->start, end);
	p->out.expected = number_is_meant(p, unit->dim) ? number_proposal(p, number) : wanted_example(p);
	return fail(p, QUANTITY_WRONG_UNIT, at, end,
	            arena_printf(p->scan.arena, "'%s%s%s", cut, not_this, wanted_words(p)));
}

static struct quantity fail_trailing(struct parse *p, size_t begin, size_t end, size_t at)
{
	const char *good = scan_cut(&p->scan, begin, end);
	p->out.expected = good;
	return fail_cut(p, QUANTITY_TRAILING, at, end_of_text(p), "unexpected ",
	                arena_printf(p->scan.arena, " behind '%s'", good));
}

/* "12-24 V" where one value belongs. */
static struct quantity fail_range(struct parse *p, const struct number *number, size_t at)
{
	p->out.expected = arena_printf(p->scan.arena, "one value, such as %s",
	                               dim_example(p->wants[0]));
	return fail_cut(p, QUANTITY_TRAILING, at, end_of_text(p), "unexpected ",
	                arena_printf(p->scan.arena, " behind '%s'", number->shown));
}

static struct quantity finish(struct parse *p, enum dim dim, double value, size_t from)
{
	p->out.dim = dim;
	p->out.value = value == 0 ? 0 : value;         /* no minus zero */
	if (isfinite(value))
		return p->out;
	p->out.value = 0;
	p->out.expected = wanted_example(p);
	return fail_cut(p, QUANTITY_TOO_LARGE, from, end_of_text(p), "", " is too large");
}

/* A number that takes no unit; `at` is behind it and its blanks. */
static struct quantity parse_plain(struct parse *p, const struct number *number, size_t at)
{
	enum dim dim = plain_wanted(p);
	size_t end;
	if (at < p->scan.length) {
		if (!scan_unit(&p->scan, at, &end))
			return fail_trailing(p, number->start, number->end, at);
		p->out.expected = number->shown;
		return fail_cut(p, QUANTITY_WRONG_UNIT, number->start, end, "",
		                arena_printf(p->scan.arena, " has a unit; %s has none", dim_words(dim)));
	}
	if (number->digits && (dim == DIM_NUMBER || number->value == floor(number->value)))
		return finish(p, dim, number->value, number->start);
	p->out.expected = dim == DIM_NUMBER ? number->shown : wanted_example(p);
	return fail_cut(p, QUANTITY_FRACTION, number->start, number->end, "",
	                dim == DIM_NUMBER ? " is a fraction" : " is not a whole number");
}

/* The inches behind `feet` metres; `at` is where they begin, `unit_end` where the feet end. */
static struct quantity parse_inches(struct parse *p, const struct number *feet, double metres,
                                    size_t at, size_t unit_end)
{
	size_t number_at = at == unit_end && p->scan.glyphs[at] == '-' ? at + 1 : at;
	if (!scan_is_digit(&p->scan, number_at) && !scan_is_vulgar(&p->scan, number_at) &&
	    p->scan.glyphs[number_at] != '.')
		return fail_trailing(p, feet->start, unit_end, at);
	struct number inches = number_scan(&p->scan, number_at);
	if (inches.fault != NUMBER_OK)
		return fail_number(p, &inches);
	size_t begin = scan_blanks(&p->scan, inches.end), end;
	const struct unit *unit = scan_unit(&p->scan, begin, &end);
	if (!unit || strcmp(unit->name, "inch") != 0) {
		p->out.expected = arena_printf(p->scan.arena, "feet and inches: %s %s in",
		                               scan_cut(&p->scan, feet->start, unit_end), inches.shown);
		if (begin == p->scan.length)
			return fail_cut(p, QUANTITY_NO_UNIT, number_at, inches.end, "", " has no unit");
		return fail_cut(p, unit ? QUANTITY_WRONG_UNIT : QUANTITY_UNKNOWN_UNIT, begin, end, "",
		                " is not the unit for inches");
	}
	size_t rest = scan_blanks(&p->scan, end);
	if (rest < p->scan.length)
		return fail_trailing(p, feet->start, end, rest);
	if (p->scan.glyphs[feet->start] == '-') {
		p->out.expected = wanted_example(p);
		return fail_cut(p, QUANTITY_NO_NUMBER, feet->start, end, "",
		                " is below zero: feet and inches add up");
	}
	return finish(p, DIM_LENGTH, metres + number_si(&p->scan, &inches, unit), feet->start);
}

static struct quantity parse_with_unit(struct parse *p, const struct number *number, size_t at)
{
	size_t end;
	const struct unit *unit = scan_unit(&p->scan, at, &end);
	if (!unit && p->scan.glyphs[at] == '-' && scan_is_digit(&p->scan, at + 1))
		return fail_range(p, number, at);
	if (!unit)
		return fail_unit(p, number, at, end);
	if (!is_wanted(p, unit->dim))
		return fail_wrong(p, number, at, end, unit);
	bool foot = strcmp(unit->name, "foot") == 0, inch = strcmp(unit->name, "inch") == 0;
	if (!number->digits && !foot && !inch) {
		p->out.expected = arena_printf(p->scan.arena, "%s %s", number->shown, unit->symbol);
		return fail_cut(p, QUANTITY_FRACTION, number->start, number->end, "",
		                " is a fraction, which only feet and inches may have");
	}
	double value = number_si(&p->scan, number, unit);
	size_t rest = scan_blanks(&p->scan, end);
	if (rest == p->scan.length)
		return finish(p, unit->dim, value, number->start);
	if (foot)
		return parse_inches(p, number, value, rest, end);
	return fail_trailing(p, number->start, end, rest);
}

struct quantity quantity_parse(struct arena *arena, const char *text, const enum dim *wants)
{
	struct parse p = { scan_text(arena, text), wants, { .dim = wants[0] } };
	size_t at = scan_blanks(&p.scan, 0);
	if (at == p.scan.length) {
		p.out.expected = wanted_example(&p);
		return fail(&p, QUANTITY_EMPTY, 0, p.scan.length, "there is no value");
	}
	struct number number = number_scan(&p.scan, at);
	if (number.fault != NUMBER_OK)
		return fail_number(&p, &number);
	at = scan_blanks(&p.scan, number.end);
	bool bare = at == p.scan.length;
	bool only_plain = plain_wanted(&p) == wants[0] && wants[1] == DIM__END;
	if (only_plain || (bare && plain_wanted(&p) != DIM__END))
		return parse_plain(&p, &number, at);
	if (!bare)
		return parse_with_unit(&p, &number, at);
	if (!number.digits && is_wanted(&p, DIM_LENGTH))
		p.out.expected = arena_printf(arena, "%s in", scan_cut(&p.scan, number.start, number.end));
	else
		p.out.expected = number_proposal(&p, &number);
	return fail_cut(&p, QUANTITY_NO_UNIT, number.start, number.end, "", " has no unit");
}
