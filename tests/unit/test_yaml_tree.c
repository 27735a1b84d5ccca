/* YAML to a tree: shapes, places, aliases, and what is refused. Line and column of each value were
 * counted by hand in the text beside it. */
#include "support.h"

#include "load/yaml_tree.h"

#include <stdio.h>

struct reading {
	struct arena *arena;
	struct diags diags;
	struct mistakes m;
	struct node *root;
};

static struct reading read_bytes(const char *bytes, size_t size)
{
	struct reading r = { .arena = arena_new() };
	diags_init(&r.diags, r.arena);
	mistakes_init(&r.m, r.arena, &r.diags);
	struct yaml_text text = { .source = source_new(r.arena, "job.yaml", bytes, size) };
	text.bytes = text.source->bytes;
	text.size = text.source->size;
	r.root = yaml_tree_read(r.arena, r.arena, &text, &r.m);
	return r;
}

static struct reading read_text(const char *text)
{
	return read_bytes(text, strlen(text));
}

static void done(struct reading *r)
{
	arena_free(r->arena);
}

static const struct node *value(const struct node *map, const char *key)
{
	for (size_t i = 0; i < map->count; i++)
		if (strcmp(map->entries[i].key->text, key) == 0)
			return map->entries[i].value;
	fail_msg("no key %s", key);
	return NULL;
}

static void assert_place(struct place place, unsigned line, unsigned column, unsigned length)
{
	assert_int_equal(place.line, line);
	assert_int_equal(place.column, column);
	assert_int_equal(place.length, length);
}

static void assert_refused(const char *text, const char *kind, unsigned line, unsigned column)
{
	struct reading r = read_text(text);
	assert_int_equal(r.diags.count, 1);
	assert_string_equal(r.diags.items[0].kind, kind);
	assert_int_equal(r.diags.items[0].place.line, line);
	assert_int_equal(r.diags.items[0].place.column, column);
	done(&r);
}

static void keys_and_values_know_their_places(void **state)
{
	(void)state;
	struct reading r = read_text("job:\n  name: Boot room  # a remark\n  \"note\":  'is it'\n"
	                             "list: [24 V, {a: 1}]\n");
	assert_non_null(r.root);
	assert_int_equal(r.diags.count, 0);
	const struct node *job = value(r.root, "job");
	assert_place(job->at, 2, 3, 1);
	assert_place(job->entries[0].key->at, 2, 3, 4);
	assert_place(value(job, "name")->at, 2, 9, 9);
	assert_false(value(job, "name")->quoted);
	assert_place(job->entries[1].key->at, 3, 3, 6);
	assert_place(node_inside(job->entries[1].key), 3, 4, 4);
	assert_true(value(job, "note")->quoted);
	assert_place(value(job, "note")->at, 3, 12, 7);
	assert_place(node_within(value(job, "note"), 3, 2), 3, 16, 2);
	const struct node *list = value(r.root, "list");
	assert_int_equal(list->kind, NODE_LIST);
	assert_int_equal(list->count, 2);
	assert_place(list->at, 4, 7, 1);
	assert_place(list->items[0]->at, 4, 8, 4);
	assert_place(value(list->items[1], "a")->at, 4, 18, 1);
	done(&r);
}

/* Columns count characters: the two letters before "b" take two bytes each. */
static void columns_count_characters(void **state)
{
	(void)state;
	struct reading r = read_text("\xEF\xBB\xBF{\xC3\xA4\xC3\xB6: 1, b: 2}\r\n");
	assert_place(value(r.root, "b")->at, 1, 12, 1);
	done(&r);
	r = read_text("\xC3\xA4\xC3\xB6: 1\r\nb: \xC3\xBC\r\n");
	assert_place(value(r.root, "b")->at, 2, 4, 1);
	done(&r);
}

