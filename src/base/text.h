/* UTF-8 stepping, display width, safe printing of foreign text, and the nearest right name. */
#ifndef FAREND_BASE_TEXT_H
#define FAREND_BASE_TEXT_H

#include "base/buf.h"

#include <stdint.h>

/* Decodes one character at `text` (`length` > 0 bytes left). Returns the bytes it takes (1 to 4) and
 * sets *code; a byte that is not UTF-8 counts as one character with *code = 0xFFFD. */
size_t text_decode(const char *text, size_t length, uint32_t *code);

/* Columns that the character takes on a terminal: 0 (combining, control), 1 or 2 (wide). */
int text_char_width(uint32_t code);

/* Columns that the first `length` bytes take on a terminal. */
size_t text_width(const char *text, size_t length);

/* Adds `text` with everything a terminal could act on replaced by U+FFFD: C0 and C1 controls, DEL,
 * bidirectional overrides and isolates, bytes that are not UTF-8. A tab becomes one space. */
void text_add_safe(struct buf *out, const char *text, size_t length);

/* Adds `text` folded at blanks to `width` columns; every line after the first starts with `indent`
 * blanks; `column` is where the first line starts. Ends without a newline. Existing newlines stay. */
void text_add_wrapped(struct buf *out, const char *text, size_t column, size_t indent, size_t width);

bool text_equal(const char *a, const char *b);       /* NULL equals only NULL */

/* Collects the candidates nearest to a misspelt word (optimal string alignment distance, case folded
 * for ASCII). Offers further away than max(1, length / 3) are dropped; ties are kept, three at most. */
struct nearest {
	const char *word;
	size_t distance;
	size_t count;
	const char *name[3];
};
struct nearest nearest_to(const char *word);
void nearest_offer(struct nearest *nearest, const char *candidate);
/* "did you mean 'a' or 'b'?", or NULL when nothing is near. */
const char *nearest_hint(const struct nearest *nearest, struct arena *arena);

#endif
