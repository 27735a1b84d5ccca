/* Reading types and items, and bringing them together. */
#include "load/group.h"

#include <string.h>

#define LONGEST_ID 64           /* characters */

struct fields loader_fields(enum kind kind, void *base, const char *id)
{
	return (struct fields){ .own = attributes_of(kind), .shared = attributes_shared, .base = base,
	                        .word = kind_words[kind].word, .id = id };
}

/* ASCII letters and digits, - and _, and letters of other scripts: whatever lies in the blocks of
 * scripts, but not their punctuation, symbols and private characters. */
static bool may_be_in_id(uint32_t code)
{
	if (code < 0x80)
		return (code >= '0' && code <= '9') || (code >= 'A' && code <= 'Z') ||
		       (code >= 'a' && code <= 'z') || code == '-' || code == '_';
	return code >= 0xC0 && code < 0xE000 && code != 0xD7 && code != 0xF7 &&
	       !(code >= 0x2000 && code < 0x2C00) && !(code >= 0x3000 && code < 0x3004);
}

static bool check_id(struct loader *l, const struct node *id, const char *word)
{
	size_t size = strlen(id->text), at = 0, characters = 0;
	struct report report = { .mistake = MISTAKE_BAD_ID, .place = node_inside(id),
	                         .expected = "letters, digits, - and _" };
	while (at < size) {
		uint32_t code;
		size_t step = text_decode(id->text + at, size - at, &code);
		if (!may_be_in_id(code)) {
			report.place = node_within(id, characters, 1);
			mistake_report(&l->mistakes, report, "the name of a %s cannot have '%.*s' in it", word,
			               (int)step, id->text + at);
			return false;
		}
		at += step;
		characters++;
	}
	if (characters > 0 && characters <= LONGEST_ID)
		return true;
	report.expected = mistake_text(&l->mistakes, "1 to %d letters, digits, - and _", LONGEST_ID);
	mistake_report(&l->mistakes, report, "the name of a %s is %s", word,
	               characters ? "too long" : "empty");
	return false;
}

static void report_item_shape(struct loader *l, const struct fields *fields, const struct node *id,
                              const struct node *value)
{
	bool null = node_is_null(value);
	struct report report = { .mistake = null ? MISTAKE_EMPTY_VALUE : MISTAKE_NOT_A_MAPPING,
	                         .place = null ? node_inside(id) : value->at };
	report.expected = mistake_text(&l->mistakes, "%s: {%s}", fields->id,
	                               fields_example(&l->mistakes, fields));
	if (value->kind != NODE_BROKEN)
		mistake_report(&l->mistakes, report, null ? "%s has nothing in it" :
		               "%s takes 'key: value' lines, or { } with them",
		               fields_owner(&l->mistakes, fields));
}

/* Decodes the mapping and leaves in `record` what came of it. */
static void decode_into(struct loader *l, struct fields *fields, const struct node *id,
                        const struct node *value, struct record *record)
{
	l->decoder.origin = record->origin;
	if (value->kind == NODE_MAP) {
		fields_decode(&l->decoder, fields, value);
		record->tried = fields->tried;
	} else {
		report_item_shape(l, fields, id, value);
		record->tried = UINT64_MAX;
	}
}

static void report_second_type(struct loader *l, enum kind kind, const struct node *id,
                               size_t first)
{
	const struct item *type = loader_type(l, kind, first);
	struct report report = { .mistake = MISTAKE_DUPLICATE_TYPE, .place = node_inside(id) };
	report.hint = mistake_text(&l->mistakes, "the first is at %s",
	                           mistake_where(&l->mistakes, type->at, report.place));
	mistake_report(&l->mistakes, report, "there are two %s types '%s'", kind_words[kind].word,
	               id->text);
}

void group_add_type(struct loader *l, enum kind kind, const struct node *id, const struct node *map,
                    enum origin origin)
{
	size_t index = l->job->type_count[kind];
	size_t stored = hash_put(&l->type_names[kind], id->text, index);
	if (stored != index)
		report_second_type(l, kind, id, stored);
	l->job->types[kind] = arena_grow(l->arena, l->job->types[kind], index, &l->type_capacity[kind],
	                                 kind_size(kind));
	l->types[kind] = arena_grow(l->nodes, l->types[kind], index, &l->record_capacity[kind],
	                            sizeof(struct record));
	l->job->type_count[kind]++;

	struct item *type = loader_type(l, kind, index);
	struct fields fields = loader_fields(kind, type, id->text);
	struct record *record = &l->types[kind][index];
	type->id = id->text;
	type->at = node_inside(id);
	type->kind = kind;
	fields.word = mistake_text(&l->mistakes, "%s type", kind_words[kind].word);
	fields.is_type = true;
	record->origin = origin;
	decode_into(l, &fields, id, map, record);
}

void group_read_types(struct loader *l, enum kind kind, const struct node *group)
{
	for (size_t i = 0; group && i < group->count && !mistakes_full(&l->mistakes); i++) {
		const struct entry *entry = &group->entries[i];
		if (entry->key->text[0] == '\0')
			check_id(l, entry->key, "type");
		else
			group_add_type(l, kind, entry->key, entry->value, ORIGIN_TYPE);
	}
}

