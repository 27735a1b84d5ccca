/* Telling the groups of a file apart. A group that stands there twice is reported and read as
 * one, so that the names in both are known. */
#include "load/document.h"

#include "base/hash.h"

#include <string.h>

/* Where the section of that name goes, or NULL. */
static const struct node **slot_of(struct document *document, const char *key)
{
	if (strcmp(key, "job") == 0)
		return &document->job;
	if (strcmp(key, "limits") == 0)
		return &document->limits;
	if (strcmp(key, "catalogue") == 0)
		return &document->catalogue;
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		if (strcmp(key, kind_words[kind].group) == 0)
			return &document->groups[kind];
		if (strcmp(key, kind_words[kind].types) == 0)
			return &document->types[kind];
	}
	return NULL;
}

static void report_unknown(struct mistakes *m, const struct node *key)
{
	struct nearest nearest = nearest_to(key->text);
	struct report report = { .mistake = MISTAKE_UNKNOWN_GROUP, .place = node_inside(key) };
	static const char *const others[] = { "job", "limits", "catalogue" };
	for (size_t i = 0; i < sizeof others / sizeof *others; i++)
		mistake_offer(m, &nearest, others[i]);
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		mistake_offer(m, &nearest, kind_words[kind].group);
		mistake_offer(m, &nearest, kind_words[kind].types);
	}
	report.hint = mistake_hint(m, &nearest);
	for (enum kind kind = 0; kind < KIND__END && !report.hint; kind++)
		if (attribute_find(kind, key->text))
			report.hint = mistake_text(m, "'%s' belongs to one item; indent it", key->text);
	if (!report.hint)
		report.expected = "job, limits, catalogue, drivers, switches, blocks, strips, cables, "
		                  "driver_types, switch_types, block_types, strip_types or cable_types";
	mistake_report(m, report, "unknown group '%s'", key->text);
}

static const struct node *join(struct arena *nodes, const struct node *a, const struct node *b)
{
	struct node *both = arena_one(nodes, struct node);
	*both = *a;
	both->count = a->count + b->count;
	both->entries = arena_array(nodes, struct entry, both->count);
	for (size_t i = 0; i < both->count; i++)
		both->entries[i] = i < a->count ? a->entries[i] : b->entries[i - a->count];
	return both;
}

static void report_shape(struct mistakes *m, const struct entry *entry)
{
	const char *key = entry->key->text;
	struct report report = { .mistake = MISTAKE_NOT_A_MAPPING, .place = entry->value->at };
	bool lists = strcmp(key, "job") != 0 && strcmp(key, "limits") != 0;
	report.expected = mistake_text(m, "%s: with lines of '%s' below it", key,
	                               lists ? "name: {...}" : "name: value");
	mistake_report(m, report, "'%s' holds a %s", key,
	               entry->value->kind == NODE_LIST ? "list without names" : "single value");
}

/* An empty group is as good as none. False when the value cannot be what it should be. */
static bool take(struct arena *nodes, struct mistakes *m, const struct node **slot,
                 const struct entry *entry, bool any_shape)
{
	const struct node *value = entry->value;
	if (any_shape) {
		*slot = value;
		return true;
	}
	if (node_is_null(value))
		return true;
	if (value->kind == NODE_MAP) {
		*slot = *slot ? join(nodes, *slot, value) : value;
		return true;
	}
	if (value->kind != NODE_BROKEN)
		report_shape(m, entry);
	return false;
}

struct document document_split(struct arena *nodes, const struct node *root, struct mistakes *m)
{
	struct document document = { .guessed = false };
	struct hash seen;
	if (root->kind != NODE_MAP) {
		mistake_report(m, (struct report){ .mistake = MISTAKE_NOT_A_MAPPING, .place = root->at,
		                                   .expected = "groups such as 'drivers:' and 'strips:'" },
		               "this is not a job");
		document.guessed = true;
		return document;
	}
	hash_init(&seen, nodes);
	for (size_t i = 0; i < root->count; i++) {
		const struct entry *entry = &root->entries[i];
		const struct node **slot = slot_of(&document, entry->key->text);
		if (!slot) {
			report_unknown(m, entry->key);
			document.guessed = true;
			continue;
		}
		size_t first = hash_put(&seen, entry->key->text, i);
		if (first != i)
			mistake_report(m, (struct report){
				.mistake = MISTAKE_DUPLICATE_KEY, .place = node_inside(entry->key),
				.hint = mistake_text(m, "the first is at %s; put both together",
				                     mistake_where(m, root->entries[first].key->at,
				                                   entry->key->at)) },
			               "the group '%s' stands there twice", entry->key->text);
		if (!take(nodes, m, slot, entry, slot == &document.catalogue))
			document.guessed = true;
	}
	return document;
}
