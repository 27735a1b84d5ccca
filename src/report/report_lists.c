/* The cutting list and the order list as tables of the report. */
#include "report/report_page.h"

#include "report/html.h"
#include "report/item_list.h"

#include <math.h>
#include <string.h>

/* Where a cutting list goes, and what its lengths are shown in. */
struct list_page {
	struct buf *out;
	enum length_system lengths;
};

/* Marks lie on whole millimetres, or are shown to the tenth; of inches, to the sixteenth. */
static const char *mark(const struct list_page *page, double metres)
{
	double tenths = round(10000 * metres);
	return quantity_mark(page->out->arena, page->lengths == LENGTHS_INCH ? metres : tenths / 10000,
	                     page->lengths, fmod(tenths, 10) == 0 ? 0 : 1);
}

static const char *with_unit(const struct list_page *page, double metres)
{
	return arena_printf(page->out->arena, "%s %s", mark(page, metres), quantity_mark_unit(page->lengths));
}

/* "cut mm" */
static const char *head(const struct list_page *page, const char *words)
{
	return arena_printf(page->out->arena, "%s %s", words, quantity_mark_unit(page->lengths));
}

static const char *stock_caption(const struct list_page *page, const struct cut_list *list,
                                 const struct cut_group *group, const struct cut_stock *stock)
{
	struct buf text;
	buf_init(&text, page->out->arena);
	buf_addf(&text, "%s: ", group->strip_type);
	if (stock->offcut) {
		const struct offcut *offcut = &list->offcuts->items[stock->id];
		buf_addf(&text, "offcut %s of %s", attr_has(&offcut->id) ? offcut->id.text : "",
		         with_unit(page, stock->length));
	} else {
		buf_addf(&text, "new reel %zu of %zu, %s", stock->index + 1, group->plan.reels_used,
		         with_unit(page, stock->length));
	}
	buf_addf(&text, "; %s are left over", with_unit(page, cut_left(group, stock)));
	return text.data;
}

static void add_stock(const struct list_page *page, const struct cut_result *result,
                      const struct cut_group *group, const struct cut_stock *stock)
{
	const struct html_column columns[] = {
		{ .head = "strip" }, { .head = "place" }, { .head = head(page, "cut"), .number = true },
		{ .head = head(page, "from"), .number = true }, { .head = head(page, "to"), .number = true },
		{ .head = "cut units", .number = true }, { .head = "done", .blank = true },
	};
	struct buf *out = page->out;
	struct html_table table;
	html_table_open(&table, out, stock_caption(page, result->list, group, stock), columns,
	                sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < stock->cut_count; i++) {
		const struct cut_mark *cut = &stock->cuts[i];
		const struct cut_part *part = &group->parts[cut->piece];
		const struct item *item = &result->check->job->strips[part->strip].item;
		html_cell(&table, part->of == 1 ? item->id : arena_printf(out->arena, "%s (%zu of %zu)", item->id,
		                                                         part->nth + 1, part->of));
		html_cell(&table, attr_has(&item->place) ? item->place.text : NULL);
		html_cell(&table, mark(page, cut_at(group, cut->to - cut->from)));
		html_cell(&table, mark(page, cut_at(group, cut->from)));
		html_cell(&table, mark(page, cut_at(group, cut->to)));
		html_cell(&table, arena_printf(out->arena, "%zu", cut->to - cut->from));
		html_cell(&table, NULL);
	}
	html_table_close(&table);
}

/* Lengths longer than a reel, and the aluminium profiles. */
static void add_rest(const struct list_page *page, const struct cut_result *result)
{
	const struct cut_list *list = result->list;
	struct buf *out = page->out;
	for (size_t i = 0; i < list->join_count; i++) {
		const struct cut_join *join = &list->joins[i];
		const struct cut_group *group = &list->groups[join->group];
		html_element(out, "p", arena_printf(out->arena, "%s is longer than a reel: it is cut in %zu pieces. "
			"Join them end to end every %s from its start, or bring a feed there.",
			result->check->job->strips[join->strip].item.id, join->pieces,
			with_unit(page, cut_at(group, join->reel_units))));
	}
	if (list->profile_count == 0)
		return;
	const struct html_column columns[] = {
		{ .head = "strip" }, { .head = "place" }, { .head = head(page, "profile"), .number = true },
		{ .head = "done", .blank = true },
	};
	struct html_table table;
	html_table_open(&table, out, "Aluminium profile", columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < list->profile_count; i++) {
		const struct item *item = &result->check->job->strips[list->profiles[i].strip].item;
		html_cell(&table, item->id);
		html_cell(&table, attr_has(&item->place) ? item->place.text : NULL);
		html_cell(&table, mark(page, list->profiles[i].length));
		html_cell(&table, NULL);
	}
	html_table_close(&table);
}

