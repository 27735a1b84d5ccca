/* Rows of the list become mappings and are decoded by a table of attributes, as everything else that is
 * read: so cells are written, and mistakes are reported, as in the job file. */
#include "load/offcuts.h"

#include "load/csv_heading.h"
#include "load/field.h"
#include "load/read_source.h"

#include <math.h>

#define TEXT_ROW(key, member, need) \
	{ key, FORM_TEXT, { DIM__END, DIM__END, DIM__END }, offsetof(struct offcut, member), need, NULL, \
	  0, 0, .assumed = NAN }

static const struct attribute rows[] = {
	TEXT_ROW("strip_type", strip_type, NEED_YES),
	{ "length", FORM_QUANTITY, { DIM_LENGTH, DIM__END, DIM__END }, offsetof(struct offcut, length),
	  NEED_YES, NULL, 0, 1000, .above = true, .assumed = NAN },
	TEXT_ROW("id", id, NEED_NO),
	TEXT_ROW("note", note, NEED_NO),
};

static const struct csv_kind kind = {
	.columns = { rows, sizeof rows / sizeof *rows },
	.word = "a list of offcuts",
	.names = "strip_type, length, id or note",
	.example = "strip_type,length,note",
};

struct list_reading {
	struct arena *nodes;         /* gone after reading */
	struct mistakes mistakes;
	struct decoder decoder;
	struct csv_headings headings;
};

static void read_row(struct list_reading *r, const struct csv_row *row, struct offcut *offcut)
{
	struct node map = { .kind = NODE_MAP, .at = row->at };
	map.entries = arena_array(r->nodes, struct entry, row->count);
	for (size_t i = 0; i < row->count; i++) {
		const struct node *cell = csv_cell(&r->decoder, r->nodes, &r->headings, row, i);
		if (!cell)
			continue;
		struct node *key = arena_one(r->nodes, struct node), *value = arena_one(r->nodes, struct node);
		*key = *value = *cell;                 /* mistakes point at the cell */
		key->text = r->headings.items[i].column->key;
		key->exact = false;
		map.entries[map.count++] = (struct entry){ key, value };
	}
	struct fields fields = { .own = kind.columns, .base = offcut, .word = "offcut" };
	fields_decode(&r->decoder, &fields, &map);
	fields_check_needs(&r->decoder, &fields, row->at);
	offcut->at = row->at;
}

static void read_table(struct list_reading *r, const struct source *source, struct offcuts *out)
{
	struct csv_table table;
	struct arena *arena = r->decoder.arena;
	if (!csv_table_read(arena, r->nodes, source, &r->mistakes, &table))
		return;
	if (!csv_headings_read(&r->decoder, r->nodes, &kind, table.rows, &r->headings))
		return;
	out->items = arena_array(arena, struct offcut, table.count - 1);
	out->count = table.count - 1;
	for (size_t i = 0; i < out->count; i++)
		read_row(r, &table.rows[i + 1], &out->items[i]);
}

enum load_status offcuts_read(struct arena *arena, const char *path, struct diags *diags,
                              struct offcuts *out)
{
	struct list_reading r = { .nodes = arena_child(arena) };
	struct offcuts read = { .items = NULL };
	bool system_failed = false;
	mistakes_init(&r.mistakes, r.nodes, diags);
	r.decoder = (struct decoder){ .arena = arena, .brief = arena_child(r.nodes), .m = &r.mistakes,
	                              .origin = ORIGIN_GIVEN };
	const struct source *source = read_source(arena, r.nodes, &(struct load_text){ .name = path },
	                                          &r.mistakes, &system_failed);
	if (source)
		read_table(&r, source, &read);
	bool wrong = r.mistakes.found > 0;
	arena_free(r.nodes);
	diags_sort(diags);
	if (!wrong)
		*out = read;
	return system_failed ? LOAD_SYSTEM : wrong ? LOAD_WRONG : LOAD_OK;
}
