/* A bump allocator in chunks that double in size. What is larger than LARGE gets memory of its
 * own, so that nothing large is ever left behind when it has grown. Fresh memory comes zeroed and a
 * reset wipes what was used: taking a block costs an addition. What is larger than the first chunk
 * of a root comes from the pages that the root keeps for itself and its children. */
#include "base/arena.h"

#include "base/arena_faults.h"
#include "base/pages.h"

#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ALIGNMENT   _Alignof(max_align_t)
#define FIRST_CHUNK ((size_t)16 << 10)     /* of a child: it is there to be filled */
#define LAST_CHUNK  ((size_t)1 << 20)
#define LARGE       ((size_t)7 << 10)      /* at most what an empty first chunk can hold */

struct chunk {
	struct chunk *next;
	size_t used;
	size_t capacity;
	_Alignas(max_align_t) char data[];
};

struct large {
	struct large *previous;
	struct large *next;
	size_t size;                           /* with this header */
	_Alignas(max_align_t) char data[];
};

struct deferred {
	struct deferred *next;
	void (*release)(void *thing);
	void *thing;
};

struct arena {
	struct arena *root;
	struct arena *parent;
	struct arena *child;                   /* the newest */
	struct arena *newer, *older;           /* among the children of `parent` */
	struct chunk *first, *current;
	struct large *large;                   /* the newest */
	struct deferred *deferred;             /* the newest */
	jmp_buf *guard;                        /* of a root: where to leave to */
	struct pages pages;                    /* of a root */
};

#ifdef FAREND_FAULTS
static long blocks_left = -1;

void arena_fail_after(long count)
{
	blocks_left = count;
}

static bool memory_refused(void)
{
	if (blocks_left > 0)
		blocks_left--;
	else if (blocks_left == 0)
		return true;
	return false;
}
#else
#define memory_refused() false
#endif

/* FAREND_PLAIN_MEMORY: all of it is malloc()'s, where a sanitizer watches every byte. */
static bool is_paged(size_t size)
{
#ifdef FAREND_PLAIN_MEMORY
	(void)size;
	return false;
#else
	return size > PAGES_LEAST;
#endif
}

/* All memory of the program comes through take(), and goes through give(). */
static void *take(struct arena *arena, size_t size)
{
	if (memory_refused())
		return NULL;
	return is_paged(size) ? pages_take(&arena->root->pages, size) : calloc(1, size);
}

static void give(struct arena *arena, void *memory, size_t size)
{
	if (is_paged(size))
		pages_give(&arena->root->pages, memory, size);
	else
		free(memory);
}

