/* Rows of the table to items and their lengths. */
#include "load/as_built.h"

#include "load/read_source.h"
#include "load/switch_state.h"

#include <math.h>
#include <string.h>

#define MOST_VOLTS 120
#define MOST_AMPS 100
#define TEXT_ROW(key, need) \
	{ key, FORM_TEXT, { DIM__END, DIM__END, DIM__END }, 0, need, NULL, 0, 0, .assumed = NAN }
#define READING_ROW(key, dim, least, most) \
	{ key, FORM_QUANTITY, { dim, DIM__END, DIM__END }, 0, NEED_NO, NULL, least, most, .assumed = NAN }

static const struct attribute rows[BUILT__END] = {
	[BUILT_ITEM] = TEXT_ROW("item", NEED_YES),
	[BUILT_LENGTH] = READING_ROW("length", DIM_LENGTH, 0, 1000),
	[BUILT_VOLTS] = READING_ROW("volts", DIM_VOLT, 0, MOST_VOLTS),
	[BUILT_AMPS] = READING_ROW("amps", DIM_AMP, -MOST_AMPS, MOST_AMPS),
	[BUILT_NOTE] = TEXT_ROW("note", NEED_NO),
	[BUILT_SWITCHES] = TEXT_ROW("switches", NEED_NO),
};

const struct attribute_table built_columns = { rows, BUILT__END };

static const struct csv_kind kind = {
	.columns = { rows, BUILT__END },
	.word = "an as-built file",
	.names = "item, length, volts, amps, note or switches",
	.example = "item,length (mm),volts,amps,note,switches",
};

static void read_cells(struct loader *l, const struct csv_headings *headings, const struct csv_row *from,
                       struct built_row *row)
{
	for (size_t i = 0; i < from->count; i++) {
		const struct node *cell = csv_cell(&l->decoder, l->nodes, headings, from, i);
		if (cell)
			row->cells[headings->items[i].column - rows] = cell;
	}
}

static bool is_empty(const struct built_row *row)
{
	return !row->cells[BUILT_LENGTH] && !row->cells[BUILT_VOLTS] && !row->cells[BUILT_AMPS] &&
	       !row->cells[BUILT_SWITCHES];
}

/* A row with nothing but a note needs no item. */
static void name_item(struct loader *l, const struct built_table *table, const struct csv_row *from,
                      struct built_row *row)
{
	const struct node *cell = row->cells[BUILT_ITEM];
	if (cell) {
		row->item = (struct attr){ .origin = ORIGIN_BUILT, .text = cell->text,
		                           .place = node_inside(cell) };
		row->end.said = &row->item;
		row->known = table->named && link_item(l, true, &row->end);
		arena_reset(l->decoder.brief);
	} else if (!is_empty(row)) {
		mistake_report(&l->mistakes, (struct report){
			.mistake = MISTAKE_MISSING_KEY, .place = from->at,
			.expected = "the id of a strip or cable, or a terminal such as L1.end" },
			"this row names no item");
	}
}

/* "850 mm" for 850, "1.85 m" for 1.85. */
static const char *length_proposal(struct loader *l, const char *number)
{
	static const enum dim any[] = { DIM_NUMBER, DIM__END };
	struct quantity q = quantity_parse(l->decoder.brief, number, any);
	return mistake_text(&l->mistakes, "%s %s, or a heading such as 'length (mm)'", number,
	                    q.fault == QUANTITY_OK && fabs(q.value) < 10 ? "m" : "mm");
}

/* Decodes the length by the rules of its item's own kind. */
static bool decode_length(struct loader *l, const struct built_row *row, struct attr *out)
{
	const struct node *cell = row->cells[BUILT_LENGTH];
	bool strip = row->known && row->end.named.kind == KIND_STRIP;
	const struct attribute *rule = attribute_find(strip ? KIND_STRIP : KIND_CABLE, "length");
	if (quantity_parse(l->decoder.brief, cell->text, rule->dims).fault == QUANTITY_NO_UNIT) {
		mistake_report(&l->mistakes, (struct report){
			.mistake = MISTAKE_NO_UNIT, .place = node_inside(cell),
			.expected = length_proposal(l, cell->text) },
			"length: '%s' has no unit", cell->text);
		return false;
	}
	*out = (struct attr){ .origin = ORIGIN_BUILT };
	return form_decode(&l->decoder, rule, cell, out);
}

static bool has_length(struct loader *l, const struct built_row *row)
{
	const struct named named = row->end.named;
	const char *id = job_item(l->job, named.kind, named.index)->id;
	struct report report = { .mistake = MISTAKE_WRONG_PLACE,
	                         .place = node_inside(row->cells[BUILT_LENGTH]) };
	bool measurable = named.kind == KIND_STRIP || named.kind == KIND_CABLE;
	if (measurable && !row->item.text[row->end.rest])
		return true;
	if (measurable)
		report.expected = mistake_text(&l->mistakes, "the length at '%s', the whole %s", id,
		                               kind_words[named.kind].word);
	else
		report.expected = "the length of a strip or a cable";
	mistake_report(&l->mistakes, report, "'%s' is a %s and has no length", row->item.text,
	               measurable ? "terminal" : kind_words[named.kind].word);
	return false;
}

