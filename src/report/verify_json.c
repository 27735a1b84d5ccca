/* `verify --format json`: items, readings, suspects and the next reading, beside the head, findings and
 * cautions that every command has. */
#include "report/verify.h"

#include "report/figures.h"
#include "report/json_parts.h"
#include "report/verify_words.h"

#include <math.h>

static const char *range_word(enum meter_range range)
{
	return range == METER_VOLTS ? "volts" : "amps";
}

/* ------- items */

/* The figures of an item that are compared, those that its kind has. */
static const struct { const char *key, *planned_key, *figure; enum kind kind; } compared[] = {
	{ "nameplate_w", "planned_nameplate_w", "nameplate_w", KIND_STRIP },
	{ "light_min", "planned_light_min", "light_min", KIND_STRIP },
	{ "drop", "planned_drop", "drop", KIND_STRIP },
	{ "drop_v", "planned_drop_v", "drop_v", KIND_CABLE },
	{ "current_a", "planned_current_a", "current_a", KIND_CABLE },
	{ "nameplate_w", "planned_nameplate_w", "nameplate_w", KIND_DRIVER },
	{ "load_w", "planned_load_w", "load_w", KIND_DRIVER },
	{ "headroom", "planned_headroom", "headroom", KIND_DRIVER },
	{ "drop_v", "planned_drop_v", "drop_v", KIND_SWITCH },
	{ "current_a", "planned_current_a", "current_a", KIND_SWITCH },
	{ "v", "planned_v", "v", KIND_BLOCK },
	{ "current_a", "planned_current_a", "current_a", KIND_BLOCK },
};

static void number_or_null(struct json *json, const char *key, const struct judged *judged,
                           struct item_ref item, const char *figure)
{
	struct check_result in = figures_in(judged);
	json_member_number(json, key, figure_number(figure_find(item.kind, figure), &in, item));
}

static void changed_checks(struct json *json, const struct verification *result, struct item_ref item)
{
	json_key(json, "changed");
	json_open_array(json);
	for (size_t i = 0; i < result->changes.count; i++) {
		const struct verdict_change *change = &result->changes.items[i];
		if (change->item.kind == item.kind && change->item.index == item.index)
			json_add_text(json, change->check->name);
	}
	json_close(json);
}

static void item_object(struct json *json, const struct verification *result, struct item_ref item)
{
	bool strip = item.kind == KIND_STRIP, driver = item.kind == KIND_DRIVER;
	json_key(json, item_id(result->built.job, item));
	json_open_object(json);
	json_member_text(json, "kind", kind_words[item.kind].word);
	json_member_number(json, "planned_m", verify_length(result->plan.job, item));
	json_member_number(json, "built_m", verify_built_length(result, item));
	if (!strip && !driver)
		json_member_number(json, "nameplate_w", NAN);
	if (!strip)
		json_member_number(json, "light_min", NAN);
	for (size_t i = 0; i < sizeof(compared) / sizeof(compared[0]); i++) {
		if (compared[i].kind != item.kind)
			continue;
		number_or_null(json, compared[i].key, &result->built, item, compared[i].figure);
		number_or_null(json, compared[i].planned_key, &result->plan, item, compared[i].figure);
	}
	changed_checks(json, result, item);
	json_close(json);
}

static void items(struct json *json, const struct verification *result)
{
	json_key(json, "items");
	json_open_object(json);
	for (size_t k = 0; k < KIND__END; k++)
		for (size_t i = 0; i < job_count(result->built.job, figure_order[k]); i++)
			item_object(json, result, (struct item_ref){ figure_order[k], i });
	json_close(json);
}

/* ------- what changed verdict */

static void change_side(struct json *json, const char *key, const char *why_key,
                        const struct finding *finding)
{
	json_member_text(json, key, finding != NULL ? severity_word(finding->severity) : NULL);
	json_member_text(json, why_key, finding != NULL ? finding->message : NULL);
}

static void changes(struct json *json, const char *key, const struct job *job,
                    const struct verdict_changes *list)
{
	json_key(json, key);
	json_open_array(json);
	for (size_t i = 0; i < list->count; i++) {
		const struct verdict_change *change = &list->items[i];
		json_open_object(json);
		json_member_text(json, "item", item_id(job, change->item));
		json_member_text(json, "check", change->check->name);
		change_side(json, "before", "before_message", change->before);
		change_side(json, "after", "after_message", change->after);
		json_close(json);
	}
	json_close(json);
}

/* ------- readings */

static void readings(struct json *json, const struct verification *result)
{
	json_key(json, "readings");
	json_open_array(json);
	for (size_t i = 0; i < result->as_built->reading_count; i++) {
		const struct reading *reading = &result->as_built->readings[i];
		const struct reading_check *check = &result->diagnosis.checks[i];
		json_open_object(json);
		json_member_text(json, "at", reading->at);
		json_member_number(json, "measured", reading->value);
		json_member_number(json, "predicted", check->predicted);
		json_member_number(json, "difference", check->difference);
		if (check->unknown) {
			json_key(json, "within");
			json_add_null(json);
		} else {
			json_member_flag(json, "within", check->within);
		}
		json_member_number(json, "allowed", check->allowed);
		json_member_text(json, "quantity", range_word(reading->range));
		json_member_text(json, "switches", result->as_built->states[reading->state].text);
		json_member_text(json, "note", reading->note);
		json_member_count(json, "line", reading->place.line);
		json_member_count(json, "column", reading->place.column);
		json_close(json);
	}
	json_close(json);
}

