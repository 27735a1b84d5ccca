/* `order --format csv`: one row for each part, then the total; opens as it is in a spreadsheet. */
#include "report/order.h"

#include "report/csv_cells.h"

void order_csv(struct buf *out, const struct order_result *result, const struct style *style)
{
	const struct purchase *purchase = result->purchase;
	(void)style;
	buf_add(out, "kind,part,what,quantity,unit,price,total,currency,for,needed,needed_unit\n");
	for (size_t i = 0; i < purchase->line_count; i++) {
		const struct buy_line *line = &purchase->lines[i];
		buf_add(out, buy_word(line->kind));
		csv_text(out, line->part);
		csv_text(out, line->what);
		csv_number(out, line->quantity);
		csv_text(out, line->unit);
		csv_number(out, line->price);
		csv_number(out, line->total);
		csv_text(out, purchase->currency);
		csv_items(out, result->check->job, line->items, line->item_count);
		csv_number(out, line->needed);
		csv_text(out, line->needed_unit);
		buf_add_char(out, '\n');
	}
	buf_add(out, "\nkind,total,currency,without_price\ntotal");
	csv_number(out, purchase->total);
	csv_text(out, purchase->currency);
	csv_number(out, (double)purchase->unpriced);
	buf_add_char(out, '\n');
}
