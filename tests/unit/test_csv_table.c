/* Tables of comma-separated values: cells, places, and what is refused. Places were counted by
 * hand. */
#include "support.h"

#include "load/csv_table.h"

struct reading {
	struct arena *arena;
	struct diags diags;
	struct csv_table table;
	bool good;
};

static struct reading read_text(const char *text)
{
	struct reading r = { .arena = arena_new() };
	struct mistakes m;
	diags_init(&r.diags, r.arena);
	mistakes_init(&m, r.arena, &r.diags);
	struct source *source = source_new(r.arena, "parts.csv", text, strlen(text));
	r.good = csv_table_read(r.arena, r.arena, source, &m, &r.table);
	return r;
}

static void done(struct reading *r)
{
	arena_free(r->arena);
}

static void assert_cell(const struct reading *r, size_t row, size_t column, const char *text,
                        unsigned line, unsigned at, unsigned length)
{
	assert_true(row < r->table.count && column < r->table.rows[row].count);
	const struct node *cell = r->table.rows[row].cells[column];
	assert_string_equal(cell->text, text);
	assert_int_equal(cell->at.line, line);
	assert_int_equal(cell->at.column, at);
	assert_int_equal(cell->at.length, length);
}

static void cells_know_their_places(void **state)
{
	(void)state;
	struct reading r = read_text("kind,id,voltage\nstrip, warm ,\"24 V\"\n,,12 V");
	assert_true(r.good);
	assert_int_equal(r.table.count, 3);
	assert_cell(&r, 0, 2, "voltage", 1, 9, 7);
	assert_cell(&r, 1, 1, "warm", 2, 8, 4);        /* blanks around it do not count */
	assert_cell(&r, 1, 2, "24 V", 2, 14, 6);
	assert_int_equal(node_inside(r.table.rows[1].cells[2]).column, 15);
	assert_true(csv_is_blank(r.table.rows[2].cells[0]));
	assert_cell(&r, 2, 0, "", 3, 1, 1);
	assert_cell(&r, 2, 1, "", 3, 2, 1);
	assert_cell(&r, 2, 2, "12 V", 3, 3, 4);        /* the last line has no end */
	done(&r);
}

/* A row number is not a line number: blank lines make no row, a quoted line end makes a row
 * longer. */
static void lines_are_counted_not_rows(void **state)
{
	(void)state;
	struct reading r = read_text("a,b\r\n\r\n,\r\n\"one\r\ntwo\",x\r\nc,d\r\n");
	assert_true(r.good);
	assert_int_equal(r.table.count, 3);
	assert_cell(&r, 1, 0, "one\r\ntwo", 4, 1, 1);
	assert_false(r.table.rows[1].cells[0]->exact);
	assert_cell(&r, 1, 1, "x", 5, 6, 1);
	assert_cell(&r, 2, 1, "d", 6, 3, 1);
	done(&r);
	r = read_text("a,b\rc,d\r");           /* as old machines ended their lines */
	assert_cell(&r, 1, 1, "d", 2, 3, 1);
	done(&r);
}

static void columns_count_characters(void **state)
{
	(void)state;
	struct reading r = read_text("\xEF\xBB\xBFk\xC3\xBC,\xE6\xA3\x9A\xE6\xA3\x9A,x\n");
	assert_cell(&r, 0, 0, "k\xC3\xBC", 1, 1, 2);
	assert_cell(&r, 0, 1, "\xE6\xA3\x9A\xE6\xA3\x9A", 1, 4, 2);
	assert_cell(&r, 0, 2, "x", 1, 7, 1);
	done(&r);
}

static void doubled_marks_are_one(void **state)
{
	(void)state;
	struct reading r = read_text("\"say \"\"here\"\"\",\"\",\"a,b\"\n");
	assert_cell(&r, 0, 0, "say \"here\"", 1, 1, 14);
	assert_false(r.table.rows[0].cells[0]->exact);
	assert_true(csv_is_blank(r.table.rows[0].cells[1]));
	assert_cell(&r, 0, 2, "a,b", 1, 19, 5);
	assert_true(r.table.rows[0].cells[2]->exact);
	done(&r);
}

static void semicolons_separate_where_there_is_no_comma(void **state)
{
	(void)state;
	struct reading r = read_text("kind;id\nstrip;\"a;b\"\nx,y;z\n");
	assert_int_equal(r.table.rows[1].count, 2);
	assert_cell(&r, 1, 1, "a;b", 2, 7, 5);
	assert_cell(&r, 2, 0, "x,y", 3, 1, 3);
	done(&r);
	r = read_text("a;b,c\n");
	assert_cell(&r, 0, 0, "a;b", 1, 1, 3);
	done(&r);
}

static void assert_refused(const char *text, const char *kind, unsigned line, unsigned column)
{
	struct reading r = read_text(text);
	assert_false(r.good);
	assert_int_equal(r.diags.count, 1);
	assert_string_equal(r.diags.items[0].kind, kind);
	assert_int_equal(r.diags.items[0].place.line, line);
	assert_int_equal(r.diags.items[0].place.column, column);
	done(&r);
}

static void mistakes_are_placed(void **state)
{
	(void)state;
	assert_refused("a,b\n6\" long,x\n", "csv-syntax", 2, 2);
	assert_refused("a,b\n\"x\" y,z\n", "csv-syntax", 2, 5);
	assert_refused("a,b\nc,\"open\nd,e\n", "csv-syntax", 2, 3);
	assert_refused("a,\xFF\n", "bad-encoding", 1, 3);
	assert_refused("a,\x01\n", "bad-character", 1, 3);
	assert_refused("\n \n", "empty-file", 0, 0);
	assert_refused(",,\n\"\"\n", "empty-file", 0, 0);
}

/* A half-read row must not be handed out as if it were right. */
static void nothing_is_kept_of_an_unfinished_row(void **state)
{
	(void)state;
	struct reading r = read_text("a,b\nc,\"open");
	assert_false(r.good);
	assert_int_equal(r.table.count, 1);
	done(&r);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(cells_know_their_places),
		cmocka_unit_test(lines_are_counted_not_rows),
		cmocka_unit_test(columns_count_characters),
		cmocka_unit_test(doubled_marks_are_one),
		cmocka_unit_test(semicolons_separate_where_there_is_no_comma),
		cmocka_unit_test(mistakes_are_placed),
		cmocka_unit_test(nothing_is_kept_of_an_unfinished_row),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
