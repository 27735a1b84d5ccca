/* Which figures a joiner sees, in which column, with how many digits. A column is a row here. */
#include "report/check_tables.h"

#include "report/figures.h"
#include "report/table.h"

#include <math.h>
#include <string.h>

enum show {
	SHOW_ID,
	SHOW_TEXT,
	SHOW_FEEDS,                  /* start, end, a tap: without the strip's own name */
	SHOW_LENGTH,
	SHOW_COUNT,
	SHOW_VOLTS,
	SHOW_AMPS,
	SHOW_WATTS,
	SHOW_PERCENT,
	SHOW_PERCENT_TENTHS
};

struct shown {
	const char *head;
	const char *key;             /* of the figure */
	enum show show;
};

struct shown_table {
	const char *heading;
	struct shown columns[TABLE_COLUMNS];     /* ended by a NULL head */
};

static const struct shown_table shown_tables[KIND__END] = {
	[KIND_DRIVER] = { "Drivers", {
		{ "driver", NULL, SHOW_ID }, { "place", "place", SHOW_TEXT },
		{ "set V", "set_v", SHOW_VOLTS }, { "A", "output_a", SHOW_AMPS },
		{ "load W", "load_w", SHOW_WATTS }, { "rating W", "derated_w", SHOW_WATTS },
		{ "in hand %", "headroom", SHOW_PERCENT }, { "spare W", "spare_w", SHOW_WATTS } } },
	[KIND_STRIP] = { "Strips", {
		{ "strip", NULL, SHOW_ID }, { "place", "place", SHOW_TEXT },
		{ "length", "length_m", SHOW_LENGTH }, { "fed at", "feeds", SHOW_FEEDS },
		{ "lowest V", "v_min", SHOW_VOLTS }, { "drop %", "drop", SHOW_PERCENT_TENTHS },
		{ "dimmest %", "light_min", SHOW_PERCENT }, { "brightest %", "light_max", SHOW_PERCENT } } },
	[KIND_CABLE] = { "Cables", {
		{ "cable", NULL, SHOW_ID }, { "from", "from", SHOW_TEXT }, { "to", "to", SHOW_TEXT },
		{ "length", "length_m", SHOW_LENGTH }, { "size", "size", SHOW_TEXT },
		{ "A", "current_a", SHOW_AMPS }, { "rating A", "rating_a", SHOW_AMPS },
		{ "drop V", "drop_v", SHOW_VOLTS }, { "fault A", "fault_a", SHOW_COUNT } } },
	[KIND_SWITCH] = { "Switches", {
		{ "switch", NULL, SHOW_ID }, { "place", "place", SHOW_TEXT },
		{ "A", "current_a", SHOW_AMPS }, { "most A", "max_a", SHOW_AMPS },
		{ "spare A", "spare_a", SHOW_AMPS }, { "drop V", "drop_v", SHOW_VOLTS } } },
	[KIND_BLOCK] = { "Junction blocks", {
		{ "block", NULL, SHOW_ID }, { "place", "place", SHOW_TEXT },
		{ "ports used", "ports_used", SHOW_COUNT }, { "ports free", "ports_free", SHOW_COUNT },
		{ "A", "current_a", SHOW_AMPS }, { "most A", "max_a", SHOW_AMPS },
		{ "spare A", "spare_a", SHOW_AMPS }, { "V", "v", SHOW_VOLTS } } },
};

static const char *fixed(struct arena *arena, double value, int decimals)
{
	if (!isfinite(value))
		return "-";
	double half_step = 0.5 * pow(10, -decimals);
	return arena_printf(arena, "%.*f", decimals, fabs(value) < half_step ? 0.0 : value);
}

/* "start + end" */
static const char *feeds_text(const struct page *page, const struct figure *figure,
                              const struct check_result *result, size_t i)
{
	size_t own = strlen(result->job->strips[i].item.id);
	struct buf feeds;
	buf_init(&feeds, page->arena);
	const char *name;
	for (size_t nth = 0; (name = figure->list(result, i, nth)) != NULL; nth++) {
		buf_add(&feeds, nth > 0 ? " + " : "");
		buf_add(&feeds, name[own] == '.' ? name + own + 1 : name + own);
	}
	return feeds.length > 0 ? feeds.data : "-";
}

/* Direction is documentation, so currents and drops of a cable are shown as magnitudes. */
static const char *cell(const struct page *page, const struct shown *shown,
                        const struct check_result *result, struct item_ref item)
{
	if (shown->show == SHOW_ID)
		return page_safe(page, item_id(result->job, item));
	const struct figure *figure = figure_find(item.kind, shown->key);
	if (shown->show == SHOW_TEXT) {
		const char *text = figure_text(figure, result, item);
		return text != NULL ? page_safe(page, text) : "";
	}
	if (shown->show == SHOW_FEEDS)
		return feeds_text(page, figure, result, item.index);
	double value = figure_number(figure, result, item);
	value = item.kind == KIND_CABLE ? fabs(value) : value;
	switch (shown->show) {
	case SHOW_LENGTH:
		return quantity_length_in(page->arena, value, page->lengths,
		                          item.kind == KIND_CABLE ? LENGTH_CABLE : LENGTH_TAPE, 0);
	case SHOW_PERCENT: return fixed(page->arena, 100 * value, 0);
	case SHOW_PERCENT_TENTHS: return fixed(page->arena, 100 * value, 1);
	case SHOW_COUNT:   return fixed(page->arena, value, 0);
	case SHOW_WATTS:   return fixed(page->arena, value, fabs(value) < 100 ? 1 : 0);
	default:           return fixed(page->arena, value, 2);
	}
}

static void table_of(const struct page *page, const struct check_result *result, enum kind kind)
{
	const struct shown_table *shown = &shown_tables[kind];
	struct table_column columns[TABLE_COLUMNS];
	size_t count = 0;
	for (; shown->columns[count].head != NULL; count++) {
		bool text = shown->columns[count].show <= SHOW_FEEDS;
		columns[count] = (struct table_column){
			.head = shown->columns[count].head,
			.align = text ? ALIGN_LEFT : ALIGN_RIGHT,
			.gives = text,
			.optional = shown->columns[count].show == SHOW_TEXT,
		};
	}
	struct table table;
	table_init(&table, page->arena, columns, count);
	for (size_t i = 0; i < job_count(result->job, kind); i++) {
		for (size_t c = 0; c < count; c++)
			table_add(&table, cell(page, &shown->columns[c], result, (struct item_ref){ kind, i }));
	}
	page_heading(page, shown->heading);
	table_print(&table, page);
}

void check_tables(const struct page *page, const struct check_result *result)
{
	static const enum kind order[] = {
		KIND_STRIP, KIND_CABLE, KIND_DRIVER, KIND_SWITCH, KIND_BLOCK,
	};
	for (size_t k = 0; k < sizeof(order) / sizeof(order[0]); k++) {
		if (job_count(result->job, order[k]) > 0)
			table_of(page, result, order[k]);
	}
}
