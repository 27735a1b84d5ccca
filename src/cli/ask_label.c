/* Answers as people read them off labels or say them: "DC 24V", "9,6 W/mtr", "48 W on 5 m", "aluminum
 * profile". What can be read in one way only becomes what a job file would say, and the interview shows it;
 * all else is left to the reader's own words. Job files themselves stay strict (docs/input.md). */
#include "cli/ask.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* A quantity of the label. A number without a unit is BARE. */
enum sort { VOLTS, AMPS, WATTS, WATTS_PER_LENGTH, LENGTH, WARMTH, BARE };

static const struct unit_word { const char *word, *unit; enum sort sort; } unit_words[] = {
	{ "v", "V", VOLTS }, { "vdc", "V", VOLTS }, { "volt", "V", VOLTS }, { "volts", "V", VOLTS },
	{ "a", "A", AMPS }, { "amp", "A", AMPS }, { "amps", "A", AMPS }, { "ampere", "A", AMPS },
	{ "amperes", "A", AMPS }, { "ma", "mA", AMPS },
	{ "w", "W", WATTS }, { "watt", "W", WATTS }, { "watts", "W", WATTS },
	{ "mm", "mm", LENGTH }, { "millimetre", "mm", LENGTH }, { "millimetres", "mm", LENGTH },
	{ "millimeter", "mm", LENGTH }, { "millimeters", "mm", LENGTH },
	{ "cm", "cm", LENGTH }, { "centimetre", "cm", LENGTH }, { "centimetres", "cm", LENGTH },
	{ "centimeter", "cm", LENGTH }, { "centimeters", "cm", LENGTH },
	{ "m", "m", LENGTH }, { "mtr", "m", LENGTH }, { "mtrs", "m", LENGTH }, { "metre", "m", LENGTH },
	{ "metres", "m", LENGTH }, { "meter", "m", LENGTH }, { "meters", "m", LENGTH },
	{ "in", "in", LENGTH }, { "inch", "in", LENGTH }, { "inches", "in", LENGTH }, { "\"", "in", LENGTH },
	{ "ft", "ft", LENGTH }, { "foot", "ft", LENGTH }, { "feet", "ft", LENGTH }, { "'", "ft", LENGTH },
	{ "c", "C", WARMTH }, { "celsius", "C", WARMTH }, { "f", "F", WARMTH }, { "fahrenheit", "F", WARMTH },
};

/* What may stand around a quantity without a change to what it says. */
static const char *const idle_words[] = {
	"dc", "max", "maximum", "up", "to", "led", "strip", "tape", "reel", "roll", "full", "output", "about",
	"approx", "each", "all", "both", "long", "the", "it", "is", "says", "label", "power", "voltage",
	"current", "deg", "degrees", "on", "for", "at", "a", "of",
};

/* A number of watts on so many metres, or at so many volts. */
static const char *const joining_words[] = { "on", "for", "at" };

#define MOST_FOUND 6

struct found { enum sort sort; char *number; const char *unit; };

struct label {
	struct arena *arena;
	const char *at;              /* what is still to be read, in small letters */
	bool comma;                  /* a decimal comma is one */
	bool joined;                 /* two quantities are said to belong together */
	struct found found[MOST_FOUND];
	size_t count;
};

