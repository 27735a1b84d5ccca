/* `schedule --format csv`: one header row and one line for each item, cables first, so that a spreadsheet
 * sorts and ticks it; ports of the blocks follow as lines of their own. SI numbers in full. */
#include "report/schedule.h"

#include "reference/reference.h"
#include "report/csv_cells.h"
#include "report/figures.h"

#include <math.h>

enum column {
	KIND, PLACE, FROM, TO, SIZE, CORES, LENGTH_M, CUT_LENGTH_M, POLARITY, COLOUR, NOTE, CURRENT_A, DROP_V, DROP,
	PROTECTED_BY, EXPECTED_V, LOWEST_V, HIGHEST_V, READING_V, DONE, FEEDS, CUT_UNITS, FED_AT, TAIL_M, NEAR_V, FAR_V,
	FAR_AT_M, CONTROLS, PORTS, PORT, CABLE, RATING_A, RATING_W, LOAD_W, HEADROOM, SET_V, INPUT_W, INPUT_LOW_A,
	INPUT_HIGH_A, INRUSH_A, COLUMN__END
};

static const char *const names[COLUMN__END] = {
	[KIND] = "kind", [PLACE] = "place", [FROM] = "from", [TO] = "to", [SIZE] = "size",
	[CORES] = "cores", [LENGTH_M] = "length_m", [CUT_LENGTH_M] = "cut_length_m",
	[POLARITY] = "polarity", [COLOUR] = "colour", [NOTE] = "note", [CURRENT_A] = "current_a", [DROP_V] = "drop_v",
	[DROP] = "drop", [PROTECTED_BY] = "protected_by", [EXPECTED_V] = "expected_v",
	[LOWEST_V] = "expected_low_v", [HIGHEST_V] = "expected_high_v", [READING_V] = "reading_v",
	[DONE] = "done", [FEEDS] = "feeds", [CUT_UNITS] = "cut_units", [FED_AT] = "fed_at", [TAIL_M] = "tail_m",
	[NEAR_V] = "near_v", [FAR_V] = "far_v", [FAR_AT_M] = "far_at_m", [CONTROLS] = "controls",
	[PORTS] = "ports", [PORT] = "port", [CABLE] = "cable", [RATING_A] = "rating_a", [RATING_W] = "rating_w",
	[LOAD_W] = "load_w", [HEADROOM] = "headroom", [SET_V] = "set_v", [INPUT_W] = "input_w",
	[INPUT_LOW_A] = "input_low_a", [INPUT_HIGH_A] = "input_high_a", [INRUSH_A] = "inrush_a",
};

/* A line being filled in: a text, else a number. */
struct line {
	const char *text[COLUMN__END];
	double number[COLUMN__END];
};

static struct line new_line(const char *kind, const struct item *item)
{
	struct line line = { .text = { [KIND] = kind } };
	for (size_t c = 0; c < COLUMN__END; c++)
		line.number[c] = NAN;
	line.text[PLACE] = attr_has(&item->place) ? item->place.text : NULL;
	line.text[COLOUR] = attr_has(&item->colour) ? item->colour.text : NULL;
	line.text[NOTE] = attr_has(&item->note) ? item->note.text : NULL;
	return line;
}

static void write_line(struct buf *out, const struct line *line, const char *id)
{
	struct buf cells;
	buf_init(&cells, out->arena);
	csv_text(&cells, id);
	for (size_t c = 0; c < COLUMN__END; c++) {
		if (line->text[c] != NULL)
			csv_text(&cells, line->text[c]);
		else
			csv_number(&cells, line->number[c]);
	}
	buf_add(out, cells.data + 1);        /* without the comma in front of the first */
	buf_add_char(out, '\n');
}

static double figure(const struct schedule *s, enum kind kind, size_t index, const char *key)
{
	return figure_number(figure_find(kind, key), s->check, (struct item_ref){ kind, index });
}

static void cable_line(struct buf *out, const struct schedule *s, const struct schedule_cable *row)
{
	const struct cable *cable = &s->check->job->cables[row->cable];
	const struct terminal_result *far = &s->check->solution->terminals[row->far];
	struct line line = new_line("cable", &cable->item);
	line.text[PLACE] = row->place;
	line.text[FROM] = schedule_end(s, row->near);
	line.text[TO] = schedule_end(s, row->far);
	line.text[SIZE] = wire_sizes[(size_t)cable->size.num].name;
	line.number[CORES] = 2;
	line.number[LENGTH_M] = cable->length.num;
	line.number[CUT_LENGTH_M] = row->cut_m;
	line.text[POLARITY] = "plus to plus, minus to minus";
	line.number[CURRENT_A] = row->amps;
	line.number[DROP_V] = row->drop_v;
	line.number[DROP] = row->drop;
	line.text[PROTECTED_BY] = schedule_protection(out->arena, s, row);
	line.number[EXPECTED_V] = far->volts;
	line.number[LOWEST_V] = far->volts_low;
	line.number[HIGHEST_V] = far->volts_high;
	line.text[FEEDS] = schedule_feeds_text(out->arena, s, &row->feeds);
	line.number[RATING_A] = cable->iz;
	write_line(out, &line, cable->item.id);
}

