/* Completion for fish: one line for each thing that may be offered, with the condition for it. */
#include "cli/completion.h"

static void add_about(struct buf *out, const char *about)
{
	buf_add(out, " -d '");
	completion_add_quoted(out, about, "\\", "\\'");
	buf_add(out, "'\n");
}

static void add_offer(struct buf *out, const struct place_offer *offer)
{
	if (offer->offer == OFFER_FILES && offer->ending != NULL) {
		buf_addf(out, " -k -a '(__fish_complete_suffix .%s)'", offer->ending);
	} else if (offer->offer == OFFER_FILES) {
		buf_add(out, " -F");
	} else if (offer->offer != OFFER_NOTHING) {
		buf_add(out, " -a '");
		completion_add_words(out, offer);
		buf_add_char(out, '\'');
	}
}

static void add_option(struct buf *out, const struct command *command, const struct option *option)
{
	buf_addf(out, "complete -c farend -n '__fish_seen_subcommand_from %s'", command->name);
	if (option->letter != '\0')
		buf_addf(out, " -s %c", option->letter);
	buf_addf(out, " -l %s", option->name);
	if (option->value != NULL) {
		struct place_offer offer = completion_of_option(command, option);
		buf_add(out, offer.offer == OFFER_FILES ? " -r" : " -x");
		add_offer(out, &offer);
	}
	add_about(out, completion_about(option));
}

static void add_operands(struct buf *out, const struct command *command)
{
	bool repeats = false;
	for (size_t i = 0; !repeats; i++) {
		struct place_offer offer = completion_of_operand(out->arena, command, i);
		if (offer.offer == OFFER_NOTHING)
			return;
		repeats = offer.repeats;
		buf_addf(out, "complete -c farend -n '__fish_seen_subcommand_from %s", command->name);
		/* fish tells no places apart; the words after a file are its own business */
		buf_add(out, offer.offer == OFFER_COMMANDS ? "; and __fish_is_nth_token 2'" : "'");
		add_offer(out, &offer);
		add_about(out, offer.name);
	}
}

void completion_fish(struct buf *out)
{
	buf_add(out, "# fish completion for farend, written by 'farend help --completion fish'\n"
	             "complete -c farend -f\n"
	             "complete -c farend -n __fish_use_subcommand -s h -l help -d 'show help'\n"
	             "complete -c farend -n __fish_use_subcommand -s V -l version -d 'show the version'\n");
	for (size_t i = 0; i < command_count; i++) {
		buf_addf(out, "complete -c farend -n __fish_use_subcommand -a %s", commands[i].name);
		add_about(out, commands[i].about);
	}
	for (size_t i = 0; i < command_count; i++) {
		for (size_t k = 0; k < option_count; k++) {
			if (completion_takes(&commands[i], &options[k]))
				add_option(out, &commands[i], &options[k]);
		}
		add_operands(out, &commands[i]);
	}
}
