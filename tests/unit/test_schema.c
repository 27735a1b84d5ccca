/* The patterns of the JSON Schema against the reader itself: what one takes, the other takes. Patterns are
 * POSIX extended expressions once \uXXXX and \s are written out, so the C library can match them. */
#include "load_support.h"

#include "farend.h"
#include "reference/reference.h"
#include "report/schema.h"

#include <jansson.h>
#include <regex.h>

struct world {
	struct arena *arena;
	regex_t regex;
};

static void add_character(struct buf *out, unsigned code)
{
	if (code < 0x80) {
		buf_add_char(out, (char)code);
		return;
	}
	if (code >= 0x800)
		buf_add_char(out, (char)(0xE0 | code >> 12));
	buf_add_char(out, (char)(code >= 0x800 ? 0x80 | (code >> 6 & 0x3F) : 0xC0 | code >> 6));
	buf_add_char(out, (char)(0x80 | (code & 0x3F)));
}

/* The character at *pattern, which is moved behind it. */
static unsigned next_character(const char **pattern)
{
	char digits[5] = "";
	if (**pattern != '\\')
		return (unsigned char)*(*pattern)++;
	assert_int_equal((*pattern)[1], 'u');
	memcpy(digits, *pattern + 2, 4);
	*pattern += 6;
	return (unsigned)strtoul(digits, NULL, 16);
}

/* [...] as the characters below 128 in brackets and every other one of its own, because the brackets of
 * the C locale hold bytes. Returns the ']'. */
static const char *add_class(struct buf *out, const char *pattern)
{
	struct buf others;
	buf_init(&others, out->arena);
	buf_add(out, "([");
	while (*pattern != ']') {
		unsigned from = next_character(&pattern), to = from;
		if (from >= 0x80 && pattern[0] == '-' && pattern[1] != ']') {
			pattern++;
			to = next_character(&pattern);
		}
		for (; from <= to; from++) {
			buf_add(from < 0x80 ? out : &others, from < 0x80 ? "" : "|");
			add_character(from < 0x80 ? out : &others, from);
		}
	}
	buf_add_char(out, ']');
	if (out->data[out->length - 2] == '[' && others.length > 0) {
		out->length -= 2;
		buf_add(out, others.data + 1);
	} else {
		buf_add(out, others.data);
	}
	buf_add_char(out, ')');
	return pattern;
}

/* What ECMA 262 counts as blank (12.2 and 12.3). */
static const char blanks[] = " \t\n\v\f\r\\u00A0\\u1680\\u2000-\\u200A\\u202F\\u205F\\u3000\\uFEFF]";

static void compile(struct world *w, const char *pattern)
{
	struct buf out;
	buf_init(&out, w->arena);
	for (; *pattern; pattern++) {
		if (*pattern == '[') {
			pattern = add_class(&out, pattern + 1);
		} else if (pattern[0] == '\\' && pattern[1] == 's') {
			add_class(&out, blanks);
			pattern++;
		} else if (*pattern == '\\') {
			add_character(&out, next_character(&pattern));
			pattern--;
		} else {
			buf_add_char(&out, *pattern);
		}
	}
	assert_int_equal(regcomp(&w->regex, out.data, REG_EXTENDED | REG_NOSUB), 0);
}

static bool matches(const struct world *w, const char *text)
{
	return regexec(&w->regex, text, 0, NULL, 0) == 0;
}

static int begin(void **state)
{
	struct world *w = calloc(1, sizeof *w);
	*state = w;
	if (!w || !(w->arena = arena_new()))
		return -1;
	return 0;
}

static int end(void **state)
{
	struct world *w = *state;
	arena_free(w->arena);
	free(w);
	return 0;
}

