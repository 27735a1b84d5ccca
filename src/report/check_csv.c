/* `check --format csv`: one block per table, each with a header row, an empty line between them;
 * RFC 4180 quoting, LF line ends, SI numbers in full. */
#include "report/csv_cells.h"
#include "report/figures.h"

#include <math.h>

/* The cells before those of the table: the file, where there are several, and what the row is. */
static void row_start(struct buf *out, const char *file, const char *kind)
{
	if (file == NULL) {
		buf_add(out, kind);
		return;
	}
	csv_first(out, file);
	csv_text(out, kind);
}

static void cell_list(struct buf *out, const struct figure *figure,
                      const struct check_result *result, size_t i)
{
	struct buf entries;
	buf_init(&entries, out->arena);
	const char *entry;
	for (size_t nth = 0; (entry = figure->list(result, i, nth)) != NULL; nth++) {
		buf_add(&entries, nth > 0 ? " " : "");
		buf_add(&entries, entry);
	}
	csv_text(out, entries.data);
}

static void cell_figure(struct buf *out, const struct figure *figure,
                        const struct check_result *result, struct item_ref item)
{
	if (figure->list != NULL) {
		cell_list(out, figure, result, item.index);
	} else if (figure_is_text(figure)) {
		csv_text(out, figure_text(figure, result, item));
	} else {
		csv_number(out, figure_number(figure, result, item));
	}
}

static void item_rows(struct buf *out, const struct check_result *result, enum kind kind, const char *file)
{
	struct figure_table table = figures_of(kind);
	for (size_t i = 0; i < job_count(result->job, kind); i++) {
		struct item_ref item = { kind, i };
		row_start(out, file, kind_words[kind].word);
		csv_text(out, item_id(result->job, item));
		for (size_t f = 0; f < table.count; f++)
			cell_figure(out, &table.rows[f], result, item);
		buf_add_char(out, '\n');
	}
}

static void finding_row(struct buf *out, const struct check_result *result, const struct finding *f,
                        const char *file)
{
	bool placed = f->place.source != NULL;
	row_start(out, file, "finding");
	csv_text(out, f->check->name);
	csv_text(out, severity_word(f->severity));
	csv_text(out, item_id(result->job, f->item));
	csv_items(out, result->job, f->items, f->item_count);
	csv_text(out, f->message);
	csv_text(out, f->todo);
	csv_number(out, f->value);
	csv_number(out, f->limit);
	csv_text(out, f->source);
	csv_number(out, placed ? (double)f->place.line : NAN);
	csv_number(out, placed ? (double)f->place.column : NAN);
	buf_add_char(out, '\n');
}

void check_csv_head(struct buf *out, size_t block, bool file)
{
	if (file)
		buf_add(out, "file,");
	if (block >= KIND__END) {
		buf_add(out, "kind,check,severity,item,items,message,do,value,limit,source,line,column\n");
		return;
	}
	struct figure_table table = figures_of(figure_order[block]);
	buf_add(out, "kind,id");
	for (size_t f = 0; f < table.count; f++)
		buf_addf(out, ",%s", table.rows[f].key);
	buf_add_char(out, '\n');
}

void check_csv_rows(struct buf *out, const struct check_result *result, size_t block, const char *file)
{
	if (block < KIND__END)
		item_rows(out, result, figure_order[block], file);
	for (size_t i = 0; block >= KIND__END && i < result->findings->count; i++)
		finding_row(out, result, &result->findings->items[i], file);
}

void check_csv(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	for (size_t block = 0; block < CHECK_CSV_BLOCKS; block++) {
		if (block > 0)
			buf_add_char(out, '\n');
		check_csv_head(out, block, false);
		check_csv_rows(out, result, block, NULL);
	}
}
