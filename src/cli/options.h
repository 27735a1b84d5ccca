/* The command line as data. One row per option; the reader, the help texts and the nearest-name
 * hints all use the rows. */
#ifndef FAREND_CLI_OPTIONS_H
#define FAREND_CLI_OPTIONS_H

#include "base/arena.h"

enum option_id {
	OPTION_HELP,
	OPTION_VERSION,
	OPTION_OUTPUT,
	OPTION_FORMAT,
	OPTION_STRICT,
	OPTION_COLOUR,
	OPTION_APPLY,
	OPTION_OFFCUTS,
	OPTION_SPARE,
	OPTION_NO_LISTS,
	OPTION_LABELS,
	OPTION_BUILT,
	OPTION_SWITCHES,
	OPTION_METER_GAIN,
	OPTION_METER_DIGIT,
	OPTION_METER_DIGIT_AMPS,
	OPTION_SCHEMA,
	OPTION_COMPLETION,
	OPTION_ASK,
	OPTION_TOLERANCE,
	OPTION_SAMPLES,
	OPTION_SEED,
	OPTION__END
};

struct option {
	enum option_id id;
	char letter;                 /* '\0' where there is no short form */
	const char *name;
	const char *value;           /* what follows it, "FILE"; NULL for a plain switch */
	const char *const *words;    /* allowed values, NULL-ended; NULL: any, or up to the command */
	const char *about;           /* one line; NULL for another spelling of the row before */
};

extern const struct option options[];
extern const size_t option_count;

#define OPTION_BIT(id) (1u << (id))

struct command_line {
	const char *command;         /* NULL when there is none */
	const char **operands;       /* the words after it */
	size_t operand_count;
	const char *value[OPTION__END];          /* "" for a switch that is given, NULL when not given */
	const struct option *given[OPTION__END]; /* the spelling that was used */
	const char *wrong;           /* the first mistake, for people; NULL when there is none */
};

/* Options may stand anywhere; "--" ends them. The last of a repeated option counts. A mistake does
 * not stop the reading, so that a --help behind it is still seen. */
struct command_line options_read(struct arena *arena, size_t count, char *const *words);

/* "--format FORMAT" or "-o FILE, --output FILE" */
const char *option_usage(struct arena *arena, const struct option *option);

/* "a, b or c" */
const char *words_listed(struct arena *arena, const char *const *words);

#endif
