/* Completion for zsh: the same rows as specifications for its _arguments. */
#include "cli/completion.h"

static const char start[] =
	"#compdef farend\n"
	"# zsh completion for farend, written by 'farend help --completion zsh'\n"
	"_farend()\n"
	"{\n"
	"\tlocal curcontext=\"$curcontext\" state line\n"
	"\tlocal -a commands\n"
	"\tcommands=(\n";

static const char middle[] =
	"\t)\n"
	"\t_arguments -C '(- *)'{-h,--help}'[show help]' '(- *)'{-V,--version}'[show the version]' \\\n"
	"\t\t'1: :->command' '*:: :->rest' && return\n"
	"\tcase $state in\n"
	"\tcommand) _describe -t commands command commands ;;\n"
	"\trest)\n"
	"\t\tcase $words[1] in\n";

static const char end[] =
	"\t\tesac ;;\n"
	"\tesac\n"
	"}\n"
	"_farend \"$@\"\n";

/* Inside single quotes; colons and brackets mean something to _arguments. */
static void add_text(struct buf *out, const char *text)
{
	completion_add_quoted(out, text, ":[]\\", "'\\''");
}

static void add_offer(struct buf *out, const struct place_offer *offer)
{
	buf_addf(out, ":%s:", offer->name);
	if (offer->offer == OFFER_FILES && offer->ending != NULL) {
		buf_addf(out, "_files -g \"*.%s\"", offer->ending);
	} else if (offer->offer == OFFER_FILES) {
		buf_add(out, "_files");
	} else if (offer->offer == OFFER_NOTHING) {
		buf_add_char(out, ' ');
	} else {
		buf_add_char(out, '(');
		completion_add_words(out, offer);
		buf_add_char(out, ')');
	}
}

static void add_option(struct buf *out, const struct command *command, const struct option *option)
{
	const char *equals = option->value != NULL ? "=" : "", *glued = option->value != NULL ? "+" : "";
	if (option->letter != '\0')
		buf_addf(out, " \\\n\t\t\t\t'(-%c --%s)'{-%c%s,--%s%s}'", option->letter, option->name,
		         option->letter, glued, option->name, equals);
	else
		buf_addf(out, " \\\n\t\t\t\t'--%s%s", option->name, equals);
	buf_add_char(out, '[');
	add_text(out, completion_about(option));
	buf_add_char(out, ']');
	if (option->value != NULL) {
		struct place_offer offer = completion_of_option(command, option);
		add_offer(out, &offer);
	}
	buf_add_char(out, '\'');
}

static void add_command(struct buf *out, const struct command *command)
{
	buf_addf(out, "\t\t%s)\n\t\t\t_arguments", command->name);
	for (size_t i = 0; i < option_count; i++) {
		if (completion_takes(command, &options[i]))
			add_option(out, command, &options[i]);
	}
	for (size_t i = 0;; i++) {
		struct place_offer offer = completion_of_operand(out->arena, command, i);
		if (offer.offer == OFFER_NOTHING)
			break;
		if (offer.repeats)
			buf_add(out, " \\\n\t\t\t\t'*");
		else
			buf_addf(out, " \\\n\t\t\t\t'%zu", i + 1);
		add_offer(out, &offer);
		buf_add_char(out, '\'');
		if (offer.repeats)
			break;
	}
	buf_add(out, " ;;\n");
}

void completion_zsh(struct buf *out)
{
	buf_add(out, start);
	for (size_t i = 0; i < command_count; i++) {
		buf_addf(out, "\t\t'%s:", commands[i].name);
		add_text(out, commands[i].about);
		buf_add(out, "'\n");
	}
	buf_add(out, middle);
	for (size_t i = 0; i < command_count; i++)
		add_command(out, &commands[i]);
	buf_add(out, end);
}
