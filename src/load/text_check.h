/* Whether bytes are text at all: UTF-8 without characters that no text file has a use for. */
#ifndef FAREND_LOAD_TEXT_CHECK_H
#define FAREND_LOAD_TEXT_CHECK_H

#include "load/mistake.h"

/* Reports the first thing that is not text, or that there is nothing, and returns false. */
bool text_check(const struct source *source, struct mistakes *m);

/* Offset of the first character that a text must not hold, or `size`. */
size_t text_first_bad(const char *text, size_t size, uint32_t *code);

#endif