static size_t rounded(size_t size)
{
	return size ? (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT : ALIGNMENT;
}

static bool next_chunk(struct arena *arena)
{
	struct chunk *full = arena->current;
	if (full && full->next) {              /* kept by a reset */
		arena->current = full->next;
		return true;
	}
	size_t size = arena->parent ? FIRST_CHUNK : PAGES_LEAST;
	if (full)
		size = 2 * (full->capacity + sizeof *full);
	if (size > LAST_CHUNK)
		size = LAST_CHUNK;
	struct chunk *chunk = take(arena, size);
	if (!chunk)
		return false;
	chunk->capacity = size - sizeof *chunk;
	if (full)
		full->next = chunk;
	else
		arena->first = chunk;
	arena->current = chunk;
	return true;
}

static void *take_large(struct arena *arena, size_t size)
{
	struct large *large = take(arena, sizeof *large + size);
	if (!large)
		return NULL;
	large->size = sizeof *large + size;
	large->next = arena->large;
	if (large->next)
		large->next->previous = large;
	arena->large = large;
	return large->data;
}

/* NULL when there is no memory: the only way in that does not leave. */
static void *take_block(struct arena *arena, size_t size)
{
	if (size > PTRDIFF_MAX / 2 || memory_refused())
		return NULL;
	size_t room = rounded(size);
	if (room > LARGE)
		return take_large(arena, room);
	struct chunk *chunk = arena->current;
	if (!chunk || chunk->capacity - chunk->used < room) {
		if (!next_chunk(arena))
			return NULL;
		chunk = arena->current;
	}
	void *block = chunk->data + chunk->used;
	chunk->used += room;
	return block;
}

/* Children, deferred releases and large blocks go; chunks stay. */
static void empty(struct arena *arena)
{
	while (arena->child) {
		struct arena *newest = arena->child;
		arena->child = newest->older;
		newest->parent = NULL;
		arena_free(newest);
	}
	while (arena->deferred) {
		struct deferred *last = arena->deferred;
		arena->deferred = last->next;
		last->release(last->thing);
	}
	while (arena->large) {
		struct large *next = arena->large->next;
		give(arena, arena->large, arena->large->size);
		arena->large = next;
	}
}

struct arena *arena_new(void)
{
	struct arena *arena = memory_refused() ? NULL : calloc(1, sizeof *arena);
	if (arena)
		arena->root = arena;
	return arena;
}

struct arena *arena_child(struct arena *parent)
{
	struct arena *arena = take(parent, sizeof *arena);
	if (!arena)
		arena_exhausted(parent);
	arena->root = parent->root;
	arena->parent = parent;
	arena->older = parent->child;
	if (arena->older)
		arena->older->newer = arena;
	parent->child = arena;
	return arena;
}

void arena_free(struct arena *arena)
{
	if (!arena)
		return;
	if (arena->older)
		arena->older->newer = arena->newer;
	if (arena->newer)
		arena->newer->older = arena->older;
	else if (arena->parent)
		arena->parent->child = arena->older;
	empty(arena);
	while (arena->first) {
		struct chunk *next = arena->first->next;
		give(arena, arena->first, arena->first->capacity + sizeof *arena->first);
		arena->first = next;
	}
	if (arena->root == arena)
		pages_free(&arena->pages);
	free(arena);
}

void arena_reset(struct arena *arena)
{
	empty(arena);
	for (struct chunk *chunk = arena->first; chunk && chunk->used; chunk = chunk->next) {
		memset(chunk->data, 0, chunk->used);
		chunk->used = 0;
	}
	arena->current = arena->first;
}

bool arena_guard(struct arena *arena, void (*body)(void *data), void *data)
{
	struct arena *const root = arena->root;
	jmp_buf *const outer = root->guard;
	jmp_buf here;
	volatile bool finished = false;
	root->guard = &here;
	if (setjmp(here) == 0) {
		body(data);
		finished = true;
	}
	root->guard = outer;
	return finished;
}

void arena_exhausted(struct arena *arena)
{
	if (!arena->root->guard)
		abort();                       /* a mistake of the program: it allocates outside a guard */
	longjmp(*arena->root->guard, 1);
}

void arena_defer(struct arena *arena, void (*release)(void *thing), void *thing)
{
	struct deferred *last = take_block(arena, sizeof *last);
	if (!last) {
		release(thing);                /* it is ours already: leaving must not lose it */
		arena_exhausted(arena);
	}
	*last = (struct deferred){ arena->deferred, release, thing };
	arena->deferred = last;
}

void *arena_alloc(struct arena *arena, size_t size)
{
	void *block = take_block(arena, size);
	if (!block)
		arena_exhausted(arena);
	return block;
}

void *arena_alloc_array(struct arena *arena, size_t count, size_t size)
{
	if (size && count > SIZE_MAX / size)
		arena_exhausted(arena);
	return arena_alloc(arena, count * size);
}

static void unlink_large(struct arena *arena, struct large *large)
{
	if (large->next)
		large->next->previous = large->previous;
	if (large->previous)
		large->previous->next = large->next;
	else
		arena->large = large->next;
	give(arena, large, large->size);
}

void *arena_move(struct arena *arena, void *array, size_t used, size_t *capacity, size_t size)
{
	if (used >= SIZE_MAX / 2 / size)
		arena_exhausted(arena);
	size_t wanted = *capacity < 4 ? 8 : 2 * *capacity;
	if (wanted <= used)
		wanted = used + 1;
	size_t before = *capacity * size;
	void *grown = arena_alloc_array(arena, wanted, size);
	if (array)
		memcpy(grown, array, before);
	if (array && rounded(before) > LARGE)
		unlink_large(arena, (void *)((char *)array - offsetof(struct large, data)));
	*capacity = wanted;
	return grown;
}

char *arena_strndup(struct arena *arena, const char *text, size_t length)
{
	char *copy = arena_alloc(arena, length + 1);
	memcpy(copy, text, length);
	return copy;
}

char *arena_strdup(struct arena *arena, const char *text)
{
	return arena_strndup(arena, text, strlen(text));
}

char *arena_vprintf(struct arena *arena, const char *format, va_list args)
{
	char brief[256];                       /* most texts are, and are formatted once */
	va_list again;
	va_copy(again, args);
	int length = vsnprintf(brief, sizeof brief, format, args);
	if (length < 0)
		arena_exhausted(arena);        /* longer than an int can say */
	char *text = arena_alloc(arena, (size_t)length + 1);
	if ((size_t)length < sizeof brief)
		memcpy(text, brief, (size_t)length);
	else
		vsnprintf(text, (size_t)length + 1, format, again);
	va_end(again);
	return text;
}

char *arena_printf(struct arena *arena, const char *format, ...)
{
	va_list args;
	va_start(args, format);
	char *text = arena_vprintf(arena, format, args);
	va_end(args);
	return text;
}