static void text_without_a_simple_place_is_pointed_to_as_a_whole(void **state)
{
	(void)state;
	struct reading r = read_text("a: \"24\\x20V\"\nb: |\n  first\n  second\nc: one\n   two\n");
	assert_string_equal(value(r.root, "a")->text, "24 V");
	assert_false(value(r.root, "a")->exact);
	assert_place(node_within(value(r.root, "a"), 3, 1), 1, 4, 9);
	assert_string_equal(value(r.root, "b")->text, "first\nsecond\n");
	assert_place(value(r.root, "b")->at, 2, 4, 1);
	assert_string_equal(value(r.root, "c")->text, "one two");
	assert_place(value(r.root, "c")->at, 5, 4, 3);
	assert_false(value(r.root, "c")->exact);
	done(&r);
}

static void null_is_known_from_quoted_text(void **state)
{
	(void)state;
	struct reading r = read_text("a:\nb: ~\nc: null\nd: \"\"\ne: 'null'\nf: 0\n");
	assert_true(node_is_null(value(r.root, "a")));
	assert_true(node_is_null(value(r.root, "b")));
	assert_true(node_is_null(value(r.root, "c")));
	assert_false(node_is_null(value(r.root, "d")));
	assert_false(node_is_null(value(r.root, "e")));
	assert_false(node_is_null(value(r.root, "f")));
	done(&r);
}

static void duplicate_keys_are_both_kept(void **state)
{
	(void)state;
	struct reading r = read_text("{a: 1, a: 2}");
	assert_int_equal(r.root->count, 2);
	assert_string_equal(r.root->entries[1].value->text, "2");
	done(&r);
}

static void aliases_share_what_they_stand_for(void **state)
{
	(void)state;
	struct reading r = read_text("a: &x   24 V\nb: *x\nc: &m {d: 1}\ne: *m\nf: &x 12 V\ng: *x\n");
	assert_int_equal(r.diags.count, 0);
	assert_ptr_equal(value(r.root, "a"), value(r.root, "b"));
	assert_place(value(r.root, "a")->at, 1, 9, 4);
	assert_true(value(r.root, "a")->exact);
	assert_ptr_equal(value(r.root, "c"), value(r.root, "e"));
	assert_string_equal(value(r.root, "g")->text, "12 V");
	done(&r);
}

/* https://yaml.org/type/merge.html: own keys first, then the earlier of the merged mappings. */
static void merge_keys_fill_in_what_is_not_said(void **state)
{
	(void)state;
	struct reading r = read_text("- &a {x: 1, y: 1}\n- &b {x: 2, y: 2, z: 2}\n"
	                             "- {<<: [*a, *b], x: 3}\n- {\"<<\": 4}\n");
	const struct node *merged = r.root->items[2];
	assert_int_equal(merged->count, 3);
	assert_string_equal(value(merged, "x")->text, "3");
	assert_string_equal(value(merged, "y")->text, "1");
	assert_string_equal(value(merged, "z")->text, "2");
	assert_string_equal(value(r.root->items[3], "<<")->text, "4");
	done(&r);
}

static void depth_is_limited_to_the_level(void **state)
{
	(void)state;
	struct reading r = read_text("[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]");
	assert_non_null(r.root);
	assert_int_equal(r.root->height, 32);
	done(&r);
	assert_refused("[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]", "too-deep",
	               1, 33);
	/* An alias counts with what lies below it: 30 levels around 2 are allowed, around 3 not. */
	r = read_text("- &a [[]]\n- [[[[[[[[[[[[[[[[[[[[[[[[[[[[[*a]]]]]]]]]]]]]]]]]]]]]]]]]]]]]\n");
	assert_int_equal(r.diags.count, 0);
	done(&r);
	assert_refused("- &a [[[]]]\n- [[[[[[[[[[[[[[[[[[[[[[[[[[[[[*a]]]]]]]]]]]]]]]]]]]]]]]]]]]]]\n",
	               "too-deep", 2, 32);
}

/* Line k stands for ten times line k - 1, which has 11, 111, 1111, ... nodes: the aliases of
 * lines 2 to 5 stand for 123 440 nodes, those of line 6 for ten times 111 111 more, which is
 * past a million. */
