/* "loop_resistance of warm (L1, L2): 0.2 ohm/m", and beneath it why, and what it moves. */
#include "report/assumed.h"

#include "report/item_list.h"

static void indented(const struct page *page, const char *text)
{
	if (text == NULL)
		return;
	buf_add(page->out, "  ");
	page_paragraph(page, text, 2, 2);
}

void page_assumptions(const struct page *page, const struct job *job,
                      const struct assumptions *assumptions)
{
	if (assumptions->count == 0)
		return;
	page_heading(page, "Assumed, not given");
	for (size_t i = 0; i < assumptions->count; i++) {
		const struct assumption *a = &assumptions->items[i];
		struct buf line;
		buf_init(&line, page->arena);
		buf_addf(&line, "- %s of %s", a->row->key, a->owner);
		if (a->item_count > 0) {
			buf_add(&line, " (");
			items_add(&line, job, a->items, a->item_count);
			buf_add(&line, ")");
		}
		buf_addf(&line, ": %s", a->value);
		page_paragraph(page, line.data, 0, 2);
		indented(page, a->why);
		indented(page, a->effect);
	}
}
