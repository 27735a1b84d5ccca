/* Readings against prediction, and what may explain them: in plain words, best explanation first, and
 * never one alone where the readings cannot tell it from others. */
#include "report/verify_parts.h"

#include "report/figures.h"
#include "report/table.h"
#include "report/verify_words.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* ------- readings */

static void add_reading(const struct page *page, const struct verification *result, size_t i,
                        struct table *table)
{
	const struct reading *reading = &result->as_built->readings[i];
	const struct reading_check *check = &result->diagnosis.checks[i];
	const struct meter *meter = &result->diagnosis.meter;
	table_add(table, page_safe(page, reading->at));
	table_add(table, page_safe(page, result->as_built->states[reading->state].text));
	table_add(table, meter_text(page->arena, meter, reading->range, reading->value));
	table_add(table, meter_text(page->arena, meter, reading->range, check->predicted));
	table_add(table, meter_difference(page->arena, meter, reading->range, check->difference));
	table_add(table, meter_text(page->arena, meter, reading->range, check->allowed));
	table_add(table, check->unknown ? "not foreseen" : check->within ? "" : "outside");
	table_add(table, reading->note != NULL ? page_safe(page, reading->note) : "");
}

/* "Allowed is what the meter may be off ..." */
static void print_meter(const struct page *page, const struct verification *result)
{
	const struct diagnosis *d = &result->diagnosis;
	struct buf line;
	buf_init(&line, page->arena);
	buf_addf(&line, "Allowed is what the meter may be off, in 95 of 100 readings: %.3g %% common to all "
	         "of them, and a digit of ", 100 * d->meter.gain);
	quantity_add(&line, d->meter.digit_v, DIM_VOLT, 3);
	buf_add(&line, " (");
	quantity_add(&line, d->meter.digit_a, DIM_AMP, 3);
	buf_add(&line, ") in each (common practice, no source; see --meter-gain, --meter-digit).");
	if (fabs(d->gain_v) >= 0.0005)
		buf_addf(&line, " The volts fit best if the meter shows %.1f %% too %s.", 100 * fabs(d->gain_v),
		         d->gain_v > 0 ? "much" : "little");
	if (fabs(d->gain_a) >= 0.0005)
		buf_addf(&line, " The amps fit best if it shows %.1f %% too %s.", 100 * fabs(d->gain_a),
		         d->gain_a > 0 ? "much" : "little");
	page_paragraph(page, line.data, 0, 0);
}

void verify_print_readings(const struct page *page, const struct verification *result)
{
	static const struct table_column columns[] = {
		{ .head = "at", .gives = true }, { .head = "switches", .gives = true, .optional = true },
		{ .head = "measured", .align = ALIGN_RIGHT }, { .head = "predicted", .align = ALIGN_RIGHT },
		{ .head = "difference", .align = ALIGN_RIGHT }, { .head = "allowed", .align = ALIGN_RIGHT },
		{ .head = "accuracy", .optional = true }, { .head = "note", .gives = true, .optional = true },
	};
	struct table table;
	if (result->as_built->reading_count == 0)
		return;
	page_heading(page, "Readings against prediction");
	table_init(&table, page->arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < result->as_built->reading_count; i++)
		add_reading(page, result, i, &table);
	table_print(&table, page);
	buf_add_char(page->out, '\n');
	if (verify_unknown(result) > 0)
		page_paragraph(page, "Not foreseen: two drivers feed one network there, and how they share the "
		               "current cannot be worked out (double-fed).\n", 0, 0);
	print_meter(page, result);
}

/* ------- suspects */

static const char *capital(struct arena *arena, const char *text)
{
	char *copy = arena_strdup(arena, text);
	copy[0] = (char)toupper((unsigned char)copy[0]);
	return copy;
}

/* "cable C4, the setting of D1 (11.62 V)": the others of a group. Ohms are the same for all that lie in one
 * line, so they are not said again. */
static void add_tied(struct buf *out, const struct verification *result, size_t leader)
{
	const struct suspect *suspects = result->diagnosis.suspects;
	size_t named = 0;
	for (size_t i = leader + 1; i < result->diagnosis.suspect_count; i++) {
		const struct suspect *s = &suspects[i];
		if (s->group != suspects[leader].group)
			continue;
		bool ohms = s->kind != SUSPECT_DRIVER && s->kind != SUSPECT_STRIP;
		buf_addf(out, "%s%s", named++ > 0 ? "; " : " These readings cannot tell it from ",
		         suspect_name(out->arena, result->built.job, s));
		if (!ohms || s->core != suspects[leader].core)
			buf_addf(out, " (about %s)", suspect_value(out->arena, s));
	}
	buf_add(out, named > 0 ? "." : "");
}

static void print_part(const struct page *page, const char *head, const char *text)
{
	buf_add_repeat(page->out, ' ', 4);
	page_add(page, STRONG, head);
	page_paragraph(page, text, 4 + strlen(head), 4);
}

