/* `verify` for people: the verdict, plan against built, the readings and what explains them, and what is
 * not measured yet. */
#include "report/verify.h"

#include "report/findings_text.h"
#include "report/item_list.h"
#include "report/verify_parts.h"
#include "report/verify_words.h"

#include <string.h>

static size_t count_of(const struct findings *findings, enum severity severity)
{
	size_t count = 0;
	for (size_t i = 0; i < findings->count; i++)
		count += findings->items[i].severity == severity;
	return count;
}

static void add_count(struct buf *out, size_t count, const char *one, const char *many)
{
	if (count > 0)
		buf_addf(out, ", %zu %s", count, count == 1 ? one : many);
}

/* What the verdict rests on. */
static const char *agreement(const struct page *page, size_t readings)
{
	if (readings == 1)
		return "the one reading agrees with the figures";
	return arena_printf(page->arena, "all %zu readings agree with the figures", readings);
}

static const char *reasons(const struct page *page, const struct verification *result)
{
	size_t unknown = verify_unknown(result), outside = verify_outside(result);
	size_t readings = result->as_built->reading_count - unknown;
	struct buf rest;
	buf_init(&rest, page->arena);
	if (readings + unknown == 0)
		buf_add(&rest, ", judged by its lengths, no readings yet");
	else if (readings == 0)
		buf_add(&rest, ", there are no figures to compare the readings with");
	else if (result->diagnosis.agree)
		buf_addf(&rest, ", %s", agreement(page, readings));
	else if (readings == 1)
		buf_add(&rest, ", the one reading does not fit");
	else if (outside == 0)
		buf_add(&rest, ", the readings together do not fit the figures");
	else
		buf_addf(&rest, ", %zu of %zu readings %s not fit", outside, readings, outside == 1 ? "does" : "do");
	add_count(&rest, count_of(result->built.findings, SEVERITY_FAIL), "thing must change",
	          "things must change");
	add_count(&rest, count_of(result->built.findings, SEVERITY_CAUTION), "caution", "cautions");
	add_count(&rest, count_of(result->built.findings, SEVERITY_NOTE), "note", "notes");
	return rest.data + 2;
}

/* What works is not known before the readings are explained, nor of what was off. */
static const char *caution_words(const struct diagnosis *d)
{
	if (d->suspect_count > 0 && d->suspects[0].off)
		return "Measure again with everything on";
	if (d->odd != NO_INDEX)
		return "Read again before closing up";
	return d->agree || d->explained ? "It works, but read this before closing up"
	                                : "Find out what is wrong before closing up";
}

static void print_verdict(const struct page *page, const struct verification *result)
{
	static const struct {
		const char *words;
		enum emphasis emphasis;
	} lead[] = {
		[VERDICT_OK] = { "All right as built", GOOD },
		[VERDICT_CAUTION] = { NULL, WARNING },
		[VERDICT_FAIL] = { "Do not close it up yet", BAD },
	};
	const char *words = result->verdict == VERDICT_CAUTION ? caution_words(&result->diagnosis)
	                                                       : lead[result->verdict].words;
	page_add(page, lead[result->verdict].emphasis, words);
	page_paragraph(page, arena_printf(page->arena, ": %s.", reasons(page, result)), strlen(words), 0);
	if (result->diagnosis.suspect_count == 0)
		return;
	const struct suspect *first = &result->diagnosis.suspects[0];
	if (first->off) {
		page_paragraph(page, arena_printf(page->arena, "%s.", off_claim(page->arena, result)), 0, 0);
		return;
	}
	page_paragraph(page, arena_printf(page->arena, "%s: %s, %s.", result->diagnosis.explained ?
	                                  "Most likely" : "No one fault explains them all; nearest comes",
	                                  suspect_name(page->arena, result->built.job, first),
	                                  suspect_claim(page->arena, first)), 0, 0);
}

static void print_findings(const struct page *page, const struct verification *result)
{
	page_heading(page, "What to do about what was built");
	if (result->built.findings->count == 0)
		buf_add(page->out, "Nothing: every check passes with the lengths as built.\n");
	page_findings(page, result->built.job, result->built.findings);
}

/* Names of terminals, by the rule of items_add(). */
static void add_terminals(struct buf *out, const struct job *job, const size_t *terminals, size_t count)
{
	const size_t most = 12;
	size_t listed = count > most + 1 ? most : count;
	for (size_t i = 0; i < listed; i++)
		buf_addf(out, "%s%s", i > 0 ? ", " : "", job->terminals[terminals[i]].name);
	if (listed < count)
		buf_addf(out, " and %zu more", count - listed);
}

static void print_missing(const struct page *page, const struct verification *result)
{
	struct buf lengths, readings;
	if (result->uncut_count + result->unread_count == 0)
		return;
	page_heading(page, "Not measured yet");
	buf_init(&lengths, page->arena);
	buf_init(&readings, page->arena);
	buf_add(&lengths, "- Lengths, taken as planned: ");
	items_add(&lengths, result->built.job, result->uncut, result->uncut_count);
	buf_add(&readings, "- Voltages: ");
	add_terminals(&readings, result->built.job, result->unread, result->unread_count);
	if (result->uncut_count > 0)
		page_paragraph(page, lengths.data, 0, 2);
	if (result->unread_count > 0)
		page_paragraph(page, readings.data, 0, 2);
}

void verify_text(struct buf *out, const struct verification *result, const struct style *style)
{
	struct page page = page_on(out, style);
	const struct attr *name = &result->built.job->name;
	page_paragraph(&page, attr_has(name) ? name->text : "Cabinet lighting job", 0, 0);
	print_verdict(&page, result);
	verify_print_items(&page, result);
	verify_print_changes(&page, result);
	print_findings(&page, result);
	verify_print_readings(&page, result);
	verify_print_suspects(&page, result);
	print_missing(&page, result);
	page_cautions(&page);
}
