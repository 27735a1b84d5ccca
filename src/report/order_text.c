/* The list to order from: what has a price and what has none, then how it was counted. */
#include "report/order.h"

#include "report/item_list.h"
#include "report/lead.h"
#include "report/table.h"

#include <math.h>
#include <string.h>

#define JUST_WHOLE 1e-6          /* of a foot */

static const char *money(const struct page *page, double amount)
{
	return isnan(amount) ? "" : arena_printf(page->arena, "%.2f", amount);
}

/* "182.40 EUR" */
static const char *sum(const struct page *page, const struct purchase *purchase)
{
	return arena_printf(page->arena, "%.2f%s%s", purchase->total, purchase->currency != NULL ? " " : "",
	                    purchase->currency != NULL ? purchase->currency : "");
}

static void print_total(const struct page *page, const struct purchase *purchase)
{
	const char *text;
	if (purchase->line_count == 0)
		text = "There is nothing to order.";
	else if (isnan(purchase->total))
		text = "Order list: no part has a price, so there is no total.";
	else if (purchase->unpriced == 0)
		text = arena_printf(page->arena, "Order list: %s in all.", sum(page, purchase));
	else
		text = arena_printf(page->arena, "Order list: %s, without the %s below that %s no price.",
		                    sum(page, purchase),
		                    purchase->unpriced == 1 ? "line"
		                                            : arena_printf(page->arena, "%zu lines",
		                                                           purchase->unpriced),
		                    purchase->unpriced == 1 ? "has" : "have");
	page_paragraph(page, text, 0, 0);
}

/* A pack by the foot is known by its whole feet; what has a price by the metre is ordered so. */
const char *order_feet(struct arena *arena, const struct purchase *purchase, const struct buy_line *line)
{
	if (line->kind != BUY_CABLE)
		return NULL;
	double pack = quantity_feet(line->pack), metres = line->needed * (1 + purchase->spare);
	if (line->pack > 0)
		return fabs(pack - round(pack)) > JUST_WHOLE ? NULL
			: arena_printf(arena, "%.0f pack%s of %.0f ft", line->quantity, line->quantity > 1 ? "s" : "", pack);
	if (isnan(line->price))
		return arena_printf(arena, "%.0f ft", ceil(quantity_feet(metres) - JUST_WHOLE));
	return arena_printf(arena, "%.0f m (%s)", line->quantity,
	                    quantity_length_in(arena, line->quantity, LENGTHS_INCH, LENGTH_CABLE, 0));
}

/* "3 reels", "17 m", "1 pack of 25 m", "2 packs of 10" */
static const char *quantity(const struct page *page, const struct purchase *purchase,
                            const struct buy_line *line)
{
	const char *unit = line->unit;
	bool several = line->quantity > 1 && strcmp(unit, "m") != 0;
	const char *feet = page->lengths == LENGTHS_INCH ? order_feet(page->arena, purchase, line) : NULL;
	if (feet != NULL)
		return feet;
	if (strcmp(unit, "piece") == 0)
		return arena_printf(page->arena, "%.0f", line->quantity);
	size_t word = strcspn(unit, " ");
	return arena_printf(page->arena, "%.0f %.*s%s%s", line->quantity, (int)word, unit,
	                    several ? "s" : "", unit + word);
}

static const char *what(const struct page *page, const struct buy_line *line)
{
	bool own_kind = line->kind == BUY_CONNECTOR || line->kind == BUY_FUSE;
	if (own_kind)
		return page_safe(page, line->what);
	return page_safe(page, arena_printf(page->arena, "%s %s", buy_word(line->kind), line->what));
}

static void add_line(const struct page *page, struct table *table, const struct order_result *result,
                     const struct buy_line *line)
{
	struct buf items;
	buf_init(&items, page->arena);
	items_add(&items, result->check->job, line->items, line->item_count);
	const char *said = what(page, line), *part = page_safe(page, line->part);
	table_add(table, quantity(page, result->purchase, line));
	table_add(table, part);
	table_add(table, strcmp(said, part) == 0 ? "" : said);
	table_add(table, page_safe(page, items.data));
	table_add(table, money(page, line->price));
	table_add(table, money(page, line->total));
}

static void print_lines(const struct page *page, const struct order_result *result, bool priced,
                        const char *heading)
{
	static const struct table_column columns[] = {
		{ .head = "order", .gives = true }, { .head = "part", .gives = true },
		{ .head = "what it is", .gives = true, .optional = true }, { .head = "for", .gives = true },
		{ .head = "price", .align = ALIGN_RIGHT, .optional = true },
		{ .head = "total", .align = ALIGN_RIGHT, .optional = true },
	};
	const struct purchase *purchase = result->purchase;
	struct table table;
	table_init(&table, page->arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < purchase->line_count; i++)
		if (priced != isnan(purchase->lines[i].price))
			add_line(page, &table, result, &purchase->lines[i]);
	if (table.cell_count == 0)
		return;
	page_heading(page, heading);
	table_print(&table, page);
}

static void item(const struct page *page, const char *text)
{
	buf_add(page->out, "- ");
	page_paragraph(page, text, 2, 2);
}

/* "9.4 m" */
static const char *needed(const struct page *page, const struct buy_line *line)
{
	if (page->lengths == LENGTHS_INCH)
		return quantity_length_in(page->arena, line->needed, page->lengths, LENGTH_CABLE, 0);
	return arena_printf(page->arena, "%.5g m", line->needed);
}

static void print_counting(const struct page *page, const struct purchase *purchase)
{
	bool strips = false, cables = false;
	for (size_t i = 0; i < purchase->line_count; i++) {
		strips = strips || purchase->lines[i].kind == BUY_STRIP;
		cables = cables || purchase->lines[i].kind == BUY_CABLE;
	}
	page_heading(page, "How it is counted");
	if (strips)
		item(page, "Strip: the reels of the cutting list ('farend cut').");
	for (size_t i = 0; i < purchase->line_count; i++) {
		const struct buy_line *line = &purchase->lines[i];
		if (line->kind == BUY_CABLE)
			item(page, arena_printf(page->arena, "Cable: %s of %s to cut, slack included.",
			                        needed(page, line), line->part));
	}
	if (cables)
		item(page, arena_printf(page->arena, "Cable: plus %s spare (%s), up to whole %s or packs.",
		                        quantity_percent(page->arena, purchase->spare),
		                        purchase->spare == PURCHASE_SPARE ? "common practice, no source"
		                                                          : "as you asked",
		                        page->lengths == LENGTHS_INCH ? "feet (metres where it has a price)"
		                                                      : "metres"));
	for (size_t i = 0; i < purchase->note_count; i++)
		item(page, purchase->notes[i]);
	item(page, "Nothing that came with a part ('supplied: yes') is in the list, and nothing of the "
	     "mains side.");
}

void order_text(struct buf *out, const struct order_result *result, const struct style *style)
{
	struct page page = page_about(result->check->job, out, style);
	page_lead(&page, result->check, "order");
	print_total(&page, result->purchase);
	print_lines(&page, result, true, "To order");
	print_lines(&page, result, false, "To order, without a price");
	print_counting(&page, result->purchase);
	page_cautions(&page);
}
