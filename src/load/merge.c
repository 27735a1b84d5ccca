/* https://yaml.org/type/merge.html: "<<" with a mapping or a list of mappings. */
#include "load/merge.h"

#include "base/hash.h"

#include <string.h>

static bool is_merge(const struct entry *entry)
{
	return !entry->key->quoted && strcmp(entry->key->text, "<<") == 0;
}

struct merger {
	struct arena *nodes;
	struct mistakes *m;
	struct hash known;           /* names that are there already */
	struct entry *entries;
	size_t count, capacity;
};

static void add(struct merger *merger, struct entry entry)
{
	merger->entries = arena_grow(merger->nodes, merger->entries, merger->count, &merger->capacity,
	                             sizeof entry);
	merger->entries[merger->count++] = entry;
}

static void take_from(struct merger *merger, const struct node *from)
{
	if (from->kind != NODE_MAP) {
		if (from->kind != NODE_BROKEN)
			mistake_report(merger->m, (struct report){ .mistake = MISTAKE_MERGE_KEY,
			                                           .place = from->at,
			                                           .expected = "<<: *name of a mapping" },
			               "'<<' can only take over a mapping");
		return;
	}
	for (size_t i = 0; i < from->count; i++)
		if (hash_put(&merger->known, from->entries[i].key->text, merger->count) == merger->count)
			add(merger, from->entries[i]);
}

void merge_entries(struct arena *nodes, struct node *map, struct mistakes *m)
{
	size_t merges = 0;
	for (size_t i = 0; i < map->count; i++)
		merges += is_merge(&map->entries[i]);
	if (merges == 0)
		return;
	struct merger merger = { .nodes = nodes, .m = m };
	hash_init(&merger.known, nodes);
	for (size_t i = 0; i < map->count; i++) {
		if (is_merge(&map->entries[i]))
			continue;
		hash_put(&merger.known, map->entries[i].key->text, merger.count);
		add(&merger, map->entries[i]);
	}
	for (size_t i = 0; i < map->count; i++) {
		const struct node *value = map->entries[i].value;
		if (!is_merge(&map->entries[i]))
			continue;
		if (value->kind != NODE_LIST)
			take_from(&merger, value);
		for (size_t k = 0; value->kind == NODE_LIST && k < value->count; k++)
			take_from(&merger, value->items[k]);
	}
	map->entries = merger.entries;
	map->count = merger.count;
}
