/* Plan against built. A figure that is compared is a row here, with the change from which on it is worth a
 * row on paper (JSON and CSV have them all). */
#include "report/verify_parts.h"

#include "report/figures.h"
#include "report/item_list.h"
#include "report/table.h"
#include "report/verify_words.h"

#include <math.h>
#include <string.h>

#define COMPARED 4               /* figures of one kind, at most */

struct compared {
	const char *planned, *built;             /* heads; of a length without its unit */
	const char *key;             /* of the figure; NULL: the length as cut */
	double scale;
	int decimals;
	double noticed;              /* a change worth a row: as shown, or a share of the plan where it is */
	bool share;                  /* said so here */
};

static const struct compared compared[KIND__END][COMPARED] = {
	[KIND_STRIP] = {
		{ "planned", "built", NULL, 1000, 0, 0.5, false },
		{ "planned W", "built W", "nameplate_w", 1, 1, 0.1, true },
		{ "dimmest % plan", "dimmest % built", "light_min", 100, 0, 2, false },
		{ "drop % plan", "drop % built", "drop", 100, 1, 1, false } },
	[KIND_CABLE] = {
		{ "planned", "built", NULL, 1000, 0, 0.5, false },
		{ "planned A", "built A", "current_a", 1, 2, 0.1, true },
		{ "drop V plan", "drop V built", "drop_v", 1, 2, 0.05, false } },
	[KIND_DRIVER] = {
		{ "planned load W", "built load W", "load_w", 1, 1, 0.1, true },
		{ "planned A", "built A", "output_a", 1, 2, 0.1, true },
		{ "in hand % plan", "in hand % built", "headroom", 100, 0, 2, false } },
	[KIND_SWITCH] = {
		{ "planned A", "built A", "current_a", 1, 2, 0.1, true },
		{ "drop V plan", "drop V built", "drop_v", 1, 2, 0.05, false } },
	[KIND_BLOCK] = {
		{ "planned A", "built A", "current_a", 1, 2, 0.1, true },
		{ "planned V", "built V", "v", 1, 2, 0.05, false } },
};

/* The figure as it is shown, NAN where there is none. */
static double shown(const struct compared *figure, const struct judged *judged, struct item_ref item)
{
	struct check_result in = figures_in(judged);
	double value = figure->key == NULL ? verify_length(judged->job, item)
	                                   : figure_number(figure_find(item.kind, figure->key), &in, item);
	return figure->scale * (item.kind == KIND_CABLE ? fabs(value) : value);
}

static bool is_noticed(const struct compared *figure, double plan, double built)
{
	if (!isfinite(plan) != !isfinite(built))
		return true;
	return fabs(built - plan) > figure->noticed * (figure->share ? fabs(plan) : 1);
}

/* "planned mm"; what is now in inches and now in feet has its unit in the cells. */
static const char *head(const struct page *page, const struct compared *figure, enum kind kind, const char *word)
{
	bool own_units = page->lengths == LENGTHS_INCH && kind == KIND_CABLE;
	if (figure->key != NULL || own_units)
		return word;
	return arena_printf(page->arena, "%s %s", word, quantity_mark_unit(page->lengths));
}

static const char *cell(const struct page *page, const struct compared *figure, enum kind kind, double value)
{
	double half_step = 0.5 * pow(10, -figure->decimals), metres = value / figure->scale;
	if (!isfinite(value))
		return "-";
	if (figure->key == NULL && page->lengths == LENGTHS_INCH)
		return kind == KIND_CABLE ? quantity_length_in(page->arena, metres, page->lengths, LENGTH_CABLE, 0)
		                          : quantity_mark(page->arena, metres, page->lengths, 0);
	return arena_printf(page->arena, "%.*f", figure->decimals, fabs(value) < half_step ? 0.0 : value);
}

