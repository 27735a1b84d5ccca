/* The commands as data: one row each, plus its one function. */
#ifndef FAREND_CLI_COMMANDS_H
#define FAREND_CLI_COMMANDS_H

#include "cli/options.h"

/* Exit statuses. */
enum status {
	STATUS_OK = 0,
	STATUS_FINDING = 1,          /* a failing finding; the whole result is written */
	STATUS_USAGE = 2,            /* wrong usage; nothing was read */
	STATUS_INPUT = 3,            /* unreadable or wrong input; stdout stays empty */
	STATUS_SYSTEM = 4            /* disk full, no memory */
};

struct invocation {
	struct arena *arena;
	const struct command *command;
	struct command_line line;
};

struct command {
	const char *name;
	const char *operands;        /* as help shows them; "" for none */
	size_t least, most;          /* how many */
	const char *about;           /* one line */
	const char *more;            /* a paragraph for its own help */
	const char *example;         /* what to type */
	const char *const *formats;  /* for --format, the usual one first; NULL where it has none */
	unsigned options;            /* OPTION_BITs besides help and version */
	enum status (*run)(const struct invocation *in);
};

extern const struct command commands[];
extern const size_t command_count;

const struct command *command_find(const char *name);
/* "did you mean …?", or NULL */
const char *command_hint(struct arena *arena, const char *name);

enum status run_check(const struct invocation *in);
enum status run_size(const struct invocation *in);
enum status run_cut(const struct invocation *in);
enum status run_order(const struct invocation *in);
enum status run_report(const struct invocation *in);
enum status run_verify(const struct invocation *in);
enum status run_schedule(const struct invocation *in);
enum status run_explain(const struct invocation *in);
enum status run_new(const struct invocation *in);
enum status run_help(const struct invocation *in);
enum status run_version(const struct invocation *in);

#endif
