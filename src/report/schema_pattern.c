/* Patterns of quantities. The grammar is that of the quantity layer (quantity/parse.c); units and the
 * characters that stand for one another come from its tables. Blanks between parts may be missing. */
#include "report/schema.h"

#include "quantity/scan.h"
#include "reference/reference.h"

#include <string.h>

#define CHARACTERS 0x10000u      /* units need none beyond the first plane */
#define BLANKS "\\s*"
#define DIGITS "([0-9]+[.]?[0-9]*|[.][0-9]+)"

struct pattern {
	struct buf out;
	const char *glyphs;          /* what the scanner takes each character for */
	const char *dash, *slash, *vulgar;       /* "[...]" */
};

static void add_utf8(struct buf *text, unsigned code)
{
	if (code >= 0x800)
		buf_add_char(text, (char)(0xE0 | code >> 12));
	buf_add_char(text, (char)(code >= 0x800 ? 0x80 | (code >> 6 & 0x3F) : 0xC0 | code >> 6));
	buf_add_char(text, (char)(0x80 | (code & 0x3F)));
}

static bool is_surrogate(unsigned code)
{
	return code >= 0xD800 && code < 0xE000;
}

/* One scan over all characters tells which of them count as which. */
static const char *glyphs_of_all(struct arena *arena)
{
	char *glyphs = arena_alloc(arena, CHARACTERS);
	struct buf text;
	buf_init(&text, arena);
	for (unsigned code = 0x80; code < CHARACTERS; code++)
		if (!is_surrogate(code))
			add_utf8(&text, code);
	const char *scanned = scan_text(arena, text.data).glyphs;
	for (unsigned code = 0x80; code < CHARACTERS; code++)
		if (!is_surrogate(code))
			glyphs[code] = *scanned++;
	return glyphs;
}

/* A class of everything that counts as one of the glyphs from `first` to `last`. A dash comes last, where
 * it means itself. */
static const char *class_of(const struct pattern *p, char first, char last)
{
	struct buf out;
	buf_init(&out, p->out.arena);
	buf_add_char(&out, '[');
	if (first >= ' ' && first != '-')
		buf_add_char(&out, first);
	for (unsigned code = 0x80; code < CHARACTERS; code++) {
		unsigned from = code;
		while (code < CHARACTERS && p->glyphs[code] >= first && p->glyphs[code] <= last)
			code++;
		if (code > from)
			buf_addf(&out, "\\u%04X", from);
		if (code > from + 1)
			buf_addf(&out, "-\\u%04X", code - 1);
	}
	buf_add(&out, first == '-' ? "-]" : "]");
	return out.data;
}

static struct pattern pattern_begin(struct arena *arena)
{
	struct pattern p = { .glyphs = glyphs_of_all(arena) };
	buf_init(&p.out, arena);
	p.dash = class_of(&p, '-', '-');
	p.slash = class_of(&p, '/', '/');
	p.vulgar = class_of(&p, GLYPH_QUARTER, GLYPH_SEVEN_EIGHTHS);
	return p;
}

static void add_blanks(struct pattern *p)
{
	buf_add(&p->out, BLANKS);
}

static void add_symbol(struct pattern *p, const char *symbol)
{
	struct scan scan = scan_text(p->out.arena, symbol);
	for (size_t i = 0; i < scan.length; i++) {
		char glyph = scan.glyphs[i];
		if (glyph == '/')
			buf_addf(&p->out, BLANKS "%s" BLANKS, p->slash);
		else if ((glyph >= 'a' && glyph <= 'z') || (glyph >= 'A' && glyph <= 'Z') ||
		         (glyph >= '0' && glyph <= '9') || glyph == '%')
			buf_add_char(&p->out, glyph);
		else
			buf_add(&p->out, class_of(p, glyph, glyph));
	}
}

enum part { PART_ALL, PART_FEET, PART_INCHES, PART_FEET_OR_INCHES };

static bool is_part(const struct unit *unit, enum part part)
{
	bool foot = strcmp(unit->name, "foot") == 0, inch = strcmp(unit->name, "inch") == 0;
	return part == PART_ALL || (foot && part != PART_INCHES) || (inch && part != PART_FEET);
}

static void add_units(struct pattern *p, enum dim dim, enum part part)
{
	const char *separator = "(";
	for (size_t i = 0; i < unit_count; i++) {
		if (unit_table[i].dim != dim || !is_part(&unit_table[i], part))
			continue;
		buf_add(&p->out, separator);
		add_symbol(p, unit_table[i].symbol);
		separator = "|";
	}
	buf_add_char(&p->out, ')');
}

static void add_exponent(struct pattern *p)
{
	buf_addf(&p->out, "[eE]([+]|%s)?[0-9]+", p->dash);
}

static void add_decimal(struct pattern *p)
{
	buf_add(&p->out, DIGITS "(");
	add_exponent(p);
	buf_add(&p->out, ")?");
}

