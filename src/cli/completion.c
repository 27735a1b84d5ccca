/* What the scripts have in common: what may stand where. */
#include "cli/completion.h"

#include "farend.h"

#include <string.h>

struct place_offer completion_of_option(const struct command *command, const struct option *option)
{
	struct place_offer offer = { .name = option->value };
	if (option->words != NULL) {
		offer.words = option->words;
	} else if (option->id == OPTION_FORMAT) {
		offer.words = command->formats;
	} else if (strstr(option->value, "FILE") != NULL || strchr(option->value, '.') != NULL) {
		const char *point = strrchr(option->value, '.');
		offer.offer = OFFER_FILES;
		offer.ending = point != NULL ? point + 1 : NULL;
	}
	if (offer.words != NULL)
		offer.offer = OFFER_WORDS;
	return offer;
}

/* The word of "JOB.yaml [NAME]..." at `index`, bare; *repeats where dots follow. */
static char *operand_word(struct arena *arena, const char *operands, size_t index, bool *repeats)
{
	for (;; index--) {
		operands += strspn(operands, " [");
		size_t length = strcspn(operands, " ]");
		if (index == 0 || length == 0) {
			const char *dots = strstr(operands, "...");
			*repeats = dots != NULL && dots <= operands + length + 1;
			return arena_strndup(arena, operands, length);
		}
		operands += length;
		operands += strspn(operands, "].");
	}
}

struct place_offer completion_of_operand(struct arena *arena, const struct command *command, size_t index)
{
	bool repeats;
	char *word = operand_word(arena, command->operands, index, &repeats);
	char *dots = strstr(word, "...");
	if (dots != NULL)
		*dots = '\0';
	struct place_offer offer = { .name = word, .repeats = repeats };
	const char *point = strrchr(word, '.');
	if (point != NULL) {
		offer.offer = OFFER_FILES;
		offer.ending = point + 1;
	} else if (strcmp(word, "NAME") == 0) {
		offer.offer = OFFER_EXPLAINED;
	} else if (strcmp(word, "COMMAND") == 0) {
		offer.offer = OFFER_COMMANDS;
	}
	return offer;
}

bool completion_takes(const struct command *command, const struct option *option)
{
	return ((command->options | OPTION_BIT(OPTION_HELP)) & OPTION_BIT(option->id)) != 0;
}

void completion_add_words(struct buf *out, const struct place_offer *offer)
{
	const char *word;
	for (size_t i = 0; offer->offer == OFFER_WORDS && offer->words[i] != NULL; i++)
		buf_addf(out, "%s%s", i > 0 ? " " : "", offer->words[i]);
	for (size_t i = 0; offer->offer == OFFER_EXPLAINED && (word = farend_check_name(i)) != NULL; i++)
		buf_addf(out, "%s%s", i > 0 ? " " : "", word);
	for (size_t i = 0; offer->offer == OFFER_EXPLAINED && (word = farend_mistake_name(i)) != NULL; i++)
		buf_addf(out, " %s", word);
	for (size_t i = 0; offer->offer == OFFER_COMMANDS && i < command_count; i++)
		buf_addf(out, "%s%s", i > 0 ? " " : "", commands[i].name);
}

const char *completion_about(const struct option *option)
{
	while (option->about == NULL)
		option--;
	return option->about;
}

void completion_add_quoted(struct buf *out, const char *text, const char *special, const char *quote)
{
	for (; *text != '\0'; text++) {
		if (*text == '\'') {
			buf_add(out, quote);
			continue;
		}
		if (strchr(special, *text) != NULL)
			buf_add_char(out, '\\');
		buf_add_char(out, *text);
	}
}

void completion_script(struct buf *out, const char *shell)
{
	static const struct { const char *shell; void (*add)(struct buf *out); } scripts[] = {
		{ "bash", completion_bash }, { "zsh", completion_zsh }, { "fish", completion_fish },
	};
	for (size_t i = 0; i < sizeof(scripts) / sizeof(scripts[0]); i++) {
		if (strcmp(scripts[i].shell, shell) == 0)
			scripts[i].add(out);
	}
}
