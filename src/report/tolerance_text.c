/* "Passes in 97 of 100 builds": figures that may break their limit, and what to measure. */
#include "report/tolerance.h"

#include "report/figures.h"
#include "report/table.h"

#include <math.h>

#define MATTERS_SHOWN 4
#define MATTER_WORTH 0.05        /* share that is worth a word */
#define RARE 0.00075             /* of all builds: below it "hardly any"; 1 of 2000 is */
#define STANDING_NAMED 3

/* A share of builds in words that do not pretend: "all", "97 of 100", "2 of 1000". */
static const char *builds(struct arena *arena, double share)
{
	if (share <= 0)
		return "none";
	if (share >= 1)
		return "all builds";
	if (share < RARE || share > 1 - RARE)
		return share < 0.5 ? "hardly any" : "nearly all builds";
	if (share < 0.01 || share > 0.99)
		return arena_printf(arena, "%.0f of 1000 builds", 1000 * share);
	return arena_printf(arena, "%.0f of 100 builds", 100 * share);
}

static const char *value_text(struct arena *arena, const struct check_result *result,
                              const struct checked_spread *c, double value)
{
	if (c->check->dim == DIM_LENGTH)
		return quantity_length_in(arena, value, job_lengths(result->job), LENGTH_TAPE, 3);
	return quantity_text(arena, value, c->check->dim, c->check->dim == DIM_RATIO ? 2 : 3);
}

/* Whether builds differ in what the check judges. Advice (a row without run) stands for checks that are. */
static bool is_drawn(const struct tolerance *t, const struct check *check)
{
	for (size_t i = 0; i < t->check_count; i++)
		if (t->checks[i].check == check)
			return true;
	return check->run == NULL;
}

/* Findings that are the same in every build: a missing cable, a block without ports. */
static void add_standing(struct buf *out, const struct check_result *result)
{
	size_t count = 0;
	for (size_t i = 0; i < result->findings->count; i++) {
		const struct finding *f = &result->findings->items[i];
		if (f->severity == SEVERITY_NOTE || is_drawn(result->tolerance, f->check))
			continue;
		if (++count <= STANDING_NAMED)
			buf_addf(out, "%s%s of %s (%s)", count == 1 ? " Besides, in every build: " : ", ",
			         f->check->name, item_id(result->job, f->item), severity_word(f->severity));
	}
	if (count > STANDING_NAMED)
		buf_addf(out, " and %zu more", count - STANDING_NAMED);
	buf_add(out, count > 0 ? "." : "");
}

const char *tolerance_verdict(struct arena *arena, const struct check_result *result)
{
	const struct tolerance *t = result->tolerance;
	struct buf line;
	buf_init(&line, arena);
	if (t->check_count == 0)
		buf_add(&line, "No figure depends on how parts turn out.");
	else
		buf_addf(&line, "Passes in %s, needs care in %s, fails in %s.", builds(arena, t->passes),
		         builds(arena, t->sound - t->passes), builds(arena, 1 - t->sound));
	add_standing(&line, result);
	const char *text = line.data;
	if (t->decides == NO_INDEX)
		return text;
	const struct checked_spread *c = &t->checks[t->decides];
	return arena_printf(arena, "%s Nearest to its limit: %s of %s, from %s to %s in 9 of 10 builds "
	                    "(limit %s).", text, c->check->name, item_id(result->job, c->item),
	                    value_text(arena, result, c, c->spread.p05), value_text(arena, result, c, c->spread.p95),
	                    value_text(arena, result, c, c->limit));
}

const char *tolerance_matter(struct arena *arena, const struct check_result *result, size_t nth)
{
	const struct tolerance *t = result->tolerance;
	if (nth >= t->matter_count || nth >= MATTERS_SHOWN || (nth > 0 && t->matters[nth].share < MATTER_WORTH))
		return NULL;
	const struct matter *m = &t->matters[nth];
	const char *share = quantity_percent(arena, m->share);
	if (m->rule == NULL)
		return arena_printf(arena, "the air around it (%s): put a thermometer there", share);
	if (m->type_name == NULL)
		return arena_printf(arena, "%s of %s (%s): %s", m->rule->word, item_id(result->job, m->item), share,
		                    m->rule->how);
	return arena_printf(arena, "%s of type %s, from one batch to the next (%s): %s", m->rule->word,
	                    m->type_name, share, m->rule->how);
}

size_t tolerance_breaking(struct arena *arena, const struct tolerance *t,
                          const struct checked_spread ***out)
{
	const struct checked_spread **list = arena_array(arena, const struct checked_spread *, t->check_count);
	size_t count = 0;
	for (size_t i = 0; i < t->check_count; i++) {
		const struct checked_spread *c = &t->checks[i];
		size_t at = count;
		if (!(c->chance > 0))
			continue;
		for (; at > 0 && list[at - 1]->chance < c->chance; at--)
			list[at] = list[at - 1];
		list[at] = c;
		count++;
	}
	*out = list;
	return count;
}

