/* What stands in each table. */
#include "report/sheet.h"

#include "reference/reference.h"
#include "report/figures.h"
#include "report/item_list.h"

#include <math.h>
#include <string.h>

static void put(struct sheet *sheet, const char *text)
{
	sheet->cells = arena_grow(sheet->arena, sheet->cells, sheet->cell_count, &sheet->cell_capacity,
	                          sizeof(*sheet->cells));
	sheet->cells[sheet->cell_count++] = text;
}

/* Begins a row; `group` is the heading of its group where it is the first of that, else NULL. */
static void put_row(struct sheet *sheet, const char *group, const char *first)
{
	sheet->groups = arena_grow(sheet->arena, sheet->groups, sheet->group_count,
	                           &sheet->group_capacity, sizeof(*sheet->groups));
	sheet->groups[sheet->group_count++] = group;
	put(sheet, first);
}

/* The columns to write in. */
static void end_row(struct sheet *sheet)
{
	while (sheet->cell_count % sheet->column_count != 0)
		put(sheet, NULL);
}

static const char *fixed(struct arena *arena, double value, int decimals)
{
	if (!isfinite(value))
		return "-";
	double half_step = 0.5 * pow(10, -decimals);
	return arena_printf(arena, "%.*f", decimals, fabs(value) < half_step ? 0.0 : value);
}

static void put_number(struct sheet *sheet, double value, int decimals)
{
	put(sheet, fixed(sheet->arena, value, decimals));
}

/* Where a voltage is, to the millimetre or inch. */
static void put_place(struct sheet *sheet, const struct schedule *s, double metres)
{
	put_number(sheet, s->lengths == LENGTHS_INCH ? 12 * quantity_feet(metres) : 1000 * metres, 0);
}

static const char *text_of(const struct attr *attr)
{
	return attr_has(attr) ? attr->text : "";
}

static double figure(const struct schedule *s, enum kind kind, size_t index, const char *key)
{
	return figure_number(figure_find(kind, key), s->check, (struct item_ref){ kind, index });
}

static bool same_group(const struct schedule_cable *a, const struct schedule_cable *b)
{
	const char *one = schedule_place(a), *other = schedule_place(b);
	return one == other || strcmp(one, other) == 0;
}

/* "11.79", and below it the range over the operating cases where it is one. */
static const char *expected(struct arena *arena, const struct terminal_result *t)
{
	const char *volts = fixed(arena, t->volts, 2);
	const char *low = fixed(arena, t->volts_low, 2), *high = fixed(arena, t->volts_high, 2);
	return strcmp(low, high) == 0 ? volts : arena_printf(arena, "%s\n%s to %s", volts, low, high);
}

static void fill_cables(struct sheet *sheet, const struct schedule *s)
{
	const struct job *job = s->check->job;
	for (size_t i = 0; i < job->cable_count; i++) {
		const struct schedule_cable *row = &s->cables[i];
		const struct cable *cable = &job->cables[row->cable];
		bool first = i == 0 || !same_group(row - 1, row);
		put_row(sheet, first ? schedule_place(row) : NULL, cable->item.id);
		put(sheet, schedule_end(s, row->near));
		put(sheet, schedule_end(s, row->far));
		put(sheet, arena_printf(sheet->arena, "2 x %s", wire_sizes[(size_t)cable->size.num].name));
		put(sheet, schedule_length(sheet->arena, s, row));
		put(sheet, schedule_polarity(sheet->arena, s, row));
		put_number(sheet, row->amps, 2);
		put(sheet, !isfinite(row->drop_v) ? "-" : arena_printf(sheet->arena, "%s V\n%s %%",
			fixed(sheet->arena, row->drop_v, 2), fixed(sheet->arena, 100 * row->drop, 1)));
		put(sheet, schedule_protection(sheet->arena, s, row));
		put(sheet, expected(sheet->arena, &s->check->solution->terminals[row->far]));
		end_row(sheet);
	}
}

/* "start + end", and the length of a factory lead. */
static const char *fed_at(struct arena *arena, const struct schedule *s, size_t strip)
{
	const struct figure *feeds = figure_find(KIND_STRIP, "feeds");
	size_t own = strlen(s->check->job->strips[strip].item.id);
	struct buf text;
	const char *name;
	buf_init(&text, arena);
	for (size_t nth = 0; (name = feeds->list(s->check, strip, nth)) != NULL; nth++)
		buf_addf(&text, "%s%s", nth > 0 ? " + " : "", name + own + (name[own] == '.'));
	if (text.length == 0)
		return "-";
	if (attr_has(&s->check->job->strips[strip].tail))
		buf_addf(&text, "; tail %s", quantity_length_in(arena, s->check->job->strips[strip].tail.num,
		                                                s->lengths, LENGTH_CABLE, 0));
	return text.data;
}

