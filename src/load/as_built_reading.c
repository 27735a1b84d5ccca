/* Volts and amperes of the table to terminals, items and states of the switches. */
#include "load/as_built.h"

#include "load/switch_state.h"

#include <string.h>

struct taker {
	struct loader *l;
	struct as_built *built;
	struct hash seen;            /* "v 12 0": range, terminal or item, state; to an index of readings */
	struct hash states;          /* by their texts, and by the texts of cells */
};

static const char *id_of(const struct loader *l, struct named named)
{
	return job_item(l->job, named.kind, named.index)->id;
}

/* "C4", "C2 or C3": the cables at a terminal, NULL where there is none. */
static const char *cables_at(struct loader *l, size_t terminal)
{
	struct buf text;
	size_t count = 0, listed = 0;
	buf_init(&text, l->mistakes.arena);
	for (size_t i = 0; i < l->job->cable_count; i++)
		count += l->job->cables[i].a == terminal || l->job->cables[i].b == terminal;
	for (size_t i = 0; i < l->job->cable_count; i++) {
		const struct cable *cable = &l->job->cables[i];
		if (cable->a != terminal && cable->b != terminal)
			continue;
		listed++;
		buf_addf(&text, "%s%s", listed == 1 ? "" : listed == count ? " or " : ", ", cable->item.id);
	}
	return count > 0 ? text.data : NULL;
}

static void report_place(struct taker *t, const struct node *cell, const char *expected,
                         const char *message)
{
	mistake_report(&t->l->mistakes, (struct report){ .mistake = MISTAKE_WRONG_PLACE,
	                                                 .place = node_inside(cell),
	                                                 .expected = expected }, "%s", message);
}

/* In full where it was found: a bare S1 is not one that a reading may name. */
static const char *end_name(const struct loader *l, const struct attr *said, size_t terminal)
{
	return terminal < l->job->terminal_count ? l->job->terminals[terminal].name : said->text;
}

/* A cable has two terminals, and so has a switch: which one is meant? */
static bool is_one_terminal(struct taker *t, const struct built_row *row)
{
	struct mistakes *m = &t->l->mistakes;
	const struct named named = row->end.named;
	const char *id = id_of(t->l, named);
	if (named.kind == KIND_CABLE) {
		const struct cable *cable = &t->l->job->cables[named.index];
		const char *expected = !attr_has(&cable->from) || !attr_has(&cable->to) ? NULL :
			mistake_text(m, "the voltage at one of its ends: %s or %s",
			             end_name(t->l, &cable->from, cable->a), end_name(t->l, &cable->to, cable->b));
		report_place(t, row->cells[BUILT_VOLTS], expected,
		             mistake_text(m, "'%s' is a cable; a voltage is read at a terminal", id));
		return false;
	}
	if (named.kind == KIND_SWITCH && !row->item.text[row->end.rest]) {
		report_place(t, row->cells[BUILT_VOLTS], mistake_text(m, "%s.in or %s.out", id, id),
		             mistake_text(m, "switch '%s' has two terminals", id));
		return false;
	}
	return true;
}

/* Through what a current is read: a strip's terminal and a block join several ways. */
static bool is_one_way(struct taker *t, const struct built_row *row, size_t terminal)
{
	struct mistakes *m = &t->l->mistakes;
	const struct named named = row->end.named;
	const char *id = id_of(t->l, named);
	bool strip_end = named.kind == KIND_STRIP && row->item.text[row->end.rest];
	if (named.kind != KIND_BLOCK && !strip_end)
		return true;
	const char *cables = terminal == NO_INDEX ? NULL : cables_at(t->l, terminal);
	const char *expected = cables ? mistake_text(m, "the current in a cable there: %s", cables) : NULL;
	if (strip_end)
		expected = mistake_text(m, "%s, what the whole strip takes%s%s", id,
		                        cables ? ", or a cable there: " : "", cables ? cables : "");
	report_place(t, row->cells[BUILT_AMPS], expected,
	             strip_end ? mistake_text(m, "'%s' is a terminal; a current is read in an item",
	                                      row->item.text)
	                       : mistake_text(m, "several currents meet in block '%s'", id));
	return false;
}

/* Reads a cell by its column's row. Below zero, where that cannot be, leads are the wrong way round. */
static bool decode(struct taker *t, const struct built_row *row, enum built_column column, double *out)
{
	struct decoder *d = &t->l->decoder;
	const struct attribute *rule = &built_columns.rows[column];
	const struct node *cell = row->cells[column];
	struct attr value = { .origin = ORIGIN_BUILT };
	struct quantity q = quantity_parse(d->brief, cell->text, rule->dims);
	bool signed_here = column == BUILT_AMPS && (!row->known || row->end.named.kind == KIND_CABLE);
	if (q.fault == QUANTITY_OK && q.value < 0 && !signed_here) {
		mistake_report(d->m, (struct report){
			.mistake = MISTAKE_BELOW_ZERO, .place = node_inside(cell),
			.expected = quantity_text(d->m->arena, -q.value, rule->dims[0], 12),
			.hint = "swap the meter's leads; if they were right, the cores are the wrong way round" },
			"%s: '%s' is below zero", rule->key, cell->text);
		arena_reset(d->brief);
		return false;
	}
	bool good = form_decode(d, rule, cell, &value);
	*out = value.num;
	return good;
}

/* The state of a row's cell. False when a mistake was reported. A cell that says "all on" is a state of its
 * own: only blank cells follow `verify --switches`. */
