/* Rows of the list become mappings and are decoded by a table of attributes, as everything else that is
 * read: so cells are written, and mistakes are reported, as in the job file. */
#include "load/offcuts.h"

#include "base/file.h"
#include "base/hash.h"
#include "load/csv_table.h"
#include "load/field.h"

#include <math.h>
#include <string.h>

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
static const struct attribute_table columns = { rows, sizeof rows / sizeof *rows };

struct reading {
	struct arena *nodes;         /* gone after reading */
	struct mistakes mistakes;
	struct decoder decoder;
	const struct csv_row *header;
	const struct attribute **column;         /* by position; NULL: to be passed over */
};

static void report_unknown(struct reading *r, const struct node *name)
{
	struct nearest nearest = nearest_to(name->text);
	for (size_t i = 0; i < columns.count; i++)
		mistake_offer(&r->mistakes, &nearest, columns.rows[i].key);
	mistake_report(&r->mistakes, (struct report){
		.mistake = MISTAKE_UNKNOWN_COLUMN, .place = node_inside(name),
		.expected = "strip_type, length, id or note",
		.hint = mistake_hint(&r->mistakes, &nearest) },
		"a list of offcuts has no column '%s'", name->text);
}

/* Whether both columns that every list needs are there. */
static bool check_header(struct reading *r)
{
	const struct csv_row *header = r->header;
	size_t before = r->mistakes.found;
	struct hash seen;
	hash_init(&seen, r->nodes);
	r->column = arena_array(r->nodes, const struct attribute *, header->count);
	for (size_t i = 0; i < header->count; i++) {
		const struct node *name = header->cells[i];
		if (csv_is_blank(name))
			continue;
		r->column[i] = attribute_find_in(columns, name->text);
		if (hash_put(&seen, name->text, i) != i) {
			mistake_report(&r->mistakes, (struct report){ .mistake = MISTAKE_DUPLICATE_COLUMN,
			                                              .place = node_inside(name) },
			               "there are two columns '%s'", name->text);
			r->column[i] = NULL;
		} else if (r->column[i] == NULL) {
			report_unknown(r, name);
		}
	}
	bool whole = true;
	for (size_t i = 0; i < columns.count; i++) {
		const char *key = columns.rows[i].key;
		if (columns.rows[i].need != NEED_YES || hash_find(&seen, key) != HASH_NONE)
			continue;
		whole = false;
		if (r->mistakes.found == before)       /* else it may well be there, misspelt */
			mistake_report(&r->mistakes, (struct report){
				.mistake = MISTAKE_MISSING_KEY, .place = header->at,
				.expected = "a first row such as strip_type,length,note" },
				"a list of offcuts needs a column '%s'", key);
	}
	return whole;
}

static void read_row(struct reading *r, const struct csv_row *row, struct offcut *offcut)
{
	struct node map = { .kind = NODE_MAP, .at = row->at };
	map.entries = arena_array(r->nodes, struct entry, row->count);
	for (size_t i = 0; i < row->count; i++) {
		struct node *cell = row->cells[i];
		bool headed = i < r->header->count && !csv_is_blank(r->header->cells[i]);
		if (csv_is_blank(cell) || (headed && r->column[i] == NULL))
			continue;
		if (!headed) {
			mistake_report(&r->mistakes, (struct report){
				.mistake = MISTAKE_ROW_LENGTH, .place = cell->at,
				.hint = "a cell with a comma in it needs quotation marks" },
				"this cell has no heading");
			continue;
		}
		struct node *key = arena_one(r->nodes, struct node);
		*key = *cell;                          /* mistakes point at the cell */
		key->text = r->column[i]->key;
		key->exact = false;
		map.entries[map.count++] = (struct entry){ key, cell };
	}
	struct fields fields = { .own = columns, .base = offcut, .word = "offcut" };
	fields_decode(&r->decoder, &fields, &map);
	fields_check_needs(&r->decoder, &fields, row->at);
	offcut->at = row->at;
}

static void read_table(struct reading *r, const struct source *source, struct offcuts *out)
{
	struct csv_table table;
	struct arena *arena = r->decoder.arena;
	if (!csv_table_read(arena, r->nodes, source, &r->mistakes, &table))
		return;
	r->header = table.rows;
	if (!check_header(r))
		return;
	out->items = arena_array(arena, struct offcut, table.count - 1);
	out->count = table.count - 1;
	for (size_t i = 0; i < out->count; i++)
		read_row(r, &table.rows[i + 1], &out->items[i]);
}

static enum load_status read_file(struct reading *r, const char *path, struct offcuts *out)
{
	struct file_bytes bytes = { .size = 0 };
	const char *reason = NULL;
	struct report report = { .mistake = MISTAKE_UNREADABLE_FILE };
	enum file_status status = file_read(r->nodes, path, LOAD_MAX_BYTES, &bytes, &reason);
	struct arena *arena = r->decoder.arena;
	if (status == FILE_OK) {
		read_table(r, source_new(arena, path, bytes.data, bytes.size), out);
		return r->mistakes.found > 0 ? LOAD_WRONG : LOAD_OK;
	}
	if (status == FILE_TOO_LARGE)
		report.mistake = MISTAKE_FILE_TOO_LARGE;
	if (status == FILE_SYSTEM)
		report.mistake = MISTAKE_SYSTEM_ERROR;
	report.place.source = source_new(arena, path, "", 0);
	mistake_report(&r->mistakes, report, "%s", reason);
	return status == FILE_SYSTEM ? LOAD_SYSTEM : LOAD_WRONG;
}

enum load_status offcuts_read(struct arena *arena, const char *path, struct diags *diags,
                              struct offcuts *out)
{
	struct reading r = { .nodes = arena_child(arena) };
	struct offcuts read = { .items = NULL };
	mistakes_init(&r.mistakes, r.nodes, diags);
	r.decoder = (struct decoder){ .arena = arena, .brief = arena_child(r.nodes), .m = &r.mistakes,
	                              .origin = ORIGIN_GIVEN };
	enum load_status status = read_file(&r, path, &read);
	arena_free(r.nodes);
	diags_sort(diags);
	if (status == LOAD_OK)
		*out = read;
	return status;
}
