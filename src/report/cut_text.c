/* The cutting list that is pinned over the bench: one table for each reel or offcut, with the marks
 * running along it, then what to keep. */
#include "report/cut.h"

#include "report/item_list.h"
#include "report/lead.h"
#include "report/table.h"

#include <math.h>

#define OFF_MARK 0.0005          /* m: written and cut length that differ by more are named */

static const struct strip *strip_of(const struct cut_result *result, size_t strip)
{
	return &result->check->job->strips[strip];
}

static const char *plural(size_t count, const char *one, const char *many)
{
	return count == 1 ? one : many;
}

/* Marks lie on whole millimetres, or are shown to the tenth; of inches, to the sixteenth. */
static const char *mark_in(const struct page *page, enum length_system lengths, double metres, double pitch)
{
	double step = 1000 * pitch;
	bool whole = fabs(step - round(step)) < 1e-6;
	return quantity_mark(page->arena, metres, lengths, whole ? 0 : 1);
}

static const char *mark(const struct page *page, double metres, double pitch)
{
	return mark_in(page, page->lengths, metres, pitch);
}

static const char *unit(const struct page *page)
{
	return quantity_mark_unit(page->lengths);
}

/* "cut mm" */
static const char *head(const struct page *page, const char *words)
{
	return arena_printf(page->arena, "%s %s", words, unit(page));
}

static void sentence(const struct page *page, const char *text)
{
	buf_add_char(page->out, '\n');
	page_paragraph(page, text, 0, 0);
}

static void print_total(const struct page *page, const struct cut_list *list)
{
	size_t reels = list->reels_used, least = list->lower_bound;
	const char *text;
	if (list->group_count == 0)
		text = "There is no strip to cut.";
	else if (reels == 0)
		text = "Cutting list: no new reel, the offcuts are enough.";
	else if (list->optimal)
		text = arena_printf(page->arena, "Cutting list: %zu %s, the fewest that will do (proved).", reels,
		                    plural(reels, "reel", "reels"));
	else
		text = arena_printf(page->arena, "Cutting list: %zu %s. Fewer than %zu cannot do; whether fewer "
		                    "than %zu would is not settled.", reels, plural(reels, "reel", "reels"), least,
		                    reels);
	page_paragraph(page, text, 0, 0);
	if (list->group_count > 0)
		page_paragraph(page, "Unroll each length once, measure from its start, and cut on the marks: "
		               "'from' and 'to' run along the length.", 0, 0);
	if (list->group_count > 0 && page->lengths == LENGTHS_INCH)
		page_paragraph(page, "Inches are to the nearest 1/16: cut on the mark nearest to the figure, not at "
		               "the figure.", 0, 0);
}

/* "Offcut A7 of 1850 mm (rack 3)" or "Reel 1 of 2, new, 5000 mm" */
static const char *stock_title(const struct page *page, const struct cut_list *list,
                               const struct cut_group *group, const struct cut_stock *stock)
{
	const char *length = mark(page, stock->length, group->pitch);
	if (!stock->offcut)
		return arena_printf(page->arena, "Reel %zu of %zu, new, %s %s", stock->index + 1,
		                    group->plan.reels_used, length, unit(page));
	const struct offcut *offcut = &list->offcuts->items[stock->id];
	const char *id = attr_has(&offcut->id) ? arena_printf(page->arena, " %s", offcut->id.text) : "";
	const char *note = attr_has(&offcut->note)
		? arena_printf(page->arena, " (%s)", offcut->note.text) : "";
	return arena_printf(page->arena, "Offcut%s of %s %s%s", id, length, unit(page), note);
}

static const char *piece_name(const struct page *page, const struct cut_result *result,
                              const struct cut_part *part)
{
	const char *id = page_safe(page, strip_of(result, part->strip)->item.id);
	if (part->of == 1)
		return id;
	return arena_printf(page->arena, "%s (%zu of %zu)", id, part->nth + 1, part->of);
}

