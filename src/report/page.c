/* Folding and emphasis of text for people. */
#include "report/page.h"

#include "base/text.h"
#include "quantity/quantity.h"

#include <string.h>

#define DEFAULT_WIDTH 80
#define LEAST_WIDTH 40
#define NO_BREAK_SPACE "\xC2\xA0"

struct page page_on(struct buf *out, const struct style *style)
{
	struct page page = { .out = out, .arena = out->arena, .style = *style };
	if (page.style.width == 0)
		page.style.width = DEFAULT_WIDTH;
	if (page.style.width < LEAST_WIDTH)
		page.style.width = LEAST_WIDTH;
	return page;
}

struct page page_about(const struct job *job, struct buf *out, const struct style *style)
{
	struct page page = page_on(out, style);
	page.lengths = job_lengths(job);
	return page;
}

const char *page_safe(const struct page *page, const char *text)
{
	struct buf safe;
	buf_init(&safe, page->arena);
	for (;;) {
		size_t length = strcspn(text, "\r\n");
		text_add_safe(&safe, text, length);
		text += length;
		if (*text == '\0')
			return safe.data;
		buf_add_char(&safe, ' ');
		text += strspn(text, "\r\n");
	}
}

void page_add(const struct page *page, enum emphasis emphasis, const char *text)
{
	static const char *const codes[EMPHASIS__END] = {
		[STRONG] = "\x1b[1m", [GOOD] = "\x1b[1;32m", [WARNING] = "\x1b[1;33m", [BAD] = "\x1b[1;31m",
	};
	bool coded = page->style.colour && codes[emphasis] != NULL;
	buf_add(page->out, coded ? codes[emphasis] : "");
	buf_add(page->out, text);
	buf_add(page->out, coded ? "\x1b[0m" : "");
}

static bool starts_with_unit(const char *text)
{
	size_t length = strcspn(text, " ,;.:)");
	for (size_t i = 0; i < unit_count; i++)
		if (strlen(unit_table[i].symbol) == length && strncmp(unit_table[i].symbol, text, length) == 0)
			return true;
	return false;
}

/* The blanks inside a number with a fraction, and with `units` those between a number and its unit, are
 * no-break spaces while the text is folded, and blanks again afterwards. */
static const char *tied(const struct page *page, const char *text, bool units)
{
	struct buf out;
	buf_init(&out, page->arena);
	for (size_t i = 0; text[i] != '\0'; i++) {
		bool number = i > 0 && text[i - 1] >= '0' && text[i - 1] <= '9';
		const char *next = text + i + 1;
		if (text[i] == ' ' && number && (quantity_is_fraction(next) || (units && starts_with_unit(next))))
			buf_add(&out, NO_BREAK_SPACE);
		else
			buf_add_char(&out, text[i]);
	}
	return out.data;
}

static void add_untied(struct buf *out, const char *text)
{
	while (*text != '\0') {
		size_t length = strlen(NO_BREAK_SPACE);
		bool tie = strncmp(text, NO_BREAK_SPACE, length) == 0;
		buf_add_bytes(out, tie ? " " : text, 1);
		text += tie ? length : 1;
	}
}

void page_paragraph(const struct page *page, const char *text, size_t column, size_t indent)
{
	struct buf folded;
	buf_init(&folded, page->arena);
	text_add_wrapped(&folded, tied(page, page_safe(page, text), true), column, indent, page->style.width);
	add_untied(page->out, folded.data);
	buf_add_char(page->out, '\n');
}

void page_fold_cell(const struct page *page, struct buf *out, const char *text, size_t width)
{
	const char *whole = tied(page, text, false);
	struct buf folded;
	buf_init(&folded, page->arena);
	text_add_wrapped(&folded, whole, 0, 0, width);
	if (strcmp(whole, text) == 0)
		buf_add(out, folded.data);       /* with the no-break spaces that are its own */
	else
		add_untied(out, folded.data);
}

void page_heading(const struct page *page, const char *text)
{
	buf_add_char(page->out, '\n');
	page_add(page, STRONG, text);
	buf_add(page->out, "\n\n");
}
