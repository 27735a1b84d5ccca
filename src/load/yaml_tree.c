/* libyaml's events to a tree. Aliases share the node they stand for, so a small file cannot make
 * a large tree; what they would write out is counted all the same, because whoever walks the
 * tree walks it.
 *
 * The parser's marks count lines and columns from 0, in characters. Its error marks are put into
 * plain words by yaml_problem.c. */
#include "load/yaml_tree.h"

#include "base/hash.h"
#include "load/load.h"
#include "load/merge.h"
#include "load/text_check.h"
#include "load/yaml_problem.h"

#include <string.h>
#include <yaml.h>

#define NO_ANCHOR SIZE_MAX

struct anchor {
	struct node *node;
	bool open;                   /* still being read */
};

struct reader {
	yaml_parser_t parser;
	yaml_event_t event;          /* the current one */
	struct arena *arena, *nodes;
	struct mistakes *m;
	const struct yaml_text *text;
	struct hash anchor_names;
	struct anchor *anchors;
	size_t anchor_count, anchor_capacity;
	size_t expanded;
};

static void release(void *thing)
{
	struct reader *r = thing;
	yaml_event_delete(&r->event);
	yaml_parser_delete(&r->parser);
}

/* From `start` to `end`, or to the end of its line. In a cell, counted from the cell's text. */
static struct place span(const struct reader *r, yaml_mark_t start, yaml_mark_t end)
{
	if (r->text->cell && start.line > 0)       /* behind its only line: its end */
		return node_within(r->text->cell, tree_characters(r->text->bytes, r->text->size), 1);
	if (r->text->cell)
		return node_within(r->text->cell, start.column, end.column - start.column);
	struct place place = { r->text->source, (uint32_t)start.line + 1, (uint32_t)start.column + 1,
	                       1 };
	size_t length = end.column;
	if (start.line != end.line) {
		const char *line = source_line(place.source, place.line, &length);
		length = tree_characters(line, length);
	}
	if (length > start.column + 1)
		place.length = (uint32_t)(length - start.column);
	return place;
}

static struct place mark_place(const struct reader *r, yaml_mark_t mark)
{
	return span(r, mark, mark);
}

static bool next_event(struct reader *r)
{
	yaml_parser_t *parser = &r->parser;
	yaml_event_delete(&r->event);
	if (yaml_parser_parse(parser, &r->event))
		return true;
	if (parser->error == YAML_MEMORY_ERROR)
		arena_exhausted(r->arena);
	struct yaml_problem problem = {
		.problem = parser->problem, .context = parser->context,
		.found = mark_place(r, parser->problem_mark), .begun = mark_place(r, parser->context_mark),
	};
	yaml_problem_report(r->m, &problem);
	return false;
}

static bool is_core_tag(const char *tag)
{
	static const char prefix[] = "tag:yaml.org,2002:";
	static const char *const core[] = { "str", "int", "float", "bool", "null", "seq", "map" };
	if (!tag || strcmp(tag, "!") == 0)
		return true;
	if (strncmp(tag, prefix, sizeof prefix - 1) != 0)
		return false;
	for (size_t i = 0; i < sizeof core / sizeof *core; i++)
		if (strcmp(tag + sizeof prefix - 1, core[i]) == 0)
			return true;
	return false;
}

static void check_tag(struct reader *r, const yaml_char_t *tag)
{
	if (!is_core_tag((const char *)tag))
		mistake_report(r->m, (struct report){ .mistake = MISTAKE_YAML_TAG,
		                                      .place = mark_place(r, r->event.start_mark),
		                                      .hint = "put a text that begins with '!' in "
		                                              "quotation marks" },
		               "tags are not used in a job");
}

static struct node *new_node(struct reader *r, enum node_kind kind)
{
	struct node *node = arena_one(r->nodes, struct node);
	node->kind = kind;
	node->weight = 1;
	return node;
}

/* Remembers what an anchor stands for; the newest of one name counts, as YAML says. Returns
 * where, or NO_ANCHOR. */
static size_t set_anchor(struct reader *r, const yaml_char_t *name, struct node *node)
{
	if (!name)
		return NO_ANCHOR;
	const char *copy = arena_strdup(r->nodes, (const char *)name);
	size_t at = hash_put(&r->anchor_names, copy, r->anchor_count);
	if (at == r->anchor_count) {
		r->anchors = arena_grow(r->nodes, r->anchors, r->anchor_count, &r->anchor_capacity,
		                        sizeof *r->anchors);
		r->anchor_count++;
	}
	r->anchors[at] = (struct anchor){ node, node->kind != NODE_SCALAR };
	return at;
}