static void strip_line(struct buf *out, const struct schedule *s, size_t i)
{
	const struct strip *strip = &s->check->job->strips[i];
	const struct figure *feeds = figure_find(KIND_STRIP, "feeds");
	struct line line = new_line("strip", &strip->item);
	struct buf fed;
	const char *name;
	buf_init(&fed, out->arena);
	for (size_t nth = 0; (name = feeds->list(s->check, i, nth)) != NULL; nth++)
		buf_addf(&fed, "%s%s", nth > 0 ? " " : "", name);
	line.number[CUT_LENGTH_M] = strip->metres;
	line.number[CUT_UNITS] = (double)strip->units;
	line.text[FED_AT] = fed.data;
	line.number[TAIL_M] = attr_has(&strip->tail) ? strip->tail.num : NAN;
	line.number[CURRENT_A] = figure(s, KIND_STRIP, i, "current_a");
	line.number[NEAR_V] = s->strips[i].near_v;
	line.number[FAR_V] = s->strips[i].far_v;
	line.number[FAR_AT_M] = s->strips[i].far_m;
	write_line(out, &line, strip->item.id);
}

static void switch_line(struct buf *out, const struct schedule *s, size_t i)
{
	const struct switch_item *sw = &s->check->job->switches[i];
	const struct switch_result *result = &s->check->solution->switches[i];
	struct line line = new_line("switch", &sw->item);
	struct buf controls;
	buf_init(&controls, out->arena);
	for (size_t k = 0; k < s->switches[i].strip_count; k++)
		buf_addf(&controls, "%s%s", k > 0 ? " " : "", item_id(s->check->job, s->switches[i].strips[k]));
	line.text[CONTROLS] = controls.data;
	line.number[CURRENT_A] = result->live ? result->worst_a : NAN;
	line.number[DROP_V] = figure(s, KIND_SWITCH, i, "drop_v");
	line.number[RATING_A] = s->switches[i].limit_a;
	write_line(out, &line, sw->item.id);
}

static void block_line(struct buf *out, const struct schedule *s, size_t i)
{
	const struct block *block = &s->check->job->blocks[i];
	const struct block_result *result = &s->check->solution->blocks[i];
	struct line line = new_line("block", &block->item);
	line.number[CURRENT_A] = result->live ? result->worst_a : NAN;
	line.number[EXPECTED_V] = figure(s, KIND_BLOCK, i, "v");
	line.number[PORTS] = block->ports.num;
	line.number[RATING_A] = block->max_current.num;
	write_line(out, &line, block->item.id);
}

static void port_line(struct buf *out, const struct schedule *s, const struct schedule_port *port)
{
	const struct block *block = &s->check->job->blocks[port->block];
	struct line line = new_line(port->missing ? "missing port" : "port", &block->item);
	line.number[PORT] = (double)port->port;
	const struct schedule_cable *row = &s->cables[port->cable];
	line.text[CABLE] = s->check->job->cables[row->cable].item.id;
	line.text[FROM] = schedule_end(s, row->near);
	line.text[TO] = schedule_end(s, row->far);
	line.number[CURRENT_A] = row->amps;
	write_line(out, &line, block->item.id);
}

static void driver_line(struct buf *out, const struct schedule *s, size_t i)
{
	const struct driver *driver = &s->check->job->drivers[i];
	struct line line = new_line("driver", &driver->item);
	line.number[CURRENT_A] = figure(s, KIND_DRIVER, i, "output_a");
	line.number[RATING_A] = driver->rated_a;
	line.number[RATING_W] = figure(s, KIND_DRIVER, i, "derated_w");
	line.number[LOAD_W] = figure(s, KIND_DRIVER, i, "load_w");
	line.number[HEADROOM] = figure(s, KIND_DRIVER, i, "headroom");
	line.number[SET_V] = driver->set_v;
	line.number[INPUT_W] = s->drivers[i].input_w;
	line.number[INPUT_LOW_A] = s->drivers[i].input_low_a;
	line.number[INPUT_HIGH_A] = s->drivers[i].input_high_a;
	line.number[INRUSH_A] = attr_has(&driver->inrush) ? driver->inrush.num : NAN;
	write_line(out, &line, driver->item.id);
}

void schedule_csv(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	const struct job *job = result->job;
	struct schedule s;
	schedule_build(&s, result, out->arena);
	buf_add(out, "item");
	for (size_t c = 0; c < COLUMN__END; c++)
		csv_text(out, names[c]);
	buf_add_char(out, '\n');
	for (size_t i = 0; i < job->cable_count; i++)
		cable_line(out, &s, &s.cables[i]);
	for (size_t i = 0; i < job->strip_count; i++)
		strip_line(out, &s, i);
	for (size_t i = 0; i < job->switch_count; i++)
		switch_line(out, &s, i);
	for (size_t i = 0; i < job->block_count; i++)
		block_line(out, &s, i);
	for (size_t i = 0; i < s.port_count; i++)
		if (s.ports[i].cable != NO_INDEX)
			port_line(out, &s, &s.ports[i]);
	for (size_t i = 0; i < job->driver_count; i++)
		driver_line(out, &s, i);
}