static struct attr *length_of(struct job *job, struct named named)
{
	return named.kind == KIND_STRIP ? &job->strips[named.index].length
	                                : &job->cables[named.index].length;
}

static void take_length(struct loader *l, struct as_built *built, const struct built_row *row)
{
	struct attr length;
	bool good = decode_length(l, row, &length);
	arena_reset(l->decoder.brief);
	if (!row->known || !has_length(l, row) || !good)
		return;
	struct attr *slot = length_of(l->job, row->end.named);
	if (slot->origin == ORIGIN_BUILT) {
		struct report report = { .mistake = MISTAKE_REPEATED_READING, .place = length.place };
		report.hint = mistake_text(&l->mistakes, "the first is at %s",
		                           mistake_where(&l->mistakes, slot->place, length.place));
		mistake_report(&l->mistakes, report, "a second length for '%s'", row->item.text);
		return;
	}
	*slot = length;
	built->lengths = arena_grow(l->arena, built->lengths, built->length_count,
	                            &built->length_capacity, sizeof *built->lengths);
	built->lengths[built->length_count++] = (struct built_length){
		.item = { row->end.named.kind, row->end.named.index }, .length = length,
		.note = row->cells[BUILT_NOTE] ? row->cells[BUILT_NOTE]->text : NULL,
	};
}

/* Meters show volts and amperes; lengths are measured in too many ways. */
static void assume_units(struct csv_headings *headings)
{
	for (size_t i = 0; i < headings->row->count; i++) {
		struct csv_heading *heading = &headings->items[i];
		if (heading->unit)
			continue;
		if (heading->column == &rows[BUILT_VOLTS])
			heading->unit = "V";
		if (heading->column == &rows[BUILT_AMPS])
			heading->unit = "A";
	}
}

static bool read_headings(struct loader *l, const struct csv_row *row, struct csv_headings *out)
{
	if (!csv_headings_read(&l->decoder, l->nodes, &kind, row, out))
		return false;
	assume_units(out);
	if (csv_has_column(out, "length") || csv_has_column(out, "volts") || csv_has_column(out, "amps"))
		return true;
	if (!out->wrong)
		mistake_report(&l->mistakes, (struct report){
			.mistake = MISTAKE_MISSING_KEY, .place = row->at,
			.expected = mistake_text(&l->mistakes, "a first row such as %s", kind.example) },
			"an as-built file needs a column 'length', 'volts' or 'amps'");
	return !out->wrong;
}

static void say_semicolons(struct loader *l, const struct source *source, struct place at)
{
	struct diag note = { .level = DIAG_NOTE, .kind = mistake_name(MISTAKE_SEMICOLONS), .place = at,
	                     .message = "the cells are taken to be separated by semicolons" };
	note.place.source = source;
	diags_add(l->mistakes.diags, &note);
}

static void read_table(struct loader *l, struct built_table *table)
{
	struct csv_table csv;
	struct csv_headings headings;
	if (!csv_table_read(l->arena, l->nodes, table->source, &l->mistakes, &csv))
		return;
	if (csv.separator == ';')
		say_semicolons(l, table->source, csv.rows[0].at);
	if (!read_headings(l, &csv.rows[0], &headings))
		return;
	table->row_count = csv.count - 1;
	table->rows = arena_array(l->nodes, struct built_row, table->row_count);
	for (size_t i = 0; i < table->row_count && !mistakes_full(&l->mistakes); i++) {
		struct built_row *row = &table->rows[i];
		read_cells(l, &headings, &csv.rows[i + 1], row);
		name_item(l, table, &csv.rows[i + 1], row);
		if (row->cells[BUILT_LENGTH])
			take_length(l, table->built, row);
	}
}

struct built_table *as_built_read(struct loader *l, const char *path, bool taken, bool named)
{
	struct built_table *table = arena_one(l->nodes, struct built_table);
	table->built = arena_one(l->arena, struct as_built);
	table->built->file = arena_strdup(l->arena, path);
	table->named = named;
	if (taken && strcmp(path, "-") == 0) {
		table->source = source_new(l->arena, path, "", 0);
		mistake_report(&l->mistakes, (struct report){
			.mistake = MISTAKE_UNREADABLE_FILE, .place = { .source = table->source },
			.expected = "a file for one of the two" },
			"standard input was read for the job already");
		return table;
	}
	/* Of a file that cannot be read, the report carries the source. */
	size_t before = l->mistakes.diags->count;
	table->source = read_source(l->arena, l->nodes, &(struct load_text){ .name = path }, &l->mistakes,
	                            &l->system_failed);
	if (table->source)
		read_table(l, table);
	else if (l->mistakes.diags->count > before)
		table->source = l->mistakes.diags->items[before].place.source;
	return table;
}
