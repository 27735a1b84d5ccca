/* Memory that dies together.
 *
 * An arena hands out zeroed blocks and frees all of them at once. Running out of memory is an event
 * of the environment, so no caller checks for it: every allocation either succeeds or leaves through
 * the nearest arena_guard(), which returns false. The public interface guards each of its calls, so a
 * caller sees a status and never an exit. Resources of other libraries (a parser, a factorisation) are
 * handed to arena_defer() and released with the arena, on that way out too. */
#ifndef FAREND_BASE_ARENA_H
#define FAREND_BASE_ARENA_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

struct arena;

/* A new arena, or NULL when there is no memory. */
struct arena *arena_new(void);

/* An arena inside `parent`: it shares the parent's guard and dies with it, or sooner by arena_free(). */
struct arena *arena_child(struct arena *parent);

/* Runs what was deferred (last first), frees every block, the children and the arena. Accepts NULL. */
void arena_free(struct arena *arena);

/* Forgets every block but keeps the memory for new ones; runs what was deferred. For scratch in loops. */
void arena_reset(struct arena *arena);

/* Calls body(data). False when memory ran out inside it; what it had allocated stays in its arenas. */
bool arena_guard(struct arena *arena, void (*body)(void *data), void *data);

/* Leaves through the nearest guard: for a foreign library that reports that it had no memory. */
_Noreturn void arena_exhausted(struct arena *arena);

/* Calls release(thing) when the arena is freed or reset. */
void arena_defer(struct arena *arena, void (*release)(void *thing), void *thing);

/* `size` zeroed bytes, aligned for any type. Never NULL; size 0 gives a unique pointer. */
void *arena_alloc(struct arena *arena, size_t size);

/* count * size zeroed bytes; leaves through the guard when the product overflows. */
void *arena_alloc_array(struct arena *arena, size_t count, size_t size);
#define arena_array(arena, type, count) ((type *)arena_alloc_array((arena), (count), sizeof(type)))
#define arena_one(arena, type) ((type *)arena_alloc((arena), sizeof(type)))

/* Moves an array of `*capacity` elements to a larger place when `used` has reached the capacity.
 * Large blocks are really freed, so that a growing buffer costs no more than twice its size. */
static inline void *arena_grow(struct arena *arena, void *array, size_t used, size_t *capacity,
                               size_t size);

/* The part of arena_grow() that is rare. */
void *arena_move(struct arena *arena, void *array, size_t used, size_t *capacity, size_t size);

static inline void *arena_grow(struct arena *arena, void *array, size_t used, size_t *capacity,
                               size_t size)
{
	return used < *capacity ? array : arena_move(arena, array, used, capacity, size);
}

char *arena_strndup(struct arena *arena, const char *text, size_t length);
char *arena_strdup(struct arena *arena, const char *text);
char *arena_printf(struct arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));
char *arena_vprintf(struct arena *arena, const char *format, va_list args)
	__attribute__((format(printf, 2, 0)));

#endif
