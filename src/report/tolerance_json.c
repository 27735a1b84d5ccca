/* Spreads as JSON; fractions of 1 and SI, as the figures themselves. */
#include "report/tolerance.h"

#include "report/figures.h"

#include <math.h>

void tolerance_json_item(struct json *json, const struct check_result *result, struct item_ref item)
{
	const struct tolerance *t = result->tolerance;
	if (t == NULL)
		return;
	if (item.kind == KIND_STRIP) {
		const struct strip_spread *s = &t->strips[item.index];
		json_member_number(json, "light_min_p05", s->light_min.p05);
		json_member_number(json, "light_min_p50", s->light_min.p50);
		json_member_number(json, "light_min_p95", s->light_min.p95);
		json_member_number(json, "light_min_worst", s->light_min_worst);
	} else if (item.kind == KIND_DRIVER) {
		json_member_number(json, "load_w_p95", t->driver_load_p95[item.index]);
	}
}

static void add_checks(struct json *json, const struct check_result *result)
{
	json_key(json, "checks");
	json_open_array(json);
	for (size_t i = 0; i < result->tolerance->check_count; i++) {
		const struct checked_spread *c = &result->tolerance->checks[i];
		json_open_object(json);
		json_member_text(json, "check", c->check->name);
		json_member_text(json, "item", item_id(result->job, c->item));
		json_member_number(json, "nominal", c->nominal);
		json_member_number(json, "p05", c->spread.p05);
		json_member_number(json, "p50", c->spread.p50);
		json_member_number(json, "p95", c->spread.p95);
		json_member_number(json, "worst", c->worst);
		json_member_number(json, "limit", c->limit);
		json_member_number(json, "chance", c->chance);
		json_member_number(json, "fail", c->fail);
		json_member_number(json, "fail_chance", c->fail_chance);
		json_close(json);
	}
	json_close(json);
}

static void add_matters(struct json *json, const struct check_result *result)
{
	json_key(json, "matters");
	json_open_array(json);
	for (size_t i = 0; i < result->tolerance->matter_count; i++) {
		const struct matter *m = &result->tolerance->matters[i];
		json_open_object(json);
		json_member_text(json, "item", m->type_name ? m->type_name
		                               : m->rule ? item_id(result->job, m->item) : "job");
		json_member_text(json, "attribute", m->rule ? m->rule->key : "ambient");
		json_member_number(json, "share", m->share);
		json_member_text(json, "of", m->type_name ? "type" : "item");
		json_close(json);
	}
	json_close(json);
}

void tolerance_json(struct json *json, const struct check_result *result)
{
	const struct tolerance *t = result->tolerance;
	if (t == NULL)
		return;
	json_key(json, "tolerance");
	json_open_object(json);
	json_member_count(json, "samples", t->samples);
	json_member_count(json, "seed", (size_t)t->seed);
	json_member_number(json, "passes", t->check_count > 0 ? t->passes : NAN);
	json_member_number(json, "sound", t->check_count > 0 ? t->sound : NAN);
	json_member_flag(json, "monotone", t->monotone);
	add_checks(json, result);
	add_matters(json, result);
	json_close(json);
}
