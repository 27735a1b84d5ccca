/* uselocale() changes the locale of this thread only, so that a program in another locale may call
 * from several threads at once and finds its own locale unchanged afterwards. */
#include "api/call.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>

bool api_call(struct arena *arena, void (*body)(void *data), void *data)
{
	locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
	if (plain == (locale_t)0)
		return false;
	locale_t before = uselocale(plain);
	bool done = arena_guard(arena, body, data);
	uselocale(before);
	freelocale(plain);
	return done;
}

bool api_copy(const struct buf *from, struct farend_text *to)
{
	char *bytes = malloc(from->length + 1);
	if (bytes == NULL)
		return false;
	memcpy(bytes, from->data, from->length + 1);
	*to = (struct farend_text){ .bytes = bytes, .size = from->length };
	return true;
}

void farend_free_text(struct farend_text *text)
{
	free((char *)text->bytes);
	*text = (struct farend_text){ .bytes = NULL, .size = 0 };
}
