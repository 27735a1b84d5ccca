/* What was typed, to an answer. Quantities and texts are read as the job file's would be, through
 * farend_value(), so that an answer that is taken is one that the file can hold. */
#include "cli/ask.h"

#include "base/text.h"
#include "farend.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* An answer in the making. */
struct taking {
	struct interview *talk;
	const struct question *question;
	size_t bay;
	const char **parts;
	double *numbers;
	size_t count, capacity, number_capacity;
	bool assumed;
};

static bool explain(struct interview *talk, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Says why it is no answer; always false. */
static bool explain(struct interview *talk, const char *format, ...)
{
	va_list args;
	va_start(args, format);
	const char *text = arena_vprintf(talk->arena, format, args);
	va_end(args);
	struct buf safe;
	buf_init(&safe, talk->arena);
	text_add_safe(&safe, text, strlen(text));
	buf_add(&talk->out, "    ");
	text_add_wrapped(&talk->out, safe.data, 4, 4, 80);
	buf_add_char(&talk->out, '\n');
	return false;
}

static const char *trimmed(struct arena *arena, const char *text, size_t length)
{
	while (length > 0 && strchr(" \t\r", text[0]) != NULL) {
		text++;
		length--;
	}
	while (length > 0 && strchr(" \t\r", text[length - 1]) != NULL)
		length--;
	return arena_strndup(arena, text, length);
}

static void add_part(struct taking *taking, const char *part, double number)
{
	struct arena *arena = taking->talk->arena;
	taking->parts = arena_grow(arena, taking->parts, taking->count, &taking->capacity, sizeof(char *));
	taking->numbers = arena_grow(arena, taking->numbers, taking->count, &taking->number_capacity,
	                             sizeof(double));
	taking->parts[taking->count] = part;
	taking->numbers[taking->count++] = number;
}

/* The message without the attribute's name, then what was expected. */
static bool explain_wrong(struct taking *taking, const char *text, const struct farend_diagnostic *wrong)
{
	const char *attribute = taking->question->attribute, *message = wrong->message;
	size_t length = attribute != NULL ? strlen(attribute) : 0;
	if (length > 0 && strncmp(message, attribute, length) == 0 && message[length] == ':')
		message += length + 2;
	bool several = strcmp(wrong->kind, "bad-number") == 0 && strpbrk(text, "0123456789") != NULL;
	if (several && taking->question->example != NULL)
		explain(taking->talk, "'%s' cannot be read as one value", text);
	else
		explain(taking->talk, "%s", message);
	bool close = strcmp(wrong->kind, "out-of-range") == 0 || strcmp(wrong->kind, "decimal-comma") == 0;
	const char *example = taking->question->example, *expected = wrong->expected;
	if (example != NULL && !close)
		expected = example;
	if (expected != NULL)
		explain(taking->talk, "expected: %s", expected);
	if (wrong->hint != NULL)
		explain(taking->talk, "hint: %s", wrong->hint);
	if (attribute != NULL && taking->question->unit == NULL && taking->question->form != ASK_TEXT &&
	    taking->question->form != ASK_NAMES)
		explain(taking->talk, "a bare number is in %s here", ask_inches(taking->talk) ? "inches" : "mm");
	return false;
}

/* What was understood, where it is not what was typed. */
static void show_understood(struct interview *talk, const char *words)
{
	buf_addf(&talk->out, "    taken as %s\n", words);
}

/* What is no value of the job file may be one of a label. */
static const char *read_as_label(struct taking *taking, const char *text,
                                 const struct farend_diagnostic *wrong)
{
	const struct question *q = taking->question;
	bool quantity = q->form == ASK_VALUE || q->form == ASK_LIST;
	if (!quantity || strcmp(wrong->kind, "out-of-range") == 0)
		return NULL;
	return ask_from_label(taking->talk, q, text);
}

/* A number of millimetres so small that metres were meant; but a cut mark may be as near. */
static bool in_metres(const struct taking *taking, double number)
{
	const struct question *q = taking->question;
	return q->unit == NULL && q != &questions[ASK_CUT] && !ask_inches(taking->talk) && number < 0.03;
}

/* A bare number gets the unit that was asked for. */
static bool take_value(struct taking *taking, const char *group, const char *attribute, const char *text)
{
	struct interview *talk = taking->talk;
	const char *unit = taking->question->unit, *read = NULL;
	struct farend_value value;
	enum farend_status status = farend_value(group, attribute, text, &value);
	bool bare = status == FAREND_WRONG_INPUT && strcmp(value.wrong.kind, "no-unit") == 0;
	if (bare) {
		if (unit == NULL)
			unit = ask_inches(talk) ? " in" : " mm";
		text = arena_printf(talk->arena, "%s%s", text, unit);
		farend_free_value(&value);
		status = farend_value(group, attribute, text, &value);
	} else if (status == FAREND_WRONG_INPUT && (read = read_as_label(taking, text, &value.wrong)) != NULL) {
		text = read;
		farend_free_value(&value);
		status = farend_value(group, attribute, text, &value);
	}
	bool doubtful = status == FAREND_OK && bare && in_metres(taking, value.number);
	if (status == FAREND_OK && read != NULL)
		show_understood(talk, text);
	if (doubtful)
		explain(talk, "that would be %s; say %.6g m, or %s if it is meant", text, 1000 * value.number, text);
	else if (status == FAREND_OK)
		add_part(taking, text, value.number);
	else if (status == FAREND_WRONG_INPUT)
		explain_wrong(taking, text, &value.wrong);
	farend_free_value(&value);
	if (status == FAREND_NO_MEMORY)
		arena_exhausted(talk->arena);
	return status == FAREND_OK && !doubtful;
}

/* The end of the first of several answers in a line: a semicolon or a comma, but not one between two
 * digits, which is somebody's decimal point. */
static size_t first_of_list(const char *line)
{
	for (size_t i = 0; line[i] != '\0'; i++) {
		bool decimal = i > 0 && line[i - 1] >= '0' && line[i - 1] <= '9' && line[i + 1] >= '0' &&
		               line[i + 1] <= '9';
		if (line[i] == ';' || (line[i] == ',' && !decimal))
			return i;
	}
	return strlen(line);
}

static size_t named_count(const struct taking *taking)
{
	size_t count = 0;
	while (taking->question->named(taking->talk, taking->bay, count) != NULL)
		count++;
	return count;
}

static const char *names_listed(const struct taking *taking)
{
	struct buf names;
	const char *name;
	buf_init(&names, taking->talk->arena);
	for (size_t i = 0; (name = taking->question->named(taking->talk, taking->bay, i)) != NULL; i++)
		buf_addf(&names, "%s%s", i > 0 ? ", " : "", name);
	return names.data;
}

/* One stands for all. */
static bool fill_up(struct taking *taking)
{
	size_t wanted = named_count(taking);
	if (taking->count != 1 && taking->count != wanted) {
		return explain(taking->talk, "that is %zu lengths, expected: one for all, or %zu, one for each "
		               "of %s", taking->count, wanted, names_listed(taking));
	}
	while (taking->count < wanted)
		add_part(taking, taking->parts[0], taking->numbers[0]);
	return true;
}

static bool take_list(struct taking *taking, const char *line)
{
	const struct question *q = taking->question;
	for (;;) {
		size_t length = first_of_list(line);
		const char *part = trimmed(taking->talk->arena, line, length);
		if (*part == '\0')
			return explain(taking->talk, "there is nothing between two commas");
		if (!take_value(taking, q->group, q->attribute, part))
			return false;
		if (line[length] == '\0')
			return fill_up(taking);
		line += length + 1;
	}
}

/* "shelves" to "shelf", "tops" to "top": for names with a number behind them. */
static const char *singular(struct arena *arena, const char *word)
{
	size_t length = strlen(word);
	if (length > 4 && strcmp(word + length - 3, "ves") == 0)
		return arena_printf(arena, "%.*sf", (int)length - 3, word);
	if (length > 2 && word[length - 1] == 's' && word[length - 2] != 's')
		return arena_strndup(arena, word, length - 1);
	return word;
}

/* A place, or "3 shelves": shelf 1, shelf 2, shelf 3. */
static bool take_name(struct taking *taking, const char *part)
{
	struct interview *talk = taking->talk;
	size_t digits = strspn(part, "0123456789"), times = 0;
	for (size_t i = 0; i < digits && times < 1000; i++)
		times = 10 * times + (size_t)(part[i] - '0');
	const char *word = part + digits + strspn(part + digits, " ");
	if (digits > 0 && part[digits] == '\0')
		return explain(talk, "'%s' says how many, expected: where, such as top, rear", part);
	if (strcasecmp(part, "none") == 0 || strcasecmp(part, "no") == 0 || strcasecmp(part, "nothing") == 0)
		return explain(talk, "every bay that gets light has a strip; where one gets none, go back and "
		               "say fewer bays");
	const char *and = strstr(part, " and ");
	if (and != NULL)
		return explain(talk, "one strip or two? Two have a comma between: %.*s, %s. For one, take a name "
		               "without 'and'", (int)(and - part), part, and + 5);
	if (digits == 0 || part[digits] != ' ' || *word == '\0')
		return take_value(taking, "strips", "place", part);
	if (times == 0)
		return explain(talk, "'%s' would be none at all", part);
	for (size_t i = 1; i <= times && taking->count <= ASK_STRIPS; i++) {
		const char *name = times == 1 ? word
			: arena_printf(talk->arena, "%s %zu", singular(talk->arena, word), i);
		if (!take_value(taking, "strips", "place", name))
			return false;
	}
	return true;
}

static bool take_names(struct taking *taking, const char *line)
{
	for (;;) {
		size_t length = strcspn(line, ",;");
		const char *part = trimmed(taking->talk->arena, line, length);
		if (*part == '\0')
			return explain(taking->talk, "there is nothing between two commas");
		if (!take_name(taking, part))
			return false;
		if (taking->count > ASK_STRIPS)
			return explain(taking->talk, "expected: %d strips in a bay at most", ASK_STRIPS);
		if (line[length] == '\0')
			return true;
		line += length + 1;
	}
}

/* A word, or its beginning where no other begins like that. */
static bool take_word(struct taking *taking, const char *line)
{
	const char *const *words = taking->question->words, *found = NULL;
	size_t fits = 0;
	struct nearest nearest = nearest_to(line);
	for (size_t i = 0; words[i] != NULL; i++) {
		nearest_offer(&nearest, words[i]);
		if (strncasecmp(words[i], line, strlen(line)) == 0 && !ask_means_another(taking->question, line)) {
			found = words[i];
			fits++;
		}
	}
	if (fits != 1 && (found = ask_from_words(taking->talk, taking->question, line)) != NULL) {
		show_understood(taking->talk, found);
		fits = 1;
	}
	if (fits == 1) {
		add_part(taking, found, 0);
		return true;
	}
	const char *hint = nearest_hint(&nearest, taking->talk->arena);
	return explain(taking->talk, "'%s' is none of the answers; expected: %s%s%s", line,
	               words_listed(taking->talk->arena, words), hint != NULL ? "; " : "",
	               hint != NULL ? hint : "");
}

static bool take_number(struct taking *taking, const char *line)
{
	const char *count = ask_from_count(taking->talk, line);
	double number = count != NULL ? strtod(count, NULL) : 0;
	if (number > ASK_BAYS)
		return explain(taking->talk, "expected: 1 to %d; larger jobs are better made of several", ASK_BAYS);
	if (number < 1)
		return explain(taking->talk, "'%s' is no number of bays; expected: 1 to %d, such as 3", line, ASK_BAYS);
	add_part(taking, count, number);
	return true;
}

static bool take_file(struct taking *taking, const char *line)
{
	const char *refused = ask_refused_path(taking->talk->arena, line);
	if (refused != NULL)
		return explain(taking->talk, "%s", refused);
	return take_value(taking, "job", "note", line);
}

static bool take(struct taking *taking, const char *line)
{
	const struct question *q = taking->question;
	switch (q->form) {
	case ASK_NEW_FILE: return take_file(taking, line);
	case ASK_NUMBER:   return take_number(taking, line);
	case ASK_WORD:     return take_word(taking, line);
	case ASK_LIST:     return take_list(taking, line);
	case ASK_NAMES:    return take_names(taking, line);
	case ASK_TEXT:
	case ASK_VALUE:    return take_value(taking, q->group, q->attribute, line);
	}
	return false;
}

static const char *assumed(const struct interview *talk, const struct question *q)
{
	return q->usual_inches != NULL && ask_inches(talk) ? q->usual_inches : q->assumed;
}

/* The parts with commas between, or one where all are alike. */
static const char *joined(const struct taking *taking)
{
	struct buf text;
	bool alike = taking->question->form == ASK_LIST;
	buf_init(&text, taking->talk->arena);
	for (size_t i = 1; i < taking->count; i++)
		alike = alike && strcmp(taking->parts[i], taking->parts[0]) == 0;
	for (size_t i = 0; i < taking->count && (i == 0 || !alike); i++)
		buf_addf(&text, "%s%s", i > 0 ? ", " : "", taking->parts[i]);
	return text.data;
}

static const char *shown_unknown(const struct interview *talk, const struct question *q, const char *words)
{
	return q->worked_out ? "don't know" : arena_printf(talk->arena, "don't know: %s is assumed", words);
}

bool ask_take(struct interview *talk, enum ask_id id, size_t bay, const char *line)
{
	const struct question *q = &questions[id];
	struct answer *answer = &talk->answers[id][bay];
	struct taking taking = { .talk = talk, .question = q, .bay = bay };
	line = trimmed(talk->arena, line, strlen(line));
	if (*line == '\0')
		line = answer->typed != NULL ? answer->typed : q->usual != NULL ? q->usual : "unknown";
	taking.assumed = q->form != ASK_TEXT && ask_is_unknown(line);
	if (taking.assumed && q->assumed == NULL)
		return explain(talk, "this has to be known; Enter takes what stands in [ ]");
	if (!take(&taking, taking.assumed ? assumed(talk, q) : line))
		return false;
	const char *clash = q->clashes != NULL
		? q->clashes(talk, taking.parts, taking.numbers, taking.count) : NULL;
	if (clash != NULL)
		return explain(talk, "%s", clash);
	const char *words = joined(&taking);
	*answer = (struct answer){
		.given = true, .assumed = taking.assumed, .typed = taking.assumed ? "unknown" : words,
		.shown = taking.assumed ? shown_unknown(talk, q, words) : words,
		.parts = taking.parts, .numbers = taking.numbers, .count = taking.count,
	};
	return true;
}

const char *ask_proposal(const struct interview *talk, enum ask_id id, size_t bay)
{
	const struct question *q = &questions[id];
	const struct answer *answer = &talk->answers[id][bay];
	if (answer->typed != NULL)
		return answer->shown;
	return q->usual != NULL ? q->usual : shown_unknown(talk, q, assumed(talk, q));
}

void ask_review(struct interview *talk)
{
	size_t said = talk->out.length;
	for (enum ask_id id = 0; id < ASK__END; id++) {
		for (size_t bay = 0; bay < ASK_BAYS; bay++) {
			struct answer *answer = &talk->answers[id][bay];
			if (answer->given && ask_applies(talk, id, bay) && !ask_take(talk, id, bay, answer->typed))
				*answer = (struct answer){ .given = false };
		}
	}
	talk->out.length = said;
	talk->out.data[said] = '\0';
}
