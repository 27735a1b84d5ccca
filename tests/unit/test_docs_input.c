/* The tables of docs/input.md are made from the rows that the reader works by: units, cable
 * sizes, attributes, kinds of mistakes. The test fails when they differ; with --write it puts
 * them right. */
#include "load_support.h"

#include "base/file.h"
#include "load/form.h"
#include "load/mistake.h"
#include "model/job.h"
#include "reference/reference.h"

#define PAGE "docs/input.md"

static void add_units(struct buf *out)
{
	buf_add(out, "| what | units | for example |\n|---|---|---|\n");
	for (enum dim dim = 0; dim < DIM__END; dim++) {
		const char *separator = "";
		for (size_t i = 0; i < unit_count; i++) {
			if (unit_table[i].dim != dim)
				continue;
			if (!*separator)
				buf_addf(out, "| %s | ", dim_words(dim));
			buf_addf(out, "%s`%s`", separator, unit_table[i].symbol);
			separator = " ";
		}
		if (*separator)
			buf_addf(out, " | `%s` |\n", dim_example(dim));
	}
}

static void add_sizes(struct buf *out)
{
	buf_add(out, "| size | flexible | solid | rating | where they come from |\n");
	buf_add(out, "|---|---|---|---|---|\n");
	for (size_t i = 0; i < wire_size_count; i++) {
		const struct wire_size *size = &wire_sizes[i];
		buf_addf(out, "| `%s` | %.4g mohm/m | %.4g mohm/m | %g A | %s; %s |\n", size->name,
		         1e3 * size->flexible_ohm_per_m, 1e3 * size->solid_ohm_per_m, size->rating_a,
		         size->resistance_source, size->rating_source);
	}
}

static void add_mistakes(struct buf *out)
{
	buf_add(out, "| mistake | meaning | what to do |\n|---|---|---|\n");
	for (enum mistake mistake = 0; mistake < MISTAKE__END; mistake++) {
		const struct mistake_row *row = mistake_row(mistake);
		buf_addf(out, "| `%s` | %s | %s |\n", row->name, row->meaning, row->cure);
	}
}

/* "5 kW or 5000 A": the number in each unit that the row takes. */
static void add_limit(struct buf *out, const struct attribute *row, double value)
{
	for (const enum dim *dim = row->dims; *dim != DIM__END; dim++) {
		buf_add(out, dim > row->dims ? " or " : "");
		quantity_add(out, value, *dim, 6);
	}
}

static void add_allowed(struct buf *out, const struct attribute *row)
{
	if (row->form == FORM_CHOICE)
		for (size_t i = 0; row->words[i]; i++)
			buf_addf(out, "%s`%s`", i ? " " : "", row->words[i]);
	if (row->form == FORM_SIZE || row->form == FORM_SIZES)
		buf_add(out, "the sizes above");
	if (row->form == FORM_QUANTITY || row->form == FORM_RANGE) {
		buf_add(out, row->above ? "more than " : "from ");
		add_limit(out, row, row->min);
		buf_add(out, row->above ? ", at most " : " to ");
		add_limit(out, row, row->max);
	}
	if (row->need == NEED_NO && row->partner)
		buf_addf(out, "; together with `%s`", row->partner);
}

static void add_default(struct buf *out, const struct attribute *row)
{
	if (row->need == NEED_YES)
		buf_add(out, "**needed**");
	else if (row->need == NEED_EITHER)
		buf_addf(out, "**needed**, or `%s`", row->partner);
	else if (row->form == FORM_CHOICE && !isnan(row->assumed))
		buf_addf(out, "`%s`", row->words[(size_t)row->assumed]);
	else if (row->form == FORM_FLAG && !isnan(row->assumed))
		buf_add(out, row->assumed > 0 ? "`yes`" : "`no`");
	else if (!isnan(row->assumed))
		quantity_add(out, row->assumed, row->dims[0], 6);
	if (row->why)
		buf_addf(out, "%s%s", isnan(row->assumed) ? "" : ": ", row->why);
}

static void add_attributes(struct buf *out, struct attribute_table table)
{
	buf_add(out, "| attribute | written | allowed | left out | meaning |\n|---|---|---|---|---|\n");
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		buf_addf(out, "| `%s` | `%s` | ", row->key, form_example(row));
		add_allowed(out, row);
		buf_add(out, " | ");
		add_default(out, row);
		buf_addf(out, " | %s |\n", row->about);
	}
}