static void close_anchor(struct reader *r, size_t at, const struct node *node)
{
	if (at != NO_ANCHOR && r->anchors[at].node == node)
		r->anchors[at].open = false;
}

static struct node *read_alias(struct reader *r, unsigned depth)
{
	const char *name = (const char *)r->event.data.alias.anchor;
	struct report report = { .place = span(r, r->event.start_mark, r->event.end_mark) };
	size_t at = hash_find(&r->anchor_names, name);
	if (at == HASH_NONE) {
		struct nearest nearest = nearest_to(name);
		for (size_t i = 0; i < r->anchor_names.capacity; i++)
			if (r->anchor_names.slots[i].name)
				mistake_offer(r->m, &nearest, r->anchor_names.slots[i].name);
		report.mistake = MISTAKE_UNKNOWN_ALIAS;
		report.hint = mistake_hint(r->m, &nearest);
		report.expected = "an anchor '&name' further up, or the text in quotation marks";
		mistake_report(r->m, report, "'*%s' stands for nothing", name);
		return new_node(r, NODE_BROKEN);
	}
	struct node *node = r->anchors[at].node;
	if (r->anchors[at].open) {
		report.mistake = MISTAKE_ALIAS_IN_ITSELF;
		mistake_report(r->m, report, "'*%s' lies inside what it stands for", name);
		return new_node(r, NODE_BROKEN);
	}
	r->expanded += node->weight;
	if (r->expanded > YAML_MOST_EXPANDED) {
		report.mistake = MISTAKE_ALIAS_EXPANSION;
		mistake_report(r->m, report, "the aliases up to here stand for more than %d values",
		               YAML_MOST_EXPANDED);
		return NULL;
	}
	if (depth + node->height > LOAD_MAX_DEPTH) {
		report.mistake = MISTAKE_TOO_DEEP;
		mistake_report(r->m, report, "lists and mappings are nested more than %d deep",
		               LOAD_MAX_DEPTH);
		return NULL;
	}
	return node;
}

/* Where the text stands inside the scalar. An anchor or a tag counts as its beginning for the
 * parser, so a scalar of one line is measured from its end. */
static void place_scalar(const struct reader *r, struct node *node, size_t size)
{
	yaml_mark_t start = r->event.start_mark, end = r->event.end_mark;
	yaml_scalar_style_t style = r->event.data.scalar.style;
	bool plain = style == YAML_PLAIN_SCALAR_STYLE;
	size_t raw = tree_characters(node->text, size) + (plain ? 0 : 2);
	bool one_line = start.line == end.line && style != YAML_LITERAL_SCALAR_STYLE &&
	                style != YAML_FOLDED_SCALAR_STYLE && end.column - start.column >= raw;
	bool dressed = r->event.data.scalar.anchor || r->event.data.scalar.tag;
	if (one_line && dressed)
		start.column = end.column - raw;
	node->at = span(r, start, end);
	node->exact = one_line && end.column - start.column == raw &&
	              (!r->text->cell || r->text->cell->exact);
	node->lead = plain ? 0 : 1;
}

static struct node *read_scalar(struct reader *r)
{
	const char *value = (const char *)r->event.data.scalar.value;
	size_t size = r->event.data.scalar.length;
	uint32_t code;
	struct node *node = new_node(r, NODE_SCALAR);
	node->quoted = r->event.data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
	node->text = arena_strndup(r->arena, value, size);
	place_scalar(r, node, size);
	check_tag(r, r->event.data.scalar.tag);
	if (text_first_bad(value, size, &code) < size) {
		mistake_report(r->m, (struct report){ .mistake = MISTAKE_BAD_CHARACTER, .place = node->at },
		               "the character U+%04X cannot stand in a text", (unsigned)code);
		node->kind = NODE_BROKEN;
	}
	set_anchor(r, r->event.data.scalar.anchor, node);
	return node;
}

static struct node *read_node(struct reader *r, unsigned depth);

static void add_weight(struct node *node, const struct node *child)
{
	node->weight += child->weight;
	if (child->height >= node->height)
		node->height = (unsigned char)(child->height + 1);
}

