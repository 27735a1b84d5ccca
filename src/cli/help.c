/* Examples come before the lists: most readers need no more. */
#include "cli/help.h"

#include "base/text.h"

#include <string.h>

#define WIDTH 80
#define COLUMN 24                /* where the second column of a list starts */

static void paragraph(struct buf *out, const char *text)
{
	text_add_wrapped(out, text, 0, 0, WIDTH);
	buf_add_char(out, '\n');
}

static void list_row(struct buf *out, const char *left, const char *right)
{
	size_t width = text_width(left, strlen(left));
	buf_add(out, "  ");
	buf_add(out, left);
	buf_add_repeat(out, ' ', width + 4 <= COLUMN ? COLUMN - 2 - width : 2);
	text_add_wrapped(out, right, width + 4 <= COLUMN ? COLUMN : width + 4, COLUMN, WIDTH);
	buf_add_char(out, '\n');
}

static void list_commands(struct buf *out)
{
	buf_add(out, "\nCommands\n");
	for (size_t i = 0; i < command_count; i++) {
		const struct command *c = &commands[i];
		list_row(out, arena_printf(out->arena, "%s%s%s", c->name, c->operands[0] != '\0' ? " " : "",
		                           c->operands), c->about);
	}
}

/* Rows without `about` are other spellings of the row before, and are named there. */
static void list_options(struct buf *out, unsigned which, const struct command *command)
{
	buf_add(out, "\nOptions\n");
	for (size_t i = 0; i < option_count; i++) {
		const struct option *o = &options[i];
		if ((which & OPTION_BIT(o->id)) == 0 || o->about == NULL)
			continue;
		const char *about = o->about;
		if (o->id == OPTION_FORMAT && command != NULL) {
			about = arena_printf(out->arena, "%s: %s (%s unless you say)", about,
			                     words_listed(out->arena, command->formats), command->formats[0]);
		}
		if (i + 1 < option_count && options[i + 1].about == NULL)
			about = arena_printf(out->arena, "%s; also --%s", about, options[i + 1].name);
		list_row(out, option_usage(out->arena, o), about);
	}
}

static void list_statuses(struct buf *out)
{
	buf_add(out, "\nExit status\n"
	             "  0  nothing fails\n"
	             "  1  something must change; the whole result is written\n"
	             "  2  wrong usage; nothing was read\n"
	             "  3  the job cannot be read or has mistakes; nothing was solved\n"
	             "  4  the system failed: disk full, no memory\n");
}

static void whole_help(struct buf *out)
{
	unsigned every = 0;
	buf_add(out, "Usage: farend COMMAND [OPTION...] [ARGUMENT]\n\n");
	paragraph(out, "Checks the low-voltage side of LED cabinet lighting before anything is ordered, "
	               "cut or screwed down.");
	buf_add(out, "\nExamples\n");
	for (size_t i = 0; i < command_count; i++) {
		if (commands[i].more != NULL)
			buf_addf(out, "  %s\n", commands[i].example);
		every |= commands[i].options;
	}
	list_commands(out);
	list_options(out, every | OPTION_BIT(OPTION_HELP) | OPTION_BIT(OPTION_VERSION), NULL);
	list_statuses(out);
}

void help_text(struct buf *out, const struct command *command)
{
	if (command == NULL) {
		whole_help(out);
		return;
	}
	buf_addf(out, "Usage: farend %s [OPTION...]%s%s\n\n", command->name,
	         command->operands[0] != '\0' ? " " : "", command->operands);
	paragraph(out, arena_printf(out->arena, "%s: %s.", command->name, command->about));
	if (command->more != NULL) {
		buf_add_char(out, '\n');
		paragraph(out, command->more);
	}
	buf_addf(out, "\nExample\n  %s\n", command->example);
	list_options(out, command->options | OPTION_BIT(OPTION_HELP), command);
	list_statuses(out);
}

void help_short(struct buf *out)
{
	buf_add(out, "Usage: farend COMMAND [OPTION...] [ARGUMENT]\n");
	list_commands(out);
	buf_add(out, "\nStart with 'farend new --ask -o my-job.yaml', then 'farend check my-job.yaml'.\n");
}