/* The table that a marker in the page stands for. */
static void add_table(struct buf *out, const char *name)
{
	static const struct { const char *name; void (*add)(struct buf *out); } others[] = {
		{ "units", add_units }, { "sizes", add_sizes }, { "mistakes", add_mistakes },
	};
	const struct { const char *name; struct attribute_table table; } named[] = {
		{ "shared", attributes_shared }, { "job", attributes_job },
		{ "limits", attributes_limits }, { "reel_test", attributes_reel_test },
		{ "piece_test", attributes_piece_test },
	};
	for (size_t i = 0; i < sizeof others / sizeof *others; i++)
		if (strcmp(name, others[i].name) == 0)
			others[i].add(out);
	for (size_t i = 0; i < sizeof named / sizeof *named; i++)
		if (strcmp(name, named[i].name) == 0)
			add_attributes(out, named[i].table);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		if (strcmp(name, kind_words[kind].word) == 0)
			add_attributes(out, attributes_of(kind));
}

static const char *read_page(struct arena *arena)
{
	struct file_bytes page;
	const char *reason;
	if (file_read(arena, PAGE, 1 << 20, &page, &reason) != FILE_OK)
		fail_msg("%s: %s", PAGE, reason);
	return page.data;
}

/* The page with its tables made anew: each stands between <!-- name --> and <!-- end -->. */
static struct buf rebuilt(struct arena *arena, const char *page, size_t *tables)
{
	static const char open[] = "<!-- ", end[] = "<!-- end -->";
	struct buf out;
	buf_init(&out, arena);
	*tables = 0;
	for (const char *at; (at = strstr(page, open)); ++*tables) {
		const char *line = strchr(at, '\n') + 1, *behind = strstr(line, end);
		const char *name = arena_strndup(arena, at + strlen(open), strcspn(at + strlen(open), " "));
		assert_non_null(behind);
		buf_add_bytes(&out, page, (size_t)(line - page));
		size_t before = out.length;
		add_table(&out, name);
		if (out.length == before)
			fail_msg("%s has a table '%s' that nobody makes", PAGE, name);
		buf_add(&out, end);
		page = behind + strlen(end);
	}
	buf_add(&out, page);
	return out;
}

static void the_tables_say_what_the_reader_does(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	const char *page = read_page(arena);
	size_t tables;
	struct buf right = rebuilt(arena, page, &tables);
	assert_int_equal(tables, 13);          /* 5 kinds, 4 more of rows; units, sizes, mistakes */
	if (strcmp(page, right.data) != 0)
		fail_msg("%s is not what the tables say; run this test with --write", PAGE);
	arena_free(arena);
}

/* The page begins with a whole job: what a reader copies first must be right. */
static void the_example_is_a_right_job(void **state)
{
	(void)state;
	static const char open[] = "```yaml\n";
	struct arena *arena = arena_new();
	const char *example = strstr(read_page(arena), open) + strlen(open);
	size_t length = (size_t)(strstr(example, "```") - example);
	struct job_reading r = read_named(PAGE, arena_strndup(arena, example, length));
	if (r.diags.count > 0)
		print_error("%s\n", r.diags.items[0].message);
	assert_int_equal(r.status, LOAD_OK);
	done(&r);
	arena_free(arena);
}

/* Every row has what its line of the page needs. */
static void every_row_explains_itself(void **state)
{
	(void)state;
	const struct attribute_table tables[] = {
		attributes_of(KIND_DRIVER), attributes_of(KIND_SWITCH), attributes_of(KIND_BLOCK),
		attributes_of(KIND_STRIP), attributes_of(KIND_CABLE), attributes_shared, attributes_job,
		attributes_limits, attributes_reel_test, attributes_piece_test,
	};
	for (size_t t = 0; t < sizeof tables / sizeof *tables; t++)
		for (size_t i = 0; i < tables[t].count; i++) {
			const struct attribute *row = &tables[t].rows[i];
			if (!row->about || !*row->about || (row->listed && !row->why))
				fail_msg("the row '%s' does not explain itself", row->key);
		}
}

static int write_page(void)
{
	struct arena *arena = arena_new();
	const char *reason = "";
	size_t tables;
	struct buf right = rebuilt(arena, read_page(arena), &tables);
	bool good = file_write(arena, PAGE, right.data, right.length, &reason) == FILE_OK;
	printf("%s: %zu tables%s%s\n", PAGE, tables, good ? "" : ": ", reason);
	arena_free(arena);
	return good ? 0 : 1;
}

int main(int argc, char **argv)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_tables_say_what_the_reader_does),
		cmocka_unit_test(the_example_is_a_right_job),
		cmocka_unit_test(every_row_explains_itself),
	};
	if (argc > 1 && strcmp(argv[1], "--write") == 0)
		return write_page();
	return cmocka_run_group_tests(tests, NULL, NULL);
}
