/* `check --format csv`: one block per table, each with a header row, an empty line between them;
 * RFC 4180 quoting, LF line ends, SI numbers in full. */
#include "report/figures.h"

#include <math.h>
#include <string.h>

/* A spreadsheet runs a text that starts like a formula; an apostrophe in front keeps it a text. */
static bool looks_like_formula(const char *text)
{
	return text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
}

static void add_bytes(struct buf *out, const char *text)
{
	if (strpbrk(text, ",\"\r\n") == NULL) {
		buf_add(out, text);
		return;
	}
	buf_add_char(out, '"');
	for (; *text != '\0'; text++) {
		if (*text == '"')
			buf_add_char(out, '"');
		buf_add_char(out, *text);
	}
	buf_add_char(out, '"');
}

static void cell_text(struct buf *out, const char *text)
{
	buf_add_char(out, ',');
	if (text == NULL)
		return;
	if (looks_like_formula(text)) {
		struct buf guarded;
		buf_init(&guarded, out->arena);
		buf_add_char(&guarded, '\'');
		buf_add(&guarded, text);
		text = guarded.data;
	}
	add_bytes(out, text);
}

static void cell_number(struct buf *out, double number)
{
	buf_add_char(out, ',');
	if (isfinite(number))
		buf_addf(out, "%.12g", number == 0 ? 0.0 : number);
}

static void cell_ids(struct buf *out, const struct check_result *result,
                     const struct item_ref *items, size_t count)
{
	struct buf ids;
	buf_init(&ids, out->arena);
	for (size_t i = 0; i < count; i++) {
		buf_add(&ids, i > 0 ? " " : "");
		buf_add(&ids, item_id(result->job, items[i]));
	}
	cell_text(out, ids.data);
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
	cell_text(out, entries.data);
}

static void cell_figure(struct buf *out, const struct figure *figure,
                        const struct check_result *result, struct item_ref item)
{
	if (figure->list != NULL) {
		cell_list(out, figure, result, item.index);
	} else if (figure_is_text(figure)) {
		cell_text(out, figure_text(figure, result, item));
	} else {
		cell_number(out, figure_number(figure, result, item));
	}
}

static void block_of(struct buf *out, const struct check_result *result, enum kind kind)
{
	struct figure_table table = figures_of(kind);
	buf_add(out, "kind,id");
	for (size_t f = 0; f < table.count; f++)
		buf_addf(out, ",%s", table.rows[f].key);
	buf_add_char(out, '\n');
	for (size_t i = 0; i < job_count(result->job, kind); i++) {
		struct item_ref item = { kind, i };
		buf_add(out, kind_words[kind].word);
		cell_text(out, item_id(result->job, item));
		for (size_t f = 0; f < table.count; f++)
			cell_figure(out, &table.rows[f], result, item);
		buf_add_char(out, '\n');
	}
	buf_add_char(out, '\n');
}

static void finding_row(struct buf *out, const struct check_result *result, const struct finding *f)
{
	bool placed = f->place.source != NULL;
	buf_add(out, "finding");
	cell_text(out, f->check->name);
	cell_text(out, severity_word(f->severity));
	cell_text(out, item_id(result->job, f->item));
	cell_ids(out, result, f->items, f->item_count);
	cell_text(out, f->message);
	cell_text(out, f->todo);
	cell_number(out, f->value);
	cell_number(out, f->limit);
	cell_text(out, f->source);
	cell_number(out, placed ? (double)f->place.line : NAN);
	cell_number(out, placed ? (double)f->place.column : NAN);
	buf_add_char(out, '\n');
}

void check_csv(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	for (size_t k = 0; k < KIND__END; k++)
		block_of(out, result, figure_order[k]);
	buf_add(out, "kind,check,severity,item,items,message,do,value,limit,source,line,column\n");
	for (size_t i = 0; i < result->findings->count; i++)
		finding_row(out, result, &result->findings->items[i]);
}
