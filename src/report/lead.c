/* A list of good lengths for a job that does not work is worse than none, so it says so first. */
#include "report/lead.h"

static size_t count_of(const struct findings *findings, enum severity severity)
{
	size_t count = 0;
	for (size_t i = 0; i < findings->count; i++)
		count += findings->items[i].severity == severity;
	return count;
}

void page_lead(const struct page *page, const struct check_result *result, const char *act)
{
	const struct attr *name = &result->job->name;
	size_t fails = count_of(result->findings, SEVERITY_FAIL);
	size_t cautions = count_of(result->findings, SEVERITY_CAUTION);
	page_paragraph(page, attr_has(name) ? name->text : "Cabinet lighting job", 0, 0);
	if (fails > 0) {
		page_add(page, BAD, arena_printf(page->arena, "Do not %s yet", act));
		buf_addf(page->out, ": 'farend check' finds %zu %s must change.\n", fails,
		         fails == 1 ? "thing that" : "things that");
	} else if (cautions > 0) {
		page_add(page, WARNING, arena_printf(page->arena, "Before you %s", act));
		buf_addf(page->out, ", read the %s of 'farend check'.\n",
		         cautions == 1 ? "caution" : arena_printf(page->arena, "%zu cautions", cautions));
	}
}
