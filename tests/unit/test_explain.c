/* What 'explain' says of a kind of mistake is true: the wrong piece makes that mistake, the right one none.
 * Every name in brackets is known to it, misspelt ones lead to the nearest. */
#include "built_support.h"

#include "farend.h"
#include "load/mistake.h"

/* A job around a piece of one, told apart by how the piece begins. */
enum around { WHOLE_FILE, IN_GROUP, IN_STRIP, CATALOGUE_TABLE, BUILT_TABLE };

static const struct { const char *begins; enum around around; const char *group; } surroundings[] = {
	{ "driver:", WHOLE_FILE, NULL }, { "drivers:", WHOLE_FILE, NULL }, { "strip_types:", IN_GROUP, "" },
	{ "catalogue:", IN_GROUP, "" }, { "kind,", CATALOGUE_TABLE, NULL }, { "id,", CATALOGUE_TABLE, NULL },
	{ "item,", BUILT_TABLE, NULL }, { "reel_test:", IN_STRIP, NULL }, { "piece_test:", IN_STRIP, NULL },
	{ "D", IN_GROUP, "drivers" }, { "[D", IN_GROUP, "drivers" }, { "- D", IN_GROUP, "drivers" },
	{ "L", IN_GROUP, "strips" }, { "bay", IN_GROUP, "strips" }, { "S", IN_GROUP, "switches" },
	{ "B", IN_GROUP, "blocks" }, { "C", IN_GROUP, "cables" }, { "warm", IN_GROUP, "strip_types" },
	{ "base", IN_GROUP, "strip_types" },
};

static size_t surrounding_of(const char *piece)
{
	for (size_t i = 0; i < sizeof surroundings / sizeof *surroundings; i++)
		if (strncmp(piece, surroundings[i].begins, strlen(surroundings[i].begins)) == 0)
			return i;
	fail_msg("nobody knows where '%s' belongs", piece);
	return 0;
}

/* Each line of the piece, indented. */
static void add_indented(struct buf *out, const char *piece)
{
	for (; *piece; piece += strcspn(piece, "\n"), piece += *piece == '\n') {
		buf_add(out, "  ");
		buf_add_bytes(out, piece, strcspn(piece, "\n"));
		buf_add_char(out, '\n');
	}
}

/* The groups of a right job, but for the piece's own. */
static const char *job_around(struct arena *arena, const char *piece, size_t where)
{
	static const struct { const char *group, *text; } parts[] = {
		{ "strip_types", WARM }, { "drivers", DRIVER }, { "strips", STRIP }, { "cables", CABLE },
	};
	const char *group = surroundings[where].group;
	struct buf out;
	buf_init(&out, arena);
	for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
		if (strncmp(piece, parts[i].group, strlen(parts[i].group)) != 0 &&
		    (!group || strcmp(group, parts[i].group) != 0) &&
		    !(surroundings[where].around == IN_STRIP && i == 2) &&
		    !(i == 3 && strncmp(piece, "bay", 3) == 0))      /* the cable leads to L1 */
			buf_add(&out, parts[i].text);
	if (surroundings[where].around == IN_STRIP)
		buf_addf(&out, "strips:\n  L1:\n    type: warm\n    length: 850 mm\n    %s\n", piece);
	else if (*group)
		buf_addf(&out, "%s:\n", group);
	if (surroundings[where].around == IN_GROUP && *group)
		add_indented(&out, piece);
	else if (surroundings[where].around == IN_GROUP)
		buf_addf(&out, "%s\n", piece);
	return out.data;
}

static bool found(const struct diags *diags, const char *kind)
{
	for (size_t i = 0; i < diags->count; i++)
		if (strcmp(diags->items[i].kind, kind) == 0)
			return true;
	return false;
}

static void assert_piece(const struct diags *diags, const char *kind, const char *piece, bool wrong)
{
	if (wrong != found(diags, kind) || (!wrong && diags->count > 0)) {
		print_all(diags);
		fail_msg("%s: the %s piece '%s' is not", kind, wrong ? "wrong" : "right", piece);
	}
}

static void read_piece(const char *kind, const char *piece, bool wrong)
{
	size_t where = surrounding_of(piece);
	enum around around = surroundings[where].around;
	struct arena *arena = arena_new();
	if (around == BUILT_TABLE) {
		struct overlay o = overlay(piece);
		assert_piece(&o.diags, kind, piece, wrong);
		arena_free(o.arena);
	} else {
		char folder[64], name[128];
		make_file(folder, sizeof folder, "parts.csv",
		          around == CATALOGUE_TABLE ? piece : "kind,id,voltage,power\ndriver,slim,24 V,60 W\n");
		snprintf(name, sizeof name, "%s/job.yaml", folder);
		struct job_reading r = read_named(name, around == WHOLE_FILE ? piece
			: around == CATALOGUE_TABLE ? "catalogue: parts.csv\n" RIGHT
			: job_around(arena, piece, where));
		assert_piece(&r.diags, kind, piece, wrong);
		done(&r);
		remove_file(folder, "parts.csv");
	}
	arena_free(arena);
}

static void wrong_pieces_are_wrong_and_right_ones_right(void **state)
{
	(void)state;
	size_t shown = 0;
	for (enum mistake mistake = 0; mistake < MISTAKE__END; mistake++) {
		const struct mistake_row *row = mistake_row(mistake);
		assert_int_equal(row->wrong == NULL, row->right == NULL);
		if (!row->wrong)
			continue;
		read_piece(row->name, row->wrong, true);
		read_piece(row->name, row->right, false);
		shown++;
	}
	assert_true(shown > 50);
}

static void every_name_is_explained(void **state)
{
	(void)state;
	const char *name;
	struct farend_text text, list;
	size_t count = 0;
	assert_int_equal(farend_explain(NULL, NULL, &list), FAREND_OK);
	for (; (name = farend_mistake_name(count)) != NULL; count++) {
		assert_int_equal(farend_explain(name, NULL, &text), FAREND_OK);
		assert_memory_equal(text.bytes, name, strlen(name));
		assert_int_equal(text.bytes[strlen(name)], '\n');
		assert_non_null(strstr(text.bytes, "\nWhat to do\n  "));
		if (count < MISTAKE__END)
			assert_int_equal(strstr(text.bytes, "\nRight\n  ") != NULL,
			                 mistake_row((enum mistake)count)->right != NULL);
		char row[80];
		snprintf(row, sizeof row, "\n%s ", name);
		assert_non_null(strstr(list.bytes, row));
		farend_free_text(&text);
	}
	assert_int_equal(count, MISTAKE__END + 2);     /* cannot-edit and not-solved come later */
	farend_free_text(&list);
}

static void the_nearest_name_is_offered(void **state)
{
	(void)state;
	static const struct { const char *typed, *nearest; } slips[] = {
		{ "no-unt", "no-unit" }, { "unknown-kee", "unknown-key" }, { "far-end-dimm", "far-end-dim" },
		{ "not-solvd", "not-solved" },
	};
	struct farend_text text;
	for (size_t i = 0; i < sizeof slips / sizeof *slips; i++) {
		assert_int_equal(farend_explain(slips[i].typed, NULL, &text), FAREND_WRONG_CALL);
		assert_non_null(strstr(text.bytes, slips[i].nearest));
		farend_free_text(&text);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(wrong_pieces_are_wrong_and_right_ones_right),
		cmocka_unit_test(every_name_is_explained),
		cmocka_unit_test(the_nearest_name_is_offered),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
