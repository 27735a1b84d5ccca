/* A map from names to indices: open addressing, FNV-1a with a per-map stir, insertion only. */
#ifndef FAREND_BASE_HASH_H
#define FAREND_BASE_HASH_H

#include "base/arena.h"

#include <stdint.h>

#define HASH_NONE SIZE_MAX

struct hash_slot {
	const char *name;
	size_t value;
};

struct hash {
	struct arena *arena;
	struct hash_slot *slots;
	size_t capacity;
	size_t count;
};

void hash_init(struct hash *hash, struct arena *arena);

/* The value stored under `name`, or HASH_NONE. */
size_t hash_find(const struct hash *hash, const char *name);

/* Stores `value` under `name` (kept by pointer) unless the name is there already. Returns the value
 * that is stored afterwards: `value` when it was new, else the earlier one. */
size_t hash_put(struct hash *hash, const char *name, size_t value);

#endif