static const char *const numbers[] = {
	"24", "0", "007", "24.", ".5", "0.75", "1e3", "1.5E-2", "2e+1", "+3", "-3", "\u22123", "3,5", "1,850",
	"1 850", "1.2.3", ".", "", "e3", "0x10", "inf", "nan", "1/2", "\u00BD", "3 1/2", "3-1/2", "3\u00BD",
	"3 \u00BE", "3 5/4", "3 1/0", "2.5 1/2", "1\u20442", "--3", "3e", "a", "1/", "1e999", "1e2 1/2",
};

/* Faults that lie in a number's size: the pattern may take those texts. */
static bool is_about_size(enum quantity_fault fault)
{
	return fault == QUANTITY_TOO_LARGE || fault == QUANTITY_FRACTION;
}

static void compare(const struct world *w, const char *text, enum dim dim, size_t *good)
{
	const enum dim dims[] = { dim, DIM__END };
	struct quantity q = quantity_parse(w->arena, text, dims);
	bool taken = matches(w, text);
	*good += q.fault == QUANTITY_OK;
	if (taken == (q.fault == QUANTITY_OK) || (taken && is_about_size(q.fault)))
		return;
	print_error("'%s' for %s: the reader says %d, the pattern %d\n", text, dim_words(dim), q.fault, taken);
	fail();
}

static void patterns_take_what_the_reader_takes(void **state)
{
	static const char *const gaps[] = { "", " ", "  ", "\t", "\u00A0", "\u2009", "-" };
	struct world *w = *state;
	for (enum dim dim = 0; dim < DIM__END; dim++) {
		size_t good = 0;
		compile(w, schema_quantity_pattern(w->arena, dim, true));
		for (size_t n = 0; n < sizeof numbers / sizeof *numbers; n++) {
			compare(w, numbers[n], dim, &good);
			for (size_t g = 0; g < sizeof gaps / sizeof *gaps; g++)
				for (size_t u = 0; u < unit_count; u++)
					compare(w, arena_printf(w->arena, "%s%s%s", numbers[n], gaps[g],
					                        unit_table[u].symbol), dim, &good);
		}
		assert_true(good > 5);
		assert_false(matches(w, "24 volts"));
		regfree(&w->regex);
	}
}

static void feet_and_inches_too(void **state)
{
	static const char *const gaps[] = { "", " ", "-", " - ", "\u00A0" };
	static const char *const feet[] = { "ft", "'", "\u2032", "\u2019", " ft", "m" };
	static const char *const inches[] = { "in", "\"", "\u2033", " in", "", "mm" };
	struct world *w = *state;
	size_t good = 0;
	compile(w, schema_quantity_pattern(w->arena, DIM_LENGTH, false));
	for (size_t n = 0; n < sizeof numbers / sizeof *numbers; n++)
		for (size_t f = 0; f < sizeof feet / sizeof *feet; f++)
			for (size_t g = 0; g < sizeof gaps / sizeof *gaps; g++)
				for (size_t i = 0; i < sizeof inches / sizeof *inches; i++) {
					if (!*gaps[g] && numbers[n][0] == '.')   /* 6ft.5in: the pattern is not that fussy */
						continue;
					compare(w, arena_printf(w->arena, "6%s%s%s%s", feet[f], gaps[g], numbers[n],
					                        inches[i]), DIM_LENGTH, &good);
				}
	assert_true(good > 100);
	regfree(&w->regex);
}