static void meter(struct json *json, const struct diagnosis *d)
{
	json_key(json, "meter");
	json_open_object(json);
	json_member_number(json, "gain", d->meter.gain);
	json_member_number(json, "digit_v", d->meter.digit_v);
	json_member_number(json, "digit_a", d->meter.digit_a);
	json_member_number(json, "fitted_gain_v", d->gain_v);
	json_member_number(json, "fitted_gain_a", d->gain_a);
	json_close(json);
}

/* ------- suspects */

static bool same_id(const struct suspect *a, const struct suspect *b)
{
	return a->item.kind == b->item.kind && a->item.index == b->item.index;
}

/* Ids of the other items of its group, each once. */
static void tied_with(struct json *json, const struct verification *result, const struct suspect *of)
{
	const struct suspect *suspects = result->diagnosis.suspects;
	json_key(json, "tied_with");
	json_open_array(json);
	for (size_t i = 0; i < result->diagnosis.suspect_count; i++) {
		bool told = suspects[i].group != of->group || same_id(&suspects[i], of);
		for (size_t k = 0; k < i && !told; k++)
			told = suspects[k].group == of->group && same_id(&suspects[k], &suspects[i]);
		if (!told)
			json_add_text(json, item_id(result->built.job, suspects[i].item));
	}
	json_close(json);
}

static void suspect_object(struct json *json, const struct verification *result,
                           const struct suspect *s)
{
	const struct job *job = result->built.job;
	json_open_object(json);
	json_member_text(json, "item", item_id(job, s->item));
	json_member_text(json, "terminal", s->terminal != NO_INDEX ? job->terminals[s->terminal].name : NULL);
	json_member_text(json, "kind", suspect_kind_word(s->kind));
	json_member_text(json, "core", core_word(s->core));
	json_member_number(json, "extra_ohm", s->extra_ohm);
	json_member_number(json, "value", s->value);
	json_member_number(json, "uncertainty", s->uncertainty);
	json_member_number(json, "score", s->score);
	tied_with(json, result, s);
	json_member_text(json, "label", suspect_label(json->out->arena, job, s));
	json_member_count(json, "explains", s->explains);
	json_member_number(json, "worst", s->worst);
	json_close(json);
}

static void suspects(struct json *json, const struct verification *result)
{
	json_key(json, "suspects");
	json_open_array(json);
	for (size_t i = 0; i < result->diagnosis.suspect_count; i++)
		suspect_object(json, result, &result->diagnosis.suspects[i]);
	json_close(json);
}

static void next_reading(struct json *json, const struct verification *result)
{
	const struct diagnosis *d = &result->diagnosis;
	const struct job *job = result->built.job;
	json_key(json, "next_reading");
	if (!d->next.is_worth) {
		json_add_null(json);
		return;
	}
	json_open_object(json);
	json_member_text(json, "at", next_at(job, &d->next));
	json_member_text(json, "quantity", range_word(d->next.range));
	json_member_text(json, "switches", d->next.state.text);
	json_key(json, "expected");
	json_open_object(json);
	json_member_number(json, suspect_label(json->out->arena, job, &d->suspects[0]), d->next.first);
	json_member_number(json, suspect_label(json->out->arena, job, &d->suspects[d->next.rival]),
	                   d->next.other);
	json_close(json);
	json_close(json);
}

/* What the first suspect's fault does. */
static void effect(struct json *json, const struct verification *result)
{
	const struct fault_effect *e = result->effect;
	json_key(json, "effect");
	if (e == NULL) {
		json_add_null(json);
		return;
	}
	bool dims = e->strip != NO_INDEX;
	json_open_object(json);
	json_member_text(json, "verdict", verdict_word(findings_verdict(e->faulty.findings)));
	json_member_text(json, "dims", dims ? result->built.job->strips[e->strip].item.id : NULL);
	json_member_number(json, "light_before", dims ? e->light_before : NAN);
	json_member_number(json, "light_after", dims ? e->light_after : NAN);
	json_member_number(json, "volts", e->volts);
	json_member_number(json, "watts", e->watts);
	changes(json, "changes", result->built.job, &e->changes);
	json_close(json);
}

/* ------- what is missing */

static void not_measured(struct json *json, const struct verification *result)
{
	json_key(json, "not_measured");
	json_open_object(json);
	json_items(json, "lengths", result->built.job, result->uncut, result->uncut_count);
	json_key(json, "readings");
	json_open_array(json);
	for (size_t i = 0; i < result->unread_count; i++)
		json_add_text(json, result->built.job->terminals[result->unread[i]].name);
	json_close(json);
	json_close(json);
}

void verify_json(struct buf *out, const struct verification *result, const struct style *style)
{
	struct json json;
	(void)style;
	json_init(&json, out);
	json_open_object(&json);
	json_head(&json, result->built.job, result->verdict, "verify");
	items(&json, result);
	changes(&json, "changes", result->built.job, &result->changes);
	readings(&json, result);
	meter(&json, &result->diagnosis);
	json_member_flag(&json, "agree", result->diagnosis.agree);
	suspects(&json, result);
	json_member_flag(&json, "explained", result->diagnosis.explained);
	json_member_count(&json, "unlisted", result->diagnosis.unlisted);
	next_reading(&json, result);
	effect(&json, result);
	not_measured(&json, result);
	json_findings(&json, result->built.job, result->built.findings);
	json_cautions(&json);
	json_close(&json);
}