/* Adds the item's row where anything in it is noticed. */
static bool add_moved(const struct page *page, const struct verification *result, struct item_ref item,
                      struct table *table)
{
	const char *plan[COMPARED], *built[COMPARED];
	bool moved = false;
	size_t count = 0;
	for (; count < COMPARED && compared[item.kind][count].planned != NULL; count++) {
		const struct compared *figure = &compared[item.kind][count];
		double before = shown(figure, &result->plan, item), after = shown(figure, &result->built, item);
		plan[count] = cell(page, figure, item.kind, before);
		built[count] = cell(page, figure, item.kind, after);
		bool alike = figure->key == NULL && page->lengths == LENGTHS_INCH && strcmp(plan[count], built[count]) == 0;
		moved = moved || (is_noticed(figure, before, after) && !alike);
	}
	if (!moved)
		return false;
	table_add(table, page_safe(page, item_id(result->built.job, item)));
	for (size_t i = 0; i < count; i++) {
		table_add(table, plan[i]);
		table_add(table, strcmp(plan[i], built[i]) == 0 ? "same" : built[i]);
	}
	return true;
}

/* The items that stayed as planned, or nearly so, are added to `kept`. */
static void print_kind(const struct page *page, const struct verification *result, enum kind kind,
                       struct item_ref *kept, size_t *kept_count)
{
	struct table_column columns[1 + 2 * COMPARED] = { { .head = kind_words[kind].word, .gives = true } };
	size_t count = 1;
	struct table table;
	for (size_t i = 0; i < COMPARED && compared[kind][i].planned != NULL; i++) {
		const struct compared *figure = &compared[kind][i];
		columns[count++] = (struct table_column){ .head = head(page, figure, kind, figure->planned),
		                                          .align = ALIGN_RIGHT };
		columns[count++] = (struct table_column){ .head = head(page, figure, kind, figure->built),
		                                          .align = ALIGN_RIGHT };
	}
	table_init(&table, page->arena, columns, count);
	for (size_t i = 0; i < job_count(result->built.job, kind); i++) {
		struct item_ref item = { kind, i };
		if (!add_moved(page, result, item, &table))
			kept[(*kept_count)++] = item;
	}
	if (table.cell_count == 0)
		return;
	table_print(&table, page);
	buf_add_char(page->out, '\n');
}

/* Lengths are shown as the plan has them, whatever the built ones were measured in. */
void verify_print_items(const struct page *whole, const struct verification *result)
{
	static const enum kind order[KIND__END] = {
		KIND_STRIP, KIND_CABLE, KIND_DRIVER, KIND_SWITCH, KIND_BLOCK,
	};
	const struct job *job = result->built.job;
	struct page own = *whole, *page = &own;
	size_t total = 0, kept_count = 0;
	own.lengths = job_lengths(result->plan.job);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		total += job_count(job, kind);
	struct item_ref *kept = arena_array(page->arena, struct item_ref, total);
	page_heading(page, "Plan against built");
	for (size_t k = 0; k < KIND__END; k++)
		print_kind(page, result, order[k], kept, &kept_count);
	if (kept_count == 0)
		return;
	struct buf names;
	buf_init(&names, page->arena);
	buf_add(&names, kept_count == total ? "Nothing moved: " : "As planned, or nearly: ");
	for (size_t i = 0; i < kept_count; i++)
		buf_addf(&names, "%s%s", i > 0 ? ", " : "", item_id(job, kept[i]));
	buf_add_char(&names, '.');
	page_paragraph(page, names.data, 0, 0);
}

static const char *severity_of(const struct finding *finding)
{
	return finding != NULL ? severity_word(finding->severity) : "all right";
}

static void print_side(const struct page *page, const char *side, const struct finding *finding)
{
	if (finding == NULL)
		return;
	buf_add_repeat(page->out, ' ', 4);
	page_paragraph(page, arena_printf(page->arena, "%s: %s", side, finding->message), 4, 4);
}

void verify_print_changes(const struct page *page, const struct verification *result)
{
	page_heading(page, "What changed verdict");
	if (result->changes.count == 0)
		page_paragraph(page, "Nothing: each check says the same of the plan and of what was built.", 0, 0);
	for (size_t i = 0; i < result->changes.count; i++) {
		const struct verdict_change *change = &result->changes.items[i];
		buf_add(page->out, "- ");
		page_paragraph(page, arena_printf(page->arena, "%s: %s (%s): planned %s, built %s",
		                                  item_id(result->built.job, change->item), change->check->title,
		                                  change->check->name, severity_of(change->before),
		                                  severity_of(change->after)), 2, 4);
		print_side(page, "planned", change->before);
		print_side(page, "built", change->after);
	}
}
