/* What is wrong with an input, collected: mistakes of the user are data, never an early exit. */
#ifndef FAREND_BASE_DIAG_H
#define FAREND_BASE_DIAG_H

#include "base/buf.h"
#include "base/source.h"

enum diag_level { DIAG_NOTE, DIAG_WARNING, DIAG_ERROR };

struct diag {
	enum diag_level level;
	const char *kind;            /* the stable name in brackets, as "unknown-key" */
	struct place place;
	const char *message;         /* lower case, no full stop, the subject in '…' */
	const char *expected;        /* what would be right, or NULL */
	const char *hint;            /* "did you mean 'power'?", or NULL */
};

struct diags {
	struct arena *arena;
	struct diag *items;
	size_t count;
	size_t capacity;
	size_t errors;
};

void diags_init(struct diags *diags, struct arena *arena);

/* Adds one; texts are copied. A second diagnostic of the same kind at the same place is dropped. */
void diags_add(struct diags *diags, const struct diag *diag);

/* Orders by file (in order of first mention), line, column; stable. */
void diags_sort(struct diags *diags);

/* file:line:column: error: message [kind]
 *    14 | the line, cut to fit around the span
 *       |     ^~~~
 *   expected: …
 *   hint: …
 * Everything that comes from a file is made safe for a terminal; no line is wider than `width`
 * columns except the first where its path and message need it (it is not folded, so that editors
 * find it). `colour` adds ANSI emphasis and nothing else. */
void diag_print(struct buf *out, const struct diag *diag, bool colour, size_t width);

#endif
