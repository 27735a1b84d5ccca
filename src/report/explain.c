/* `explain`: the catalogue of checks for people, straight from its rows. */
#include "report/page.h"
#include "report/table.h"

#include "quantity/quantity.h"

static void part(const struct page *page, const char *heading, const char *text)
{
	if (text == NULL || text[0] == '\0')
		return;
	page_add(page, STRONG, heading);
	buf_add(page->out, "\n  ");
	page_paragraph(page, text, 2, 2);
}

void explain_check(struct buf *out, const struct check *check, const struct style *style)
{
	struct page page = page_on(out, style);
	page_add(&page, STRONG, check->name);
	buf_add(out, "\n  ");
	page_paragraph(&page, check->title, 2, 2);
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
	buf_add(out, "\n'farend explain NAME' shows one of them in full.\n");
}
