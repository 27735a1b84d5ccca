/* A catalogue's first row names its columns: kind, id, and attributes as in the job file. Every
 * further row becomes a mapping of its filled cells, and then a type like any other. */
#include "load/catalogue.h"

#include "base/file.h"
#include "load/csv_table.h"
#include "load/group.h"
#include "load/load.h"
#include "load/yaml_tree.h"

#include <string.h>

static bool is_attribute(const char *name)
{
	for (enum kind kind = 0; kind < KIND__END; kind++)
		if (attribute_find(kind, name))
			return true;
	return false;
}

static void report_column(struct loader *l, const struct node *name)
{
	struct nearest nearest = nearest_to(name->text);
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		struct fields fields = loader_fields(kind, NULL, NULL);
		for (size_t i = 0; i < fields_count(&fields); i++)
			mistake_offer(&l->mistakes, &nearest, fields_row(&fields, i)->key);
	}
	mistake_report(&l->mistakes, (struct report){ .mistake = MISTAKE_UNKNOWN_COLUMN,
	                                              .place = node_inside(name),
	                                              .hint = mistake_hint(&l->mistakes, &nearest) },
	               "no kind of part has a '%s'", name->text);
}

/* Checks the first row, and leaves in usable[] the columns that can be read. */
static bool check_header(struct loader *l, const struct csv_row *row, bool *usable)
{
	static const char *const first[] = { "kind", "id" };
	struct hash seen;
	for (size_t i = 0; i < sizeof first / sizeof *first; i++) {
		if (i < row->count && strcmp(row->cells[i]->text, first[i]) == 0)
			continue;
		mistake_report(&l->mistakes, (struct report){
			.mistake = MISTAKE_CATALOGUE_HEADER,
			.place = i < row->count ? row->cells[i]->at : row->at,
			.expected = "a first row such as kind,id,voltage,power" },
			"column %zu of a catalogue must be '%s'", i + 1, first[i]);
		return false;
	}
	hash_init(&seen, l->nodes);
	for (size_t i = 2; i < row->count; i++) {
		const struct node *name = row->cells[i];
		size_t earlier = csv_is_blank(name) ? i : hash_put(&seen, name->text, i);
		usable[i] = !csv_is_blank(name) && earlier == i && is_attribute(name->text);
		if (earlier != i)
			mistake_report(&l->mistakes, (struct report){ .mistake = MISTAKE_DUPLICATE_COLUMN,
			                                              .place = node_inside(name) },
			               "there are two columns '%s'", name->text);
		else if (!usable[i] && !csv_is_blank(name))
			report_column(l, name);
	}
	return true;
}

/* A cell's value: a list or a mapping is written as in the job file. */
static struct node *cell_value(struct loader *l, const struct source *source, struct node *cell)
{
	if (cell->text[0] != '[' && cell->text[0] != '{')
		return cell;
	struct yaml_text text = { .source = source, .bytes = cell->text, .size = strlen(cell->text),
	                          .cell = cell };
	struct node *value = yaml_tree_read(l->arena, l->nodes, &text, &l->mistakes);
	if (!value) {
		value = arena_one(l->nodes, struct node);
		value->kind = NODE_BROKEN;
		value->at = cell->at;
	}
	return value;
}

/* The filled cells of a row as a mapping; keys take the cells' places, so that mistakes point
 * there. */
static struct node *row_mapping(struct loader *l, const struct source *source,
                                const struct csv_row *header, const struct csv_row *row,
                                const bool *usable)
{
	struct node *map = arena_one(l->nodes, struct node);
	map->kind = NODE_MAP;
	map->at = row->at;
	map->entries = arena_array(l->nodes, struct entry, header->count);
	for (size_t i = 2; i < row->count; i++) {
		struct node *cell = row->cells[i];
		bool headed = i < header->count && !csv_is_blank(header->cells[i]);
		if (csv_is_blank(cell) || (headed && !usable[i]))
			continue;
		if (!headed) {
			mistake_report(&l->mistakes, (struct report){
				.mistake = MISTAKE_ROW_LENGTH, .place = cell->at,
				.hint = "a cell with a comma in it needs quotation marks" },
				"this cell has no heading");
			continue;
		}
		struct node *key = arena_one(l->nodes, struct node);
		*key = *cell;
		key->text = header->cells[i]->text;
		key->exact = false;
		map->entries[map->count++] = (struct entry){ key, cell_value(l, source, cell) };
	}
	return map;
}

