/* `verify --format csv`: one table, a row for each figure of each item and for each reading. What a reading
 * was predicted to be stands in the column `built`, as the figures of what was built do. */
#include "report/verify.h"

#include "report/csv_cells.h"
#include "report/figures.h"
#include "report/verify_words.h"

#include <math.h>

static const struct row { enum kind kind; const char *figure, *unit; } rows[] = {
	{ KIND_DRIVER, "load_w", "W" },      { KIND_DRIVER, "headroom", "share" },
	{ KIND_STRIP, "nameplate_w", "W" },  { KIND_STRIP, "light_min", "share" }, { KIND_STRIP, "drop", "share" },
	{ KIND_CABLE, "current_a", "A" },    { KIND_CABLE, "drop_v", "V" },
	{ KIND_SWITCH, "current_a", "A" },   { KIND_SWITCH, "drop_v", "V" },
	{ KIND_BLOCK, "current_a", "A" },    { KIND_BLOCK, "v", "V" },
};

static void open_row(struct buf *out, const char *kind, const char *item, const char *quantity,
                     const char *unit)
{
	buf_add(out, kind);
	csv_text(out, item);
	csv_text(out, quantity);
	csv_text(out, unit);
}

/* The columns that a reading alone fills. */
static void close_item(struct buf *out, const char *note)
{
	buf_add(out, ",,,,");
	csv_text(out, NULL);
	csv_text(out, note);
	buf_add_char(out, '\n');
}

static const char *length_note(const struct verification *result, struct item_ref item)
{
	for (size_t i = 0; i < result->as_built->length_count; i++) {
		const struct built_length *built = &result->as_built->lengths[i];
		if (built->item.kind == item.kind && built->item.index == item.index)
			return built->note;
	}
	return NULL;
}

static void item_rows(struct buf *out, const struct verification *result, struct item_ref item)
{
	const char *kind = kind_words[item.kind].word, *id = item_id(result->built.job, item);
	struct check_result plan = figures_in(&result->plan), built = figures_in(&result->built);
	if (item.kind == KIND_STRIP || item.kind == KIND_CABLE) {
		open_row(out, kind, id, "length", "m");
		csv_number(out, verify_length(result->plan.job, item));
		csv_number(out, verify_built_length(result, item));
		close_item(out, length_note(result, item));
	}
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		if (rows[i].kind != item.kind)
			continue;
		const struct figure *figure = figure_find(item.kind, rows[i].figure);
		open_row(out, kind, id, rows[i].figure, rows[i].unit);
		csv_number(out, figure_number(figure, &plan, item));
		csv_number(out, figure_number(figure, &built, item));
		close_item(out, NULL);
	}
}

static void reading_row(struct buf *out, const struct verification *result, size_t i)
{
	const struct reading *reading = &result->as_built->readings[i];
	const struct reading_check *check = &result->diagnosis.checks[i];
	bool volts = reading->range == METER_VOLTS;
	open_row(out, "reading", reading->at, volts ? "volts" : "amps", volts ? "V" : "A");
	csv_text(out, NULL);
	csv_number(out, check->predicted);
	csv_number(out, reading->value);
	csv_number(out, check->difference);
	csv_number(out, check->allowed);
	csv_text(out, check->unknown ? NULL : check->within ? "yes" : "no");
	csv_text(out, result->as_built->states[reading->state].text);
	csv_text(out, reading->note);
	buf_add_char(out, '\n');
}

void verify_csv(struct buf *out, const struct verification *result, const struct style *style)
{
	(void)style;
	buf_add(out, "kind,item,quantity,unit,planned,built,measured,difference,allowed,within,switches,note\n");
	for (size_t i = 0; i < result->as_built->reading_count; i++)
		reading_row(out, result, i);
	for (size_t k = 0; k < KIND__END; k++)
		for (size_t i = 0; i < job_count(result->built.job, figure_order[k]); i++)
			item_rows(out, result, (struct item_ref){ figure_order[k], i });
}
