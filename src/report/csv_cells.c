/* Quoting, and the guard against formulas. */
#include "report/csv_cells.h"

#include "report/figures.h"

#include <math.h>
#include <stdbool.h>
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

void csv_text(struct buf *out, const char *text)
{
	buf_add_char(out, ',');
	if (text != NULL)
		csv_first(out, text);
}

void csv_first(struct buf *out, const char *text)
{
	if (looks_like_formula(text)) {
		struct buf guarded;
		buf_init(&guarded, out->arena);
		buf_add_char(&guarded, '\'');
		buf_add(&guarded, text);
		text = guarded.data;
	}
	add_bytes(out, text);
}

void csv_number(struct buf *out, double number)
{
	buf_add_char(out, ',');
	if (isfinite(number))
		buf_add_number(out, number);
}

void csv_items(struct buf *out, const struct job *job, const struct item_ref *items, size_t count)
{
	struct buf ids;
	buf_init(&ids, out->arena);
	for (size_t i = 0; i < count; i++) {
		buf_add(&ids, i > 0 ? " " : "");
		buf_add(&ids, item_id(job, items[i]));
	}
	csv_text(out, ids.data);
}
