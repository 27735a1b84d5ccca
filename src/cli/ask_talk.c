/* The conversation. What is said goes to standard error, because standard output is for the job. Answers
 * come line by line; where they come from a file or a pipe they are repeated, so that what is said reads
 * as it would on a terminal. */
#include "cli/ask.h"

#include "base/text.h"
#include "cli/output.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#define WIDTH 80
#define LONGEST_LINE 4000        /* bytes of one answer */

/* A question to be answered now, and for which bay. */
struct step { enum ask_id id; size_t bay; };

#define MOST_STEPS (ASK__END * ASK_BAYS)

const struct answer *ask_get(const struct interview *talk, enum ask_id id, size_t bay)
{
	return &talk->answers[id][questions[id].per_bay && !ask_alike(talk) ? bay : 0];
}

bool ask_is(const struct interview *talk, enum ask_id id, const char *word)
{
	const struct answer *answer = &talk->answers[id][0];
	return answer->given && strcmp(answer->parts[0], word) == 0;
}

size_t ask_bays(const struct interview *talk)
{
	const struct answer *count = &talk->answers[ASK_COUNT][0];
	return count->given ? (size_t)count->numbers[0] : 1;
}

bool ask_inches(const struct interview *talk)
{
	return ask_is(talk, ASK_UNIT, "inches");
}

bool ask_alike(const struct interview *talk)
{
	return ask_bays(talk) == 1 || !ask_is(talk, ASK_ALIKE, "no");
}

size_t ask_strips(const struct interview *talk, size_t bay)
{
	return ask_get(talk, ASK_PLACES, bay)->count;
}

bool ask_bay_switch(const struct interview *talk)
{
	return ask_bays(talk) == 1 ? ask_is(talk, ASK_SWITCH, "yes") : ask_is(talk, ASK_SWITCHES, "each");
}

bool ask_any_switch(const struct interview *talk)
{
	return ask_bay_switch(talk) || (ask_bays(talk) > 1 && ask_is(talk, ASK_SWITCHES, "one"));
}

bool ask_applies(const struct interview *talk, enum ask_id id, size_t bay)
{
	const struct question *q = &questions[id];
	size_t bays = q->per_bay && !ask_alike(talk) ? ask_bays(talk) : 1;
	return bay < bays && (q->applies == NULL || q->applies(talk, bay));
}

/* Rows in order; where bays differ, neighbouring rows that are asked for each of them go bay by bay. */
static size_t list_steps(const struct interview *talk, struct step *steps)
{
	size_t count = 0, end;
	for (size_t first = 0; first < ASK__END; first = end) {
		end = first + 1;
		while (questions[first].per_bay && end < ASK__END && questions[end].per_bay)
			end++;
		for (size_t bay = 0; bay < ASK_BAYS; bay++)
			for (size_t id = first; id < end; id++)
				if (ask_applies(talk, (enum ask_id)id, bay))
					steps[count++] = (struct step){ (enum ask_id)id, bay };
	}
	return count;
}

void ask_say(struct interview *talk)
{
	output_notes(talk->out.data, talk->out.length);
	buf_clear(&talk->out);
}

static void add_wrapped(struct interview *talk, const char *text, size_t indent)
{
	struct buf safe;
	buf_init(&safe, talk->arena);
	text_add_safe(&safe, text, strlen(text));
	buf_add_repeat(&talk->out, ' ', indent);
	text_add_wrapped(&talk->out, safe.data, indent, indent, WIDTH);
	buf_add_char(&talk->out, '\n');
}

/* The next line without its end, NULL when there is no more. What is too long is cut and says so by
 * being too long. */
static const char *read_line(struct interview *talk)
{
	struct buf line;
	int c;
	buf_init(&line, talk->arena);
	while ((c = getc(stdin)) != EOF && c != '\n')
		if (line.length <= LONGEST_LINE)
			buf_add_char(&line, (char)c);
	if (c == EOF && line.length == 0)
		return NULL;
	if (!isatty(STDIN_FILENO)) {
		text_add_safe(&talk->out, line.data, line.length);
		buf_add_char(&talk->out, '\n');
	}
	if (strlen(line.data) == line.length && line.length <= LONGEST_LINE)
		return line.data;
	return "\xFF";                       /* no text: it is explained like any other that is none */
}