static void an_alias_bomb_is_refused_quickly(void **state)
{
	(void)state;
	char text[4096] = "- &a [x, x, x, x, x, x, x, x, x, x]\n";
	for (char name = 'b'; name < 'j'; name++) {
		char line[128];
		int used = snprintf(line, sizeof line, "- &%c [", name);
		for (int i = 0; i < 10; i++)
			used += snprintf(line + used, sizeof line - (size_t)used, "%s*%c", i ? ", " : "",
			                 name - 1);
		strcat(strcat(text, line), "]\n");
	}
	struct reading r = read_text(text);
	assert_null(r.root);
	assert_int_equal(r.diags.count, 1);
	assert_string_equal(r.diags.items[0].kind, "alias-expansion");
	assert_int_equal(r.diags.items[0].place.line, 6);
	done(&r);
}

static void mistakes_are_placed(void **state)
{
	(void)state;
	assert_refused("a: {b: 1\nc: 2\n", "yaml-syntax", 1, 4);     /* at the bracket, not line 2 */
	assert_refused("a: [1, 2\nb: 2\n", "yaml-syntax", 1, 4);
	assert_refused("a: \"x\nb: 1\n", "yaml-syntax", 1, 4);
	assert_refused("a:\n\tb: 1\n", "yaml-syntax", 2, 1);
	assert_refused("a: 1\n---\nb: 1\n", "several-documents", 2, 1);
	assert_refused("a: 1\n...\nb: 1\n", "several-documents", 3, 1);
	assert_refused("a: !x 1\n", "yaml-tag", 1, 4);
	assert_refused("a: *x\n", "unknown-alias", 1, 4);
	assert_refused("a: &x {b: *x}\n", "alias-in-itself", 1, 11);
	assert_refused("{[a]: 1}\n", "key-not-text", 1, 2);
	assert_refused("a: {<<: 1}\n", "merge-key", 1, 9);
	assert_refused("a: \"x\\ay\"\n", "bad-character", 1, 4);
	assert_refused("# nothing\n", "empty-file", 0, 0);
}

static void core_tags_are_accepted(void **state)
{
	(void)state;
	struct reading r = read_text("a: !!str 24\nb: ! 24 V\nc: !!map {d: 1}\n");
	assert_int_equal(r.diags.count, 0);
	assert_place(value(r.root, "a")->at, 1, 10, 2);
	done(&r);
}

/* The text of a cell: places are those of the cell in its table. */
static void cells_keep_their_places(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct diags diags;
	struct mistakes m;
	diags_init(&diags, arena);
	mistakes_init(&m, arena, &diags);
	struct source *source = source_new(arena, "parts.csv", "x,\"[1, 24 V]\"", 13);
	struct node cell = { .kind = NODE_SCALAR, .quoted = true, .exact = true, .lead = 1,
	                     .at = { source, 1, 3, 11 }, .text = "[1, 24 V]" };
	struct yaml_text text = { source, cell.text, strlen(cell.text), &cell };
	struct node *list = yaml_tree_read(arena, arena, &text, &m);
	assert_place(list->at, 1, 4, 1);
	assert_place(list->items[1]->at, 1, 8, 4);
	assert_true(list->items[1]->exact);
	cell.exact = false;                    /* doubled marks inside: the whole cell */
	list = yaml_tree_read(arena, arena, &text, &m);
	assert_place(list->items[1]->at, 1, 3, 11);
	assert_false(list->items[1]->exact);
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(keys_and_values_know_their_places),
		cmocka_unit_test(columns_count_characters),
		cmocka_unit_test(text_without_a_simple_place_is_pointed_to_as_a_whole),
		cmocka_unit_test(null_is_known_from_quoted_text),
		cmocka_unit_test(duplicate_keys_are_both_kept),
		cmocka_unit_test(aliases_share_what_they_stand_for),
		cmocka_unit_test(merge_keys_fill_in_what_is_not_said),
		cmocka_unit_test(depth_is_limited_to_the_level),
		cmocka_unit_test(an_alias_bomb_is_refused_quickly),
		cmocka_unit_test(mistakes_are_placed),
		cmocka_unit_test(core_tags_are_accepted),
		cmocka_unit_test(cells_keep_their_places),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
