/* What the fuzz entries share: a property that does not hold stops the run, with its words and its line. */
#ifndef FAREND_TESTS_FUZZ_H
#define FAREND_TESTS_FUZZ_H

#include "farend.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* libFuzzer's name for an entry; tests/fuzz/replay.c calls it too. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#define must(condition) must_at((condition), #condition, __FILE__, __LINE__)

static inline void must_at(bool good, const char *what, const char *file, int line)
{
	if (good)
		return;
	fprintf(stderr, "%s:%d: does not hold: %s\n", file, line, what);
	abort();
}

/* Text for a terminal: nothing below a blank but ends of lines, no DEL, no C1 control (U+0080 to U+009F). */
static inline void must_be_safe(const struct farend_text *text)
{
	must(strlen(text->bytes) == text->size);
	for (size_t i = 0; i < text->size; i++) {
		unsigned char c = (unsigned char)text->bytes[i];
		must((c >= ' ' || c == '\n') && c != 0x7F);
		must(c != 0xC2 || (unsigned char)text->bytes[i + 1] >= 0xA0);
	}
}

#endif
