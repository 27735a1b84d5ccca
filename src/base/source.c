/* An input file's bytes with an index of its lines. */
#include "base/source.h"

#include "base/text.h"

#include <string.h>

/* Bytes of the line end at `at`: LF, CRLF or a lone CR. 0 where there is none. */
static size_t line_end(const char *bytes, size_t size, size_t at)
{
	if (bytes[at] == '\n')
		return 1;
	if (bytes[at] != '\r')
		return 0;
	return at + 1 < size && bytes[at + 1] == '\n' ? 2 : 1;
}

static void index_lines(struct source *source, struct arena *arena)
{
	uint32_t *start = NULL;
	size_t capacity = 0;
	start = arena_grow(arena, start, 0, &capacity, sizeof *start);
	start[source->line_count++] = 0;
	for (size_t at = 0; at < source->size;) {
		if ((unsigned char)source->bytes[at] > '\r') {
			at++;
			continue;
		}
		size_t end = line_end(source->bytes, source->size, at);
		at += end ? end : 1;
		if (end == 0 || at == source->size)
			continue;
		start = arena_grow(arena, start, source->line_count, &capacity, sizeof *start);
		start[source->line_count++] = (uint32_t)at;
	}
	source->line_start = start;
}

struct source *source_new(struct arena *arena, const char *name, const char *bytes, size_t size)
{
	if (size > UINT32_MAX)
		arena_exhausted(arena);        /* the reader's limit lies far below */
	bool has_bom = size >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0;
	if (has_bom) {
		bytes += 3;
		size -= 3;
	}
	struct source *source = arena_one(arena, struct source);
	source->name = arena_strdup(arena, strcmp(name, "-") == 0 ? "<standard input>" : name);
	source->bytes = arena_strndup(arena, bytes, size);
	source->size = size;
	source->has_bom = has_bom;
	index_lines(source, arena);
	return source;
}

const char *source_line(const struct source *source, size_t line, size_t *length)
{
	*length = 0;
	if (line == 0 || line > source->line_count)
		return source->bytes + source->size;
	size_t start = source->line_start[line - 1];
	size_t end = line < source->line_count ? source->line_start[line] : source->size;
	while (start + *length < end && !line_end(source->bytes, end, start + *length))
		++*length;
	return source->bytes + start;
}

size_t source_offset(const struct source *source, size_t line, size_t column)
{
	size_t length, at = 0;
	const char *text = source_line(source, line, &length);
	for (size_t i = 1; i < column && at < length; i++) {
		uint32_t code;
		at += text_decode(text + at, length - at, &code);
	}
	return (size_t)(text - source->bytes) + at;
}
