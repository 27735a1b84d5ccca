/* Growing text. One byte of capacity is always left for the terminating NUL. */
#include "base/buf.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

void buf_widen(struct buf *buf, size_t more)
{
	if (more > SIZE_MAX / 4 - buf->length)
		arena_exhausted(buf->arena);
	buf->data = arena_grow(buf->arena, buf->data, buf->length + more, &buf->capacity, 1);
}

void buf_init(struct buf *buf, struct arena *arena)
{
	*buf = (struct buf){ .arena = arena };
	buf_widen(buf, 0);
}

void buf_clear(struct buf *buf)
{
	buf->length = 0;
	buf->data[0] = '\0';
}

void buf_add(struct buf *buf, const char *text)
{
	buf_add_bytes(buf, text, strlen(text));
}

void buf_add_bytes(struct buf *buf, const char *bytes, size_t length)
{
	char *to = buf_room(buf, length);
	if (length)
		memcpy(to, bytes, length);
	to[length] = '\0';
	buf->length += length;
}

void buf_add_char(struct buf *buf, char c)
{
	char *to = buf_room(buf, 1);
	to[0] = c;
	to[1] = '\0';
	buf->length++;
}

void buf_add_repeat(struct buf *buf, char c, size_t count)
{
	char *to = buf_room(buf, count);
	memset(to, c, count);
	to[count] = '\0';
	buf->length += count;
}

void buf_vaddf(struct buf *buf, const char *format, va_list args)
{
	va_list again;
	va_copy(again, args);
	size_t room = buf->capacity - buf->length;
	int length = vsnprintf(buf->data + buf->length, room, format, args);
	if (length < 0)
		arena_exhausted(buf->arena);           /* longer than an int can say */
	if ((size_t)length >= room) {
		buf_room(buf, (size_t)length);
		vsnprintf(buf->data + buf->length, (size_t)length + 1, format, again);
	}
	va_end(again);
	buf->length += (size_t)length;
}

void buf_addf(struct buf *buf, const char *format, ...)
{
	va_list args;
	va_start(args, format);
	buf_vaddf(buf, format, args);
	va_end(args);
}