/* Signs, slashes in units, the many ways to write ohm, degree and micro. */
static void characters_that_stand_for_others(void **state)
{
	static const struct { enum dim dim; const char *text; bool good; } rows[] = {
		{ DIM_OHM, "40 m\u2126", true },        { DIM_OHM, "40 m\u03A9", true },
		{ DIM_LENGTH, "70 \u03BCm", true },     { DIM_LENGTH, "70 \u00B5m", true },
		{ DIM_WATT_PER_M, "9.6 W / m", true },  { DIM_WATT_PER_M, "9.6 W\u2044m", true },
		{ DIM_WATT_PER_M, "9.6 W/mm", false },  { DIM_WATT_PER_M, "9.6 W", false },
		{ DIM_AREA, "0.75 mm\u00B2", true },    { DIM_AREA, "0.75 mm", false },
		{ DIM_CELSIUS, "30 \u00B0C", true },    { DIM_CELSIUS, "-10 C", false },
		{ DIM_VOLT, "24 V +- 2 %", true },      { DIM_VOLT, "24 V +/- 0.5 V", true },
		{ DIM_VOLT, "24 V\u00B12%", true },     { DIM_VOLT, "24 V +- 2 A", false },
		{ DIM_VOLT, "24 V +- 2", false },       { DIM_VOLT, "24 V 2 %", false },
		{ DIM_LENGTH, "2 ft 6 in +- 1/4 in", true }, { DIM_RATIO, "87 % +- 3 %", true },
	};
	struct world *w = *state;
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		compile(w, schema_quantity_pattern(w->arena, rows[i].dim, false));
		if (matches(w, rows[i].text) != rows[i].good)
			fail_msg("'%s' should be %s", rows[i].text, rows[i].good ? "taken" : "refused");
		regfree(&w->regex);
	}
}

static void sizes_are_those_of_the_table(void **state)
{
	static const char *const texts[] = {
		"0.75", ".75", "0.750", "00.75", "0.7", "0.8", "75", "1", "1.0", "1.", "1.00", "10", "18", "18.0",
		"17", "24", "0.14", "6", "60", "0", "",
	};
	struct world *w = *state;
	for (int gauge = 0; gauge < 2; gauge++) {
		const enum dim dim = gauge ? DIM_GAUGE : DIM_AREA, dims[] = { dim, DIM__END };
		compile(w, schema_size_pattern(w->arena, dim));
		for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
			const char *text = arena_printf(w->arena, "%s %s", texts[i], gauge ? "AWG" : "mm2");
			struct quantity q = quantity_parse(w->arena, text, dims);
			size_t row = gauge ? wire_size_by_gauge(q.value) : wire_size_by_area(q.value);
			if (matches(w, text) != (q.fault == QUANTITY_OK && row != WIRE_NONE))
				fail_msg("'%s'", text);
		}
		for (size_t i = 0; i < wire_size_count; i++)
			assert_int_equal(matches(w, wire_sizes[i].name), (wire_sizes[i].gauge != 0) == gauge);
		regfree(&w->regex);
	}
}

static void ranges_and_terminals(void **state)
{
	static const char *const good_ranges[] = { "12-24 V", "12 V - 24 V", "12 V\u201324V", "9.5-30 V" };
	static const char *const bad_ranges[] = { "12-24", "12 A - 24 V", "12-24 A", "-", "12 V -" };
	static const char *const good_ends[] = { "D1", "S1.out", "L1@1.2m", "L1@ 1 ft 3 in", "Netzger\u00E4t-1", "7" };
	static const char *const bad_ends[] = { "", "L1@", "L1@0.4", "L1@middle", "L1@-100 mm", ".start" };
	struct world *w = *state;
	compile(w, schema_range_pattern(w->arena, DIM_VOLT));
	for (size_t i = 0; i < sizeof good_ranges / sizeof *good_ranges; i++)
		assert_true(matches(w, good_ranges[i]));
	for (size_t i = 0; i < sizeof bad_ranges / sizeof *bad_ranges; i++)
		assert_false(matches(w, bad_ranges[i]));
	regfree(&w->regex);
	compile(w, schema_terminal_pattern(w->arena));
	for (size_t i = 0; i < sizeof good_ends / sizeof *good_ends; i++)
		assert_true(matches(w, good_ends[i]));
	for (size_t i = 0; i < sizeof bad_ends / sizeof *bad_ends; i++)
		assert_false(matches(w, bad_ends[i]));
	regfree(&w->regex);
}

/* Whether the only class of the pattern of names holds the character. */
static bool may_be_in_name(unsigned code)
{
	const char *class = strchr(schema_id_pattern, '[') + 1;
	while (*class != ']') {
		unsigned from = next_character(&class), to = from;
		if (class[0] == '-' && from != '-') {
			class++;
			to = next_character(&class);
		}
		if (code >= from && code <= to)
			return true;
	}
	return false;
}