static bool is_word(const char *line, const char *word)
{
	line += strspn(line, " \t");
	size_t length = strcspn(line, " \t\r");
	return strlen(word) == length && strncasecmp(line, word, length) == 0 &&
	       line[length + strspn(line + length, " \t\r")] == '\0';
}

/* "3. In bay 2: Where do strips run? ..." */
static void add_question(struct interview *talk, struct step step, size_t number)
{
	const struct question *q = &questions[step.id];
	struct buf text;
	buf_init(&text, talk->arena);
	if (q->per_bay && !ask_alike(talk))
		buf_addf(&text, "Bay %zu: ", step.bay + 1);
	else if (q->per_bay && ask_bays(talk) > 1)
		buf_add(&text, "In each bay: ");
	if (text.length > 0)
		buf_add_char(&text, ask_small(q->text[0]));
	buf_add(&text, q->text + (text.length > 0));
	if (q->words != NULL)
		buf_addf(&text, " (%s)", words_listed(talk->arena, q->words));
	if (q->form == ASK_LIST && q->named(talk, step.bay, 1) != NULL) {
		buf_add(&text, " One length for all, or one for each, with commas: ");
		for (size_t i = 0; q->named(talk, step.bay, i) != NULL; i++)
			buf_addf(&text, "%s%s", i > 0 ? ", " : "", q->named(talk, step.bay, i));
	} else if (q->form == ASK_LIST && q->named == questions[ASK_LENGTHS].named) {
		buf_addf(&text, " (%s)", q->named(talk, step.bay, 0));
	}
	buf_addf(&talk->out, "\n%2zu. ", number);
	struct buf safe;
	buf_init(&safe, talk->arena);
	text_add_safe(&safe, text.data, text.length);
	text_add_wrapped(&talk->out, safe.data, 4, 4, WIDTH);
	buf_add_char(&talk->out, '\n');
}

static void add_prompt(struct interview *talk, const char *proposal)
{
	buf_add(&talk->out, "    [");
	text_add_safe(&talk->out, proposal, strlen(proposal));
	buf_add(&talk->out, "] > ");
}

static void add_help(struct interview *talk, const struct question *q)
{
	add_wrapped(talk, q->help, 4);
	if (q->assumed != NULL)
		add_wrapped(talk, "Not known yet? Say: don't know. Then a usual value is taken, and marked in "
		                  "the job for you to look up.", 4);
}

enum reply { REPLY_ANSWER, REPLY_BACK, REPLY_QUIT, REPLY_ENDED };

/* Asks one question until something can be done with the reply. */
static enum reply ask_one(struct interview *talk, struct step step, size_t number)
{
	add_question(talk, step, number);
	for (size_t refused = 0;; ) {
		add_prompt(talk, ask_proposal(talk, step.id, step.bay));
		ask_say(talk);
		const char *line = read_line(talk);
		if (line == NULL)
			return REPLY_ENDED;
		if (is_word(line, "quit"))
			return REPLY_QUIT;
		if (is_word(line, "back")) {
			if (step.id == ASK_PLACES)
				add_wrapped(talk, "Going back. (A strip at the back is called rear, or \"back wall\".)", 4);
			return REPLY_BACK;
		}
		bool help = is_word(line, "?") || is_word(line, "help");
		if (!help && ask_take(talk, step.id, step.bay, line))
			return REPLY_ANSWER;
		if (help || ++refused == 2)
			add_help(talk, &questions[step.id]);
	}
}

static struct answer *answer_at(struct interview *talk, struct step step)
{
	return &talk->answers[step.id][step.bay];
}

/* The first step without an answer. */
static size_t first_open(struct interview *talk, const struct step *steps, size_t count)
{
	size_t at = 0;
	while (at < count && answer_at(talk, steps[at])->given)
		at++;
	return at;
}

