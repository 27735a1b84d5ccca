/* Sorted by place, then copied through. */
#include "base/edit.h"

#include <assert.h>
#include <stdlib.h>

void edits_init(struct edits *edits, struct arena *arena, const char *bytes, size_t size)
{
	*edits = (struct edits){ .arena = arena, .bytes = bytes, .size = size };
}

void edits_replace(struct edits *edits, size_t at, size_t length, const char *text)
{
	assert(at <= edits->size && length <= edits->size - at);
	edits->items = arena_grow(edits->arena, edits->items, edits->count, &edits->capacity,
	                          sizeof(*edits->items));
	edits->items[edits->count] = (struct edit){
		.at = at, .length = length, .text = arena_strdup(edits->arena, text), .order = edits->count,
	};
	edits->count++;
}

void edits_insert(struct edits *edits, size_t at, const char *text)
{
	edits_replace(edits, at, 0, text);
}

static int in_place(const void *a, const void *b)
{
	const struct edit *x = a, *y = b;
	if (x->at != y->at)
		return x->at < y->at ? -1 : 1;
	if ((x->length > 0) != (y->length > 0))
		return x->length > 0 ? 1 : -1;
	return x->order < y->order ? -1 : 1;
}

void edits_apply(struct edits *edits, struct buf *out)
{
	size_t done = 0;
	if (edits->count > 1)
		qsort(edits->items, edits->count, sizeof(*edits->items), in_place);
	for (size_t i = 0; i < edits->count; i++) {
		const struct edit *edit = &edits->items[i];
		assert(edit->at >= done);
		buf_add_bytes(out, edits->bytes + done, edit->at - done);
		buf_add(out, edit->text);
		done = edit->at + edit->length;
	}
	buf_add_bytes(out, edits->bytes + done, edits->size - done);
}
