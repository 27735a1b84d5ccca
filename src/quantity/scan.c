/* Characters of a quantity, and the symbols of units among them. */
#include "quantity/scan.h"

#include "base/text.h"

#include <string.h>

#define LONGEST_CUT 40          /* characters of the user's text in a message */

struct glyph_of {
	uint32_t code;
	char glyph;
};

static const struct glyph_of glyphs[] = {
	{ '\t', ' ' },    { '\n', ' ' },    { '\r', ' ' },    { 0x00A0, ' ' },  { 0x2000, ' ' },
	{ 0x2001, ' ' },  { 0x2002, ' ' },  { 0x2003, ' ' },  { 0x2004, ' ' },  { 0x2005, ' ' },
	{ 0x2006, ' ' },  { 0x2007, ' ' },  { 0x2008, ' ' },  { 0x2009, ' ' },  { 0x200A, ' ' },
	{ 0x202F, ' ' },  { 0x205F, ' ' },  { 0x3000, ' ' },
	{ 0x2018, '\'' }, { 0x2019, '\'' }, { 0x2032, '\'' },
	{ 0x201C, '"' },  { 0x201D, '"' },  { 0x2033, '"' },
	{ 0x2212, '-' },  { 0x2010, '-' },  { 0x2011, '-' },  { 0x2013, '-' },  { 0x2044, '/' },
	{ 0x03A9, GLYPH_OHM },      { 0x2126, GLYPH_OHM },
	{ 0x00B5, GLYPH_MICRO },    { 0x03BC, GLYPH_MICRO },
	{ 0x00B2, GLYPH_SQUARED },  { 0x00B0, GLYPH_DEGREE },
	{ 0x00BC, GLYPH_QUARTER },  { 0x00BD, GLYPH_HALF },   { 0x00BE, GLYPH_THREE_QUARTERS },
	{ 0x215B, GLYPH_EIGHTH },   { 0x215C, GLYPH_THREE_EIGHTHS },
	{ 0x215D, GLYPH_FIVE_EIGHTHS }, { 0x215E, GLYPH_SEVEN_EIGHTHS },
};

static char glyph_of(uint32_t code)
{
	if (code >= ' ' && code < 0x7F)
		return (char)code;
	for (size_t i = 0; i < sizeof glyphs / sizeof *glyphs; i++)
		if (glyphs[i].code == code)
			return glyphs[i].glyph;
	return GLYPH_OTHER;
}

struct scan scan_text(struct arena *arena, const char *text)
{
	size_t size = strlen(text), at = 0;
	char *copy = arena_alloc(arena, size + 1);
	struct scan scan = { arena, text, copy, 0 };
	while (at < size) {
		uint32_t code;
		at += text_decode(text + at, size - at, &code);
		copy[scan.length++] = glyph_of(code);
	}
	return scan;
}

bool scan_is_digit(const struct scan *scan, size_t at)
{
	return scan->glyphs[at] >= '0' && scan->glyphs[at] <= '9';
}

bool scan_is_vulgar(const struct scan *scan, size_t at)
{
	return scan->glyphs[at] >= GLYPH_QUARTER && scan->glyphs[at] <= GLYPH_SEVEN_EIGHTHS;
}

size_t scan_digits(const struct scan *scan, size_t at)
{
	while (scan_is_digit(scan, at))
		at++;
	return at;
}

size_t scan_blanks(const struct scan *scan, size_t at)
{
	while (scan->glyphs[at] == ' ')
		at++;
	return at;
}

static size_t byte_at(const struct scan *scan, size_t character)
{
	size_t size = strlen(scan->text), at = 0;
	for (; character > 0 && at < size; character--) {
		uint32_t code;
		at += text_decode(scan->text + at, size - at, &code);
	}
	return at;
}

const char *scan_cut(const struct scan *scan, size_t from, size_t to)
{
	bool long_one = to - from > LONGEST_CUT;
	size_t start = byte_at(scan, from);
	size_t end = byte_at(scan, long_one ? from + LONGEST_CUT : to);
	return arena_printf(scan->arena, "%.*s%s", (int)(end - start), scan->text + start,
	                    long_one ? "..." : "");
}

static bool is_foot(const struct unit *unit)
{
	return unit && strcmp(unit->name, "foot") == 0;
}

/* Behind `symbol` if it stands at `at`, else 0. */
static size_t behind_symbol(const struct scan *scan, size_t at, const char *symbol)
{
	for (size_t left = strlen(symbol); left > 0;) {
		uint32_t code;
		size_t size = text_decode(symbol, left, &code);
		if (code == '/')
			at = scan_blanks(scan, at);
		if (scan->glyphs[at] != glyph_of(code))
			return 0;
		at++;
		if (code == '/')
			at = scan_blanks(scan, at);
		symbol += size;
		left -= size;
	}
	return at;
}

/* A unit ends at the end of its word; only after feet the inches may follow at once. */
static bool may_end(const struct scan *scan, size_t at, const struct unit *unit)
{
	char next = scan->glyphs[at];
	if (scan->glyphs[scan_blanks(scan, at)] == '/')
		return false;
	if (next == '\0' || next == ' ')
		return true;
	return is_foot(unit) && (scan_is_digit(scan, at) || scan_is_vulgar(scan, at) || next == '-');
}

/* Behind the word at `at`; a slash with blanks around it does not end a word. */
static size_t behind_word(const struct scan *scan, size_t at)
{
	for (;;) {
		size_t next = scan_blanks(scan, at);
		if (scan->glyphs[next] == '/')
			at = scan_blanks(scan, next + 1);
		else if (scan->glyphs[next] == '\0' || next > at)
			return at;
		else
			at++;
	}
}

/* False for most symbols, by what they begin with; other letters than ASCII's are glyphs of their own. */
static bool may_stand(const struct scan *scan, size_t at, const char *symbol)
{
	if (symbol[0] & 0x80)
		return scan->glyphs[at] < ' ';
	if (symbol[0] != scan->glyphs[at])
		return false;
	return symbol[1] == '\0' || symbol[1] == '/' || (symbol[1] & 0x80) || symbol[1] == scan->glyphs[at + 1];
}

const struct unit *scan_unit(const struct scan *scan, size_t at, size_t *end)
{
	const struct unit *found = NULL;
	*end = at;
	for (size_t i = 0; i < unit_count; i++) {
		if (!may_stand(scan, at, unit_table[i].symbol))
			continue;
		size_t behind = behind_symbol(scan, at, unit_table[i].symbol);
		if (behind > *end && may_end(scan, behind, &unit_table[i])) {
			found = &unit_table[i];
			*end = behind;
		}
	}
	if (!found)
		*end = behind_word(scan, at);
	return found;
}
