/* Changes to a text that leave every other byte alone: replacements and insertions at byte offsets,
 * collected in any order and carried out together. */
#ifndef FAREND_BASE_EDIT_H
#define FAREND_BASE_EDIT_H

#include "base/buf.h"

struct edit {
	size_t at, length;           /* bytes that go; length 0 only inserts */
	const char *text;            /* that comes instead */
	size_t order;                /* in which it was asked for */
};

struct edits {
	struct arena *arena;
	const char *bytes;           /* the text as it is; outlives the edits */
	size_t size;
	struct edit *items;
	size_t count, capacity;
};

void edits_init(struct edits *edits, struct arena *arena, const char *bytes, size_t size);

/* `text` is copied. */
void edits_replace(struct edits *edits, size_t at, size_t length, const char *text);
void edits_insert(struct edits *edits, size_t at, const char *text);

/* Adds the changed text. What is inserted at one place comes in the order asked for, and before what
 * replaces the bytes there. Two replacements that share a byte, an insertion inside one, and a
 * place beyond the text are mistakes of the program. */
void edits_apply(struct edits *edits, struct buf *out);

#endif
