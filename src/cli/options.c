/* Reading the command line by the table of options. */
#include "cli/options.h"

#include "base/text.h"

#include <string.h>

static const char *const when_words[] = { "auto", "always", "never", NULL };
static const char *const shell_words[] = { "bash", "zsh", "fish", NULL };

const struct option options[] = {
	{ OPTION_HELP, 'h', "help", NULL, NULL, "show what a command does and takes" },
	{ OPTION_VERSION, 'V', "version", NULL, NULL, "show the version" },
	{ OPTION_OUTPUT, 'o', "output", "FILE", NULL, "write to FILE, whole or not at all" },
	{ OPTION_FORMAT, '\0', "format", "FORMAT", NULL, "how to write the result" },
	{ OPTION_STRICT, '\0', "strict", NULL, NULL, "cautions fail too (exit status 1)" },
	{ OPTION_COLOUR, '\0', "colour", "WHEN", when_words,
	  "auto (on a terminal), always or never" },
	{ OPTION_COLOUR, '\0', "color", "WHEN", when_words, NULL },
	{ OPTION_APPLY, '\0', "apply", "FILE", NULL,
	  "write a copy of the job with the proposals in it to FILE" },
	{ OPTION_OFFCUTS, '\0', "offcuts", "FILE", NULL,
	  "lengths to use up first: a CSV file with the columns strip_type and length" },
	{ OPTION_SPARE, '\0', "spare", "PERCENT", NULL, "cable to add to what is needed (10 unless you say)" },
	{ OPTION_NO_LISTS, '\0', "no-lists", NULL, NULL, "leave out the cutting list and the order list" },
	{ OPTION_LABELS, '\0', "labels", NULL, NULL, "a label for each end of every cable (html or csv)" },
	{ OPTION_BUILT, '\0', "built", "FILE", NULL, "take lengths as built from FILE: a CSV file" },
	{ OPTION_SWITCHES, '\0', "switches", "LIST", NULL, "one state of the switches, such as S1=off,S3=off" },
	{ OPTION_METER_GAIN, '\0', "meter-gain", "PERCENT", NULL,
	  "error that all readings share (0.5 unless you say)" },
	{ OPTION_METER_DIGIT, '\0', "meter-digit", "VOLTS", NULL,
	  "error of each voltage on its own (10 mV unless you say)" },
	{ OPTION_METER_DIGIT_AMPS, '\0', "meter-digit-amps", "AMPS", NULL,
	  "error of each current on its own (10 mA unless you say)" },
	{ OPTION_TOLERANCE, '\0', "tolerance", NULL, NULL,
	  "how sure it is: the spread when parts differ from their labels" },
	{ OPTION_SAMPLES, '\0', "samples", "NUMBER", NULL, "builds to draw for that (2000 unless you say)" },
	{ OPTION_SEED, '\0', "seed", "NUMBER", NULL, "other draws (1 unless you say); a seed always draws the same" },
	{ OPTION_SCHEMA, '\0', "schema", NULL, NULL, "instead: the JSON Schema of a job file, for editors" },
	{ OPTION_COMPLETION, '\0', "completion", "SHELL", shell_words,
	  "instead: completions for a shell, bash, zsh or fish" },
	{ OPTION_ASK, '\0', "ask", NULL, NULL, "ask questions on the terminal, and draw up the job from the answers" },
};
const size_t option_count = sizeof(options) / sizeof(options[0]);

struct reader {
	struct arena *arena;
	struct command_line *line;
	char *const *words;
	size_t count, at;            /* the next word */
};

static void mistake(struct reader *reader, const char *message)
{
	if (reader->line->wrong == NULL)
		reader->line->wrong = message;
}

static const struct option *option_by_letter(char letter)
{
	for (size_t i = 0; i < option_count; i++) {
		if (options[i].letter == letter)
			return &options[i];
	}
	return NULL;
}

static const struct option *option_by_name(const char *name, size_t length)
{
	for (size_t i = 0; i < option_count; i++) {
		if (strlen(options[i].name) == length && memcmp(options[i].name, name, length) == 0)
			return &options[i];
	}
	return NULL;
}

static bool word_allowed(const struct option *option, const char *value)
{
	for (const char *const *word = option->words; word != NULL && *word != NULL; word++) {
		if (strcmp(*word, value) == 0)
			return true;
	}
	return option->words == NULL;
}