static void print_pieces(const struct page *page, const struct cut_result *result,
                         const struct cut_group *group, const struct cut_stock *stock)
{
	const struct table_column columns[] = {
		{ .head = "" }, { .head = "strip", .gives = true },
		{ .head = "place", .gives = true, .optional = true },
		{ .head = head(page, "cut"), .align = ALIGN_RIGHT },
		{ .head = head(page, "from"), .align = ALIGN_RIGHT },
		{ .head = head(page, "to"), .align = ALIGN_RIGHT }, { .head = "cut units", .align = ALIGN_RIGHT },
	};
	struct table table;
	table_init(&table, page->arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < stock->cut_count; i++) {
		const struct cut_mark *cut = &stock->cuts[i];
		const struct cut_part *part = &group->parts[cut->piece];
		const struct attr *place = &strip_of(result, part->strip)->item.place;
		table_add(&table, "[ ]");
		table_add(&table, piece_name(page, result, part));
		table_add(&table, attr_has(place) ? page_safe(page, place->text) : "");
		table_add(&table, mark(page, cut_at(group, cut->to - cut->from), group->pitch));
		table_add(&table, mark(page, cut_at(group, cut->from), group->pitch));
		table_add(&table, mark(page, cut_at(group, cut->to), group->pitch));
		table_add(&table, arena_printf(page->arena, "%zu", cut->to - cut->from));
	}
	table_print(&table, page);
}

static void print_left(const struct page *page, const struct cut_group *group,
                       const struct cut_stock *stock)
{
	double left = cut_left(group, stock);
	const char *length = arena_printf(page->arena, "%s %s", mark(page, left, group->pitch), unit(page));
	if (stock->left > 0)
		page_paragraph(page, arena_printf(page->arena, "Left over: %s. Label it \"%s, %s\" and "
		                                  "keep it.", length, group->strip_type, length), 0, 0);
	else if (left > OFF_MARK)
		page_paragraph(page, arena_printf(page->arena, "Left over: %s, less than one cut unit.",
		                                  length), 0, 0);
	else
		page_paragraph(page, "Nothing is left over.", 0, 0);
}

/* Drawn length, and whether it is a channel's. */
static double drawn(const struct strip *strip, bool *channel)
{
	*channel = !attr_said(&strip->length);
	return *channel ? strip->channel.num : strip->length.num;
}

static bool drawn_alike(const struct strip *a, const struct strip *b)
{
	bool channel_a, channel_b;
	double length_a = drawn(a, &channel_a), length_b = drawn(b, &channel_b);
	return channel_a == channel_b && fabs(length_a - length_b) < OFF_MARK;
}

/* "L1, L2 at 850 mm (channel of 868 mm)" for the strips that are drawn like number `first` of the
 * group, where that is the first of its length and not as long as it is cut. */
static void add_off_mark(const struct page *page, const struct cut_result *result,
                         const struct cut_group *group, size_t first, struct buf *text)
{
	const struct strip *strip = strip_of(result, group->strips[first]);
	struct item_ref *alike = arena_array(page->arena, struct item_ref, group->strip_count - first);
	size_t count = 0;
	bool channel;
	double length = drawn(strip, &channel);
	if (fabs(length - strip->metres) <= OFF_MARK)
		return;
	for (size_t i = 0; i < group->strip_count; i++) {
		if (!drawn_alike(strip, strip_of(result, group->strips[i])))
			continue;
		if (i < first)
			return;
		alike[count++] = (struct item_ref){ KIND_STRIP, group->strips[i] };
	}
	buf_add(text, text->length > 0 ? "; " : "Cut at the last mark that fits: ");
	items_add(text, result->check->job, alike, count);
	buf_addf(text, " at %s %s (%s of %s %s)", mark(page, strip->metres, group->pitch), unit(page),
	         channel ? "channel" : "length",
	         quantity_mark(page->arena, length, page->lengths, MARK_AS_IT_IS), unit(page));
}

static void print_off_mark(const struct page *page, const struct cut_result *result,
                           const struct cut_group *group)
{
	struct buf text;
	buf_init(&text, page->arena);
	for (size_t i = 0; i < group->strip_count; i++)
		add_off_mark(page, result, group, i, &text);
	if (text.length == 0)
		return;
	buf_add_char(&text, '.');
	sentence(page, text.data);
}

/* "L5, 7200 mm, is longer than a reel: join it end to end at 5000 mm, or feed it there." */
static void print_joins(const struct page *page, const struct cut_result *result, size_t g)
{
	const struct cut_group *group = &result->list->groups[g];
	for (size_t i = 0; i < result->list->join_count; i++) {
		const struct cut_join *join = &result->list->joins[i];
		if (join->group != g)
			continue;
		const struct strip *strip = strip_of(result, join->strip);
		struct buf at;
		buf_init(&at, page->arena);
		for (size_t k = 1; k < join->pieces; k++)
			buf_addf(&at, "%s%s %s", k == 1 ? "" : k + 1 == join->pieces ? " and " : ", ",
			         mark(page, cut_at(group, k * join->reel_units), group->pitch), unit(page));
		sentence(page, arena_printf(page->arena, "%s, %s %s long, is longer than a reel: it is cut in %zu "
		                            "pieces. Join them end to end at %s from its start, the last mark "
		                            "that a reel reaches, or bring a feed there.",
		                            strip->item.id, mark(page, strip->metres, group->pitch), unit(page),
		                            join->pieces, at.data));
	}
}

