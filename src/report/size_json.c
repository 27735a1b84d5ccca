/* `size --format json`: the shared head, then what was asked for. */
#include "report/size.h"

#include "reference/reference.h"
#include "report/apply.h"
#include "report/json_parts.h"

#include <math.h>

/* 0 stands for none. */
static void member_fuse(struct json *json, const char *key, double amps)
{
	json_member_number(json, key, amps > 0 ? amps : NAN);
}

static void drivers(struct json *json, const struct size_result *result)
{
	json_key(json, "drivers");
	json_open_object(json);
	for (size_t i = 0; i < result->job->driver_count; i++) {
		const struct driver_plan *plan = &result->plan->drivers[i];
		json_key(json, result->job->drivers[i].item.id);
		json_open_object(json);
		json_member_number(json, "now_w", plan->now_w);
		json_member_number(json, "proposed_w", plan->proposed_w);
		json_member_text(json, "proposed_part", plan->part);
		json_member_text(json, "why", plan->why);
		json_member_text(json, "split", plan->split);
		json_close(json);
	}
	json_close(json);
}

static void cables(struct json *json, const struct size_result *result)
{
	json_key(json, "cables");
	json_open_object(json);
	for (size_t i = 0; i < result->job->cable_count; i++) {
		const struct cable_plan *plan = &result->plan->cables[i];
		json_key(json, result->job->cables[i].item.id);
		json_open_object(json);
		json_member_text(json, "now", wire_sizes[plan->now].name);
		json_member_text(json, "proposed", wire_sizes[plan->proposed].name);
		json_member_text(json, "why", plan->why);
		member_fuse(json, "fuse_now_a", plan->fuse_now);
		member_fuse(json, "fuse_proposed_a", plan->fuse_proposed);
		json_close(json);
	}
	json_close(json);
}

static void options(struct json *json, const struct strip_plan *plan)
{
	json_key(json, "options");
	json_open_array(json);
	for (size_t i = 0; i < plan->option_count; i++) {
		const struct feed_option *option = &plan->options[i];
		json_open_object(json);
		json_member_text(json, "feed", feed_words(option->feed));
		if (option->feed == FEED_SPLIT)
			json_member_count(json, "runs", option->runs);
		json_member_number(json, "light_min", option->light_min);
		json_member_number(json, "drop", option->drop);
		json_member_flag(json, "passes", option->passes);
		json_close(json);
	}
	json_close(json);
}

static void strips(struct json *json, const struct size_result *result)
{
	json_key(json, "strips");
	json_open_object(json);
	for (size_t i = 0; i < result->job->strip_count; i++) {
		const struct strip_plan *plan = &result->plan->strips[i];
		json_key(json, result->job->strips[i].item.id);
		json_open_object(json);
		json_member_text(json, "now", feed_words(FEED_AS_DRAWN));
		json_member_text(json, "proposed", feed_words(plan->proposed));
		json_member_text(json, "why", plan->why);
		options(json, plan);
		json_close(json);
	}
	json_close(json);
}

static void added(struct json *json, const struct size_result *result)
{
	json_key(json, "added");
	json_open_array(json);
	for (size_t i = 0; i < result->plan->added_count; i++) {
		const struct added_cable *cable = &result->plan->added[i];
		json_open_object(json);
		json_member_text(json, "id", cable->id);
		json_member_text(json, "from", cable->from);
		json_member_text(json, "to", cable->to);
		json_member_number(json, "length_m", apply_length(cable->metres));
		json_member_text(json, "size", wire_sizes[cable->wire].name);
		json_member_text(json, "like", result->job->cables[cable->like].item.id);
		json_close(json);
	}
	json_close(json);
}

static void moved(struct json *json, const struct size_result *result)
{
	json_key(json, "moved");
	json_open_array(json);
	for (size_t i = 0; i < result->plan->moved_count; i++) {
		const struct moved_cable *moved = &result->plan->moved[i];
		const struct cable *cable = &result->job->cables[moved->cable];
		json_open_object(json);
		json_member_text(json, "id", cable->item.id);
		json_member_text(json, "end", moved->at_from ? "from" : "to");
		json_member_text(json, "now", result->job->terminals[moved->at_from ? cable->a : cable->b].name);
		json_member_text(json, "proposed", moved->to);
		json_member_number(json, "length_m",
		                   apply_length(result->plan->sized->cables[moved->cable].length.num));
		json_close(json);
	}
	json_close(json);
}

static void longest(struct json *json, const struct size_plan *plan)
{
	json_key(json, "longest_run");
	json_open_array(json);
	for (size_t i = 0; i < plan->longest_count; i++) {
		const struct longest_run *run = &plan->longest[i];
		json_open_object(json);
		json_member_text(json, "strip_type", run->strip_type);
		json_member_text(json, "like", run->like);
		json_member_number(json, "one_end_m", run->one_end);
		json_member_number(json, "both_ends_m", run->both_ends);
		json_member_number(json, "middle_m", run->middle);
		json_close(json);
	}
	json_close(json);
}

static void stuck(struct json *json, const struct size_result *result)
{
	json_key(json, "stuck");
	json_open_array(json);
	for (size_t i = 0; i < result->stuck_count; i++)
		json_add_text(json, result->stuck[i]);
	json_close(json);
}

void size_json(struct buf *out, const struct size_result *result, const struct style *style)
{
	(void)style;
	struct json json;
	json_init(&json, out);
	json_open_object(&json);
	json_head(&json, result->job, result->verdict, "size");
	drivers(&json, result);
	cables(&json, result);
	strips(&json, result);
	added(&json, result);
	moved(&json, result);
	longest(&json, result->plan);
	stuck(&json, result);
	json_member_flag(&json, "optimal", result->plan->optimal);
	json_member_text(&json, "copy", result->copy);
	json_assumed(&json, result->job, result->assumptions);
	json_findings(&json, result->sized, result->findings);
	json_cautions(&json);
	json_close(&json);
}
