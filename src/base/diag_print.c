/* Showing one diagnostic to a person: where, what, the line with a caret, what would be right.
 * Only the part of the line around the span is looked at, because a job can be one line of
 * megabytes. */
#include "base/diag.h"

#include "base/text.h"

#include <string.h>

#define CUT       3             /* columns of "..." */
#define NARROWEST 16            /* an excerpt is not squeezed further */

struct level_words {
	const char *word;
	const char *colour;
};

static const struct level_words level_words[] = {
	[DIAG_NOTE] = { "note:", "\033[1;36m" },
	[DIAG_WARNING] = { "warning:", "\033[1;35m" },
	[DIAG_ERROR] = { "error:", "\033[1;31m" },
};

/* A stretch of a line, safe to print, and where the span lies. Positions are columns of it. */
struct excerpt {
	struct buf text;
	size_t width;
	size_t start, end;           /* of the span; may lie just behind the text */
	bool before, after;          /* the line goes on there */
};

static void add_safe(struct buf *out, const char *text)
{
	text_add_safe(out, text, strlen(text));
}

static void add_coloured(struct buf *out, const char *text, const char *colour)
{
	if (colour)
		buf_add(out, colour);
	buf_add(out, text);
	if (colour)
		buf_add(out, "\033[0m");
}

/* Byte offset behind `count` more characters from `at`, adding to *characters those there were. */
static size_t skip(const char *line, size_t length, size_t at, size_t count, size_t *characters)
{
	for (; count > 0 && at < length; count--, ++*characters) {
		uint32_t code;
		at += text_decode(line + at, length - at, &code);
	}
	return at;
}

/* Takes `room` characters on either side of the span's start: the span, if longer, is cut too. */
static struct excerpt take_excerpt(struct arena *arena, const struct place *place, size_t room)
{
	struct excerpt x = { .width = 0 };
	size_t length, column = 0, before = 0, ahead = 0, span = 0, behind = 0;
	const char *line = source_line(place->source, place->line, &length);
	skip(line, length, 0, place->column ? place->column - 1 : 0, &column);
	size_t from = skip(line, length, 0, column > room ? column - room : 0, &before);
	size_t start = skip(line, length, from, column - before, &ahead);
	size_t end = skip(line, length, start, place->length < room ? place->length : room, &span);
	size_t to = skip(line, length, end, room, &behind);
	x.before = from > 0;
	x.after = to < length;
	buf_init(&x.text, arena);
	text_add_safe(&x.text, line + from, start - from);
	x.start = text_width(x.text.data, x.text.length);
	text_add_safe(&x.text, line + start, end - start);
	x.end = text_width(x.text.data, x.text.length);
	text_add_safe(&x.text, line + end, to - end);
	x.width = text_width(x.text.data, x.text.length);
	if (x.end == x.start)
		x.end++;                       /* the line's end, or a mark without a width */
	return x;
}

struct window {
	size_t from, to;             /* columns of the excerpt */
	bool cut_before, cut_after;
};

/* The columns to show so that the span is among them and everything fits into `room`. */
static struct window choose_window(const struct excerpt *x, size_t room)
{
	size_t all = x->width > x->end ? x->width : x->end;
	if (!x->before && !x->after && all <= room)
		return (struct window){ 0, all, false, false };
	if (!x->before && (x->end <= room - CUT || x->start == 0))
		return (struct window){ 0, room - CUT, false, true };
	size_t inner = room - 2 * CUT;
	size_t span = x->end - x->start < inner ? x->end - x->start : inner;
	size_t margin = (inner - span) / 2;
	size_t from = x->start > margin ? x->start - margin : 0;
	if (!x->after && all - from <= room - CUT) {
		from = all > room - CUT ? all - (room - CUT) : 0;
		return (struct window){ from, all, true, false };
	}
	return (struct window){ from, from + inner, true, true };
}

/* A wide character that the window's edge would halve leaves blanks in its place. */
static void add_window(struct buf *out, const struct excerpt *x, const struct window *window)
{
	size_t column = 0;
	if (window->cut_before)
		buf_add_repeat(out, '.', CUT);
	for (size_t at = 0; at < x->text.length;) {
		uint32_t code;
		size_t size = text_decode(x->text.data + at, x->text.length - at, &code);
		size_t end = column + (size_t)text_char_width(code);
		bool inside = column >= window->from && end <= window->to;
		if (end == column)
			inside = inside && (column > window->from || window->from == 0);
		if (inside)
			buf_add_bytes(out, x->text.data + at, size);
		else if (column < window->to && end > window->from)
			buf_add_char(out, ' ');
		column = end;
		at += size;
	}
	if (window->cut_after)
		buf_add_repeat(out, '.', CUT);
	buf_add_char(out, '\n');
}

static void add_caret(struct buf *out, const struct excerpt *x, const struct window *window,
                      const char *colour)
{
	size_t end = x->end < window->to ? x->end : window->to;
	struct buf caret;
	buf_init(&caret, out->arena);
	buf_add_char(&caret, '^');
	buf_add_repeat(&caret, '~', end > x->start + 1 ? end - x->start - 1 : 0);
	buf_add_repeat(out, ' ', x->start - window->from + (window->cut_before ? CUT : 0));
	add_coloured(out, caret.data, colour);
	buf_add_char(out, '\n');
}

static void add_line(struct buf *out, const struct place *place, const char *colour, size_t width)
{
	struct buf gutter;
	buf_init(&gutter, out->arena);
	buf_addf(&gutter, "%5lu", (unsigned long)place->line);
	size_t margin = gutter.length + strlen(" | ");
	size_t room = width > margin + NARROWEST ? width - margin : NARROWEST;
	struct excerpt x = take_excerpt(out->arena, place, room);
	struct window window = choose_window(&x, room);
	buf_addf(out, "%s | ", gutter.data);
	add_window(out, &x, &window);
	buf_add_repeat(out, ' ', gutter.length);
	buf_add(out, " | ");
	add_caret(out, &x, &window, colour);
}

static void add_advice(struct buf *out, const char *label, const char *text, size_t width)
{
	if (!text)
		return;
	struct buf safe;
	size_t indent = strlen(label);
	buf_init(&safe, out->arena);
	add_safe(&safe, text);
	buf_add(out, label);
	text_add_wrapped(out, safe.data, indent, indent, width);
	buf_add_char(out, '\n');
}

void diag_print(struct buf *out, const struct diag *diag, bool colour, size_t width)
{
	const struct level_words *words = &level_words[diag->level];
	const struct place *place = &diag->place;
	const char *emphasis = colour ? words->colour : NULL;
	if (place->source) {
		add_safe(out, place->source->name);
		if (place->line > 0)
			buf_addf(out, ":%lu:%lu", (unsigned long)place->line,
			         (unsigned long)place->column);
		buf_add(out, ": ");
	}
	add_coloured(out, words->word, emphasis);
	buf_add_char(out, ' ');
	add_safe(out, diag->message);
	buf_addf(out, " [%s]\n", diag->kind);
	if (place->source && place->line > 0 && place->line <= place->source->line_count)
		add_line(out, place, emphasis, width);
	add_advice(out, "  expected: ", diag->expected, width);
	add_advice(out, "  hint: ", diag->hint, width);
}
