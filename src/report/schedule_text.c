/* The schedule on paper of 80 columns. A cable takes four lines, because it has more to say than a
 * table of that width holds: from where to where, what to pull, what protects it, what to measure. */
#include "report/schedule.h"

#include "reference/reference.h"
#include "report/lead.h"
#include "report/sheet.h"

#include <math.h>
#include <string.h>

#define INDENT 6

static void line(const struct page *page, const char *text)
{
	buf_add_repeat(page->out, ' ', INDENT);
	page_paragraph(page, text, INDENT, INDENT);
}

static const char *drop_text(const struct page *page, const struct schedule_cable *row)
{
	if (!isfinite(row->amps))
		return "no figures";
	return arena_printf(page->arena, "%.2f A, drop %s (%.1f %%)", row->amps,
	                    quantity_volts(page->arena, row->drop_v), 100 * row->drop);
}

static const char *expected_text(const struct page *page, const struct terminal_result *t)
{
	const char *volts = quantity_volts(page->arena, t->volts);
	const char *low = quantity_volts(page->arena, t->volts_low);
	const char *high = quantity_volts(page->arena, t->volts_high);
	if (strcmp(low, high) == 0)
		return volts;
	return arena_printf(page->arena, "%s (%.2f to %s in use)", volts, t->volts_low, high);
}

static void print_cable(const struct page *page, const struct schedule *s,
                        const struct schedule_cable *row)
{
	const struct job *job = s->check->job;
	const struct cable *cable = &job->cables[row->cable];
	const char *far = schedule_end(s, row->far);
	buf_add(page->out, "[ ]   ");
	page_paragraph(page, arena_printf(page->arena, "%s  %s to %s", cable->item.id,
	                                  schedule_end(s, row->near), far), INDENT, INDENT);
	line(page, arena_printf(page->arena, "2 x %s, %s; %s",
	                        wire_sizes[(size_t)cable->size.num].name,
	                        schedule_length(page->arena, s, row),
	                        schedule_polarity(page->arena, s, row)));
	line(page, arena_printf(page->arena, "%s; protected by %s", drop_text(page, row),
	                        schedule_protection(page->arena, s, row)));
	line(page, arena_printf(page->arena, "%s: %s, read ______ V", far,
	                        expected_text(page, &s->check->solution->terminals[row->far])));
}

static void print_cables(const struct page *page, const struct schedule *s)
{
	const char *place = NULL;
	if (s->check->job->cable_count == 0)
		return;
	page_heading(page, "Cables");
	page_paragraph(page, "In the order of pulling, from the drivers outward, by the place where each begins. "
	               "Voltages: at the far end with everything on, and from lowest to highest in use.",
	               0, 0);
	for (size_t i = 0; i < s->check->job->cable_count; i++) {
		const char *here = schedule_place(&s->cables[i]);
		if (place == NULL || strcmp(place, here) != 0) {
			buf_add_char(page->out, '\n');
			bool said = s->cables[i].reached && s->cables[i].place != NULL;
			page_add(page, STRONG, said ? "Place: " : "");
			page_paragraph(page, here, said ? 7 : 0, said ? 7 : 0);
		}
		place = here;
		print_cable(page, s, &s->cables[i]);
	}
}

static void print_sheet(const struct page *page, const struct schedule *s, enum sheet_id id)
{
	struct sheet sheet;
	sheet_fill(&sheet, id, s, page->arena);
	if (sheet_rows(&sheet) == 0)
		return;
	page_heading(page, sheet.heading);
	sheet_text(&sheet, page);
}

static void print_power_up(const struct page *page, const struct schedule *s)
{
	page_heading(page, "First power-up");
	for (size_t i = 0; power_up_steps[i] != NULL; i++) {
		buf_addf(page->out, "%zu. [ ] ", i + 1);
		page_paragraph(page, power_up_steps[i], 7, 7);
	}
	print_sheet(page, s, SHEET_READINGS);
}

static void print_mains(const struct page *page, const struct schedule *s)
{
	page_heading(page, "Mains: decided, filled in and signed by the electrician");
	for (size_t i = 0; i < s->check->job->driver_count; i++)
		page_paragraph(page, mains_text(page->arena, s, i), 0, 0);
	for (const char *const *what = mains_lines; *what != NULL; what++) {
		size_t used = strlen(*what) + 2;
		buf_addf(page->out, "\n%s: ", *what);
		buf_add_repeat(page->out, '_', page->style.width > used + 8 ? page->style.width - used : 8);
		buf_add_char(page->out, '\n');
	}
}

static void print_head(const struct page *page, const struct schedule *s)
{
	const struct job *job = s->check->job;
	const struct { const char *name; const struct attr *value; } facts[] = {
		{ "site", &job->site }, { "revision", &job->revision }, { "date", &job->date },
		{ "drawn by", &job->drawn_by },
	};
	struct buf text;
	buf_init(&text, page->arena);
	page_lead(page, s->check, "wire");
	for (size_t i = 0; i < sizeof(facts) / sizeof(facts[0]); i++)
		if (attr_has(facts[i].value))
			buf_addf(&text, "%s%s: %s", text.length > 0 ? "; " : "", facts[i].name,
			         facts[i].value->text);
	page_paragraph(page, text.length > 0 ? arena_printf(page->arena, "Wiring schedule; %s", text.data)
	                                     : "Wiring schedule", 0, 0);
}

void schedule_text(struct buf *out, const struct check_result *result, const struct style *style)
{
	struct page page = page_about(result->job, out, style);
	struct schedule schedule;
	schedule_build(&schedule, result, out->arena);
	print_head(&page, &schedule);
	print_cables(&page, &schedule);
	for (enum sheet_id id = SHEET_STRIPS; id <= SHEET_DRIVERS; id++)
		print_sheet(&page, &schedule, id);
	print_mains(&page, &schedule);
	print_power_up(&page, &schedule);
	print_sheet(&page, &schedule, SHEET_PARTS);
	page_cautions(&page);
}