static const char *step_key(const struct interview *talk, struct step step)
{
	const struct question *q = &questions[step.id];
	bool numbered = q->per_bay && !ask_alike(talk);
	return numbered ? arena_printf(talk->arena, "Bay %zu: %s", step.bay + 1, q->key) : q->key;
}

static void add_answers(struct interview *talk, const struct step *steps, size_t count)
{
	const size_t column = 33;
	buf_add(&talk->out, "\nYour answers\n\n");
	for (size_t i = 0; i < count; i++) {
		struct buf safe;
		const char *shown = answer_at(talk, steps[i])->shown, *key = step_key(talk, steps[i]);
		buf_init(&safe, talk->arena);
		text_add_safe(&safe, shown, strlen(shown));
		buf_addf(&talk->out, "%3zu. %-*s", i + 1, (int)column - 5, key);
		text_add_wrapped(&talk->out, safe.data, column, column, WIDTH);
		buf_add_char(&talk->out, '\n');
	}
}

/* Shows the answers and opens those that are to be changed. REPLY_ANSWER: they stand. */
static enum reply confirm(struct interview *talk, const struct step *steps, size_t count, const char *enter)
{
	add_answers(talk, steps, count);
	buf_add_char(&talk->out, '\n');
	add_wrapped(talk, arena_printf(talk->arena, "%s; a number changes that answer; quit leaves and writes "
	                               "nothing.", enter), 0);
	for (;;) {
		buf_add(&talk->out, "    [all right] > ");
		ask_say(talk);
		const char *line = read_line(talk);
		if (line == NULL)
			return REPLY_ENDED;
		if (is_word(line, "quit"))
			return REPLY_QUIT;
		if (is_word(line, "") || is_word(line, "all right"))
			return REPLY_ANSWER;
		char *end;
		size_t number = is_word(line, "back") ? count : (size_t)strtoul(line, &end, 10);
		if (is_word(line, "back") || (number >= 1 && number <= count && is_word(end, ""))) {
			answer_at(talk, steps[number - 1])->given = false;
			return REPLY_BACK;
		}
		add_wrapped(talk, arena_printf(talk->arena, "expected: Enter, a number from 1 to %zu, or quit",
		                               count), 4);
	}
}

enum ask_end ask_talk(struct interview *talk, const char *enter)
{
	struct step *steps = arena_array(talk->arena, struct step, MOST_STEPS);
	enum reply reply;
	for (;;) {
		size_t count = list_steps(talk, steps), at = first_open(talk, steps, count);
		reply = at == count ? confirm(talk, steps, count, enter) : ask_one(talk, steps[at], at + 1);
		if (reply == REPLY_QUIT || reply == REPLY_ENDED)
			break;
		if (at == count && reply == REPLY_ANSWER)
			return ASK_DONE;
		if (at < count && reply == REPLY_BACK) {
			answer_at(talk, steps[at > 0 ? at - 1 : 0])->given = false;
			if (at == 0)
				add_wrapped(talk, "This is the first question.", 4);
		}
		if (reply == REPLY_ANSWER)
			ask_review(talk);
	}
	buf_add(&talk->out, reply == REPLY_QUIT ? "Nothing was written.\n"
	                                        : "\nThe answers ended too early. Nothing was written.\n");
	ask_say(talk);
	return reply == REPLY_QUIT ? ASK_QUIT : ASK_INPUT_ENDED;
}

void ask_greet(struct interview *talk)
{
	buf_add(&talk->out, "A few questions, and Farend draws up the job: driver, cables and all.\n"
	                    "Enter takes what stands in [ ]. At any time: ? explains the question, back goes\n"
	                    "to the one before, quit leaves and writes nothing.\n");
	if (talk->path != NULL && strcmp(talk->path, "-") != 0)
		add_wrapped(talk, arena_printf(talk->arena, "At the end the job is written to %s.", talk->path), 0);
	buf_add(&talk->out, "A file that has something in it is never overwritten.\n");
}
