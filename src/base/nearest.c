/* The nearest right name for a wrong one: optimal string alignment distance (insertions, deletions,
 * substitutions and swaps of neighbours count 1 each), over characters. */
#include "base/text.h"

#include <string.h>

#define LONGEST 64      /* characters; nobody mistypes a longer name by a letter or two */

struct word {
	uint32_t code[LONGEST];
	size_t length;
};

/* False when it is too long to compare. */
static bool read_word(struct word *word, const char *text)
{
	size_t left = strlen(text);
	if (left > 4 * LONGEST)
		return false;
	word->length = 0;
	while (left > 0) {
		uint32_t code;
		size_t size = text_decode(text, left, &code);
		if (word->length == LONGEST)
			return false;
		word->code[word->length++] = code >= 'A' && code <= 'Z' ? code + ('a' - 'A') : code;
		text += size;
		left -= size;
	}
	return true;
}

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

static size_t distance(const struct word *a, const struct word *b)
{
	size_t rows[3][LONGEST + 1];
	size_t *before = rows[0], *above = rows[1], *row = rows[2];
	for (size_t j = 0; j <= b->length; j++)
		above[j] = before[j] = j;
	for (size_t i = 1; i <= a->length; i++) {
		row[0] = i;
		for (size_t j = 1; j <= b->length; j++) {
			size_t cost = a->code[i - 1] != b->code[j - 1];
			row[j] = least(least(above[j] + 1, row[j - 1] + 1), above[j - 1] + cost);
			if (i > 1 && j > 1 && a->code[i - 1] == b->code[j - 2] &&
			    a->code[i - 2] == b->code[j - 1])
				row[j] = least(row[j], before[j - 2] + 1);
		}
		size_t *free_row = before;
		before = above;
		above = row;
		row = free_row;
	}
	return above[b->length];
}

struct nearest nearest_to(const char *word)
{
	struct nearest nearest = { .word = word };
	struct word read;
	if (read_word(&read, word))
		nearest.distance = read.length / 3 > 1 ? read.length / 3 : 1;
	return nearest;
}

void nearest_offer(struct nearest *nearest, const char *candidate)
{
	struct word word, other;
	if (!read_word(&word, nearest->word) || !read_word(&other, candidate))
		return;
	size_t d = distance(&word, &other);
	/* Two names without a letter in common are not near, however short they are. */
	if (d > nearest->distance || d >= (word.length > other.length ? word.length : other.length))
		return;
	if (d < nearest->distance) {
		nearest->distance = d;
		nearest->count = 0;
	}
	for (size_t i = 0; i < nearest->count; i++)
		if (strcmp(nearest->name[i], candidate) == 0)
			return;
	if (nearest->count < sizeof nearest->name / sizeof *nearest->name)
		nearest->name[nearest->count++] = candidate;
}

const char *nearest_hint(const struct nearest *nearest, struct arena *arena)
{
	if (nearest->count == 0)
		return NULL;
	struct buf hint;
	buf_init(&hint, arena);
	buf_add(&hint, "did you mean ");
	for (size_t i = 0; i < nearest->count; i++) {
		if (i > 0)
			buf_add(&hint, i + 1 == nearest->count ? " or " : ", ");
		buf_addf(&hint, "'%s'", nearest->name[i]);
	}
	buf_add_char(&hint, '?');
	return hint.data;
}
