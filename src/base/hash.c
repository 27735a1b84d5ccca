/* Names to indices, by linear probing in a table that is at most two thirds full. */
#include "base/hash.h"

#include <string.h>

/* FNV-1a (Fowler, Noll, Vo; 64 bits), begun with the address of the table so that no file can be
 * written to fill one chain in every run; its high bits are folded down because the table uses the
 * low ones. The order of slots is never walked, so results do not depend on the address. */
static size_t slot_of(const struct hash_slot *slots, size_t capacity, const char *name)
{
	uint64_t h = UINT64_C(0xcbf29ce484222325) ^ (uint64_t)(uintptr_t)slots;
	for (const char *c = name; *c; c++)
		h = (h ^ (unsigned char)*c) * UINT64_C(0x100000001b3);
	h ^= h >> 32;
	size_t mask = capacity - 1;
	size_t at = (size_t)h & mask;
	while (slots[at].name && strcmp(slots[at].name, name) != 0)
		at = (at + 1) & mask;
	return at;
}

static void widen(struct hash *hash)
{
	size_t capacity = hash->capacity ? 2 * hash->capacity : 16;
	struct hash_slot *slots = arena_array(hash->arena, struct hash_slot, capacity);
	for (size_t i = 0; i < hash->capacity; i++)
		if (hash->slots[i].name)
			slots[slot_of(slots, capacity, hash->slots[i].name)] = hash->slots[i];
	hash->slots = slots;
	hash->capacity = capacity;
}

void hash_init(struct hash *hash, struct arena *arena)
{
	*hash = (struct hash){ .arena = arena };
}

size_t hash_find(const struct hash *hash, const char *name)
{
	if (hash->capacity == 0)
		return HASH_NONE;
	const struct hash_slot *slot = &hash->slots[slot_of(hash->slots, hash->capacity, name)];
	return slot->name ? slot->value : HASH_NONE;
}

size_t hash_put(struct hash *hash, const char *name, size_t value)
{
	if (3 * (hash->count + 1) > 2 * hash->capacity)
		widen(hash);
	struct hash_slot *slot = &hash->slots[slot_of(hash->slots, hash->capacity, name)];
	if (!slot->name) {
		*slot = (struct hash_slot){ name, value };
		hash->count++;
	}
	return slot->value;
}