static bool find_state(struct taker *t, const struct built_row *row, size_t *out)
{
	const struct node *cell = row->cells[BUILT_SWITCHES];
	struct as_built *built = t->built;
	*out = 0;
	if (!cell)
		return true;
	size_t known = hash_find(&t->states, cell->text);
	if (known != HASH_NONE) {
		*out = known;
		return true;
	}
	struct switch_state state;
	if (!switch_state_read(&t->l->mistakes, t->l->arena, t->l->job, cell, &state))
		return false;
	*out = hash_put(&t->states, state.text[0] ? state.text : "all on", built->state_count);
	hash_put(&t->states, cell->text, *out);
	if (*out == built->state_count) {
		built->states = arena_grow(t->l->arena, built->states, built->state_count,
		                           &built->state_capacity, sizeof *built->states);
		built->states[built->state_count++] = state;
	}
	return true;
}

static void add_reading(struct taker *t, const struct reading *reading)
{
	struct as_built *built = t->built;
	struct mistakes *m = &t->l->mistakes;
	const char *name = reading->range == METER_VOLTS ?
		arena_printf(t->l->nodes, "v %zu %zu", reading->terminal, reading->state) :
		arena_printf(t->l->nodes, "a %d %zu %zu", (int)reading->item.kind, reading->item.index,
		             reading->state);
	size_t first = hash_put(&t->seen, name, built->reading_count);
	if (first != built->reading_count) {
		struct report report = { .mistake = MISTAKE_REPEATED_READING, .place = reading->place };
		report.hint = mistake_text(m, "the first is at %s; readings with other switches on need "
		                           "a column 'switches'",
		                           mistake_where(m, built->readings[first].place, reading->place));
		mistake_report(m, report, "a second %s for '%s'",
		               reading->range == METER_VOLTS ? "voltage" : "current", reading->at);
		return;
	}
	built->readings = arena_grow(t->l->arena, built->readings, built->reading_count,
	                             &built->reading_capacity, sizeof *built->readings);
	built->readings[built->reading_count++] = *reading;
}

static void take_volts(struct taker *t, const struct built_row *row, size_t terminal,
                       const struct reading *common)
{
	struct reading reading = *common;
	bool good = decode(t, row, BUILT_VOLTS, &reading.value);
	if (!row->known || !is_one_terminal(t, row) || !good || terminal == NO_INDEX)
		return;
	reading.range = METER_VOLTS;
	reading.terminal = terminal;
	reading.at = t->l->job->terminals[terminal].name;
	reading.place = node_inside(row->cells[BUILT_VOLTS]);
	add_reading(t, &reading);
}

static void take_amps(struct taker *t, const struct built_row *row, size_t terminal,
                      const struct reading *common)
{
	struct reading reading = *common;
	bool good = decode(t, row, BUILT_AMPS, &reading.value);
	if (!row->known || !is_one_way(t, row, terminal) || !good)
		return;
	reading.range = METER_AMPS;
	reading.terminal = NO_INDEX;
	reading.at = id_of(t->l, row->end.named);
	reading.place = node_inside(row->cells[BUILT_AMPS]);
	add_reading(t, &reading);
}

/* The terminal that a row names, or the first of its item. */
static size_t find_terminal(struct taker *t, const struct built_row *row)
{
	struct loader *l = t->l;
	const char *rest = row->item.text + row->end.rest;
	size_t terminal = NO_INDEX;
	if (row->end.named.kind != KIND_CABLE) {
		terminal = link_terminal(l, &row->end);
	} else if (*rest) {
		const struct cable *cable = &l->job->cables[row->end.named.index];
		struct report report = { .mistake = MISTAKE_UNKNOWN_TERMINAL, .place = row->item.place };
		if (attr_has(&cable->from) && attr_has(&cable->to))
			report.expected = mistake_text(&l->mistakes, "%s or %s, where it ends",
			                               end_name(l, &cable->from, cable->a),
			                               end_name(l, &cable->to, cable->b));
		mistake_report(&l->mistakes, report, "cable '%s' has no terminal '%s'", cable->item.id,
		               rest + 1);
	}
	arena_reset(l->decoder.brief);
	return terminal;
}

static void take_row(struct taker *t, const struct built_row *row)
{
	const struct node *note = row->cells[BUILT_NOTE];
	struct reading common = { .note = note ? note->text : NULL };
	size_t terminal = row->known ? find_terminal(t, row) : NO_INDEX;
	bool whole = find_state(t, row, &common.state);
	if (row->known)
		common.item = (struct item_ref){ row->end.named.kind, row->end.named.index };
	struct built_row asked = *row;
	asked.known = row->known && whole;       /* of a reading in no state only the cell is judged */
	if (row->cells[BUILT_VOLTS])
		take_volts(t, &asked, terminal, &common);
	if (row->cells[BUILT_AMPS])
		take_amps(t, &asked, terminal, &common);
}

/* Where no item is known by name, only what stands in the cells can be wrong. */
static void judge_row(struct taker *t, const struct built_row *row)
{
	double unused;
	if (row->cells[BUILT_VOLTS])
		decode(t, row, BUILT_VOLTS, &unused);
	if (row->cells[BUILT_AMPS])
		decode(t, row, BUILT_AMPS, &unused);
}

struct as_built *as_built_readings(struct loader *l, struct built_table *table)
{
	struct as_built *built = table->built;
	struct taker t = { .l = l, .built = built };
	hash_init(&t.seen, l->nodes);
	hash_init(&t.states, l->nodes);
	built->states = arena_grow(l->arena, built->states, 0, &built->state_capacity,
	                           sizeof *built->states);
	built->states[built->state_count++] = switch_state_all_on(l->arena, l->job);
	hash_put(&t.states, "", 0);
	for (size_t i = 0; i < table->row_count && !mistakes_full(&l->mistakes); i++) {
		if (table->named)
			take_row(&t, &table->rows[i]);
		else
			judge_row(&t, &table->rows[i]);
	}
	return built;
}
