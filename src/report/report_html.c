/* The order of the report: what to decide, what to look at, what to build by, what it rests on. */
#include "report/report_page.h"

#include "report/drawing.h"
#include "report/html.h"
#include "report/schedule.h"
#include "report/tolerance.h"

static void add_drawing(struct buf *out, const struct check_result *result)
{
	struct drawing drawing;
	drawing_make(&drawing, result, out->arena);
	html_section_open(out, "drawing", "Drawing");
	buf_add(out, "<ul>\n");
	for (const char *const *legend = drawing_legend; *legend != NULL; legend++)
		html_element(out, "li", *legend);
	buf_add(out, "</ul>\n");
	drawing_html(out, &drawing);
	html_section_close(out);
}

static bool any_proposed(const struct report_result *result)
{
	for (size_t i = 0; i < result->check->job->strip_count; i++)
		if (result->proposed.of_strip[i] != NULL)
			return true;
	return false;
}

static void add_profiles(struct buf *out, const struct report_result *result)
{
	if (result->check->job->strip_count == 0)
		return;
	html_section_open(out, "light", "Light along each strip");
	html_element(out, "p", "With everything on. The solid line is the light as drawn, the dotted one the "
	             "least that is asked for. 100 % is what the strip gives at its nominal voltage.");
	if (any_proposed(result))
		html_element(out, "p", "The dashed line is the light once the strip is fed from both ends, as "
		             "the verdict proposes; it was solved again for it.");
	if (result->check->tolerance != NULL)
		html_element(out, "p", "The shaded band is where the light lies in 9 of 10 builds.");
	profiles_html(out, result->check, &result->proposed);
	html_section_close(out);
}

static void add_contents(struct buf *out, const struct report_result *result)
{
	const struct { const char *id, *name; bool there; } parts[] = {
		{ "verdict", "Verdict", true }, { "sure", "How sure", result->check->tolerance != NULL },
		{ "drawing", "Drawing", true },
		{ "light", "Light", result->check->job->strip_count > 0 },
		{ "schedule", "Wiring schedule", true }, { "cut", "Cutting list", result->cut.list != NULL },
		{ "order", "Order list", result->order.purchase != NULL },
		{ "assumed", "Assumed", result->check->assumptions->count > 0 },
		{ "limits", "Limits", true }, { "cautions", "Before you build", true },
	};
	buf_add(out, "<nav class=\"screen\" aria-label=\"Contents\">\n<p>\n");
	for (size_t i = 0; i < sizeof(parts) / sizeof(parts[0]); i++)
		if (parts[i].there)
			buf_addf(out, "%s<a href=\"#%s\">%s</a>\n", i > 0 ? "| " : "", parts[i].id, parts[i].name);
	buf_add(out, "</p>\n</nav>\n");
}

void report_html(struct buf *out, const struct report_result *result, const struct style *style)
{
	struct schedule schedule;
	(void)style;
	schedule_build(&schedule, result->check, out->arena);
	html_open(out, result->check->job, "Lighting report");
	add_contents(out, result);
	report_verdict(out, result->check);
	report_tolerance(out, result->check);
	add_drawing(out, result->check);
	add_profiles(out, result);
	buf_add(out, "<div id=\"schedule\">\n");
	schedule_html_sections(out, &schedule);
	buf_add(out, "</div>\n");
	if (result->cut.list != NULL)
		report_cut(out, &result->cut);
	if (result->order.purchase != NULL)
		report_order(out, &result->order);
	report_assumed(out, result->check);
	report_limits(out, result->check);
	html_cautions(out);
	html_close(out);
}

void report_svg(struct buf *out, const struct report_result *result, const struct style *style)
{
	struct drawing drawing;
	(void)style;
	drawing_make(&drawing, result->check, out->arena);
	drawing_file(out, &drawing);
}