void tolerance_cells(struct arena *arena, const struct check_result *result,
                     const struct checked_spread *c, const char *cells[TOLERANCE_CELLS])
{
	cells[0] = c->check->name;
	cells[1] = item_id(result->job, c->item);
	cells[2] = value_text(arena, result, c, c->limit);
	cells[3] = value_text(arena, result, c, c->nominal);
	cells[4] = value_text(arena, result, c, c->spread.p05);
	cells[5] = value_text(arena, result, c, c->spread.p95);
	cells[6] = builds(arena, c->chance);
}

static void figures_table(const struct page *page, const struct check_result *result)
{
	static const struct table_column columns[] = {
		{ "figure", ALIGN_LEFT, false, false }, { "item", ALIGN_LEFT, true, false },
		{ "limit", ALIGN_RIGHT, false, false }, { "labels", ALIGN_RIGHT, false, false },
		{ "5 %", ALIGN_RIGHT, false, false }, { "95 %", ALIGN_RIGHT, false, false },
		{ "beyond it in", ALIGN_RIGHT, false, false },
	};
	const struct checked_spread **list;
	const char *cells[TOLERANCE_CELLS];
	size_t count = tolerance_breaking(page->arena, result->tolerance, &list);
	size_t shown = count > TOLERANCE_FIGURES_SHOWN ? TOLERANCE_FIGURES_SHOWN - 1 : count;
	struct table table;
	if (count == 0)
		return;
	table_init(&table, page->arena, columns, TOLERANCE_CELLS);
	for (size_t i = 0; i < shown; i++) {
		tolerance_cells(page->arena, result, list[i], cells);
		for (size_t k = 0; k < TOLERANCE_CELLS; k++)
			table_add(&table, page_safe(page, cells[k]));
	}
	page_heading(page, "Figures that may break their limit");
	table_print(&table, page);
	if (shown < count)
		page_paragraph(page, arena_printf(page->arena, "And %zu more that do so more rarely.",
		                                  count - shown), 0, 0);
}

static void strips_table(const struct page *page, const struct check_result *result)
{
	static const struct table_column columns[] = {
		{ "strip", ALIGN_LEFT, true, false }, { "by labels", ALIGN_RIGHT, false, false },
		{ "at worst", ALIGN_RIGHT, false, true }, { "5 builds", ALIGN_RIGHT, false, false },
		{ "50 builds", ALIGN_RIGHT, false, false }, { "95 builds", ALIGN_RIGHT, false, false },
	};
	struct table table;
	table_init(&table, page->arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < result->job->strip_count; i++) {
		const struct strip_spread *s = &result->tolerance->strips[i];
		const double shares[] = { result->solution->strips[i].light_min, s->light_min_worst,
		                          s->light_min.p05, s->light_min.p50, s->light_min.p95 };
		if (isnan(s->light_min.p50))
			continue;
		table_add(&table, page_safe(page, result->job->strips[i].item.id));
		for (size_t k = 0; k < sizeof(shares) / sizeof(shares[0]); k++)
			table_add(&table, isnan(shares[k]) ? NULL
			                                   : arena_printf(page->arena, "%.0f", 100 * shares[k]));
	}
	page_heading(page, "Dimmest point, from build to build");
	page_paragraph(page, "In % of full light: by the labels, with everything at its worst, and what 5, 50 "
	               "and 95 of 100 builds do not exceed.", 0, 0);
	table_print(&table, page);
}

void page_tolerance(const struct page *page, const struct check_result *result)
{
	const struct tolerance *t = result->tolerance;
	const char *matter;
	if (t == NULL)
		return;
	page_heading(page, "How sure it is");
	page_paragraph(page, arena_printf(page->arena, "%zu builds drawn, with parts that differ from their "
	               "labels by their tolerances (docs/tolerance.md).", t->samples), 0, 0);
	page_paragraph(page, tolerance_verdict(page->arena, result), 0, 0);
	for (size_t i = 0; (matter = tolerance_matter(page->arena, result, i)) != NULL; i++) {
		if (i == 0)
			page_paragraph(page, "What decides it, with the share of its spread:", 0, 0);
		page_add(page, PLAIN, "- ");
		page_paragraph(page, matter, 2, 2);
	}
	figures_table(page, result);
	strips_table(page, result);
	if (!t->monotone)
		page_paragraph(page, "One figure at least went beyond what its worst corner gave: in a loop the "
		               "worst case may be another.", 0, 0);
}
