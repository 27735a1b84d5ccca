/* The document: groups, items and types from the tables of attributes. Everything that several rows use
 * is a definition of its own, which keeps nesting low and messages of editors short. */
#include "report/schema.h"

#include "model/attribute.h"
#include "reference/reference.h"
#include "report/schema_row.h"
#include "report/version.h"

#include <math.h>
#include <string.h>

/* ASCII, and letters of other scripts without their punctuation (load/group.c). */
const char schema_id_pattern[] = "^[-0-9A-Z_a-z\\u00C0-\\u00D6\\u00D8-\\u00F6\\u00F8-\\u1FFF\\u2C00-\\u2FFF"
                                 "\\u3004-\\uD7FF]{1,64}$";

static const struct attribute catalogue_row = {
	.key = "catalogue", .form = FORM_FILES, .dims = { DIM__END, DIM__END, DIM__END }, .assumed = NAN,
	.about = "names of part tables, relative to this file",
};

static bool only_in_item(const struct attribute *row)
{
	return row->form == FORM_TYPE || row->form == FORM_TERMINAL;
}

static void properties_of(struct schema *s, struct attribute_table table, bool is_type)
{
	for (size_t i = 0; i < table.count; i++)
		if (!is_type || !only_in_item(&table.rows[i]))
			schema_property(s, &table.rows[i]);
}

static void open_mapping(struct schema *s, const char *definition, const char *about)
{
	schema_open_member(s, definition);
	json_member_text(&s->json, "description", about);
	json_member_text(&s->json, "type", "object");
	json_member_flag(&s->json, "additionalProperties", false);
}

static void required(struct schema *s, struct attribute_table table, bool in_item)
{
	json_key(&s->json, "required");
	json_open_array(&s->json);
	for (size_t i = 0; i < table.count; i++)
		if (table.rows[i].need == NEED_YES && only_in_item(&table.rows[i]) == in_item)
			json_add_text(&s->json, table.rows[i].key);
	json_close(&s->json);
}

static void required_one(struct schema *s, const char *key)
{
	json_open_object(&s->json);
	schema_texts(s, "required", (const char *const[]){ key, NULL });
	json_close(&s->json);
}

/* What is merged into a mapping may bring what it needs. */
static void required_or_merged(struct schema *s, struct attribute_table table, bool in_item)
{
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	json_open_object(&s->json);
	required(s, table, in_item);
	json_close(&s->json);
	required_one(s, "<<");
	json_close(&s->json);
}

/* Of two rows that name each other the one that stands for both. */
static bool is_pair(const struct attribute *row)
{
	return row->need == NEED_EITHER && strcmp(row->key, row->partner) < 0;
}

/* One of two keys. */
static void either_definitions(struct schema *s, struct attribute_table table)
{
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		if (!is_pair(row))
			continue;
		schema_open_member(s, arena_printf(s->arena, "%s_or_%s", row->key, row->partner));
		json_key(&s->json, "anyOf");
		json_open_array(&s->json);
		required_one(s, row->key);
		required_one(s, row->partner);
		json_close(&s->json);
		json_close(&s->json);
	}
}

static void either_references(struct schema *s, struct attribute_table table)
{
	size_t pairs = 0;
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		if (!is_pair(row))
			continue;
		if (pairs++ == 0) {
			json_key(&s->json, "allOf");
			json_open_array(&s->json);
		}
		schema_reference(s, arena_printf(s->arena, "%s_or_%s", row->key, row->partner));
	}
	if (pairs > 0)
		json_close(&s->json);
}

static void companions(struct schema *s, struct attribute_table table)
{
	schema_open_member(s, "dependencies");
	for (size_t i = 0; i < table.count; i++)
		if (table.rows[i].need == NEED_NO && table.rows[i].partner)
			schema_texts(s, table.rows[i].key, (const char *const[]){ table.rows[i].partner, NULL });
	json_close(&s->json);
}

/* What an item needs, it may have from its type or from what is merged into it. */
static void needs_of(struct schema *s, struct attribute_table table)
{
	schema_member_reference(s, "if", "stands_alone");
	schema_open_member(s, "then");
	required(s, table, false);
	either_references(s, table);
	companions(s, table);
	json_close(&s->json);
	required_or_merged(s, table, true);
}