/* An item is named with every sort of character; the reader and the pattern must agree on each. */
static void names_are_those_of_the_reader(void **state)
{
	struct world *w = *state;
	size_t good = 0, count = 0;
	for (unsigned code = 0x21; code < 0xFFFE; code += code < 0x100 ? 1 : code % 0x100 < 6 ? 1 : 41) {
		struct buf text;
		if ((code >= 0xD800 && code < 0xE000) || (code >= 0x7F && code < 0xA0) || code == '\\' || code == '"')
			continue;
		buf_init(&text, w->arena);
		buf_add(&text, "drivers:\n  \"a");
		add_character(&text, code);
		buf_add(&text, "\": {voltage: 24 V, power: 60 W}\n");
		struct job_reading r = read_text(text.data);
		bool taken = r.status == LOAD_OK;
		bool other = !taken && strcmp(r.diags.items[0].kind, "bad-id") != 0;
		done(&r);
		if (other)               /* no text can hold such a character, wherever it stands */
			continue;
		if (may_be_in_name(code) != taken)
			fail_msg("U+%04X: the reader %s it", code, taken ? "takes" : "refuses");
		good += taken;
		count++;
	}
	assert_true(good > 300 && count > good + 100);
	assert_non_null(strstr(schema_id_pattern, "]{1,64}$"));
}

static const json_t *at(const json_t *root, const char *first, const char *second, const char *third)
{
	const json_t *found = json_object_get(root, first);
	found = json_object_get(found, second);
	return third ? json_object_get(found, third) : found;
}

static void assert_rows(const json_t *root, const char *definition, struct attribute_table table, bool is_type)
{
	const json_t *properties = at(root, "definitions", definition, "properties");
	assert_non_null(properties);
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		const json_t *property = json_object_get(properties, row->key);
		if (is_type && (row->form == FORM_TYPE || row->form == FORM_TERMINAL)) {
			assert_null(property);
			continue;
		}
		assert_non_null(property);
		const char *about = json_string_value(json_object_get(property, "description"));
		assert_non_null(about);
		assert_int_equal(strncmp(about, row->about, strlen(row->about)), 0);
		assert_int_equal(json_object_get(property, "default") != NULL, !isnan(row->assumed));
	}
}

static void every_row_is_there(void **state)
{
	struct farend_text text;
	(void)state;
	assert_int_equal(farend_schema(&text), FAREND_OK);
	json_t *root = json_loadb(text.bytes, text.size, JSON_REJECT_DUPLICATES, NULL);
	assert_non_null(root);
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		const struct kind_words *words = &kind_words[kind];
		assert_non_null(at(root, "properties", words->group, NULL));
		assert_non_null(at(root, "properties", words->types, NULL));
		assert_rows(root, words->word, attributes_of(kind), false);
		assert_rows(root, words->word, attributes_shared, false);
		assert_rows(root, words->types, attributes_of(kind), true);
		assert_rows(root, words->types, attributes_shared, true);
	}
	assert_rows(root, "job", attributes_job, false);
	assert_rows(root, "limits", attributes_limits, false);
	assert_rows(root, "reel_test", attributes_reel_test, false);
	assert_rows(root, "piece_test", attributes_piece_test, false);
	json_decref(root);
	farend_free_text(&text);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test_setup_teardown(patterns_take_what_the_reader_takes, begin, end),
		cmocka_unit_test_setup_teardown(feet_and_inches_too, begin, end),
		cmocka_unit_test_setup_teardown(characters_that_stand_for_others, begin, end),
		cmocka_unit_test_setup_teardown(sizes_are_those_of_the_table, begin, end),
		cmocka_unit_test_setup_teardown(ranges_and_terminals, begin, end),
		cmocka_unit_test_setup_teardown(names_are_those_of_the_reader, begin, end),
		cmocka_unit_test(every_row_is_there),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
