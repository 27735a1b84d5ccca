/* Regions double in size, but only what is touched of them costs memory. Blocks of more than OWN bytes
 * are mappings of their own, so that they really go when they are given back. */
/* MAP_ANONYMOUS, madvise(); the name is the C library's own switch for them. */
#define _DEFAULT_SOURCE        /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
#include "base/pages.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <sys/mman.h>

#define HUGE        ((size_t)2 << 20)  /* of x86-64 and arm64; elsewhere only a unit */
#define OWN         (HUGE / 4 * 3)     /* from here on a block is a mapping of its own */
#define LAST_REGION ((size_t)32 << 20)

struct region {
	struct region *next;
	size_t size;
	_Alignas(max_align_t) char data[];
};

struct spare {
	struct spare *next;
};

static size_t whole(size_t size)
{
	return (size + HUGE - 1) / HUGE * HUGE;
}

/* A multiple of HUGE bytes that begins at one: a large page has no other place to be. */
static char *map(size_t size)
{
	char *wide = mmap(NULL, size + HUGE, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
	if (wide == MAP_FAILED)
		return NULL;
	size_t before = whole((size_t)(uintptr_t)wide) - (size_t)(uintptr_t)wide;
	if (before > 0)
		munmap(wide, before);
	munmap(wide + before + size, HUGE - before);
#ifdef MADV_HUGEPAGE
	(void)madvise(wide + before, size, MADV_HUGEPAGE);     /* a hint */
#endif
	return wide + before;
}

/* The class of a size, and the bytes that its blocks have. */
static size_t class_of(size_t size, size_t *bytes)
{
	size_t octave = 0, least = PAGES_LEAST;
	for (; size > 2 * least; least *= 2)
		octave++;
	size_t quarters = (size + least / 4 - 1) / (least / 4);        /* 4 to 8 */
	*bytes = quarters * (least / 4);
	return 4 * octave + quarters - 4;
}

static bool add_region(struct pages *pages)
{
	size_t size = pages->mapped < LAST_REGION ? whole(pages->mapped + 1) : LAST_REGION;
	struct region *region = (void *)map(size);
	if (!region)
		return false;
	region->next = pages->regions;
	region->size = size;
	pages->regions = region;
	pages->next = region->data;
	pages->left = size - sizeof *region;
	pages->mapped += size;
	return true;
}

void *pages_take(struct pages *pages, size_t size)
{
	size_t bytes;
	if (size > SIZE_MAX / 2)
		return NULL;
	if (size > OWN)
		return map(whole(size));
	struct spare **spare = &pages->spare[class_of(size, &bytes)];
	struct spare *block = *spare;
	if (block) {
		*spare = block->next;
		return memset(block, 0, size);
	}
	if (pages->left < bytes && !add_region(pages))
		return NULL;
	char *fresh = pages->next;
	pages->next += bytes;
	pages->left -= bytes;
	return fresh;
}

void pages_give(struct pages *pages, void *block, size_t size)
{
	size_t bytes;
	if (size > OWN) {
		munmap(block, whole(size));
		return;
	}
	struct spare **spare = &pages->spare[class_of(size, &bytes)], *given = block;
	given->next = *spare;
	*spare = given;
}

void pages_free(struct pages *pages)
{
	while (pages->regions) {
		struct region *region = pages->regions;
		pages->regions = region->next;
		munmap(region, region->size);
	}
}
