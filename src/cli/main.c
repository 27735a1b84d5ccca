/* farend: which command, with which options; the commands do the rest. */
#include "cli/commands.h"
#include "cli/help.h"
#include "cli/output.h"

#include <signal.h>
#include <string.h>

struct program {
	struct arena *arena;
	size_t count;
	char *const *words;
	enum status status;
};

static enum status usage_error(const struct invocation *in, const char *message)
{
	output_error(in->arena, "%s", message);
	const char *help = in->command != NULL
		? arena_printf(in->arena, "try 'farend help %s'", in->command->name)
		: "try 'farend help'";
	output_error(in->arena, "%s", help);
	return STATUS_USAGE;
}

/* The first option that the command does not take, as it was written, or NULL. */
static const struct option *foreign_option(const struct invocation *in)
{
	for (size_t id = 0; id < OPTION__END; id++) {
		if (in->line.given[id] != NULL && (in->command->options & OPTION_BIT(id)) == 0)
			return in->line.given[id];
	}
	return NULL;
}

static bool format_known(const struct invocation *in)
{
	const char *wanted = in->line.value[OPTION_FORMAT];
	const char *const *format = in->command->formats;
	while (wanted != NULL && *format != NULL && strcmp(*format, wanted) != 0)
		format++;
	return wanted == NULL || *format != NULL;
}

/* What is wrong with the call of a known command, or NULL. */
static const char *misuse(const struct invocation *in)
{
	const struct command *command = in->command;
	const struct option *foreign = foreign_option(in);
	if (in->line.wrong != NULL)
		return in->line.wrong;
	if (foreign != NULL)
		return arena_printf(in->arena, "'farend %s' has no option --%s", command->name,
		                    foreign->name);
	if (!format_known(in)) {
		return arena_printf(in->arena, "'farend %s' writes %s, not '%s'", command->name,
		                    words_listed(in->arena, command->formats),
		                    in->line.value[OPTION_FORMAT]);
	}
	if (in->line.operand_count < command->least)
		return arena_printf(in->arena, "'farend %s' needs %s", command->name, command->operands);
	if (in->line.operand_count > command->most) {
		return arena_printf(in->arena, "'%s' is one word too many for 'farend %s'",
		                    in->line.operands[command->most], command->name);
	}
	return NULL;
}

static enum status show_help(struct invocation *in)
{
	struct buf text;
	buf_init(&text, in->arena);
	help_text(&text, in->command);
	in->line.value[OPTION_OUTPUT] = NULL;
	return output_result(in, text.data, text.length, STATUS_OK);
}

static enum status no_command(struct invocation *in, bool nothing_typed)
{
	if (in->line.wrong != NULL)
		return usage_error(in, in->line.wrong);
	if (in->line.command != NULL) {
		const char *hint = command_hint(in->arena, in->line.command);
		return usage_error(in, arena_printf(in->arena, "there is no command '%s'%s%s",
		                                    in->line.command, hint != NULL ? "; " : "",
		                                    hint != NULL ? hint : ""));
	}
	if (!nothing_typed)
		return usage_error(in, "a command is missing");
	struct buf text;
	buf_init(&text, in->arena);
	help_short(&text);
	output_notes(text.data, text.length);
	return STATUS_USAGE;
}

static void run_program(void *data)
{
	struct program *program = data;
	struct invocation in = {
		.arena = program->arena,
		.line = options_read(program->arena, program->count, program->words),
	};
	in.command = command_find(in.line.command);
	if (in.line.value[OPTION_HELP] != NULL) {
		program->status = show_help(&in);
	} else if (in.line.value[OPTION_VERSION] != NULL) {
		in.line.value[OPTION_OUTPUT] = NULL;
		program->status = run_version(&in);
	} else if (in.command == NULL) {
		program->status = no_command(&in, program->count == 0);
	} else {
		const char *message = misuse(&in);
		program->status = message != NULL ? usage_error(&in, message) : in.command->run(&in);
	}
}

int main(int argc, char **argv)
{
	output_prepare();
	(void)signal(SIGPIPE, SIG_IGN);
	(void)signal(SIGXFSZ, SIG_IGN);
	struct program program = {
		.arena = arena_new(),
		.count = argc > 0 ? (size_t)argc - 1 : 0,
		.words = argv + (argc > 0),
	};
	if (program.arena == NULL || !arena_guard(program.arena, run_program, &program))
		program.status = output_no_memory();
	arena_free(program.arena);
	return (int)program.status;
}
