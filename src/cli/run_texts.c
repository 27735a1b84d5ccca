/* The commands that read no job: new, explain, help, version. */
#include "cli/ask.h"
#include "cli/commands.h"
#include "cli/completion.h"
#include "cli/help.h"
#include "cli/output.h"

#include <string.h>
#include <sys/stat.h>

/* A job that somebody has worked on is not replaced by the starter. */
static bool would_overwrite(const char *path)
{
	struct stat info;
	return path != NULL && strcmp(path, "-") != 0 && stat(path, &info) == 0 &&
	       S_ISREG(info.st_mode) && info.st_size > 0;
}

enum status run_new(const struct invocation *in)
{
	const char *path = in->line.value[OPTION_OUTPUT];
	if (would_overwrite(path)) {
		output_error(in->arena, "'%s' is there already and is left as it is; choose another name",
		             path);
		return STATUS_USAGE;
	}
	if (in->line.value[OPTION_ASK] != NULL)
		return run_ask(in);
	struct farend_text starter = farend_starter();
	return output_result(in, starter.bytes, starter.size, STATUS_OK);
}

static enum status run_schema(const struct invocation *in)
{
	struct farend_text text;
	enum status status = farend_schema(&text) == FAREND_OK
		? output_result(in, text.bytes, text.size, STATUS_OK) : output_no_memory();
	farend_free_text(&text);
	return status;
}

/* Whether a word stands beside an option that goes without one. */
static bool has_both(const struct invocation *in, enum option_id option)
{
	if (in->line.value[option] == NULL || in->line.operand_count == 0)
		return false;
	output_error(in->arena, "--%s stands alone, without '%s'", in->line.given[option]->name,
	             in->line.operands[0]);
	return true;
}

enum status run_explain(const struct invocation *in)
{
	if (has_both(in, OPTION_SCHEMA))
		return STATUS_USAGE;
	if (in->line.value[OPTION_SCHEMA] != NULL)
		return run_schema(in);
	const char *name = in->line.operand_count > 0 ? in->line.operands[0] : NULL;
	struct farend_style style = output_style(in);
	struct farend_text text;
	enum farend_status explained = farend_explain(name, &style, &text);
	enum status status;
	if (explained == FAREND_OK) {
		status = output_result(in, text.bytes, text.size, STATUS_OK);
	} else if (explained == FAREND_WRONG_CALL) {
		output_error(in->arena, "nothing is called '%s'%s%s", name, text.size > 0 ? "; " : "",
		             text.bytes);
		output_error(in->arena, "try 'farend explain' for all of them");
		status = STATUS_USAGE;
	} else {
		status = output_no_memory();
	}
	farend_free_text(&text);
	return status;
}

enum status run_help(const struct invocation *in)
{
	const struct command *about = NULL;
	if (has_both(in, OPTION_COMPLETION))
		return STATUS_USAGE;
	if (in->line.operand_count > 0) {
		const char *name = in->line.operands[0];
		about = command_find(name);
		if (about == NULL) {
			const char *hint = command_hint(in->arena, name);
			output_error(in->arena, "there is no command '%s'%s%s", name, hint != NULL ? "; " : "",
			             hint != NULL ? hint : "");
			return STATUS_USAGE;
		}
	}
	struct buf text;
	buf_init(&text, in->arena);
	if (in->line.value[OPTION_COMPLETION] != NULL)
		completion_script(&text, in->line.value[OPTION_COMPLETION]);
	else
		help_text(&text, about);
	return output_result(in, text.data, text.length, STATUS_OK);
}

enum status run_version(const struct invocation *in)
{
	struct buf text;
	buf_init(&text, in->arena);
	buf_addf(&text, "farend %s\n", farend_version());
	return output_result(in, text.data, text.length, STATUS_OK);
}
