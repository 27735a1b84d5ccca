/* One input file's bytes, and places in it. Lines and columns count from 1; columns count characters,
 * not bytes, as people and editors do. */
#ifndef FAREND_BASE_SOURCE_H
#define FAREND_BASE_SOURCE_H

#include "base/arena.h"

#include <stdint.h>

struct source {
	const char *name;            /* as the user named it; "<standard input>" for "-" */
	const char *bytes;           /* NUL-terminated copy, a UTF-8 byte order mark removed */
	size_t size;
	bool has_bom;                /* the file began with a byte order mark */
	const uint32_t *line_start;  /* size line_count: byte offset of each line */
	size_t line_count;
};

/* A span of one line. `source` NULL means no place (a value that was not read from a file). */
struct place {
	const struct source *source;
	uint32_t line;
	uint32_t column;
	uint32_t length;             /* characters, at least 1 */
};

/* Copies the bytes into the arena and indexes its lines (LF, CRLF and lone CR end a line). */
struct source *source_new(struct arena *arena, const char *name, const char *bytes, size_t size);

/* Line `line` without its end; *length in bytes. Empty beyond the last line. */
const char *source_line(const struct source *source, size_t line, size_t *length);

/* Byte offset into source->bytes of a place's first character; the file's size when beyond it. */
size_t source_offset(const struct source *source, size_t line, size_t column);

#endif
