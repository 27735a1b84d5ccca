/* Collecting diagnostics. A job may hold hundreds of thousands of mistakes, so what was said
 * already is found by a hash: its slots (index + 1 of an item, 0 when free) lie behind the items
 * in one block, two for each item that the block can hold. */
#include "base/diag.h"

#include "base/text.h"

#include <stdlib.h>
#include <string.h>

static uint32_t *slots_of(const struct diags *diags)
{
	return (uint32_t *)(void *)(diags->items + diags->capacity);
}

static bool same_place(const struct diag *a, const struct diag *b)
{
	return a->place.line == b->place.line && a->place.column == b->place.column &&
	       a->place.source == b->place.source && strcmp(a->kind, b->kind) == 0;
}

/* Without a place in a file only the words tell two mistakes apart. */
static bool same(const struct diag *a, const struct diag *b)
{
	return same_place(a, b) && (a->place.line > 0 || text_equal(a->message, b->message));
}

/* The slot that holds a diagnostic like this one, or the free one where it belongs. */
static uint32_t *slot_for(const struct diags *diags, const struct diag *diag)
{
	uint32_t *slots = slots_of(diags);
	size_t count = 2 * diags->capacity;
	uint64_t h = UINT64_C(0xcbf29ce484222325);
	for (const char *c = diag->kind; *c; c++)
		h = (h ^ (unsigned char)*c) * UINT64_C(0x100000001b3);
	h = (h ^ diag->place.line) * UINT64_C(0x9e3779b97f4a7c15);
	h = (h ^ h >> 29 ^ diag->place.column) * UINT64_C(0x9e3779b97f4a7c15);
	size_t at = (size_t)(h >> 32) % count;
	while (slots[at] && !same(&diags->items[slots[at] - 1], diag))
		at = (at + 1) % count;
	return &slots[at];
}

static void index_items(struct diags *diags)
{
	memset(slots_of(diags), 0, 2 * diags->capacity * sizeof(uint32_t));
	for (size_t i = 0; i < diags->count; i++)
		*slot_for(diags, &diags->items[i]) = (uint32_t)(i + 1);
}

static void widen(struct diags *diags)
{
	size_t capacity = diags->capacity ? 2 * diags->capacity : 16;
	struct diag *items = arena_alloc_array(diags->arena, capacity,
	                                       sizeof *items + 2 * sizeof(uint32_t));
	if (diags->count)
		memcpy(items, diags->items, diags->count * sizeof *items);
	diags->items = items;
	diags->capacity = capacity;
	index_items(diags);
}

static const char *copy(struct diags *diags, const char *text)
{
	return text ? arena_strdup(diags->arena, text) : NULL;
}

void diags_init(struct diags *diags, struct arena *arena)
{
	*diags = (struct diags){ .arena = arena };
}

void diags_add(struct diags *diags, const struct diag *diag)
{
	if (diags->count == diags->capacity)
		widen(diags);
	uint32_t *slot = slot_for(diags, diag);
	if (*slot)
		return;
	struct diag added = *diag;
	added.kind = copy(diags, diag->kind);
	added.message = copy(diags, diag->message);
	added.expected = copy(diags, diag->expected);
	added.hint = copy(diags, diag->hint);
	diags->items[diags->count++] = added;
	*slot = (uint32_t)diags->count;
	if (diag->level == DIAG_ERROR)
		diags->errors++;
}

struct ranked {
	struct diag diag;
	size_t file;                 /* in order of first mention */
	size_t order;                /* keeps the sort stable */
};

static int compare(const void *a, const void *b)
{
	const struct ranked *x = a, *y = b;
	if (x->file != y->file)
		return x->file < y->file ? -1 : 1;
	if (x->diag.place.line != y->diag.place.line)
		return x->diag.place.line < y->diag.place.line ? -1 : 1;
	if (x->diag.place.column != y->diag.place.column)
		return x->diag.place.column < y->diag.place.column ? -1 : 1;
	return x->order < y->order ? -1 : x->order > y->order;
}

void diags_sort(struct diags *diags)
{
	if (diags->count < 2)
		return;
	struct arena *scratch = arena_child(diags->arena);
	struct ranked *ranked = arena_array(scratch, struct ranked, diags->count);
	const struct source **files = NULL;
	size_t file_count = 0, capacity = 0;
	for (size_t i = 0; i < diags->count; i++) {
		size_t file = 0;
		while (file < file_count && files[file] != diags->items[i].place.source)
			file++;
		if (file == file_count) {
			files = arena_grow(scratch, files, file_count, &capacity, sizeof *files);
			files[file_count++] = diags->items[i].place.source;
		}
		ranked[i] = (struct ranked){ diags->items[i], file, i };
	}
	qsort(ranked, diags->count, sizeof *ranked, compare);
	for (size_t i = 0; i < diags->count; i++)
		diags->items[i] = ranked[i].diag;
	index_items(diags);
	arena_free(scratch);
}
