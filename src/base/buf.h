/* A byte string that grows: the only way text is built. `data` is always terminated by a NUL that
 * `length` does not count, and is never NULL after buf_init(). Lives in an arena. */
#ifndef FAREND_BASE_BUF_H
#define FAREND_BASE_BUF_H

#include "base/arena.h"

struct buf {
	struct arena *arena;
	char *data;
	size_t length;
	size_t capacity;
};

/* Makes more than `more` bytes of room. */
void buf_widen(struct buf *buf, size_t more);

/* Where the next bytes go, with room for `more` of them and the NUL. Who writes there adds what it wrote to
 * `length` and ends it with the NUL. */
static inline char *buf_room(struct buf *buf, size_t more)
{
	if (more >= buf->capacity - buf->length)
		buf_widen(buf, more);
	return buf->data + buf->length;
}

void buf_init(struct buf *buf, struct arena *arena);
void buf_clear(struct buf *buf);
void buf_add(struct buf *buf, const char *text);
void buf_add_bytes(struct buf *buf, const char *bytes, size_t length);
void buf_add_char(struct buf *buf, char c);
void buf_add_repeat(struct buf *buf, char c, size_t count);
/* A finite number as printf's "%.12g" writes it in the C locale, without a sign on zero. Quick, because
 * machine output is mostly numbers. */
void buf_add_number(struct buf *buf, double number);
void buf_addf(struct buf *buf, const char *format, ...) __attribute__((format(printf, 2, 3)));
void buf_vaddf(struct buf *buf, const char *format, va_list args) __attribute__((format(printf, 2, 0)));

#endif
