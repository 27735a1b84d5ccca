/* Completion for bash 3.2 and later, without help from any library. Bash splits words at '=', so that
 * --format=json comes as three. */
#include "cli/completion.h"

static const char start[] =
	"# bash completion for farend, written by 'farend help --completion bash'\n"
	"_farend_words()\n"
	"{\n"
	"\tCOMPREPLY=($(compgen -W \"$1\" -- \"$cur\"))\n"
	"}\n"
	"\n"
	"# Folders, and files whose names match $1.\n"
	"_farend_files()\n"
	"{\n"
	"\tlocal IFS=$'\\n'\n"
	"\tcompopt -o filenames 2>/dev/null\n"
	"\tCOMPREPLY=($(compgen -d -- \"$cur\"; compgen -f -X '!'\"$1\" -- \"$cur\" |\n"
	"\t\twhile read -r name; do [ -d \"$name\" ] || printf '%s\\n' \"$name\"; done))\n"
	"}\n"
	"\n"
	"_farend()\n"
	"{\n"
	"\tlocal cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} command= i count=0\n"
	"\tCOMPREPLY=()\n"
	"\tif [ \"$cur\" = = ]; then\n"
	"\t\tcur=\n"
	"\telif [ \"$prev\" = = ]; then\n"
	"\t\tprev=${COMP_WORDS[COMP_CWORD-2]}\n"
	"\tfi\n"
	"\tfor ((i = 1; i < COMP_CWORD; i++)); do\n"
	"\t\tcase ${COMP_WORDS[i]} in\n"
	"\t\t";

static const char middle[] =
	")\n"
	"\t\t\t[ \"${COMP_WORDS[i+1]}\" = = ] && ((i++))\n"
	"\t\t\t((i++)) ;;\n"
	"\t\t-*) ;;\n"
	"\t\t*) if [ -z \"$command\" ]; then command=${COMP_WORDS[i]}; else ((count++)); fi ;;\n"
	"\t\tesac\n"
	"\tdone\n"
	"\tcase $command:$prev in\n";

static void add_offer(struct buf *out, const struct place_offer *offer)
{
	if (offer->offer == OFFER_FILES && offer->ending != NULL) {
		buf_addf(out, "_farend_files '*.%s'", offer->ending);
	} else if (offer->offer == OFFER_FILES) {
		buf_add(out, "_farend_files '*'");
	} else if (offer->offer == OFFER_NOTHING) {
		buf_add(out, ":");
	} else {
		buf_add(out, "_farend_words '");
		completion_add_words(out, offer);
		buf_add_char(out, '\'');
	}
}

static void add_spellings(struct buf *out, const struct option *option, const char *separator,
                          const char *prefix)
{
	if (option->letter != '\0')
		buf_addf(out, "%s-%c%s", prefix, option->letter, separator);
	buf_addf(out, "%s--%s", prefix, option->name);
}

/* Options whose next word is not an operand. */
static void add_valued(struct buf *out)
{
	const char *separator = "";
	for (size_t i = 0; i < option_count; i++) {
		if (options[i].value == NULL)
			continue;
		buf_add(out, separator);
		add_spellings(out, &options[i], "|", "");
		separator = "|";
	}
}

static void add_values(struct buf *out, const struct command *command)
{
	for (size_t i = 0; i < option_count; i++) {
		if (options[i].value == NULL || !completion_takes(command, &options[i]))
			continue;
		struct place_offer offer = completion_of_option(command, &options[i]);
		buf_add_char(out, '\t');
		add_spellings(out, &options[i], "|", arena_printf(out->arena, "%s:", command->name));
		buf_add(out, ") ");
		add_offer(out, &offer);
		buf_add(out, "; return ;;\n");
	}
}

static void add_options(struct buf *out, const struct command *command)
{
	buf_addf(out, "\t%s:*:-*) _farend_words '", command->name);
	for (size_t i = 0, n = 0; i < option_count; i++) {
		if (!completion_takes(command, &options[i]))
			continue;
		buf_add(out, n++ > 0 ? " " : "");
		add_spellings(out, &options[i], " ", "");
	}
	buf_add(out, "' ;;\n");
}

static void add_operands(struct buf *out, const struct command *command)
{
	for (size_t i = 0;; i++) {
		struct place_offer offer = completion_of_operand(out->arena, command, i);
		if (offer.offer == OFFER_NOTHING)
			return;
		buf_addf(out, offer.repeats ? "\t%s:*:*) " : "\t%s:%zu:*) ", command->name, i);
		add_offer(out, &offer);
		buf_add(out, " ;;\n");
		if (offer.repeats)
			return;
	}
}

void completion_bash(struct buf *out)
{
	const struct place_offer names = { .offer = OFFER_COMMANDS };
	buf_add(out, start);
	add_valued(out);
	buf_add(out, middle);
	for (size_t i = 0; i < command_count; i++)
		add_values(out, &commands[i]);
	buf_add(out, "\tesac\n\tcase $command:$count:$cur in\n"
	             "\t:*:-*) _farend_words '-h --help -V --version' ;;\n\t:*) ");
	add_offer(out, &names);
	buf_add(out, " ;;\n");
	for (size_t i = 0; i < command_count; i++) {
		add_options(out, &commands[i]);
		add_operands(out, &commands[i]);
	}
	buf_add(out, "\tesac\n}\ncomplete -F _farend farend\n");
}