/* Readings in { }. */
static void bench_definitions(struct schema *s, struct attribute_table table)
{
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		if (row->form != FORM_BENCH_TEST)
			continue;
		open_mapping(s, row->key, row->about);
		required_or_merged(s, *row->readings, false);
		schema_open_member(s, "properties");
		properties_of(s, *row->readings, false);
		schema_member_reference(s, "<<", "merge");
		json_close(&s->json);
		json_close(&s->json);
	}
}

static void kind_definitions(struct schema *s, enum kind kind)
{
	const struct kind_words *words = &kind_words[kind];
	for (int is_type = 0; is_type < 2; is_type++) {
		open_mapping(s, is_type ? words->types : words->word,
		             arena_printf(s->arena, is_type ? "What %s of this type have in common." : "One of the %s.",
		                          words->group));
		schema_open_member(s, "properties");
		properties_of(s, attributes_of(kind), is_type);
		properties_of(s, attributes_shared, is_type);
		schema_member_reference(s, "<<", "merge");
		json_close(&s->json);
		if (!is_type)
			needs_of(s, attributes_of(kind));
		json_close(&s->json);
	}
	either_definitions(s, attributes_of(kind));
	bench_definitions(s, attributes_of(kind));
}

static void settings_definition(struct schema *s, const char *name, const char *about,
                                struct attribute_table table)
{
	open_mapping(s, name, about);
	schema_open_member(s, "properties");
	properties_of(s, table, false);
	schema_member_reference(s, "<<", "merge");
	json_close(&s->json);
	json_close(&s->json);
}

static void add_type(struct schema *s, const char *type)
{
	json_open_object(&s->json);
	json_member_text(&s->json, "type", type);
	json_close(&s->json);
}

static void value_definitions(struct schema *s)
{
	for (enum dim dim = 0; dim < DIM__END; dim++) {
		if (!schema_dim_names[dim])
			continue;
		schema_open_member(s, schema_dim_names[dim]);
		json_member_text(&s->json, "description", schema_meant(s, dim));
		schema_texts(s, "examples", (const char *const[]){ dim_example(dim), NULL });
		json_key(&s->json, "allOf");
		json_open_array(&s->json);
		schema_string(s, schema_quantity_pattern(s->arena, dim, false), schema_meant(s, dim));
		json_close(&s->json);
		json_close(&s->json);
	}
	json_key(&s->json, "any_temperature");
	schema_string(s, schema_quantity_pattern(s->arena, DIM_CELSIUS, true), schema_meant(s, DIM_CELSIUS));
}

/* Names may be numbers: YAML takes 1 for one. */
static void terminal_definition(struct schema *s)
{
	schema_open_member(s, "terminal");
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	schema_string(s, schema_terminal_pattern(s->arena), "a terminal: D1, S1.out, L1.end, L1@1.2m");
	add_type(s, "number");
	json_close(&s->json);
	json_close(&s->json);
}

static void size_definitions(struct schema *s)
{
	schema_open_member(s, "size");
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	json_open_object(&s->json);
	json_key(&s->json, "enum");
	json_open_array(&s->json);
	for (size_t i = 0; i < wire_size_count; i++)
		json_add_text(&s->json, wire_sizes[i].name);
	json_close(&s->json);
	json_close(&s->json);
	schema_string(s, schema_size_pattern(s->arena, DIM_AREA), "a cable size, such as 0.75 mm2");
	schema_string(s, schema_size_pattern(s->arena, DIM_GAUGE), "a cable size, such as 18 AWG");
	json_close(&s->json);
	json_close(&s->json);

	schema_open_member(s, "sizes");
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	schema_reference(s, "size");
	json_open_object(&s->json);
	json_member_text(&s->json, "type", "array");
	schema_member_reference(s, "items", "size");
	json_member_count(&s->json, "minItems", 1);
	json_close(&s->json);
	json_close(&s->json);
	json_close(&s->json);
}