static void set(struct reader *reader, const struct option *option, const char *value)
{
	if (!word_allowed(option, value)) {
		mistake(reader, arena_printf(reader->arena, "--%s takes %s, not '%s'", option->name,
		                             words_listed(reader->arena, option->words), value));
		return;
	}
	reader->line->value[option->id] = value;
	reader->line->given[option->id] = option;
}

/* The value of an option that takes one: what is attached to it, else the next word. */
static void set_with_value(struct reader *reader, const struct option *option, const char *attached)
{
	if (attached == NULL && reader->at < reader->count)
		attached = reader->words[reader->at++];
	if (attached == NULL || attached[0] == '\0') {
		mistake(reader, arena_printf(reader->arena, "--%s needs a %s", option->name, option->value));
		return;
	}
	set(reader, option, attached);
}

static void unknown_option(struct reader *reader, const char *word, size_t length)
{
	char *name = arena_strndup(reader->arena, word, length);
	struct nearest nearest = nearest_to(name);
	for (size_t i = 0; i < option_count; i++)
		nearest_offer(&nearest, arena_printf(reader->arena, "--%s", options[i].name));
	const char *hint = nearest_hint(&nearest, reader->arena);
	mistake(reader, arena_printf(reader->arena, "there is no option '%s'%s%s", name,
	                             hint != NULL ? "; " : "", hint != NULL ? hint : ""));
}

/* --name, --name=value or --name value */
static void read_long(struct reader *reader, const char *word)
{
	size_t length = strcspn(word + 2, "=");
	const struct option *option = option_by_name(word + 2, length);
	const char *attached = word[2 + length] == '=' ? word + 2 + length + 1 : NULL;
	if (option == NULL) {
		unknown_option(reader, word, 2 + length);
	} else if (option->value != NULL) {
		set_with_value(reader, option, attached);
	} else if (attached != NULL) {
		mistake(reader, arena_printf(reader->arena, "--%s takes no value", option->name));
	} else {
		set(reader, option, "");
	}
}

/* -o FILE, -oFILE, or several switches together. "-output" is more likely "--output" with a dash
 * lost than a file called "utput". */
static void read_short(struct reader *reader, const char *word)
{
	const struct option *meant = option_by_name(word + 1, strcspn(word + 1, "="));
	if (meant != NULL) {
		mistake(reader, arena_printf(reader->arena, "there is no option '%s'; did you mean '-%s'?",
		                             word, word));
		return;
	}
	for (const char *letter = word + 1; *letter != '\0'; letter++) {
		const struct option *option = option_by_letter(*letter);
		if (option == NULL) {
			unknown_option(reader, word, strlen(word));
			return;
		}
		if (option->value != NULL) {
			set_with_value(reader, option, letter[1] != '\0' ? letter + 1 : NULL);
			return;
		}
		set(reader, option, "");
	}
}

static void read_plain(struct reader *reader, const char *word)
{
	if (reader->line->command == NULL) {
		reader->line->command = word;
	} else {
		reader->line->operands[reader->line->operand_count++] = word;
	}
}

struct command_line options_read(struct arena *arena, size_t count, char *const *words)
{
	struct command_line line = { .operands = arena_array(arena, const char *, count) };
	struct reader reader = { .arena = arena, .line = &line, .words = words, .count = count };
	bool ended = false;
	while (reader.at < count) {
		const char *word = words[reader.at++];
		if (ended || word[0] != '-' || word[1] == '\0') {
			read_plain(&reader, word);
		} else if (strcmp(word, "--") == 0) {
			ended = true;
		} else if (word[1] == '-') {
			read_long(&reader, word);
		} else {
			read_short(&reader, word);
		}
	}
	return line;
}

const char *option_usage(struct arena *arena, const struct option *option)
{
	const char *gap = option->value != NULL ? " " : "";
	const char *value = option->value != NULL ? option->value : "";
	if (option->letter == '\0')
		return arena_printf(arena, "    --%s%s%s", option->name, gap, value);
	return arena_printf(arena, "-%c, --%s%s%s", option->letter, option->name, gap, value);
}

const char *words_listed(struct arena *arena, const char *const *words)
{
	const char *listed = words[0];
	for (size_t i = 1; words[i] != NULL; i++)
		listed = arena_printf(arena, "%s%s%s", listed, words[i + 1] != NULL ? ", " : " or ",
		                      words[i]);
	return listed;
}
