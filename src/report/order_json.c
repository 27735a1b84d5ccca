/* `order --format json`: quantity * price = total on every line that has a price; what is needed before
 * packs and spare was added. */
#include "report/order.h"

#include "report/json_parts.h"

static void line_object(struct json *json, const struct job *job, const struct buy_line *line)
{
	json_open_object(json);
	json_member_text(json, "kind", buy_word(line->kind));
	json_member_text(json, "part", line->part);
	json_member_number(json, "quantity", line->quantity);
	json_member_text(json, "unit", line->unit);
	json_items(json, "for", job, line->items, line->item_count);
	json_member_number(json, "price", line->price);
	json_member_number(json, "total", line->total);
	json_member_text(json, "what", line->what);
	json_member_number(json, "needed", line->needed);
	json_member_text(json, "needed_unit", line->needed_unit);
	json_close(json);
}

void order_json(struct buf *out, const struct order_result *result, const struct style *style)
{
	const struct purchase *purchase = result->purchase;
	struct json json;
	(void)style;
	json_init(&json, out);
	json_open_object(&json);
	json_head(&json, result->check->job, result->check->verdict, "order");
	json_key(&json, "lines");
	json_open_array(&json);
	for (size_t i = 0; i < purchase->line_count; i++)
		line_object(&json, result->check->job, &purchase->lines[i]);
	json_close(&json);
	json_member_number(&json, "total", purchase->total);
	json_member_text(&json, "currency", purchase->currency);
	json_member_count(&json, "without_price", purchase->unpriced);
	json_member_number(&json, "spare", purchase->spare);
	json_key(&json, "notes");
	json_open_array(&json);
	for (size_t i = 0; i < purchase->note_count; i++)
		json_add_text(&json, purchase->notes[i]);
	json_close(&json);
	json_cautions(&json);
	json_close(&json);
}