static void read_row(struct loader *l, const struct source *source, const struct csv_row *header,
                     const struct csv_row *row, const bool *usable)
{
	const char *word = row->cells[0]->text;
	struct report report = { .place = node_inside(row->cells[0]) };
	struct nearest nearest = nearest_to(word);
	enum kind kind = 0;
	while (kind < KIND__END && strcmp(kind_words[kind].word, word) != 0)
		mistake_offer(&l->mistakes, &nearest, kind_words[kind++].word);
	if (kind == KIND__END) {
		report.mistake = MISTAKE_UNKNOWN_KIND;
		report.expected = "driver, switch, block, strip or cable";
		report.hint = mistake_hint(&l->mistakes, &nearest);
		mistake_report(&l->mistakes, report, *word ? "unknown kind '%s'" : "this row has no kind%s",
		               word);
		return;
	}
	if (row->count < 2 || csv_is_blank(row->cells[1])) {
		report.mistake = MISTAKE_BAD_ID;
		mistake_report(&l->mistakes, report, "this row has no id");
		return;
	}
	group_add_type(l, kind, row->cells[1], row_mapping(l, source, header, row, usable),
	               ORIGIN_CATALOGUE);
}

static void read_table(struct loader *l, const struct source *source)
{
	struct csv_table table;
	if (!csv_table_read(l->arena, l->nodes, source, &l->mistakes, &table))
		return;
	const struct csv_row *header = &table.rows[0];
	bool *usable = arena_array(l->nodes, bool, header->count);
	if (!check_header(l, header, usable))
		return;
	for (size_t i = 1; i < table.count; i++)
		read_row(l, source, header, &table.rows[i], usable);
}

static void read_file(struct loader *l, const char *job_name, const struct node *name)
{
	struct report report = { .mistake = MISTAKE_UNREADABLE_FILE, .place = node_inside(name) };
	struct file_bytes bytes = { .size = 0 };
	const char *reason = NULL;
	const char *path = file_beside(l->arena, job_name, name->text);
	if (strcmp(path, "-") == 0)
		path = "./-";                  /* a file of that name; standard input is the job's */
	switch (file_read(l->nodes, path, LOAD_MAX_BYTES, &bytes, &reason)) {
	case FILE_OK:
		read_table(l, source_new(l->arena, path, bytes.data, bytes.size));
		return;
	case FILE_UNREADABLE:
		break;
	case FILE_TOO_LARGE:
		report.mistake = MISTAKE_FILE_TOO_LARGE;
		break;
	case FILE_SYSTEM:
		report.mistake = MISTAKE_SYSTEM_ERROR;
		l->system_failed = true;
		break;
	}
	mistake_report(&l->mistakes, report, "catalogue '%s': %s", path, reason);
}

void catalogue_read(struct loader *l, const char *job_name, const struct node *names)
{
	struct hash seen;
	bool list = names && names->kind == NODE_LIST;
	hash_init(&seen, l->nodes);
	for (size_t i = 0; names && i < (list ? names->count : 1); i++) {
		const struct node *name = list ? names->items[i] : names;
		struct report report = { .place = name->at };
		if (name->kind != NODE_SCALAR || node_is_null(name) || name->text[0] == '\0') {
			report.mistake = MISTAKE_WRONG_SHAPE;
			report.expected = "catalogue: [parts/drivers.csv]";
			if (name->kind != NODE_BROKEN && !node_is_null(names))
				mistake_report(&l->mistakes, report, "a catalogue is the name of a file");
		} else if (hash_put(&seen, name->text, i) != i) {
			report.mistake = MISTAKE_DUPLICATE_FILE;
			mistake_report(&l->mistakes, report, "the catalogue '%s' is named twice", name->text);
		} else {
			read_file(l, job_name, name);
		}
	}
}
