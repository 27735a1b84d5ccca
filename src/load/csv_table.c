/* libcsv says nothing about places, so it is fed one byte at a time and we count lines and
 * columns. After an error it is not asked to finish: it would hand out the half-read row as if
 * it were right. */
#include "load/csv_table.h"

#include "load/text_check.h"

#include <csv.h>
#include <string.h>

struct position { uint32_t line, column; };

struct reader {
	struct csv_parser parser;
	struct arena *arena, *nodes;
	const struct source *source;
	struct csv_table *table;
	size_t row_capacity;
	struct csv_row row;          /* the one being read */
	size_t cell_capacity;
	struct position here;        /* of the byte being fed */
	struct position begun;       /* of the cell's first character that is not a blank */
	struct position closed;      /* of its latest quotation mark */
	bool in_cell, quoted, has_text;
};

static void release(void *thing)
{
	csv_free(thing);
}

static struct place place_at(const struct reader *r, struct position at)
{
	return (struct place){ r->source, at.line, at.column, 1 };
}

/* Where the text stands in the cell: at once, or behind the quotation mark unless marks inside
 * it are doubled or it runs over several lines. */
static void place_cell(const struct reader *r, struct node *cell, size_t size)
{
	size_t characters = tree_characters(cell->text, size);
	cell->at = place_at(r, r->in_cell ? r->begun : r->here);
	cell->quoted = r->in_cell && r->quoted;
	cell->exact = true;
	if (cell->quoted) {
		bool one_line = r->closed.line == r->begun.line;
		cell->lead = 1;
		cell->at.length = one_line ? r->closed.column - r->begun.column + 1 : 1;
		cell->exact = one_line && cell->at.length == characters + 2;
	} else if (characters > 0) {
		cell->at.length = (uint32_t)characters;
	}
}

static void take_cell(void *text, size_t size, void *data)
{
	struct reader *r = data;
	struct node *cell = arena_one(r->nodes, struct node);
	cell->kind = NODE_SCALAR;
	cell->weight = 1;
	cell->text = text ? arena_strndup(r->arena, text, size) : "";
	place_cell(r, cell, text ? size : 0);
	r->row.cells = arena_grow(r->nodes, r->row.cells, r->row.count, &r->cell_capacity,
	                          sizeof(struct node *));
	r->row.cells[r->row.count++] = cell;
	r->has_text = r->has_text || cell->text[0];
	r->in_cell = false;
}

static void take_row(int end, void *data)
{
	struct reader *r = data;
	(void)end;
	if (r->has_text) {
		r->row.at = r->row.cells[0]->at;
		r->table->rows = arena_grow(r->nodes, r->table->rows, r->table->count, &r->row_capacity,
		                            sizeof r->row);
		r->table->rows[r->table->count++] = r->row;
	}
	r->row = (struct csv_row){ .cells = NULL };
	r->cell_capacity = 0;
	r->has_text = false;
}

/* Spreadsheets of countries with a decimal comma separate cells by semicolons. */
static unsigned char separator(const struct source *source)
{
	const char *text = source->bytes + strspn(source->bytes, "\r\n");
	size_t length = strcspn(text, "\r\n");
	return !memchr(text, ',', length) && memchr(text, ';', length) ? ';' : CSV_COMMA;
}

static bool report(struct reader *r, struct mistakes *m, bool at_end)
{
	struct report report = { .mistake = MISTAKE_CSV_SYNTAX };
	if (csv_error(&r->parser) == CSV_ENOMEM)
		arena_exhausted(r->arena);
	report.place = place_at(r, at_end ? r->begun : r->here);
	if (at_end) {
		mistake_report(m, report, "this quotation mark is not closed");
		return false;
	}
	report.expected = "quotation marks around the whole cell, and doubled inside it";
	report.hint = "inches can be written 'in'";
	mistake_report(m, report, "a quotation mark in the middle of a cell");
	return false;
}

static void advance(struct reader *r, const char *at)
{
	unsigned char c = (unsigned char)*at;
	if (c == '\n' || (c == '\r' && at[1] != '\n'))
		r->here = (struct position){ r->here.line + 1, 1 };
	else if ((at[1] & 0xC0) != 0x80)
		r->here.column++;
}

static bool feed(struct reader *r, struct mistakes *m)
{
	char delimiter = (char)csv_get_delim(&r->parser);
	for (size_t i = 0; i < r->source->size; i++) {
		char c = r->source->bytes[i];
		if (!r->in_cell && c != delimiter && !strchr(" \t\r\n", c)) {
			r->in_cell = true;
			r->quoted = c == '"';
			r->begun = r->here;
		}
		if (c == '"')
			r->closed = r->here;
		if (csv_parse(&r->parser, &c, 1, take_cell, take_row, r) != 1)
			return report(r, m, false);
		advance(r, r->source->bytes + i);
	}
	if (csv_fini(&r->parser, take_cell, take_row, r) != 0)
		return report(r, m, true);
	return true;
}

bool csv_table_read(struct arena *arena, struct arena *nodes, const struct source *source,
                    struct mistakes *m, struct csv_table *out)
{
	*out = (struct csv_table){ .separator = (char)separator(source) };
	if (!text_check(source, m))
		return false;
	struct arena *own = arena_child(nodes);
	struct reader *r = arena_one(own, struct reader);
	*r = (struct reader){ .arena = arena, .nodes = nodes, .source = source, .table = out,
	                      .here = { 1, 1 } };
	unsigned char options = CSV_STRICT | CSV_STRICT_FINI | CSV_APPEND_NULL | CSV_EMPTY_IS_NULL;
	if (csv_init(&r->parser, options) != 0)
		arena_exhausted(arena);
	arena_defer(own, release, &r->parser);
	csv_set_delim(&r->parser, separator(source));
	bool good = feed(r, m);
	arena_free(own);
	if (good && out->count == 0)
		mistake_report(m, (struct report){ .mistake = MISTAKE_EMPTY_FILE,
		                                   .place = { .source = source } },
		               "there is nothing in the table");
	return good && out->count > 0;
}
