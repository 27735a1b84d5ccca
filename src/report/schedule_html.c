/* The schedule as sections of a page, and as a page of its own. */
#include "report/schedule.h"

#include "report/html.h"
#include "report/sheet.h"

static void section(struct buf *out, const struct schedule *schedule, enum sheet_id id)
{
	struct sheet sheet;
	sheet_fill(&sheet, id, schedule, out->arena);
	if (sheet_rows(&sheet) == 0)
		return;
	html_section_open(out, sheet.id, sheet.heading);
	sheet_html(&sheet, out);
	html_section_close(out);
}

void schedule_html_cables(struct buf *out, const struct schedule *schedule)
{
	section(out, schedule, SHEET_CABLES);
}

void schedule_html_strips(struct buf *out, const struct schedule *schedule)
{
	section(out, schedule, SHEET_STRIPS);
}

void schedule_html_switches(struct buf *out, const struct schedule *schedule)
{
	section(out, schedule, SHEET_SWITCHES);
}

void schedule_html_ports(struct buf *out, const struct schedule *schedule)
{
	section(out, schedule, SHEET_PORTS);
}

void schedule_html_drivers(struct buf *out, const struct schedule *schedule)
{
	section(out, schedule, SHEET_DRIVERS);
}

void schedule_html_parts(struct buf *out, const struct schedule *schedule)
{
	section(out, schedule, SHEET_PARTS);
}

void schedule_html_mains(struct buf *out, const struct schedule *schedule)
{
	html_section_open(out, "mains", "Mains: decided, filled in and signed by the electrician");
	for (size_t i = 0; i < schedule->check->job->driver_count; i++)
		html_element(out, "p", mains_text(out->arena, schedule, i));
	buf_add(out, "<ul class=\"lines\">\n");
	for (const char *const *what = mains_lines; *what != NULL; what++) {
		buf_add(out, "<li>");
		html_add(out, *what);
		buf_add(out, " <span></span></li>\n");
	}
	buf_add(out, "</ul>\n");
	html_section_close(out);
}

void schedule_html_power_up(struct buf *out, const struct schedule *schedule)
{
	struct sheet readings;
	html_section_open(out, "power-up", "First power-up");
	buf_add(out, "<ol>\n");
	for (const char *const *step = power_up_steps; *step != NULL; step++) {
		buf_add(out, "<li><span class=\"box\"></span>");
		html_add(out, *step);
		buf_add(out, "</li>\n");
	}
	buf_add(out, "</ol>\n");
	sheet_fill(&readings, SHEET_READINGS, schedule, out->arena);
	if (sheet_rows(&readings) > 0) {
		html_element(out, "h3", readings.heading);
		sheet_html(&readings, out);
	}
	html_section_close(out);
}

void schedule_html_sections(struct buf *out, const struct schedule *schedule)
{
	schedule_html_cables(out, schedule);
	schedule_html_strips(out, schedule);
	schedule_html_switches(out, schedule);
	schedule_html_ports(out, schedule);
	schedule_html_drivers(out, schedule);
	schedule_html_mains(out, schedule);
	schedule_html_power_up(out, schedule);
	schedule_html_parts(out, schedule);
}

/* A good-looking schedule of a job that does not work is worse than none. */
static void verdict(struct buf *out, const struct check_result *result)
{
	if (result->verdict == VERDICT_FAIL)
		html_element(out, "p class=\"bad\"",
		             "Do not wire this yet: 'farend check' finds things that must change.");
	else if (result->verdict == VERDICT_CAUTION)
		html_element(out, "p class=\"warn\"", "Before you wire this, read the cautions of 'farend check'.");
}

void schedule_html(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	struct schedule schedule;
	schedule_build(&schedule, result, out->arena);
	html_open(out, result->job, "Wiring schedule");
	verdict(out, result);
	schedule_html_sections(out, &schedule);
	html_cautions(out);
	html_close(out);
}
