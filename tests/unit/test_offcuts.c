/* The list of offcuts: what is read from it, and where its mistakes are. */
#include "support.h"

#include "load/offcuts.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

struct read_list {
	struct arena *arena;
	struct diags diags;
	struct offcuts offcuts;
	enum load_status status;
};

static struct read_list read_path(const char *path)
{
	struct read_list r = { .arena = arena_new() };
	diags_init(&r.diags, r.arena);
	r.status = offcuts_read(r.arena, path, &r.diags, &r.offcuts);
	return r;
}

static struct read_list read_bytes(const char *text)
{
	char path[] = "/tmp/farend-offcuts-XXXXXX";
	int file = mkstemp(path);
	assert_true(file >= 0);
	assert_true(write(file, text, strlen(text)) == (ssize_t)strlen(text));
	close(file);
	struct read_list r = read_path(path);
	unlink(path);
	return r;
}

static void assert_mistake(const char *text, const char *kind, unsigned at_line, unsigned column)
{
	struct read_list r = read_bytes(text);
	assert_int_equal(r.status, LOAD_WRONG);
	assert_int_equal(r.offcuts.count, 0);
	for (size_t i = 0; i < r.diags.count && r.diags.count != 1; i++)
		print_error("%s\n", r.diags.items[i].message);
	assert_int_equal(r.diags.count, 1);
	assert_string_equal(r.diags.items[0].kind, kind);
	assert_int_equal(r.diags.items[0].place.line, at_line);
	assert_int_equal(r.diags.items[0].place.column, column);
	arena_free(r.arena);
}

static void test_columns_in_any_order(void **state)
{
	(void)state;
	struct read_list r = read_bytes("note,length,strip_type,id\r\n"
	                                "\"rack 3, left\",1850 mm,warm,A1\r\n"
	                                ",4 ft 1 1/4 in,cool,\r\n\r\n");
	assert_int_equal(r.status, LOAD_OK);
	assert_int_equal(r.offcuts.count, 2);
	assert_string_equal(r.offcuts.items[0].strip_type.text, "warm");
	assert_near(r.offcuts.items[0].length.num, 1.85, 1e-12, 0);
	assert_string_equal(r.offcuts.items[0].note.text, "rack 3, left");
	assert_string_equal(r.offcuts.items[0].id.text, "A1");
	assert_int_equal(r.offcuts.items[1].at.line, 3);
	assert_near(r.offcuts.items[1].length.num, 49.25 * 0.0254, 1e-12, 0);   /* an inch is 25.4 mm */
	assert_false(attr_has(&r.offcuts.items[1].note) || attr_has(&r.offcuts.items[1].id));
	arena_free(r.arena);
}

/* As a spreadsheet writes it where numbers have a decimal comma. */
static void test_semicolons(void **state)
{
	(void)state;
	struct read_list r = read_bytes("strip_type;length\nwarm;1.2 m\n");
	assert_int_equal(r.status, LOAD_OK);
	assert_int_equal(r.offcuts.count, 1);
	arena_free(r.arena);
}

/* A heading may carry the unit of the bare numbers below it; a cell's own unit wins. */
static void test_unit_in_the_heading(void **state)
{
	(void)state;
	struct read_list r = read_bytes("Strip_Type,Length (mm)\nwarm,1850\nwarm,1.2 m\n");
	assert_int_equal(r.status, LOAD_OK);
	assert_near(r.offcuts.items[0].length.num, 1.85, 1e-12, 0);
	assert_near(r.offcuts.items[1].length.num, 1.2, 1e-12, 0);
	arena_free(r.arena);
	assert_mistake("strip_type,length (kg)\nwarm,1 m\n", "unknown-unit", 1, 20);
}

static void test_no_rows(void **state)
{
	(void)state;
	struct read_list r = read_bytes("strip_type,length\n");
	assert_int_equal(r.status, LOAD_OK);
	assert_int_equal(r.offcuts.count, 0);
	arena_free(r.arena);
}

static void test_wrong_cells(void **state)
{
	(void)state;
	assert_mistake("strip_type,length\nwarm,1.2\n", "no-unit", 2, 6);
	assert_mistake("strip_type,length\nwarm,1 m\nwarm,1.2 kg\n", "unknown-unit", 3, 10);
	assert_mistake("strip_type,length\nwarm,3 A\n", "wrong-unit", 2, 8);
	assert_mistake("strip_type,length\nwarm,0 m\n", "out-of-range", 2, 6);
	assert_mistake("strip_type,length\nwarm,\n", "missing-key", 2, 1);
	assert_mistake("strip_type,length\n,1 m\n", "missing-key", 2, 1);
	assert_mistake("strip_type,length\nwarm,1 m,rack\n", "row-length", 2, 10);
	assert_mistake("strip_type,length\nwarm,\"1 m\n", "csv-syntax", 2, 6);
}

static void test_wrong_columns(void **state)
{
	(void)state;
	assert_mistake("strip_type,lenght\nwarm,1 m\n", "unknown-column", 1, 12);
	assert_mistake("strip_type,length,length\nwarm,1 m,1 m\n", "duplicate-column", 1, 19);
	assert_mistake("strip_type,note\nwarm,1 m\n", "missing-key", 1, 1);
	assert_mistake("length\n1 m\n", "missing-key", 1, 1);
	assert_mistake("strip_type,length,colour\nwarm,1 m,white\n", "unknown-column", 1, 19);
	assert_mistake("\n \n", "empty-file", 0, 0);
}

/* All of them in one run, in the order of the file. */
static void test_every_mistake(void **state)
{
	(void)state;
	struct read_list r = read_bytes("strip_type,length,place\nwarm,1.2,x\nwarm,,y\nwarm,2 m,z\n,3 m,\n");
	static const unsigned lines[] = { 1, 2, 3, 5 };
	assert_int_equal(r.status, LOAD_WRONG);
	assert_int_equal(r.diags.count, 4);
	for (size_t i = 0; i < 4; i++)
		assert_int_equal(r.diags.items[i].place.line, lines[i]);
	arena_free(r.arena);
}

static void test_unreadable(void **state)
{
	(void)state;
	struct read_list r = read_path("/nowhere/offcuts.csv");
	assert_int_equal(r.status, LOAD_WRONG);
	assert_string_equal(r.diags.items[0].kind, "unreadable-file");
	assert_string_equal(r.diags.items[0].place.source->name, "/nowhere/offcuts.csv");
	arena_free(r.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_columns_in_any_order),
		cmocka_unit_test(test_semicolons),
		cmocka_unit_test(test_unit_in_the_heading),
		cmocka_unit_test(test_no_rows),
		cmocka_unit_test(test_wrong_cells),
		cmocka_unit_test(test_wrong_columns),
		cmocka_unit_test(test_every_mistake),
		cmocka_unit_test(test_unreadable),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
