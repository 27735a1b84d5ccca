/* What public calls share: the C locale, the guard against lack of memory, texts that outlive
 * arenas. */
#ifndef FAREND_API_CALL_H
#define FAREND_API_CALL_H

#include "base/buf.h"
#include "farend.h"

/* Runs body(data) in the C locale under the arena's guard. False when memory ran out. */
bool api_call(struct arena *arena, void (*body)(void *data), void *data);

/* A copy for farend_free_text(). False when memory ran out. */
bool api_copy(const struct buf *from, struct farend_text *to);

#endif
