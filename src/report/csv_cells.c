/* Quoting, and the guards against formulas and against what acts on a terminal. */
#include "report/csv_cells.h"

#include "base/text.h"
#include "report/figures.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* A spreadsheet runs a text that starts like a formula; an apostrophe in front keeps it a text. */
static bool looks_like_formula(const char *text)
{
	return text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
}

static bool is_printable(const char *text)
{
	while (*text >= ' ' && *text < 0x7F)
		text++;
	return *text == '\0';
}

/* Ends of lines stay; whatever else a terminal could act on does not, nor what is not UTF-8. */
static const char *made_safe(struct arena *arena, const char *text)
{
	struct buf safe;
	if (is_printable(text))
		return text;
	buf_init(&safe, arena);
	while (*text != '\0') {
		size_t length = strcspn(text, "\n");
		bool ends = text[length] == '\n';
		text_add_safe(&safe, text, length - (ends && length > 0 && text[length - 1] == '\r'));
		if (ends)
			buf_add_char(&safe, '\n');
		text += length + ends;
	}
	return safe.data;
}

static void add_bytes(struct buf *out, const char *text)
{
	text = made_safe(out->arena, text);
	if (strpbrk(text, ",\"\n") == NULL) {
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
