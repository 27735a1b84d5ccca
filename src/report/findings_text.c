/* A finding is what was measured, what to do about it, and where it stands. */
#include "report/findings_text.h"

#include "report/figures.h"
#include "report/item_list.h"

#include <string.h>

static const struct {
	const char *word;
	enum emphasis emphasis;
} severity_style[] = {
	[SEVERITY_NOTE] = { "NOTE", STRONG },
	[SEVERITY_CAUTION] = { "CAUTION", WARNING },
	[SEVERITY_FAIL] = { "FAIL", BAD },
};

/* Is the id in the message, as a word of its own? */
static bool mentions(const char *message, const char *id)
{
	static const char id_characters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_";
	size_t length = strlen(id);
	const char *at = message;
	while ((at = strstr(at, id)) != NULL) {
		bool starts = at == message || strchr(id_characters, at[-1]) == NULL;
		if (starts && strspn(at + length, id_characters) == 0)
			return true;
		at++;
	}
	return false;
}

/* Does the finding concern an item that its message does not name? */
static bool concerns_more(const struct job *job, const struct finding *finding)
{
	for (size_t i = 0; i < finding->item_count; i++)
		if (!mentions(finding->message, item_id(job, finding->items[i])))
			return true;
	return false;
}

/* "(far-end-dim, boot-room.yaml:23)": what to ask 'farend explain' about, and where it stands. */
static const char *reference(const struct page *page, const struct finding *finding)
{
	if (finding->place.source == NULL)
		return arena_printf(page->arena, "(%s)", finding->check->name);
	return arena_printf(page->arena, "(%s, %s:%u)", finding->check->name,
	                    finding->place.source->name, (unsigned)finding->place.line);
}

static void print_finding(const struct page *page, const struct job *job,
                          const struct findings *findings, size_t i)
{
	const struct finding *f = &findings->items[i];
	const size_t indent = 4;
	struct buf head;
	buf_init(&head, page->arena);
	buf_addf(page->out, "%s%2zu. ", i > 0 ? "\n" : "", i + 1);
	page_add(page, severity_style[f->severity].emphasis, severity_style[f->severity].word);
	buf_addf(&head, "  %s: %s", item_id(job, f->item), f->check->title);
	page_paragraph(page, head.data, indent + strlen(severity_style[f->severity].word), indent);
	buf_add_repeat(page->out, ' ', indent);
	page_paragraph(page, f->message, indent, indent);
	if (f->item_count > 1 && concerns_more(job, f)) {
		struct buf ids;
		buf_init(&ids, page->arena);
		buf_add(&ids, "Concerns ");
		items_add(&ids, job, f->items, f->item_count);
		buf_add_repeat(page->out, ' ', indent);
		page_paragraph(page, ids.data, indent, indent);
	}
	if (f->todo != NULL) {
		buf_add_repeat(page->out, ' ', indent);
		page_add(page, STRONG, "Do: ");
		page_paragraph(page, f->todo, indent + 4, indent + 4);
	}
	buf_add_repeat(page->out, ' ', indent);
	page_paragraph(page, reference(page, f), indent, indent);
}

void page_findings(const struct page *page, const struct job *job, const struct findings *findings)
{
	for (size_t i = 0; i < findings->count; i++)
		print_finding(page, job, findings, i);
	if (findings->count > 0)
		buf_add(page->out, "\nThe names in brackets are the checks: 'farend explain NAME' tells more.\n");
}