static const char *wait_text(const struct check_result *result)
{
	return result->verdict == VERDICT_FAIL
		? "Not yet: the verdict names what must change first, and that can change this list." : NULL;
}

static void add_wait(struct buf *out, const struct check_result *result)
{
	const char *text = wait_text(result);
	if (text != NULL)
		html_element(out, "p class=\"bad\"", text);
}

void report_cut(struct buf *out, const struct cut_result *result)
{
	const struct cut_list *list = result->list;
	const struct list_page page = { out, job_lengths(result->check->job) };
	html_section_open(out, "cut", "Cutting list");
	add_wait(out, result->check);
	html_element(out, "p", list->group_count == 0 ? "There is no strip to cut."
		: arena_printf(out->arena, "New reels: %zu%s. Unroll each length once, measure from its start, and "
		               "cut on the marks.", list->reels_used,
		               list->optimal ? ", the fewest that will do" : ""));
	if (list->group_count > 0 && page.lengths == LENGTHS_INCH)
		html_element(out, "p", "Inches are to the nearest 1/16: cut on the mark nearest to the figure, not at the "
		             "figure.");
	for (size_t g = 0; g < list->group_count; g++)
		for (size_t i = 0; i < list->groups[g].plan.stock_count; i++)
			add_stock(&page, result, &list->groups[g], &list->groups[g].plan.stocks[i]);
	add_rest(&page, result);
	html_section_close(out);
}

static const char *money(struct buf *out, double amount)
{
	return isnan(amount) ? NULL : arena_printf(out->arena, "%.2f", amount);
}

static void add_line(struct buf *out, struct html_table *table, const struct order_result *result,
                     enum length_system lengths, const struct buy_line *line)
{
	const char *feet = lengths == LENGTHS_INCH ? order_feet(out->arena, result->purchase, line) : NULL;
	struct buf items;
	buf_init(&items, out->arena);
	items_add(&items, result->check->job, line->items, line->item_count);
	html_cell(table, line->part);
	html_cell(table, arena_printf(out->arena, "%s %s", buy_word(line->kind), line->what));
	html_cell(table, feet != NULL ? feet : arena_printf(out->arena, "%.0f %s", line->quantity, line->unit));
	html_cell(table, items.data);
	html_cell(table, money(out, line->price));
	html_cell(table, money(out, line->total));
}

void report_order(struct buf *out, const struct order_result *result)
{
	static const struct html_column columns[] = {
		{ .head = "part" }, { .head = "what it is" }, { .head = "order" }, { .head = "for" },
		{ .head = "price", .number = true }, { .head = "total", .number = true },
	};
	const struct purchase *purchase = result->purchase;
	enum length_system lengths = job_lengths(result->check->job);
	struct html_table table;
	html_section_open(out, "order", "Order list");
	add_wait(out, result->check);
	if (purchase->line_count > 0) {
		html_table_open(&table, out, "What to buy", columns, sizeof(columns) / sizeof(columns[0]));
		for (size_t i = 0; i < purchase->line_count; i++)
			add_line(out, &table, result, lengths, &purchase->lines[i]);
		html_table_close(&table);
	}
	if (!isnan(purchase->total))
		html_element(out, "p", arena_printf(out->arena, "In all %.2f %s%s", purchase->total,
			purchase->currency != NULL ? purchase->currency : "",
			purchase->unpriced > 0 ? ", without the parts that have no price." : "."));
	html_element(out, "p", arena_printf(out->arena, "Cable is counted with slack and %s to spare. What came "
		"with a part, and everything of the mains side, is not in the list.",
		quantity_percent(out->arena, purchase->spare)));
	for (size_t i = 0; i < purchase->note_count; i++)
		html_element(out, "p", purchase->notes[i]);
	html_section_close(out);
}