static struct node *read_list(struct reader *r, unsigned depth)
{
	struct node *node = new_node(r, NODE_LIST);
	size_t capacity = 0;
	node->height = 1;
	node->at = mark_place(r, r->event.start_mark);
	check_tag(r, r->event.data.sequence_start.tag);
	size_t anchor = set_anchor(r, r->event.data.sequence_start.anchor, node);
	for (;;) {
		if (!next_event(r))
			return NULL;
		if (r->event.type == YAML_SEQUENCE_END_EVENT)
			break;
		struct node *item = read_node(r, depth + 1);
		if (!item)
			return NULL;
		node->items = arena_grow(r->nodes, node->items, node->count, &capacity,
		                         sizeof(struct node *));
		node->items[node->count++] = item;
		add_weight(node, item);
	}
	close_anchor(r, anchor, node);
	return node;
}

static void report_key(struct reader *r, const struct node *key)
{
	const char *hint = "put a name that begins with '{' or '[' in quotation marks";
	if (key->kind != NODE_BROKEN)
		mistake_report(r->m, (struct report){ .mistake = MISTAKE_KEY_NOT_TEXT, .place = key->at,
		                                      .hint = hint },
		               "a name is needed before the ':', not a %s",
		               key->kind == NODE_LIST ? "list" : "mapping");
}

static struct node *read_map(struct reader *r, unsigned depth)
{
	struct node *node = new_node(r, NODE_MAP);
	size_t capacity = 0;
	node->height = 1;
	node->at = mark_place(r, r->event.start_mark);
	check_tag(r, r->event.data.mapping_start.tag);
	size_t anchor = set_anchor(r, r->event.data.mapping_start.anchor, node);
	for (;;) {
		if (!next_event(r))
			return NULL;
		if (r->event.type == YAML_MAPPING_END_EVENT)
			break;
		struct node *key = read_node(r, depth + 1);
		struct node *value = key && next_event(r) ? read_node(r, depth + 1) : NULL;
		if (!value)
			return NULL;
		add_weight(node, key);
		add_weight(node, value);
		if (key->kind != NODE_SCALAR) {
			report_key(r, key);
			continue;
		}
		node->entries = arena_grow(r->nodes, node->entries, node->count, &capacity,
		                           sizeof *node->entries);
		node->entries[node->count++] = (struct entry){ key, value };
	}
	close_anchor(r, anchor, node);
	merge_entries(r->nodes, node, r->m);
	return node;
}

/* The node that the current event begins, with everything below. */
static struct node *read_node(struct reader *r, unsigned depth)
{
	switch (r->event.type) {
	case YAML_ALIAS_EVENT:
		return read_alias(r, depth);
	case YAML_SCALAR_EVENT:
		return read_scalar(r);
	default:
		break;
	}
	if (depth >= LOAD_MAX_DEPTH) {
		mistake_report(r->m, (struct report){ .mistake = MISTAKE_TOO_DEEP,
		                                      .place = mark_place(r, r->event.start_mark) },
		               "lists and mappings are nested more than %d deep", LOAD_MAX_DEPTH);
		return NULL;
	}
	return r->event.type == YAML_SEQUENCE_START_EVENT ? read_list(r, depth) : read_map(r, depth);
}

/* The document between the start and the end of the stream, and that there is no second one. */
static struct node *read_stream(struct reader *r)
{
	if (!next_event(r) || !next_event(r))
		return NULL;
	if (r->event.type == YAML_STREAM_END_EVENT) {
		mistake_report(r->m, (struct report){ .mistake = MISTAKE_EMPTY_FILE,
		                                      .place = { .source = r->text->source } },
		               "there is nothing but comments in the file");
		return NULL;
	}
	struct node *root = next_event(r) ? read_node(r, 0) : NULL;
	if (!root || !next_event(r) || !next_event(r))
		return NULL;
	if (r->event.type == YAML_STREAM_END_EVENT)
		return root;
	mistake_report(r->m, (struct report){ .mistake = MISTAKE_SEVERAL_DOCUMENTS,
	                                      .place = span(r, r->event.start_mark, r->event.end_mark),
	                                      .expected = "one job per file" },
	               "a second document begins here");
	return NULL;
}

struct node *yaml_tree_read(struct arena *arena, struct arena *nodes, const struct yaml_text *text,
                            struct mistakes *m)
{
	struct arena *own = arena_child(nodes);
	struct reader *r = arena_one(own, struct reader);
	*r = (struct reader){ .arena = arena, .nodes = nodes, .m = m, .text = text };
	if (!yaml_parser_initialize(&r->parser))
		arena_exhausted(arena);
	arena_defer(own, release, r);
	hash_init(&r->anchor_names, own);
	yaml_parser_set_encoding(&r->parser, YAML_UTF8_ENCODING);
	yaml_parser_set_input_string(&r->parser, (const unsigned char *)text->bytes, text->size);
	struct node *root = read_stream(r);
	arena_free(own);
	return root;
}
