/* Completions for shells, written from the rows of commands and options, so that they cannot lag behind. */
#ifndef FAREND_CLI_COMPLETION_H
#define FAREND_CLI_COMPLETION_H

#include "cli/commands.h"

#include "base/buf.h"

/* A script for `shell`, one of the words that --completion takes. */
void completion_script(struct buf *out, const char *shell);

/* What may stand in a place of the command line. */
enum offer {
	OFFER_NOTHING,               /* a number, a name of one's own */
	OFFER_WORDS,
	OFFER_FILES,                 /* with `ending`, where it is not NULL */
	OFFER_EXPLAINED,             /* checks, mistakes in a file */
	OFFER_COMMANDS
};

struct place_offer {
	enum offer offer;
	const char *const *words;    /* OFFER_WORDS, NULL-ended */
	const char *ending;          /* "yaml" */
	const char *name;            /* as help shows it: "JOB.yaml" */
	bool repeats;                /* so does every word after it */
};

/* Behind an option that takes a value. */
struct place_offer completion_of_option(const struct command *command, const struct option *option);
/* Of the operand `index` of a command; nothing beyond the last. */
struct place_offer completion_of_operand(struct arena *arena, const struct command *command, size_t index);
/* Whether help lists the option for the command. */
bool completion_takes(const struct command *command, const struct option *option);

/* The words of an offer with blanks between them. */
void completion_add_words(struct buf *out, const struct place_offer *offer);

/* One line about an option; of another spelling, the line of the row before. */
const char *completion_about(const struct option *option);

/* Adds a text, with a backslash before every character that is one of `special`, and every single quote as
 * `quote`. */
void completion_add_quoted(struct buf *out, const char *text, const char *special, const char *quote);

void completion_bash(struct buf *out);
void completion_zsh(struct buf *out);
void completion_fish(struct buf *out);

#endif
