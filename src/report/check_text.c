/* `check` for people: the verdict, what to do, then the figures. */
#include "report/assumed.h"
#include "report/check_tables.h"
#include "report/figures.h"
#include "report/item_list.h"

#include <math.h>
#include <string.h>

static const struct {
	const char *word;
	enum emphasis emphasis;
} severity_style[] = {
	[SEVERITY_NOTE] = { "NOTE", STRONG },
	[SEVERITY_CAUTION] = { "CAUTION", WARNING },
	[SEVERITY_FAIL] = { "FAIL", BAD },
};

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
	page_add(page, lead[result->verdict].emphasis, lead[result->verdict].words);
	if (rest.length > 0)
		buf_addf(page->out, ": %s", rest.data + 2);
	buf_add(page->out, ".\n");
}

/* The strip with the least light, or `strip_count`. */
static size_t dimmest(const struct check_result *result)
{
	const struct figure *light = figure_find(KIND_STRIP, "light_min");
	size_t found = result->job->strip_count;
	double least = INFINITY;
	for (size_t i = 0; i < result->job->strip_count; i++) {
		double value = figure_number(light, result, (struct item_ref){ KIND_STRIP, i });
		if (value < least) {
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

static void print_finding(const struct page *page, const struct check_result *result, size_t i)
{
	const struct finding *f = &result->findings->items[i];
	const size_t indent = 4;
	struct buf head;
	buf_init(&head, page->arena);
	buf_addf(page->out, "%s%2zu. ", i > 0 ? "\n" : "", i + 1);
	page_add(page, severity_style[f->severity].emphasis, severity_style[f->severity].word);
	buf_addf(&head, "  %s: %s", item_id(result->job, f->item), f->check->title);
	page_paragraph(page, head.data, indent + strlen(severity_style[f->severity].word), indent);
	buf_add_repeat(page->out, ' ', indent);
	page_paragraph(page, f->message, indent, indent);
	if (f->item_count > 1 && concerns_more(result->job, f)) {
		struct buf ids;
		buf_init(&ids, page->arena);
		buf_add(&ids, "Concerns ");
		items_add(&ids, result->job, f->items, f->item_count);
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

static void print_findings(const struct page *page, const struct check_result *result)
{
	page_heading(page, "What to do");
	if (result->findings->count == 0) {
		buf_add(page->out, "Nothing: build it as it is written.\n");
		return;
	}
	for (size_t i = 0; i < result->findings->count; i++)
		print_finding(page, result, i);
	buf_add(page->out, "\nThe names in brackets are the checks: 'farend explain NAME' tells more.\n");
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

void check_text(struct buf *out, const struct check_result *result, const struct style *style)
{
	struct page page = page_on(out, style);
	const struct attr *name = &result->job->name;
	page_paragraph(&page, attr_has(name) ? name->text : "Cabinet lighting job", 0, 0);
	print_verdict(&page, result);
	print_key_figures(&page, result);
	print_findings(&page, result);
	check_tables(&page, result);
	page_assumptions(&page, result->job, result->assumptions);
	print_proof(&page, result->solution);
	page_cautions(&page);
}