/* YAML may take a text for a number, and yes and no for true and false or for texts. */
static void word_definitions(struct schema *s)
{
	schema_open_member(s, "text");
	schema_texts(s, "type", (const char *const[]){ "string", "number", "boolean", NULL });
	json_close(&s->json);

	schema_open_member(s, "flag");
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	add_type(s, "boolean");
	json_open_object(&s->json);
	schema_texts(s, "enum", (const char *const[]){ "yes", "no", NULL });
	json_close(&s->json);
	schema_string(s, "^([Yy][Ee][Ss]|[Nn][Oo]|[Tt][Rr][Uu][Ee]|[Ff][Aa][Ll][Ss][Ee])$", "yes or no");
	json_close(&s->json);
	json_close(&s->json);

	schema_open_member(s, "merge");
	json_member_text(&s->json, "description", "YAML's own: takes over what *NAME says.");
	schema_texts(s, "type", (const char *const[]){ "object", "array", NULL });
	schema_open_member(s, "items");
	json_member_text(&s->json, "type", "object");
	json_close(&s->json);
	json_close(&s->json);

	schema_open_member(s, "stands_alone");
	schema_open_member(s, "not");
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	required_one(s, "type");
	required_one(s, "<<");
	json_close(&s->json);
	json_close(&s->json);
	json_close(&s->json);
}

static void definitions(struct schema *s)
{
	schema_open_member(s, "definitions");
	settings_definition(s, "job", "The job itself.", attributes_job);
	settings_definition(s, "limits", "Limits that differ from the usual ones.", attributes_limits);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		kind_definitions(s, kind);
	value_definitions(s);
	terminal_definition(s);
	size_definitions(s);
	word_definitions(s);
	json_close(&s->json);
}

/* An empty group is as good as none. */
static void open_group(struct schema *s, const char *key, const char *about)
{
	schema_open_member(s, key);
	json_member_text(&s->json, "description", about);
	schema_texts(s, "type", (const char *const[]){ "object", "null", NULL });
}

static void groups_of(struct schema *s, enum kind kind)
{
	const struct kind_words *words = &kind_words[kind];
	open_group(s, words->group, arena_printf(s->arena, "The %s, each under a name of its own.", words->group));
	schema_open_member(s, "patternProperties");
	schema_member_reference(s, schema_id_pattern, words->word);
	json_close(&s->json);
	schema_open_member(s, "properties");
	schema_member_reference(s, "<<", "merge");
	json_close(&s->json);
	json_member_flag(&s->json, "additionalProperties", false);
	json_close(&s->json);

	open_group(s, words->types, arena_printf(s->arena, "What several %s have in common: 'type: NAME' at one of "
	                                         "them takes it over.", words->group));
	schema_open_member(s, "propertyNames");
	json_member_count(&s->json, "minLength", 1);
	json_close(&s->json);
	schema_open_member(s, "properties");
	schema_member_reference(s, "<<", "merge");
	json_close(&s->json);
	schema_member_reference(s, "additionalProperties", words->types);
	json_close(&s->json);
}

static void settings_group(struct schema *s, const char *name)
{
	schema_open_member(s, name);
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	schema_reference(s, name);
	add_type(s, "null");
	json_close(&s->json);
	json_close(&s->json);
}

static void groups(struct schema *s)
{
	schema_open_member(s, "properties");
	settings_group(s, "job");
	settings_group(s, "limits");
	schema_property(s, &catalogue_row);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		groups_of(s, kind);
	schema_member_reference(s, "<<", "merge");
	json_close(&s->json);
}

void schema_json(struct buf *out)
{
	struct schema s = { .arena = out->arena };
	json_init(&s.json, out);
	json_open_object(&s.json);
	json_member_text(&s.json, "$schema", "http://json-schema.org/draft-07/schema#");
	json_member_text(&s.json, "title", "A Farend job");
	json_member_text(&s.json, "$comment", "Written by farend " FAREND_VERSION " from its tables.");
	json_member_text(&s.json, "type", "object");
	json_key(&s.json, "anyOf");
	json_open_array(&s.json);
	required_one(&s, kind_words[KIND_DRIVER].group);
	required_one(&s, kind_words[KIND_STRIP].group);
	required_one(&s, "<<");
	json_close(&s.json);
	json_member_flag(&s.json, "additionalProperties", false);
	groups(&s);
	definitions(&s);
	json_close(&s.json);
}