/* In small letters; signs for direct current and degrees as words, "per" as a stroke without blanks. */
static const char *simplified(struct arena *arena, const char *text)
{
	static const struct { const char *from, *to; } signs[] = {
		{ "\xE2\x8E\x93", " dc " }, { "\xC2\xB0", " deg " }, { "degrees", " deg " },
		{ " per ", "/" }, { " / ", "/" }, { " /", "/" }, { "/ ", "/" },
		{ "=", " " }, { "(", " " }, { ")", " " }, { ":", " " }, { ";", " " },
		{ "@", " at " }, { "\xE2\x80\xB2", "'" }, { "\xE2\x80\xB3", "\"" }, { "''", "\"" },
	};
	struct buf out;
	buf_init(&out, arena);
	const size_t sign_count = sizeof(signs) / sizeof(signs[0]);
	while (*text != '\0') {
		size_t i = 0;
		while (i < sign_count && strncmp(text, signs[i].from, strlen(signs[i].from)) != 0)
			i++;
		if (i < sign_count) {
			buf_add(&out, signs[i].to);
			text += strlen(signs[i].from);
		} else {
			buf_add_char(&out, ask_small(*text));
			text++;
		}
	}
	return out.data;
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static size_t digits(const char *text)
{
	return strspn(text, "0123456789");
}

static size_t letters(const char *text)
{
	return *text == '"' || *text == '\'' ? 1 : strspn(text, "abcdefghijklmnopqrstuvwxyz");
}

static bool is_among(const char *const *words, size_t count, const char *word, size_t length)
{
	for (size_t i = 0; i < count; i++)
		if (strlen(words[i]) == length && strncmp(words[i], word, length) == 0)
			return true;
	return false;
}

static const struct unit_word *find_unit(const char *word, size_t length)
{
	for (size_t i = 0; i < sizeof(unit_words) / sizeof(unit_words[0]); i++)
		if (strlen(unit_words[i].word) == length && strncmp(unit_words[i].word, word, length) == 0)
			return &unit_words[i];
	return NULL;
}

/* "33", "9.6", "9,6" (not 1,850, which is one or two thousand), "33 1/2". NULL: none, or not only one. */
static char *read_number(struct label *label, bool *fraction)
{
	const char *text = label->at;
	size_t length = digits(text), more;
	if ((text[length] == '.' || text[length] == ',') && is_digit(text[length + 1])) {
		more = digits(text + length + 1);
		if (text[length] == ',' && (!label->comma || more > 2))
			return NULL;
		length += 1 + more;
	}
	*fraction = false;
	if ((text[length] == ' ' || text[length] == '-') && (more = digits(text + length + 1)) > 0 &&
	    text[length + 1 + more] == '/' && is_digit(text[length + 2 + more])) {
		length += 2 + more;
		length += digits(text + length);
		*fraction = true;
	}
	char *number = arena_strndup(label->arena, text, length), *comma = strchr(number, ',');
	if (comma != NULL)
		*comma = '.';
	label->at += length;
	return number;
}

/* What stands behind a stroke: "/m" makes watts those of a metre, "/5m" shares them out, "/roll" is idle. */
static bool read_stroke(struct label *label, struct found *found)
{
	size_t length = letters(++label->at);
	const struct unit_word *unit = find_unit(label->at, length);
	if (is_digit(*label->at)) {
		label->joined = true;
		return true;
	}
	if (unit != NULL && unit->sort == LENGTH && found->sort == WATTS) {
		found->sort = WATTS_PER_LENGTH;
		found->unit = arena_printf(label->arena, "%s/%s", found->unit, unit->unit);
	} else if (!is_among(idle_words, sizeof(idle_words) / sizeof(idle_words[0]), label->at, length)) {
		return false;
	}
	label->at += length;
	return true;
}

static bool read_quantity(struct label *label)
{
	bool fraction;
	struct found *found = &label->found[label->count++];
	char *number = read_number(label, &fraction);
	if (number == NULL)
		return false;
	*found = (struct found){ BARE, number, "" };
	const char *word = label->at + strspn(label->at, " ");
	if (strncmp(word, "deg ", 4) == 0)
		word += 4 + strspn(word + 4, " ");
	const struct unit_word *unit = find_unit(word, letters(word));
	if (unit != NULL) {
		found->sort = unit->sort;
		found->unit = unit->unit;
		label->at = word + letters(word);
	}
	if ((fraction && found->sort != LENGTH) || is_digit(*label->at))
		return false;
	return *label->at == '/' ? read_stroke(label, found) : true;
}

static bool read_word(struct label *label)
{
	size_t length = letters(label->at);
	if (length == 0 || !is_among(idle_words, sizeof(idle_words) / sizeof(idle_words[0]), label->at, length))
		return false;
	if (is_among(joining_words, sizeof(joining_words) / sizeof(joining_words[0]), label->at, length))
		label->joined = true;
	label->at += length;
	label->at += *label->at == '.';
	return true;
}

/* All of it, or false. */
static bool read_label(struct label *label)
{
	for (;;) {
		label->at += strspn(label->at, " \t,");
		label->at += *label->at == '.' && !is_digit(label->at[1]);
		if (*label->at == '\0')
			return label->count > 0;
		if (is_digit(*label->at) ? label->count == MOST_FOUND || !read_quantity(label) : !read_word(label))
			return false;
	}
}

/* A length in SI, NAN where it is none or holds a fraction. */
static double metres(const struct found *found)
{
	static const struct { const char *unit; double metres; } units[] = {
		{ "m", 1 }, { "cm", 0.01 }, { "mm", 0.001 }, { "in", 0.0254 }, { "ft", 0.3048 },
	};
	for (size_t i = 0; strchr(found->number, '/') == NULL && i < sizeof(units) / sizeof(units[0]); i++)
		if (strcmp(units[i].unit, found->unit) == 0)
			return units[i].metres * strtod(found->number, NULL);
	return NAN;
}

/* Once more, or in another unit: "5m/16.4ft" is rounded. */
static bool says_the_same(const struct found *a, const struct found *b)
{
	return (strcmp(a->number, b->number) == 0 && strcmp(a->unit, b->unit) == 0) ||
	       fabs(metres(a) - metres(b)) <= 0.01 * metres(a);
}

/* The only one of its sort, or NULL; two that say the same are one. */
static const struct found *only(const struct label *label, enum sort sort)
{
	const struct found *one = NULL;
	for (size_t i = 0; i < label->count; i++) {
		const struct found *next = &label->found[i];
		if (next->sort != sort)
			continue;
		if (one != NULL && !says_the_same(one, next))
			return NULL;
		one = one != NULL ? one : next;
	}
	return one;
}

static bool has(const struct label *label, enum sort sort)
{
	for (size_t i = 0; i < label->count; i++)
		if (label->found[i].sort == sort)
			return true;
	return false;
}

/* "48 W on 5 m", "36 W at 12 V": the first of two over the second. */
static const char *quotient(const struct label *label, enum sort below, const char *unit)
{
	const struct found *watts = only(label, WATTS), *under = only(label, below);
	if (!label->joined || label->count != 2 || watts == NULL || under == NULL)
		return NULL;
	double by = strtod(under->number, NULL);
	if (!(by > 0) || strchr(under->number, '/') != NULL)
		return NULL;
	return arena_printf(label->arena, "%.6g %s%s%s", strtod(watts->number, NULL) / by, unit,
	                    below == LENGTH ? "/" : "", below == LENGTH ? under->unit : "");
}

static enum sort wanted_sort(const struct question *q)
{
	static const struct { const char *unit; enum sort sort; } sorts[] = {
		{ " V", VOLTS }, { " A", AMPS }, { " W/m", WATTS_PER_LENGTH }, { " C", WARMTH },
	};
	for (size_t i = 0; q->unit != NULL && i < sizeof(sorts) / sizeof(sorts[0]); i++)
		if (strcmp(q->unit, sorts[i].unit) == 0)
			return sorts[i].sort;
	return LENGTH;
}

const char *ask_from_label(const struct interview *talk, const struct question *q, const char *text)
{
	struct label label = { .arena = talk->arena, .at = simplified(talk->arena, text),
	                       .comma = q->form == ASK_VALUE };
	enum sort sort = wanted_sort(q);
	if (!read_label(&label) || (label.count > 1 && has(&label, BARE)))
		return NULL;
	const struct found *one = only(&label, sort), *two = &label.found[1];
	if (one != NULL)
		return arena_printf(talk->arena, "%s %s", one->number, one->unit);
	if (sort == LENGTH && label.count == 2 && strcmp(label.found[0].unit, "ft") == 0 &&
	    strcmp(two->unit, "in") == 0)
		return arena_printf(talk->arena, "%s ft %s in", label.found[0].number, two->number);
	if (label.count == 1 && label.found[0].sort == BARE)
		return arena_printf(talk->arena, "%s%s", label.found[0].number,
		                    q->unit != NULL ? q->unit : ask_inches(talk) ? " in" : " mm");
	if (sort == WATTS_PER_LENGTH)
		return quotient(&label, LENGTH, "W");
	return sort == AMPS ? quotient(&label, VOLTS, "A") : NULL;
}

const char *ask_from_words(const struct interview *talk, const struct question *q, const char *text)
{
	const char *means = NULL;
	struct buf line;
	buf_init(&line, talk->arena);
	buf_add_char(&line, ' ');
	for (; *text != '\0'; text++) {
		if (strchr(",.;!-", *text) != NULL)
			buf_add_char(&line, ' ');
		else
			buf_add_char(&line, ask_small(*text));
	}
	buf_add_char(&line, ' ');
	for (const struct ask_word *word = q->said; word != NULL && word->said != NULL; word++) {
		const char *phrase = arena_printf(talk->arena, " %s ", word->said);
		char *at = strstr(line.data, phrase);
		if (at == NULL)
			continue;
		memset(at + 1, '.', strlen(word->said));         /* it is not to be found in a shorter one */
		if (word->means == NULL || (means != NULL && strcmp(means, word->means) != 0))
			return NULL;
		means = word->means;
	}
	return means;
}

const char *ask_from_count(const struct interview *talk, const char *text)
{
	static const char *const numbers[] = { "one", "two", "three", "four", "five", "six", "seven", "eight",
	                                       "nine", "ten", "eleven", "twelve" };
	static const char *const things[] = { "bay", "bays", "cabinet", "cabinets", "cupboard", "cupboards",
	                                      "unit", "units", "opening", "openings", "door", "doors" };
	const size_t thing_count = sizeof(things) / sizeof(things[0]);
	const char *line = simplified(talk->arena, text);
	size_t number = digits(line), word = number > 0 ? number : letters(line);
	const char *rest = line + word + strspn(line + word, " ");
	if (word == 0 || (*rest != '\0' && !is_among(things, thing_count, rest, strlen(rest))))
		return NULL;
	if (number > 0)
		return arena_strndup(talk->arena, line, number);
	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++)
		if (strlen(numbers[i]) == word && strncmp(line, numbers[i], word) == 0)
			return arena_printf(talk->arena, "%zu", i + 1);
	return NULL;
}

bool ask_means_another(const struct question *q, const char *line)
{
	const struct ask_word *word = q->said;
	while (word->said != NULL && (word->means != NULL || strcasecmp(word->said, line) != 0))
		word++;
	return word->said != NULL;
}

bool ask_is_unknown(const char *line)
{
	static const char *const words[] = { "don't know", "dont know", "don\xE2\x80\x99t know", "unknown",
	                                     "not known", "no idea", "not sure", "unsure", "dunno",
	                                     "i don't know", "don't know yet", "no clue" };
	for (size_t i = 0; i < sizeof(words) / sizeof(words[0]); i++)
		if (strcasecmp(words[i], line) == 0)
			return true;
	return false;
}