/* As the label has them: a reel is bought, and marks are counted, by those. */
static const char *label_length(const struct page *page, const struct attr *label, double metres, double pitch)
{
	enum length_system lengths = attr_lengths(label);
	return arena_printf(page->arena, "%s %s", mark_in(page, lengths, metres, pitch),
	                    quantity_mark_unit(lengths));
}

static void print_group(const struct page *page, const struct cut_result *result, size_t g)
{
	const struct cut_group *group = &result->list->groups[g];
	const struct strip *like = strip_of(result, group->strips[0]);
	size_t reels = group->plan.reels_used;
	page_heading(page, page_safe(page, arena_printf(
		page->arena, "%s: %zu new %s of %s, a cut mark every %s", group->strip_type, reels,
		plural(reels, "reel", "reels"), label_length(page, &like->reel, group->reel, group->pitch),
		label_length(page, &like->cut_length, group->pitch, group->pitch))));
	for (size_t i = 0; i < group->plan.stock_count; i++) {
		const struct cut_stock *stock = &group->plan.stocks[i];
		buf_add(page->out, i > 0 ? "\n" : "");
		page_paragraph(page, stock_title(page, result->list, group, stock), 0, 0);
		print_pieces(page, result, group, stock);
		print_left(page, group, stock);
	}
	print_joins(page, result, g);
	print_off_mark(page, result, group);
}

static void print_profiles(const struct page *page, const struct cut_result *result)
{
	const struct table_column columns[] = {
		{ .head = "" }, { .head = "strip", .gives = true },
		{ .head = "place", .gives = true, .optional = true },
		{ .head = head(page, "profile"), .align = ALIGN_RIGHT },
	};
	struct table table;
	double total = 0;
	if (result->list->profile_count == 0)
		return;
	table_init(&table, page->arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < result->list->profile_count; i++) {
		const struct cut_profile *profile = &result->list->profiles[i];
		const struct item *item = &strip_of(result, profile->strip)->item;
		table_add(&table, "[ ]");
		table_add(&table, page_safe(page, item->id));
		table_add(&table, attr_has(&item->place) ? page_safe(page, item->place.text) : "");
		table_add(&table, quantity_mark(page->arena, profile->length, page->lengths, MARK_AS_IT_IS));
		total += profile->length;
	}
	page_heading(page, "Aluminium profile");
	table_print(&table, page);
	page_paragraph(page, arena_printf(page->arena, "In all %s, without what the saw takes.",
	                                  quantity_length_in(page->arena, total, page->lengths, LENGTH_CABLE,
	                                                     5)), 0, 0);
}

/* Offcuts that stay on the rack, and those whose name fits nothing. */
static void print_offcuts(const struct page *page, const struct cut_result *result)
{
	const struct cut_list *list = result->list;
	size_t untouched = 0;
	for (size_t i = 0; i < list->leftover_count; i++)
		untouched += list->leftovers[i].untouched;
	untouched -= list->strange_count;
	if (untouched > 0)
		sentence(page, arena_printf(page->arena, "%zu %s on the list %s not needed and %s as %s.",
		                            untouched, plural(untouched, "offcut", "offcuts"),
		                            plural(untouched, "is", "are"), plural(untouched, "stays", "stay"),
		                            plural(untouched, "it is", "they are")));
	for (size_t i = 0; i < list->strange_count; i++) {
		const struct cut_strange *strange = &list->strange[i];
		const struct offcut *offcut = &list->offcuts->items[strange->offcut];
		sentence(page, arena_printf(page->arena, "Not used: the offcut of '%s' in line %u of the list. No "
		                            "strip of this job is of that type%s%s",
		                            offcut->strip_type.text, (unsigned)offcut->at.line,
		                            strange->hint != NULL ? "; " : ".",
		                            strange->hint != NULL ? strange->hint : ""));
	}
}

void cut_text(struct buf *out, const struct cut_result *result, const struct style *style)
{
	struct page page = page_about(result->check->job, out, style);
	page_lead(&page, result->check, "cut");
	print_total(&page, result->list);
	for (size_t g = 0; g < result->list->group_count; g++)
		print_group(&page, result, g);
	print_offcuts(&page, result);
	print_profiles(&page, result);
	page_cautions(&page);
}
