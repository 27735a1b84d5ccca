/* `cut --format json`: the shared head, then what was asked for; keys behind `optimal` were added. */
#include "report/cut.h"

#include "report/json_parts.h"

static const char *strip_id(const struct cut_result *result, size_t strip)
{
	return result->check->job->strips[strip].item.id;
}

static void piece(struct json *json, const struct cut_result *result, const struct cut_group *group,
                  const struct cut_mark *cut)
{
	const struct cut_part *part = &group->parts[cut->piece];
	json_open_object(json);
	json_member_text(json, "item", strip_id(result, part->strip));
	json_member_number(json, "length_m", cut_at(group, cut->to - cut->from));
	json_member_number(json, "from_m", cut_at(group, cut->from));
	json_member_number(json, "to_m", cut_at(group, cut->to));
	json_member_count(json, "cut_units", cut->to - cut->from);
	json_member_count(json, "part", part->nth + 1);
	json_member_count(json, "parts", part->of);
	json_close(json);
}

static void stock_source(struct json *json, const struct cut_list *list, const struct cut_stock *stock)
{
	const struct attr *id = NULL;
	json_member_text(json, "from", stock->offcut ? "offcut" : "reel");
	if (stock->offcut)
		id = &list->offcuts->items[stock->id].id;
	json_member_text(json, "id", id != NULL && attr_has(id) ? id->text : NULL);
}

static void stocks(struct json *json, const struct cut_result *result)
{
	json_key(json, "reels");
	json_open_array(json);
	for (size_t g = 0; g < result->list->group_count; g++) {
		const struct cut_group *group = &result->list->groups[g];
		for (size_t i = 0; i < group->plan.stock_count; i++) {
			const struct cut_stock *stock = &group->plan.stocks[i];
			json_open_object(json);
			json_member_text(json, "strip_type", group->strip_type);
			stock_source(json, result->list, stock);
			json_member_number(json, "length_m", stock->length);
			json_key(json, "pieces");
			json_open_array(json);
			for (size_t k = 0; k < stock->cut_count; k++)
				piece(json, result, group, &stock->cuts[k]);
			json_close(json);
			json_member_number(json, "left_m", cut_left(group, stock));
			json_close(json);
		}
	}
	json_close(json);
}

static void proof(struct json *json, size_t reels_used, size_t lower_bound, bool optimal)
{
	json_member_count(json, "reels_used", reels_used);
	json_member_count(json, "lower_bound", lower_bound);
	json_member_flag(json, "optimal", optimal);
}

static void sorts(struct json *json, const struct cut_list *list)
{
	json_key(json, "strip_types");
	json_open_array(json);
	for (size_t g = 0; g < list->group_count; g++) {
		const struct cut_group *group = &list->groups[g];
		json_open_object(json);
		json_member_text(json, "strip_type", group->strip_type);
		json_member_number(json, "cut_length_m", group->pitch);
		json_member_number(json, "reel_m", group->reel);
		proof(json, group->plan.reels_used, group->plan.lower_bound, group->plan.optimal);
		json_close(json);
	}
	json_close(json);
}

static void joins(struct json *json, const struct cut_result *result)
{
	json_key(json, "joins");
	json_open_array(json);
	for (size_t i = 0; i < result->list->join_count; i++) {
		const struct cut_join *join = &result->list->joins[i];
		const struct cut_group *group = &result->list->groups[join->group];
		json_open_object(json);
		json_member_text(json, "item", strip_id(result, join->strip));
		json_key(json, "at_m");
		json_open_array(json);
		for (size_t k = 1; k < join->pieces; k++)
			json_add_number(json, cut_at(group, k * join->reel_units));
		json_close(json);
		json_close(json);
	}
	json_close(json);
}

static void profiles(struct json *json, const struct cut_result *result)
{
	json_key(json, "profiles");
	json_open_array(json);
	for (size_t i = 0; i < result->list->profile_count; i++) {
		const struct cut_profile *profile = &result->list->profiles[i];
		json_open_object(json);
		json_member_text(json, "item", strip_id(result, profile->strip));
		json_member_number(json, "length_m", profile->length);
		json_close(json);
	}
	json_close(json);
}

/* Lengths that are there after the job: what to label and keep. */
static void leftovers(struct json *json, const struct cut_list *list)
{
	json_key(json, "leftovers");
	json_open_array(json);
	for (size_t i = 0; i < list->leftover_count; i++) {
		const struct cut_leftover *left = &list->leftovers[i];
		json_open_object(json);
		json_member_text(json, "strip_type", left->strip_type);
		json_member_number(json, "length_m", left->length);
		json_member_text(json, "from", left->offcut == NO_INDEX ? "reel" : "offcut");
		json_member_flag(json, "untouched", left->untouched);
		json_close(json);
	}
	json_close(json);
}

/* Offcuts on the list that no strip of the job is of. */
static void strange_offcuts(struct json *json, const struct cut_list *list)
{
	json_key(json, "strange_offcuts");
	json_open_array(json);
	for (size_t i = 0; i < list->strange_count; i++) {
		const struct offcut *offcut = &list->offcuts->items[list->strange[i].offcut];
		json_open_object(json);
		json_member_text(json, "strip_type", offcut->strip_type.text);
		json_member_number(json, "length_m", offcut->length.num);
		json_member_count(json, "line", offcut->at.line);
		json_close(json);
	}
	json_close(json);
}

void cut_json(struct buf *out, const struct cut_result *result, const struct style *style)
{
	(void)style;
	struct json json;
	json_init(&json, out);
	json_open_object(&json);
	json_head(&json, result->check->job, result->check->verdict, "cut");
	stocks(&json, result);
	proof(&json, result->list->reels_used, result->list->lower_bound, result->list->optimal);
	sorts(&json, result->list);
	joins(&json, result);
	profiles(&json, result);
	leftovers(&json, result->list);
	strange_offcuts(&json, result->list);
	json_cautions(&json);
	json_close(&json);
}
