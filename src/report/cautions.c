/* What no calculation can take over from the people who build the job. */
#include "report/page.h"

const char *const report_cautions[] = {
	"The mains side of every driver belongs to a licensed electrician and to local code. Nothing "
	"here designs it.",
	"Isolate the supply, and make sure that it is dead, before working on any of this.",
	"Not checked: damp zones and IP ratings, access to the driver, dimmers, and lights that must go "
	"out when a door closes.",
	"The figures are only as good as the labels and lengths in the job file: measure before "
	"closing up.",
	NULL
};

void page_cautions(const struct page *page)
{
	page_heading(page, "Before you build");
	for (const char *const *caution = report_cautions; *caution != NULL; caution++) {
		buf_add(page->out, "- ");
		page_paragraph(page, *caution, 2, 2);
	}
}
