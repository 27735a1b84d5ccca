/* `check --format json`: the stable machine format, docs/json.md. Keys may be added, none
 * changed. */
#include "report/figures.h"
#include "report/json_parts.h"
#include "report/measured.h"
#include "report/tolerance.h"

static void proof(struct json *json, const struct solution *solution)
{
	json_key(json, "solution");
	json_open_object(json);
	json_member_count(json, "iterations", (size_t)solution->iterations);
	json_member_number(json, "residual_a", solution->residual_a);
	json_member_number(json, "power_balance_w", solution->balance_w);
	json_member_count(json, "cut_units", solution->cut_units);
	json_close(json);
}

static void figure_value(struct json *json, const struct figure *figure,
                         const struct check_result *result, struct item_ref item)
{
	json_key(json, figure->key);
	if (figure->list != NULL) {
		json_open_array(json);
		const char *entry;
		for (size_t nth = 0; (entry = figure->list(result, item.index, nth)) != NULL; nth++)
			json_add_text(json, entry);
		json_close(json);
	} else if (figure_is_text(figure)) {
		json_add_text(json, figure_text(figure, result, item));
	} else {
		json_add_number(json, figure_number(figure, result, item));
	}
}

static void items_of(struct json *json, const struct check_result *result, enum kind kind)
{
	struct figure_table table = figures_of(kind);
	json_key(json, kind_words[kind].group);
	json_open_object(json);
	for (size_t i = 0; i < job_count(result->job, kind); i++) {
		struct item_ref item = { kind, i };
		json_key(json, item_id(result->job, item));
		json_open_object(json);
		for (size_t f = 0; f < table.count; f++)
			figure_value(json, &table.rows[f], result, item);
		tolerance_json_item(json, result, item);
		json_close(json);
	}
	json_close(json);
}

void check_json(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	struct json json;
	json_init(&json, out);
	json_open_object(&json);
	json_head(&json, result->job, result->verdict, "check");
	if (result->switches != NULL)
		json_member_text(&json, "switches", result->switches);
	proof(&json, result->solution);
	for (size_t k = 0; k < KIND__END; k++)
		items_of(&json, result, figure_order[k]);
	json_assumed(&json, result->job, result->assumptions);
	json_measured(&json, result->job);
	tolerance_json(&json, result);
	json_findings(&json, result->job, result->findings);
	json_cautions(&json);
	json_close(&json);
}