/* 3, 3.5, 3 1/2, 3-1/2, 3½, 1/2 */
static void add_mixed(struct pattern *p)
{
	const char *fraction = arena_printf(p->out.arena, "([0-9]+%s[0-9]+|%s)", p->slash, p->vulgar);
	buf_add_char(&p->out, '(');
	add_decimal(p);
	buf_addf(&p->out, "((%s|" BLANKS ")%s)?|%s)", p->dash, fraction, fraction);
}

static void add_feet_and_inches(struct pattern *p)
{
	add_mixed(p);
	add_blanks(p);
	add_units(p, DIM_LENGTH, PART_FEET);
	buf_addf(&p->out, "(%s|" BLANKS ")", p->dash);
	add_mixed(p);
	add_blanks(p);
	add_units(p, DIM_LENGTH, PART_INCHES);
}

/* One value with its unit, without blanks around it. */
static void add_value(struct pattern *p, enum dim dim, bool negative)
{
	buf_addf(&p->out, negative ? "([+]|%s)?(" : "[+]?(", p->dash);
	if (dim == DIM_COUNT) {
		buf_add(&p->out, "[0-9]+([.]0*)?|" DIGITS);
		add_exponent(p);
	} else {
		add_decimal(p);
	}
	if (dim != DIM_COUNT && dim != DIM_NUMBER) {
		add_blanks(p);
		add_units(p, dim, PART_ALL);
	}
	if (dim == DIM_LENGTH) {
		buf_add_char(&p->out, '|');
		add_mixed(p);
		add_blanks(p);
		add_units(p, dim, PART_FEET_OR_INCHES);
		buf_add_char(&p->out, '|');
		add_feet_and_inches(p);
	}
	buf_add_char(&p->out, ')');
}

static void add_tolerance(struct pattern *p, enum dim dim)
{
	buf_add_char(&p->out, '(');
	add_blanks(p);
	buf_add(&p->out, "([+]/?-|\\u00B1)");
	add_blanks(p);
	buf_add_char(&p->out, '(');
	add_value(p, dim, false);
	if (dim != DIM_RATIO) {
		buf_add_char(&p->out, '|');
		add_value(p, DIM_RATIO, false);
	}
	buf_add(&p->out, "))?");
}

static void open_text(struct pattern *p)
{
	buf_add(&p->out, "^" BLANKS);
}

static const char *close_text(struct pattern *p)
{
	buf_add(&p->out, BLANKS "$");
	return p->out.data;
}

const char *schema_quantity_pattern(struct arena *arena, enum dim dim, bool negative)
{
	struct pattern p = pattern_begin(arena);
	open_text(&p);
	add_value(&p, dim, negative);
	if (dim != DIM_COUNT && dim != DIM_NUMBER)
		add_tolerance(&p, dim);
	return close_text(&p);
}

const char *schema_range_pattern(struct arena *arena, enum dim dim)
{
	struct pattern p = pattern_begin(arena);
	open_text(&p);
	add_decimal(&p);
	buf_add(&p.out, "(" BLANKS);
	add_units(&p, dim, PART_ALL);
	buf_add(&p.out, ")?" BLANKS "[\\u2013-]" BLANKS);
	add_decimal(&p);
	add_blanks(&p);
	add_units(&p, dim, PART_ALL);
	return close_text(&p);
}

/* "0.75" as 0.75, .75 or 0.750; "1" as 1 or 1.0. */
static void add_size(struct pattern *p, const char *name)
{
	size_t whole = strspn(name, "0123456789");
	size_t part = name[whole] == '.' ? strspn(name + whole + 1, "0123456789") : 0;
	size_t zeros = strspn(name, "0");
	buf_addf(&p->out, "0*%.*s", (int)(zeros < whole ? whole - zeros : 0), name + zeros);
	if (part > 0)
		buf_addf(&p->out, "[.]%.*s0*|", (int)part, name + whole + 1);
	else
		buf_add(&p->out, "([.]0*)?|");
}

const char *schema_size_pattern(struct arena *arena, enum dim dim)
{
	struct pattern p = pattern_begin(arena);
	open_text(&p);
	buf_add(&p.out, "[+]?(");
	for (size_t i = 0; i < wire_size_count; i++)
		if ((wire_sizes[i].gauge != 0) == (dim == DIM_GAUGE))
			add_size(&p, wire_sizes[i].name);
	buf_add(&p.out, DIGITS);
	add_exponent(&p);
	buf_add(&p.out, ")" BLANKS);
	add_units(&p, dim, PART_ALL);
	add_tolerance(&p, dim);
	return close_text(&p);
}

const char *schema_terminal_pattern(struct arena *arena)
{
	struct pattern p = pattern_begin(arena);
	buf_add(&p.out, "^[^.@]+([.].+|@" BLANKS);
	add_value(&p, DIM_LENGTH, false);
	buf_add(&p.out, BLANKS ")?$");
	return p.out.data;
}