static void allocate_items(struct loader *l, enum kind kind, size_t count)
{
	struct job *job = l->job;
	l->items[kind] = arena_array(l->nodes, struct record, count);
	switch (kind) {
	case KIND_DRIVER:
		job->drivers = arena_array(l->arena, struct driver, job->driver_count = count);
		break;
	case KIND_SWITCH:
		job->switches = arena_array(l->arena, struct switch_item, job->switch_count = count);
		break;
	case KIND_BLOCK:
		job->blocks = arena_array(l->arena, struct block, job->block_count = count);
		break;
	case KIND_STRIP:
		job->strips = arena_array(l->arena, struct strip, job->strip_count = count);
		break;
	case KIND_CABLE:
		job->cables = arena_array(l->arena, struct cable, job->cable_count = count);
		break;
	case KIND__END:
		break;
	}
}

static bool is_behind(struct place a, struct place b)
{
	return a.line > b.line || (a.line == b.line && a.column > b.column);
}

/* Two items of one name: the later one in the file is to blame, whichever was read first. */
static void report_second_item(struct loader *l, enum kind kind, struct place at,
                               const struct named *other)
{
	const struct item *item = job_item(l->job, other->kind, other->index);
	struct report report = { .mistake = MISTAKE_DUPLICATE_ID, .place = at };
	struct place first = item->at;
	enum kind first_kind = other->kind;
	if (is_behind(first, at)) {
		report.place = first;
		first = at;
		first_kind = kind;
	}
	report.hint = mistake_text(&l->mistakes, "the first is at %s",
	                           mistake_where(&l->mistakes, first, report.place));
	if (other->kind == kind)
		mistake_report(&l->mistakes, report, "there are two %s called '%s'",
		               kind_words[kind].group, item->id);
	else
		mistake_report(&l->mistakes, report, "'%s' is the name of a %s already", item->id,
		               kind_words[first_kind].word);
}

/* Enters a name among those of all items. */
static void name_item(struct loader *l, enum kind kind, size_t index, const struct node *id)
{
	size_t at = l->named_count;
	size_t stored = hash_put(&l->ids, id->text, at);
	if (stored != at) {
		report_second_item(l, kind, node_inside(id), &l->named[stored]);
		return;
	}
	l->named = arena_grow(l->nodes, l->named, at, &l->named_capacity, sizeof *l->named);
	l->named[l->named_count++] = (struct named){ kind, index };
}

void group_read_items(struct loader *l, enum kind kind, const struct node *group)
{
	size_t count = group && !mistakes_full(&l->mistakes) ? group->count : 0;
	allocate_items(l, kind, count);
	for (size_t i = 0; i < count && !mistakes_full(&l->mistakes); i++) {
		const struct node *id = group->entries[i].key;
		struct item *item = job_item(l->job, kind, i);
		struct fields fields = loader_fields(kind, item, id->text);
		item->id = id->text;
		item->at = node_inside(id);
		item->kind = kind;
		l->items[kind][i].origin = ORIGIN_GIVEN;
		check_id(l, id, kind_words[kind].word);
		name_item(l, kind, i, id);
		decode_into(l, &fields, id, group->entries[i].value, &l->items[kind][i]);
	}
}

static void report_unknown_type(struct loader *l, enum kind kind, const struct item *item)
{
	const char *name = item->type.text;
	struct nearest nearest = nearest_to(name);
	struct report report = { .mistake = MISTAKE_UNKNOWN_TYPE, .place = item->type.place };
	for (size_t i = 0; i < l->job->type_count[kind]; i++)
		mistake_offer(&l->mistakes, &nearest, ((struct item *)loader_type(l, kind, i))->id);
	report.hint = mistake_hint(&l->mistakes, &nearest);
	for (enum kind other = 0; other < KIND__END && !report.hint; other++)
		if (hash_find(&l->type_names[other], name) != HASH_NONE)
			report.hint = mistake_text(&l->mistakes, "'%s' is a %s type", name,
			                           kind_words[other].word);
	if (!report.hint)
		report.expected = mistake_text(&l->mistakes, "a name under '%s:' or in a catalogue",
		                               kind_words[kind].types);
	mistake_report(&l->mistakes, report, "there is no %s type '%s'", kind_words[kind].word, name);
}

/* Nobody knows what a type would have said that is wrong itself: nothing is missing then. */
static void inherit(struct loader *l, enum kind kind, struct item *item, struct record *record)
{
	struct fields fields = loader_fields(kind, item, item->id);
	fields.tried = record->tried;
	if (!attr_has(&item->type)) {
		if (fields_tried(&fields, "type"))
			record->tried = UINT64_MAX;
		return;
	}
	size_t index = hash_find(&l->type_names[kind], item->type.text);
	if (index == HASH_NONE) {
		report_unknown_type(l, kind, item);
		record->tried = UINT64_MAX;
		return;
	}
	const struct record *type = &l->types[kind][index];
	item_inherit(kind, item, loader_type(l, kind, index), type->origin);
	item->type_name = item->type.text;
	record->tried |= type->tried;
}

void group_complete_items(struct loader *l, enum kind kind)
{
	for (size_t i = 0; i < job_count(l->job, kind) && !mistakes_full(&l->mistakes); i++) {
		struct item *item = job_item(l->job, kind, i);
		struct record *record = &l->items[kind][i];
		struct fields fields = loader_fields(kind, item, item->id);
		inherit(l, kind, item, record);
		fields.tried = record->tried;
		fields.has_type = item->type_name != NULL;
		size_t before = l->mistakes.found;
		fields_check_needs(&l->decoder, &fields, item->at);
		record->broken = fields_broken(&fields) || l->mistakes.found > before;
	}
}