static void fill_strips(struct sheet *sheet, const struct schedule *s)
{
	for (size_t i = 0; i < s->check->job->strip_count; i++) {
		const struct strip *strip = &s->check->job->strips[i];
		put_row(sheet, NULL, strip->item.id);
		put(sheet, text_of(&strip->item.place));
		put(sheet, quantity_mark(sheet->arena, strip->metres, s->lengths, MARK_AS_IT_IS));
		put(sheet, arena_printf(sheet->arena, "%zu", strip->units));
		put(sheet, fed_at(sheet->arena, s, i));
		put_number(sheet, s->strips[i].near_v, 2);
		put_number(sheet, s->strips[i].far_v, 2);
		put_place(sheet, s, s->strips[i].far_m);
		end_row(sheet);
	}
}

static const char *controls(struct arena *arena, const struct schedule *s, size_t i)
{
	struct buf text;
	buf_init(&text, arena);
	items_add(&text, s->check->job, s->switches[i].strips, s->switches[i].strip_count);
	return text.length > 0 ? text.data : "nothing";
}

static void fill_switches(struct sheet *sheet, const struct schedule *s)
{
	for (size_t i = 0; i < s->check->job->switch_count; i++) {
		const struct switch_item *sw = &s->check->job->switches[i];
		const struct switch_result *result = &s->check->solution->switches[i];
		put_row(sheet, NULL, sw->item.id);
		put(sheet, text_of(&sw->item.place));
		put(sheet, text_of(&sw->kind));
		put(sheet, controls(sheet->arena, s, i));
		put_number(sheet, result->live ? fmax(fabs(result->amps), result->worst_a) : NAN, 2);
		put_number(sheet, s->switches[i].limit_a, 2);
		end_row(sheet);
	}
}

/* "B1, bay 1: 0.60 A of 6 A at most" */
static const char *block_text(struct arena *arena, const struct schedule *s, size_t index)
{
	const struct block *block = &s->check->job->blocks[index];
	const struct block_result *result = &s->check->solution->blocks[index];
	const char *place = text_of(&block->item.place);
	return arena_printf(arena, "%s%s%s: %s of %s at most", block->item.id, place[0] != '\0' ? ", " : "",
	                    place, quantity_text(arena, result->live ? result->worst_a : NAN, DIM_AMP, 3),
	                    quantity_text(arena, block->max_current.num, DIM_AMP, 3));
}

static const char *port_text(struct arena *arena, const struct block *block,
                             const struct schedule_port *port)
{
	if (port->last > port->port)
		return arena_printf(arena, "%s ports %zu to %zu", block->item.id, port->port, port->last);
	return arena_printf(arena, "%s port %zu%s", block->item.id, port->port,
	                    port->missing ? " (there is none)" : "");
}

static void fill_ports(struct sheet *sheet, const struct schedule *s)
{
	for (size_t i = 0; i < s->port_count; i++) {
		const struct schedule_port *port = &s->ports[i];
		const struct block *block = &s->check->job->blocks[port->block];
		put_row(sheet, port->port == 1 ? block_text(sheet->arena, s, port->block) : NULL,
		        port_text(sheet->arena, block, port));
		if (port->cable != NO_INDEX) {
			const struct schedule_cable *row = &s->cables[port->cable];
			bool in = row->far == block->terminal;
			put(sheet, s->check->job->cables[row->cable].item.id);
			put(sheet, arena_printf(sheet->arena, "%s %s", in ? "from" : "to",
			                        schedule_end(s, in ? row->near : row->far)));
			put(sheet, in ? "" : schedule_feeds_text(sheet->arena, s, &row->feeds));
			put_number(sheet, row->amps, 2);
		} else {
			put(sheet, "free");
		}
		end_row(sheet);
	}
}

static void fill_drivers(struct sheet *sheet, const struct schedule *s)
{
	for (size_t i = 0; i < s->check->job->driver_count; i++) {
		const struct driver *driver = &s->check->job->drivers[i];
		put_row(sheet, NULL, driver->item.id);
		put(sheet, text_of(&driver->item.place));
		put_number(sheet, driver->power.num * driver->derate, 1);
		put_number(sheet, figure(s, KIND_DRIVER, i, "load_w"), 1);
		put_number(sheet, 100 * figure(s, KIND_DRIVER, i, "headroom"), 0);
		put_number(sheet, figure(s, KIND_DRIVER, i, "output_a"), 2);
		put_number(sheet, driver->set_v, 2);
		end_row(sheet);
	}
}

static void fill_readings(struct sheet *sheet, const struct schedule *s)
{
	const struct job *job = s->check->job;
	for (size_t i = 0; i < job->switch_count; i++) {
		size_t out = job->switches[i].terminal + 1;
		const struct terminal_result *t = &s->check->solution->terminals[out];
		put_row(sheet, NULL, job->switches[i].item.id);
		put(sheet, controls(sheet->arena, s, i));
		put(sheet, schedule_end(s, out));
		put_number(sheet, t->volts_high, 2);
		put_number(sheet, t->volts, 2);
		end_row(sheet);
	}
}

