/* `cut --format csv`: one block for the lengths to cut from, one for the pieces, one for profiles; the
 * last one can be kept as it is: it is the list of offcuts after the job. */
#include "report/cut.h"

#include "report/csv_cells.h"

static const struct item *strip_item(const struct cut_result *result, size_t strip)
{
	return &result->check->job->strips[strip].item;
}

static void text_of(struct buf *out, const struct attr *attr)
{
	csv_text(out, attr_has(attr) ? attr->text : NULL);
}

/* Which length of its sort: reels count from 1, offcuts by their place in the list. */
static void stock_name(struct buf *out, const struct cut_group *group, const struct cut_stock *stock)
{
	csv_text(out, group->strip_type);
	csv_text(out, stock->offcut ? "offcut" : "reel");
	csv_number(out, (double)(stock->offcut ? stock->id : stock->index) + 1);
}

static void stock_row(struct buf *out, const struct cut_result *result, const struct cut_group *group,
                      const struct cut_stock *stock)
{
	buf_add(out, "stock");
	stock_name(out, group, stock);
	if (stock->offcut)
		text_of(out, &result->list->offcuts->items[stock->id].id);
	else
		csv_text(out, NULL);
	csv_number(out, stock->length);
	csv_number(out, cut_left(group, stock));
	buf_add_char(out, '\n');
}

static void piece_rows(struct buf *out, const struct cut_result *result, const struct cut_group *group,
                       const struct cut_stock *stock)
{
	for (size_t i = 0; i < stock->cut_count; i++) {
		const struct cut_mark *cut = &stock->cuts[i];
		const struct cut_part *part = &group->parts[cut->piece];
		const struct item *item = strip_item(result, part->strip);
		buf_add(out, "piece");
		stock_name(out, group, stock);
		csv_text(out, item->id);
		text_of(out, &item->place);
		csv_number(out, (double)part->nth + 1);
		csv_number(out, (double)part->of);
		csv_number(out, cut_at(group, cut->to - cut->from));
		csv_number(out, cut_at(group, cut->from));
		csv_number(out, cut_at(group, cut->to));
		buf_add_char(out, '\n');
	}
}

static void profile_rows(struct buf *out, const struct cut_result *result)
{
	for (size_t i = 0; i < result->list->profile_count; i++) {
		const struct cut_profile *profile = &result->list->profiles[i];
		const struct item *item = strip_item(result, profile->strip);
		buf_add(out, "profile");
		csv_text(out, item->id);
		text_of(out, &item->place);
		csv_number(out, profile->length);
		buf_add_char(out, '\n');
	}
}

static void leftover_rows(struct buf *out, const struct cut_list *list)
{
	static const struct attr unset;
	for (size_t i = 0; i < list->leftover_count; i++) {
		const struct cut_leftover *left = &list->leftovers[i];
		bool old = left->offcut != NO_INDEX;
		buf_addf(out, "%.12g mm", 1000 * left->length);
		csv_text(out, left->strip_type);
		text_of(out, old ? &list->offcuts->items[left->offcut].id : &unset);
		text_of(out, old ? &list->offcuts->items[left->offcut].note : &unset);
		buf_add_char(out, '\n');
	}
}

void cut_csv(struct buf *out, const struct cut_result *result, const struct style *style)
{
	const struct cut_list *list = result->list;
	(void)style;
	buf_add(out, "kind,strip_type,from,number,id,length_m,left_m\n");
	for (size_t g = 0; g < list->group_count; g++)
		for (size_t i = 0; i < list->groups[g].plan.stock_count; i++)
			stock_row(out, result, &list->groups[g], &list->groups[g].plan.stocks[i]);
	buf_add(out, "\nkind,strip_type,from,number,item,place,part,parts,length_m,from_m,to_m\n");
	for (size_t g = 0; g < list->group_count; g++)
		for (size_t i = 0; i < list->groups[g].plan.stock_count; i++)
			piece_rows(out, result, &list->groups[g], &list->groups[g].plan.stocks[i]);
	buf_add(out, "\nkind,item,place,length_m\n");
	profile_rows(out, result);
	buf_add(out, "\nlength,strip_type,id,note\n");
	leftover_rows(out, list);
}
