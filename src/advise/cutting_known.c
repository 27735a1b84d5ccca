/* A table with one place per hash value, of bounded size. */
#include "advise/cutting_known.h"

#define BYTES_MOST ((size_t)1 << 23)
#define SLOTS_MOST ((size_t)1 << 16)

void known_init(struct known *known, size_t width, struct arena *arena)
{
	*known = (struct known){ .arena = arena, .width = width, .slots = SLOTS_MOST };
	while (known->slots * width * sizeof *known->left > BYTES_MOST)
		known->slots /= 2;
}

/* FNV-1a over whole numbers, the high bits folded in. */
static size_t slot_of(const struct known *known, const size_t *left)
{
	uint64_t hash = UINT64_C(14695981039346656037);
	for (size_t i = 0; i < known->width; i++)
		hash = (hash ^ left[i]) * UINT64_C(1099511628211);
	return (size_t)(hash ^ hash >> 32) & (known->slots - 1);
}

void known_add(struct known *known, const size_t *left, size_t reels)
{
	if (known->left == NULL) {
		known->left = arena_array(known->arena, uint16_t, known->slots * known->width);
		known->reels = arena_array(known->arena, uint16_t, known->slots);
	}
	size_t slot = slot_of(known, left);
	known->reels[slot] = (uint16_t)reels;
	for (size_t i = 0; i < known->width; i++)
		known->left[slot * known->width + i] = (uint16_t)left[i];
}

bool known_unfit(const struct known *known, const size_t *left, size_t reels)
{
	if (known->left == NULL)
		return false;
	size_t slot = slot_of(known, left);
	const uint16_t *kept = known->left + slot * known->width;
	if (known->reels[slot] < reels)
		return false;
	for (size_t i = 0; i < known->width; i++)
		if (kept[i] != left[i])
			return false;
	return true;
}
