/* `check` for people: the verdict, what to do, then the figures. */
#include "report/assumed.h"
#include "report/check_tables.h"
#include "report/figures.h"
#include "report/findings_text.h"
#include "report/measured.h"
#include "report/tolerance.h"

#include <math.h>

static size_t count_of(const struct findings *findings, enum severity severity)
{
	size_t count = 0;
	for (size_t i = 0; i < findings->count; i++)
		count += findings->items[i].severity == severity;
	return count;
}

static const char *plural(size_t count, const char *one, const char *many)
{
	return count == 1 ? one : many;
}

/* ", 2 cautions to weigh, 1 note" */
static void add_counts(struct buf *out, const struct findings *findings)
{
	size_t cautions = count_of(findings, SEVERITY_CAUTION);
	size_t notes = count_of(findings, SEVERITY_NOTE);
	if (cautions > 0)
		buf_addf(out, ", %zu %s", cautions, plural(cautions, "caution", "cautions"));
	if (notes > 0)
		buf_addf(out, ", %zu %s", notes, plural(notes, "note", "notes"));
}

static void print_verdict(const struct page *page, const struct check_result *result)
{
	static const struct {
		const char *words;
		enum emphasis emphasis;
	} lead[] = {
		[VERDICT_OK] = { "All right to build", GOOD },
		[VERDICT_CAUTION] = { "It will work, but read this first", WARNING },
		[VERDICT_FAIL] = { "Do not build it yet", BAD },
	};
	struct buf rest;
	buf_init(&rest, page->arena);
	size_t fails = count_of(result->findings, SEVERITY_FAIL);
	if (fails > 0)
		buf_addf(&rest, ", %zu %s must change", fails, plural(fails, "thing", "things"));
	add_counts(&rest, result->findings);
	bool one_state_ok = result->switches != NULL && result->verdict == VERDICT_OK;
	page_add(page, lead[result->verdict].emphasis,
	         one_state_ok ? "Nothing wrong in this state" : lead[result->verdict].words);
	if (rest.length > 0)
		buf_addf(page->out, ": %s", rest.data + 2);
	buf_add(page->out, ".\n");
}

/* What this is all about, where it is not the plan in every case. */
static void print_state(const struct page *page, const struct check_result *result)
{
	if (result->as_built != NULL)
		page_paragraph(page, arena_printf(page->arena, "With lengths as built, from %s.", result->as_built), 0, 0);
	if (result->switches == NULL)
		return;
	bool all_on = result->switches[0] == '\0';
	page_paragraph(page, arena_printf(page->arena, "One state only: %s%s. What to do was not tried out; leave out "
	                                  "--switches to check the whole job.", all_on ? "" : result->switches,
	                                  all_on ? "every switch on" : ", every other switch on"), 0, 0);
}

/* The strip with the least light, or `strip_count`. */
static size_t dimmest(const struct check_result *result)
{
	const struct figure *light = figure_find(KIND_STRIP, "light_min");
	size_t found = result->job->strip_count;
	double least = INFINITY;
	for (size_t i = 0; i < result->job->strip_count; i++) {
		double value = figure_number(light, result, (struct item_ref){ KIND_STRIP, i });
		bool is_off = result->switches != NULL && !result->solution->strips[i].live;
		if (value < least && !is_off) {
			least = value;
			found = i;
		}
	}
	return found;
}

/* The live driver with the least headroom, or `driver_count`. */
static size_t busiest(const struct check_result *result)
{
	const struct figure *headroom = figure_find(KIND_DRIVER, "headroom");
	size_t found = result->job->driver_count;
	double least = INFINITY;
	for (size_t i = 0; i < result->job->driver_count; i++) {
		double value = figure_number(headroom, result, (struct item_ref){ KIND_DRIVER, i });
		if (value < least) {
			least = value;
			found = i;
		}
	}
	return found;
}

/* "Dimmest point: 84 % of full light (L2)." */
static void add_dimmest(const struct page *page, struct buf *line, const struct check_result *result)
{
	struct item_ref strip = { KIND_STRIP, dimmest(result) };
	if (strip.index >= result->job->strip_count)
		return;
	double light = figure_number(figure_find(KIND_STRIP, "light_min"), result, strip);
	if (light > 0)
		buf_addf(line, "Dimmest point: %s of full light (%s). ", quantity_percent(page->arena, light),
		         item_id(result->job, strip));
	else
		buf_addf(line, "%s stays dark. ", item_id(result->job, strip));
}

/* "Driver D1: 41.3 W of 60 W, 31 % in hand." */
static void add_busiest(const struct page *page, struct buf *line, const struct check_result *result)
{
	struct item_ref driver = { KIND_DRIVER, busiest(result) };
	if (driver.index >= result->job->driver_count)
		return;
	double headroom = figure_number(figure_find(KIND_DRIVER, "headroom"), result, driver);
	buf_addf(line, "%s %s: ", result->job->driver_count > 1 ? "Busiest driver" : "Driver",
	         item_id(result->job, driver));
	quantity_add(line, result->solution->drivers[driver.index].load_w, DIM_WATT, 3);
	buf_add(line, " of ");
	quantity_add(line, figure_number(figure_find(KIND_DRIVER, "derated_w"), result, driver), DIM_WATT, 3);
	if (headroom >= 0)
		buf_addf(line, ", %s in hand", quantity_percent(page->arena, headroom));
	buf_add(line, ". ");
}

static void print_key_figures(const struct page *page, const struct check_result *result)
{
	struct buf line;
	buf_init(&line, page->arena);
	add_dimmest(page, &line, result);
	add_busiest(page, &line, result);
	if (line.length == 0)
		buf_add(&line, "There are no figures: nothing is supplied by exactly one driver. ");
	line.data[line.length - 1] = '\0';
	page_paragraph(page, line.data, 0, 0);
}

static void print_findings(const struct page *page, const struct check_result *result)
{
	page_heading(page, "What to do");
	if (result->findings->count == 0) {
		buf_add(page->out, result->switches != NULL ? "Nothing in this state.\n"
		                                            : "Nothing: build it as it is written.\n");
		return;
	}
	page_findings(page, result->job, result->findings);
}

/* "loop_resistance of warm (L1, L2): 0.2 ohm/m" and beneath it why, and what it moves. */
static void print_proof(const struct page *page, const struct solution *solution)
{
	if (solution->cut_units == 0) {
		buf_add(page->out, "\nNothing is lit, so nothing was solved.\n");
		return;
	}
	buf_addf(page->out, "\nSolved: %zu cut %s in %d %s.\n", solution->cut_units,
	         plural(solution->cut_units, "unit", "units"), solution->iterations,
	         plural((size_t)solution->iterations, "step", "steps"));
	buf_addf(page->out, "Currents balance within %.1g A at every joint, power within %.1g W.\n",
	         solution->residual_a, fabs(solution->balance_w));
}

void check_text_alone(struct buf *out, const struct check_result *result, const struct style *style)
{
	struct page page = page_about(result->job, out, style);
	const struct attr *name = &result->job->name;
	page_paragraph(&page, attr_has(name) ? name->text : "Cabinet lighting job", 0, 0);
	print_verdict(&page, result);
	print_state(&page, result);
	print_key_figures(&page, result);
	print_findings(&page, result);
	page_tolerance(&page, result);
	check_tables(&page, result);
	page_measured(&page, result->job);
	page_assumptions(&page, result->job, result->assumptions);
	print_proof(&page, result->solution);
}

void check_text(struct buf *out, const struct check_result *result, const struct style *style)
{
	struct page page = page_on(out, style);
	check_text_alone(out, result, style);
	page_cautions(&page);
}
