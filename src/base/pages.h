/* Blocks of more than PAGES_LEAST bytes, cut from regions in which the system may use its large pages: where
 * every small page costs a fault when it is first touched, that is more than what is done with it. What
 * is given back is kept for the next block of about that size, while it is still in the cache. */
#ifndef FAREND_BASE_PAGES_H
#define FAREND_BASE_PAGES_H

#include <stddef.h>

#define PAGES_LEAST   ((size_t)8 << 10)
#define PAGES_CLASSES 32               /* of sizes below 2 MiB, four to every power of two */

struct region;
struct spare;

/* All zero to begin with. */
struct pages {
	struct region *regions;
	char *next;                    /* what is left of the newest region */
	size_t left, mapped;
	struct spare *spare[PAGES_CLASSES];
};

/* `size` zeroed bytes, aligned for any type; NULL when there is no memory. */
void *pages_take(struct pages *pages, size_t size);

/* Takes back a block of `size` bytes. */
void pages_give(struct pages *pages, void *block, size_t size);

/* Every block goes, except those above a MiB, which have to be given back. */
void pages_free(struct pages *pages);

#endif
