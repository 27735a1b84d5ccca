/* Headings are forgiving about capitals and blanks, as spreadsheets are; what they name is not. */
#include "load/csv_heading.h"

#include "base/hash.h"

#include <string.h>

/* The heading taken apart: `length (mm)` is "length" and "mm". */
struct heading_text {
	const char *name;            /* in small letters */
	const char *unit;            /* or NULL */
	size_t unit_at, unit_length; /* characters */
};

static size_t trimmed(const char *text, size_t length)
{
	while (length > 0 && strchr(" \t\r\n", text[length - 1]))
		length--;
	return length;
}

static struct heading_text take_apart(struct arena *nodes, const char *text)
{
	size_t name = strcspn(text, "([");
	struct heading_text out = { .unit = NULL };
	char *small = arena_strndup(nodes, text, trimmed(text, name));
	for (char *c = small; *c; c++)
		if (*c >= 'A' && *c <= 'Z')
			*c = (char)(*c - 'A' + 'a');
	out.name = small;
	if (!text[name])
		return out;
	const char *unit = text + name + 1;
	unit += strspn(unit, " ");
	size_t length = trimmed(unit, strcspn(unit, ")]"));
	out.unit = arena_strndup(nodes, unit, length);
	out.unit_at = tree_characters(text, (size_t)(unit - text));
	out.unit_length = tree_characters(unit, length);
	return out;
}

static void report_unknown(struct mistakes *m, const struct csv_kind *kind, const struct node *cell,
                           const char *name)
{
	struct nearest nearest = nearest_to(name);
	for (size_t i = 0; i < kind->columns.count; i++)
		mistake_offer(m, &nearest, kind->columns.rows[i].key);
	mistake_report(m, (struct report){ .mistake = MISTAKE_UNKNOWN_COLUMN,
	                                   .place = node_inside(cell), .expected = kind->names,
	                                   .hint = mistake_hint(m, &nearest) },
	               "%s has no column '%s'", kind->word, cell->text);
}

/* Reads the unit of a heading, of which a column of numbers may have one. */
static bool check_unit(struct decoder *d, const struct attribute *column, const struct node *cell,
                       const struct heading_text *heading)
{
	enum dim dim = column->dims[0];
	if (column->form != FORM_QUANTITY || !heading->unit)
		return true;
	struct quantity q = quantity_parse(d->brief, arena_printf(d->brief, "1 %s", heading->unit),
	                                   column->dims);
	if (q.fault == QUANTITY_OK)
		return true;
	const char *example = strrchr(dim_example(dim), ' ');
	struct report report = {
		.mistake = q.fault == QUANTITY_WRONG_UNIT ? MISTAKE_WRONG_UNIT : MISTAKE_UNKNOWN_UNIT,
		.place = node_within(cell, heading->unit_at, heading->unit_length),
		.expected = mistake_text(d->m, "%s (%s)", column->key, example + 1),
		.hint = q.hint ? mistake_text(d->m, "%s", q.hint) : NULL,
	};
	mistake_report(d->m, report, "'%s' is no unit of %s", heading->unit, dim_words(dim));
	return false;
}

static void read_heading(struct decoder *d, const struct csv_kind *kind, const struct node *cell,
                         const struct heading_text *heading, struct csv_heading *out)
{
	out->column = attribute_find_in(kind->columns, heading->name);
	if (!out->column)
		report_unknown(d->m, kind, cell, heading->name);
	else if (check_unit(d, out->column, cell, heading))
		out->unit = out->column->form == FORM_QUANTITY ? heading->unit : NULL;
	else
		out->column = NULL;
}

bool csv_has_column(const struct csv_headings *headings, const char *key)
{
	for (size_t i = 0; i < headings->row->count; i++)
		if (headings->items[i].column && strcmp(headings->items[i].column->key, key) == 0)
			return true;
	return false;
}

static bool check_needs(struct decoder *d, const struct csv_headings *headings)
{
	const struct csv_kind *kind = headings->kind;
	bool whole = true;
	for (size_t i = 0; i < kind->columns.count; i++) {
		const char *key = kind->columns.rows[i].key;
		if (kind->columns.rows[i].need != NEED_YES || csv_has_column(headings, key))
			continue;
		whole = false;
		if (!headings->wrong)
			mistake_report(d->m, (struct report){
				.mistake = MISTAKE_MISSING_KEY, .place = headings->row->at,
				.expected = mistake_text(d->m, "a first row such as %s", kind->example) },
				"%s needs a column '%s'", kind->word, key);
	}
	return whole;
}

bool csv_headings_read(struct decoder *d, struct arena *nodes, const struct csv_kind *kind,
                       const struct csv_row *row, struct csv_headings *out)
{
	struct hash seen;
	size_t before = d->m->found;
	*out = (struct csv_headings){ .kind = kind, .row = row };
	out->items = arena_array(nodes, struct csv_heading, row->count);
	hash_init(&seen, nodes);
	for (size_t i = 0; i < row->count; i++) {
		const struct node *cell = row->cells[i];
		if (csv_is_blank(cell))
			continue;
		struct heading_text heading = take_apart(nodes, cell->text);
		if (hash_put(&seen, heading.name, i) == i)
			read_heading(d, kind, cell, &heading, &out->items[i]);
		else
			mistake_report(d->m, (struct report){ .mistake = MISTAKE_DUPLICATE_COLUMN,
			                                      .place = node_inside(cell) },
			               "there are two columns '%s'", heading.name);
	}
	arena_reset(d->brief);
	out->wrong = d->m->found > before;
	return check_needs(d, out);
}

/* A number without its unit, or something that was to be one. */
static bool is_bare(struct decoder *d, const struct attribute *column, const char *text)
{
	return strspn(text, " +-.,0123456789") == strlen(text) ||
	       quantity_parse(d->brief, text, column->dims).fault == QUANTITY_NO_UNIT;
}

static const struct node *with_unit(struct decoder *d, struct arena *nodes, const struct node *cell,
                                    const struct csv_heading *heading)
{
	if (!heading->unit || !is_bare(d, heading->column, cell->text))
		return cell;
	struct node *whole = arena_one(nodes, struct node);
	*whole = *cell;
	whole->text = arena_printf(d->arena, "%s %s", cell->text, heading->unit);
	arena_reset(d->brief);
	return whole;
}

const struct node *csv_cell(struct decoder *d, struct arena *nodes,
                            const struct csv_headings *headings, const struct csv_row *row, size_t i)
{
	const struct node *cell = row->cells[i];
	bool headed = i < headings->row->count && !csv_is_blank(headings->row->cells[i]);
	if (csv_is_blank(cell) || (headed && !headings->items[i].column))
		return NULL;
	if (headed)
		return with_unit(d, nodes, cell, &headings->items[i]);
	mistake_report(d->m, (struct report){ .mistake = MISTAKE_ROW_LENGTH, .place = cell->at,
	                                      .hint = "a cell with a comma in it needs quotation marks" },
	               "this cell has no heading");
	return NULL;
}