/* A suspect and those that explain the readings equally well. */
static void print_group(const struct page *page, const struct verification *result, size_t leader,
                        size_t number)
{
	const struct suspect *s = &result->diagnosis.suspects[leader];
	const struct fault_effect *effect = leader == 0 ? result->effect : NULL;
	const struct job *job = result->built.job;
	struct buf claim;
	buf_init(&claim, page->arena);
	buf_addf(&claim, "%s: %s %s.", suspect_name(page->arena, job, s),
	         suspect_claim(page->arena, s), suspect_explains(page->arena, result, s));
	add_tied(&claim, result, leader);
	buf_addf(page->out, "%2zu. ", number);
	if (number == 1)
		page_paragraph(page, capital(page->arena, claim.data), 4, 4);
	else
		page_paragraph(page, arena_printf(page->arena, "%s %s", number == 2 ? "Next best:" : "Then:",
		                                  claim.data), 4, 4);
	if (effect != NULL)
		print_part(page, "", effect_text(page->arena, job, s, effect));
	print_part(page, "Look: ", suspect_look(page->arena, job, s, effect));
}

static bool leads_group(const struct diagnosis *d, size_t suspect)
{
	for (size_t i = 0; i < suspect; i++)
		if (d->suspects[i].group == d->suspects[suspect].group)
			return false;
	return true;
}

/* Beyond an open joint the figure is what LEDs hold at most. */
static const char *or_less(const struct suspect *suspect, double value, double other)
{
	return suspect_open(suspect) && value < other ? " or less" : "";
}

static void print_next(const struct page *page, const struct verification *result)
{
	const struct next_reading *next = &result->diagnosis.next;
	const struct diagnosis *d = &result->diagnosis;
	const struct job *job = result->built.job;
	struct buf line;
	if (!next->is_worth) {
		page_paragraph(page, "No further reading at a terminal or through an item would tell these apart: "
		               "look at the places named, the likeliest first.", 0, 0);
		return;
	}
	buf_init(&line, page->arena);
	buf_addf(&line, "Next, read %s %s", next->range == METER_VOLTS ? "the voltage at" : "the current through",
	         next_at(job, next));
	bool all_on = next->state.text[0] == '\0';
	buf_addf(&line, " with %s: ", all_on ? "everything on" : next->state.text);
	buf_addf(&line, "%s%s if it is %s,", meter_text(page->arena, &d->meter, next->range, next->first),
	         or_less(&d->suspects[0], next->first, next->other),
	         suspect_name(page->arena, job, &d->suspects[0]));
	buf_addf(&line, " %s%s if it is %s.", meter_text(page->arena, &d->meter, next->range, next->other),
	         or_less(&d->suspects[next->rival], next->other, next->first),
	         suspect_name(page->arena, job, &d->suspects[next->rival]));
	page_paragraph(page, line.data, 0, 0);
}

/* A slip of the pen or of the probe is likelier than several faults. */
static void print_odd(const struct page *page, const struct verification *result)
{
	const struct diagnosis *d = &result->diagnosis;
	const struct reading *odd = &result->as_built->readings[d->odd];
	const char *words = d->exchanged == NO_INDEX
		? arena_printf(page->arena, "Everything else agrees: only the reading at %s does not, and no one fault "
		               "makes it. Read it again; see that its row, its unit and its switches are right, and "
		               "that the probes sat on both cores.", odd->at)
		: arena_printf(page->arena, "Everything agrees if the readings at %s and %s are exchanged: see whether "
		               "they stand in each other's rows, or read both again.", odd->at,
		               result->as_built->readings[d->exchanged].at);
	page_paragraph(page, words, 0, 0);
}

/* Drivers that are off: no fault is looked for behind them. */
static void print_off(const struct page *page, const struct verification *result)
{
	const struct diagnosis *d = &result->diagnosis;
	struct buf line;
	buf_init(&line, page->arena);
	size_t readings = 0;
	for (size_t i = 0; i < d->suspect_count; i++)
		readings += d->suspects[i].explains;
	buf_addf(&line, "%s: %zu reading%s of nothing, or nearly. That says nothing of joints, and none is "
	         "suspected.", off_claim(page->arena, result), readings, readings == 1 ? "" : "s");
	page_paragraph(page, line.data, 0, 0);
	print_part(page, "Look: ", off_look(page->arena, result));
	if (!d->explained)
		page_paragraph(page, "What was read elsewhere does not fit either; what explains it will be said "
		               "once everything is on, or once these rows are left out.", 0, 0);
	buf_add(page->out, "\nThen read again with everything on.\n");
}

void verify_print_suspects(const struct page *page, const struct verification *result)
{
	const struct diagnosis *d = &result->diagnosis;
	size_t number = 0;
	if (d->agree)
		return;
	page_heading(page, "What explains the readings");
	if (d->odd != NO_INDEX) {
		print_odd(page, result);
		return;
	}
	if (d->suspect_count == 0) {
		page_paragraph(page, "No one fault does. See that the switches stood as noted, that the probes sat on "
		               "both cores and that the lengths are right, and measure again.", 0, 0);
		return;
	}
	if (d->suspects[0].off) {
		print_off(page, result);
		return;
	}
	if (!d->explained)
		page_paragraph(page, "No one fault explains all of them: there may be two, or a reading or a length "
		               "is wrong. What comes nearest:", 0, 0);
	for (size_t i = 0; i < d->suspect_count; i++)
		if (leads_group(d, i))
			print_group(page, result, i, ++number);
	if (d->unlisted > 0)
		page_paragraph(page, arena_printf(page->arena, "%zu more %s about as well: these readings say little "
		                                  "yet.", d->unlisted, d->unlisted == 1 ? "fits" : "fit"), 0, 0);
	if (d->suspect_count > 1) {
		buf_add_char(page->out, '\n');
		print_next(page, result);
	}
}
