/* `explain`: the catalogues of checks and of mistakes for people, straight from their rows. */
#include "report/explain.h"

#include "report/page.h"
#include "report/table.h"

#include "quantity/quantity.h"

#include <string.h>

static void heading(const struct page *page, const char *text)
{
	page_add(page, STRONG, text);
	buf_add(page->out, "\n  ");
}

static void part(const struct page *page, const char *name, const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	heading(page, name);
	page_paragraph(page, text, 2, 2);
}

void explain_check(struct buf *out, const struct check *check, const struct style *style)
{
	struct page page = page_on(out, style);
	part(&page, check->name, check->title);
	part(&page, "Why it matters", check->why);
	part(&page, "What is measured", check->formula);
	part(&page, "When it is raised", check->severities);
	part(&page, "Where the limit comes from", check->source);
}

void explain_list(struct buf *out, const struct style *style)
{
	static const struct table_column columns[] = {
		{ "check", ALIGN_LEFT, false, false },
		{ "what is wrong", ALIGN_LEFT, true, false },
		{ "when", ALIGN_LEFT, true, false },
	};
	struct page page = page_on(out, style);
	struct table table;
	table_init(&table, page.arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < check_count; i++) {
		table_add(&table, checks[i].name);
		table_add(&table, checks[i].title);
		table_add(&table, checks[i].severities);
	}
	table_print(&table, &page);
}

/* As a sentence begins. */
static const char *capital(const struct page *page, const char *text)
{
	char *copy = arena_strdup(page->arena, text);
	if (copy[0] >= 'a' && copy[0] <= 'z')
		copy[0] = (char)(copy[0] - 'a' + 'A');
	return copy;
}

/* A piece of a file, line by line. What is wider than the page goes on further in, broken at a blank. */
static void example(const struct page *page, const char *name, const char *lines)
{
	page_add(page, STRONG, name);
	buf_add_char(page->out, '\n');
	while (*lines != '\0') {
		size_t length = strcspn(lines, "\n");
		size_t indent = 2 + strspn(lines, " ");
		buf_add_repeat(page->out, ' ', indent);
		page_paragraph(page, arena_strndup(page->arena, lines + indent - 2, length + 2 - indent), indent,
		               indent + 4);
		lines += length + (lines[length] == '\n');
	}
}

void explain_mistake(struct buf *out, const struct explained_mistake *mistake, const struct style *style)
{
	struct page page = page_on(out, style);
	part(&page, mistake->name, capital(&page, mistake->meaning));
	part(&page, "What to do", capital(&page, mistake->cure));
	if (mistake->wrong != NULL) {
		example(&page, "Wrong", mistake->wrong);
		example(&page, "Right", mistake->right);
	}
}

void explain_mistakes(struct buf *out, const struct explained_mistake *mistakes, size_t count,
                      const struct style *style)
{
	static const struct table_column columns[] = {
		{ "mistake in a file", ALIGN_LEFT, false, false },
		{ "what is wrong", ALIGN_LEFT, true, false },
	};
	struct page page = page_on(out, style);
	struct table table;
	table_init(&table, page.arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < count; i++) {
		table_add(&table, mistakes[i].name);
		table_add(&table, mistakes[i].meaning);
	}
	buf_add_char(out, '\n');
	table_print(&table, &page);
}

void explain_list_end(struct buf *out)
{
	buf_add(out, "\n'farend explain NAME' shows one of them in full.\n");
}
