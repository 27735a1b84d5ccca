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

/* A number and its unit stay on one line: the blank between them is a no-break space while the text
 * is folded, and a blank again afterwards. */
static const char *with_units_tied(const struct page *page, const char *text)
{
	struct buf tied;
	buf_init(&tied, page->arena);
	for (size_t i = 0; text[i] != '\0'; i++) {
		bool number = i > 0 && text[i - 1] >= '0' && text[i - 1] <= '9';
		if (text[i] == ' ' && number && starts_with_unit(text + i + 1))
			buf_add(&tied, NO_BREAK_SPACE);
		else
			buf_add_char(&tied, text[i]);
	}
	return tied.data;
}

void page_paragraph(const struct page *page, const char *text, size_t column, size_t indent)
{
	struct buf folded;
	buf_init(&folded, page->arena);
	text_add_wrapped(&folded, with_units_tied(page, page_safe(page, text)), column, indent,
	                 page->style.width);
	for (const char *at = folded.data; *at != '\0';) {
		size_t length = strlen(NO_BREAK_SPACE);
		bool tie = strncmp(at, NO_BREAK_SPACE, length) == 0;
		buf_add_bytes(page->out, tie ? " " : at, 1);
		at += tie ? length : 1;
	}
	buf_add_char(page->out, '\n');
}

void page_heading(const struct page *page, const char *text)
{
	buf_add_char(page->out, '\n');
	page_add(page, STRONG, text);
	buf_add(page->out, "\n\n");
}