static void fill_parts(struct sheet *sheet, const struct schedule *s)
{
	for (size_t i = 0; i < s->part_count; i++) {
		const struct schedule_part *part = &s->parts[i];
		struct buf items;
		buf_init(&items, sheet->arena);
		items_add(&items, s->check->job, part->items, part->item_count);
		put_row(sheet, NULL, items.data);
		put(sheet, kind_words[part->kind].word);
		put(sheet, part->match);
		end_row(sheet);
	}
}

struct sheet_sort {
	const char *id, *heading, *caption;
	struct sheet_column columns[SHEET_COLUMNS];      /* ended by a NULL head */
	void (*fill)(struct sheet *sheet, const struct schedule *s);
};

static const struct sheet_sort sorts[SHEET__END] = {
	[SHEET_CABLES] = { "cables", "Cables",
		"In the order of pulling, from the drivers outward, by the place where each begins. Every cable has "
		"two cores. Expected: at the far end with everything on, and from lowest to highest in use.", {
		{ "cable", CELL_TEXT }, { "from", CELL_TEXT }, { "to", CELL_TEXT }, { "cores", CELL_TEXT },
		{ "to cut", CELL_TEXT }, { "polarity", CELL_TEXT }, { "A", CELL_NUMBER },
		{ "drop", CELL_NUMBER }, { "protected by", CELL_TEXT }, { "expect V", CELL_TEXT },
		{ "read V", CELL_READING }, { "done", CELL_TICK } }, fill_cables },
	[SHEET_STRIPS] = { "strips", "Strips",
		"As cut. Near: the highest voltage at an end or tap; far: the lowest anywhere, with its distance "
		"from the start; both with everything on.", {
		{ "strip", CELL_TEXT }, { "place", CELL_TEXT }, { "cut", CELL_MARK },
		{ "cut units", CELL_NUMBER }, { "fed at", CELL_TEXT }, { "near V", CELL_NUMBER },
		{ "far V", CELL_NUMBER }, { "far at", CELL_MARK }, { "read near", CELL_READING },
		{ "read far", CELL_READING }, { "done", CELL_TICK } }, fill_strips },
	[SHEET_SWITCHES] = { "switches", "Switches", "What each one controls. Load: the most in use.", {
		{ "switch", CELL_TEXT }, { "place", CELL_TEXT }, { "kind", CELL_TEXT },
		{ "controls", CELL_TEXT }, { "load A", CELL_NUMBER }, { "rating A", CELL_NUMBER },
		{ "done", CELL_TICK } }, fill_switches },
	[SHEET_PORTS] = { "ports", "Junction blocks", "Which cable goes into which port.", {
		{ "port", CELL_TEXT }, { "cable", CELL_TEXT }, { "other end", CELL_TEXT },
		{ "feeds", CELL_TEXT }, { "A", CELL_NUMBER }, { "done", CELL_TICK } }, fill_ports },
	[SHEET_DRIVERS] = { "drivers", "Drivers",
		"Rating at the ambient of the job. Set: the voltage to set at the output, unloaded.", {
		{ "driver", CELL_TEXT }, { "place", CELL_TEXT }, { "rating W", CELL_NUMBER },
		{ "load W", CELL_NUMBER }, { "in hand %", CELL_NUMBER }, { "output A", CELL_NUMBER },
		{ "set V", CELL_NUMBER }, { "read V", CELL_READING }, { "done", CELL_TICK } }, fill_drivers },
	[SHEET_READINGS] = { "readings", "Readings per switch",
		"Alone: only this switch on, and those before it. All on: every switch on.", {
		{ "switch", CELL_TEXT }, { "lights", CELL_TEXT }, { "measure at", CELL_TEXT },
		{ "alone V", CELL_NUMBER }, { "all on V", CELL_NUMBER }, { "read alone", CELL_READING },
		{ "read all on", CELL_READING }, { "done", CELL_TICK } }, fill_readings },
	[SHEET_PARTS] = { "parts", "What a replacement must match", "Years later: what counts of each part.", {
		{ "items", CELL_TEXT }, { "part", CELL_TEXT }, { "must match", CELL_TEXT } }, fill_parts },
};

/* The columns, and behind the heads of lengths their unit. */
static void take_columns(struct sheet *sheet, const struct sheet_sort *sort, enum length_system lengths)
{
	struct sheet_column *columns = arena_array(sheet->arena, struct sheet_column, SHEET_COLUMNS);
	sheet->columns = columns;
	for (size_t c = 0; c < SHEET_COLUMNS && sort->columns[c].head != NULL; c++) {
		columns[c] = sort->columns[c];
		if (columns[c].cell == CELL_MARK)
			columns[c] = (struct sheet_column){
				arena_printf(sheet->arena, "%s %s", columns[c].head, quantity_mark_unit(lengths)), CELL_NUMBER,
			};
		sheet->column_count++;
	}
}

void sheet_fill(struct sheet *sheet, enum sheet_id id, const struct schedule *schedule,
                struct arena *arena)
{
	const struct sheet_sort *sort = &sorts[id];
	*sheet = (struct sheet){
		.arena = arena, .id = sort->id, .heading = sort->heading, .caption = sort->caption,
	};
	take_columns(sheet, sort, schedule->lengths);
	sort->fill(sheet, schedule);
}
