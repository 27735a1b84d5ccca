/* The rows of the schedule: what the solution says of each item, put as an electrician asks for it. */
#include "report/schedule.h"

#include "report/figures.h"

#include <math.h>

static void fill_cable(const struct schedule *s, struct schedule_cable *row)
{
	const struct job *job = s->check->job;
	const struct solution *solution = s->check->solution;
	const struct cable *cable = &job->cables[row->cable];
	const struct cable_result *result = &solution->cables[row->cable];
	size_t circuit = solution->circuit_of_terminal[cable->a];
	double slack = cable->slack.dim == DIM_RATIO ? cable->slack.num * cable->length.num
	                                             : cable->slack.num;
	row->cut_m = cable->length.num + slack;
	row->driver = circuit < solution->circuit_count ? solution->circuits[circuit].driver : NO_INDEX;
	row->amps = row->drop_v = row->drop = NAN;
	if (!result->live)
		return;
	row->amps = fabs(result->amps);
	row->drop_v = fabs(result->v_from - result->v_to);
	row->drop = row->drop_v / job->drivers[row->driver].voltage.num;
}

/* Cables of the cautions that a fault could warm them; `row_of` is by the job's indices. */
static void mark_unprotected(const struct schedule *s, const size_t *row_of)
{
	const struct check *check = check_find("cable-unprotected");
	for (size_t i = 0; i < s->check->findings->count; i++) {
		const struct finding *f = &s->check->findings->items[i];
		if (f->check != check || f->severity == SEVERITY_NOTE)
			continue;
		for (size_t k = 0; k < f->item_count; k++)
			if (f->items[k].kind == KIND_CABLE)
				s->cables[row_of[f->items[k].index]].unprotected = true;
	}
}

static void offer_low(struct schedule_strip *row, double volts, double metres)
{
	if (isfinite(volts) && !(volts >= row->far_v)) {
		row->far_v = volts;
		row->far_m = metres;
	}
}

/* Ends and taps are where a meter reaches; the lowest point may lie between them. */
static void fill_strip(const struct schedule *s, size_t index)
{
	const struct job *job = s->check->job;
	const struct strip *strip = &job->strips[index];
	const struct strip_result *result = &s->check->solution->strips[index];
	struct schedule_strip *row = &s->strips[index];
	*row = (struct schedule_strip){ NAN, NAN, NAN };
	if (!result->live)
		return;
	for (size_t k = 0; k < strip->tap_count + 2; k++) {
		size_t t = k < 2 ? strip->terminal + k : strip->taps[k - 2];
		double volts = s->check->solution->terminals[t].volts;
		row->near_v = fmax(row->near_v, volts);
		offer_low(row, volts, (double)job->terminals[t].mark * strip->pitch);
	}
	for (size_t u = 0; u < strip->units; u++)
		if (row->far_v - result->volts[u] > 1e-9)
			offer_low(row, result->volts[u], ((double)u + 0.5) * strip->pitch);
}

static void fill_switch(struct schedule *s, size_t index, struct arena *arena)
{
	const struct job *job = s->check->job;
	const struct solution *solution = s->check->solution;
	struct schedule_switch *row = &s->switches[index];
	size_t zone = solution->switches[index].lit_zone;
	row->limit_a = figure_number(figure_find(KIND_SWITCH, "max_a"), s->check,
	                             (struct item_ref){ KIND_SWITCH, index });
	for (int pass = 0; pass < 2; pass++) {
		if (pass == 1)
			row->strips = arena_array(arena, struct item_ref, row->strip_count);
		row->strip_count = 0;
		for (size_t i = 0; zone != NO_INDEX && i < job->strip_count; i++) {
			if (solution->zone_of_terminal[job->strips[i].terminal] != zone)
				continue;
			if (pass == 1)
				row->strips[row->strip_count] = (struct item_ref){ KIND_STRIP, i };
			row->strip_count++;
		}
	}
}

static void fill_driver(struct schedule *s, size_t index)
{
	const struct driver *driver = &s->check->job->drivers[index];
	const struct driver_result *result = &s->check->solution->drivers[index];
	struct schedule_driver *row = &s->drivers[index];
	*row = (struct schedule_driver){ NAN, NAN, NAN };
	if (!result->live)
		return;
	row->input_w = result->output_w / driver->efficiency.num;
	if (attr_has(&driver->mains)) {
		row->input_low_a = row->input_w / driver->mains.high;
		row->input_high_a = row->input_w / driver->mains.num;
	}
}

/* Does a port come before another: incoming cables first, then the order of the schedule. */
static bool port_before(const struct schedule *s, size_t terminal, const struct schedule_port *a,
                        const struct schedule_port *b)
{
	bool a_in = s->cables[a->cable].far == terminal, b_in = s->cables[b->cable].far == terminal;
	return a_in != b_in ? a_in : a->cable < b->cable;
}

/* The cables of one block, then what stays free as one row. */
static void fill_block(struct schedule *s, size_t block, const size_t *row_of)
{
	const struct block *b = &s->check->job->blocks[block];
	const struct solution *solution = s->check->solution;
	size_t first = s->port_count, ports = (size_t)b->ports.num;
	for (size_t i = solution->first_at[b->terminal]; i < solution->first_at[b->terminal + 1]; i++) {
		struct schedule_port port = { .block = block, .cable = row_of[solution->at_terminal[i]] };
		size_t at = s->port_count++;
		for (; at > first && port_before(s, b->terminal, &port, &s->ports[at - 1]); at--)
			s->ports[at] = s->ports[at - 1];
		s->ports[at] = port;
	}
	for (size_t at = first; at < s->port_count; at++) {
		s->ports[at].port = s->ports[at].last = at - first + 1;
		s->ports[at].missing = s->ports[at].port > ports;
	}
	if (s->port_count - first < ports) {
		struct schedule_port spare = { block, s->port_count - first + 1, ports, NO_INDEX, false };
		s->ports[s->port_count++] = spare;
	}
}

static void fill_ports(struct schedule *s, const size_t *row_of, struct arena *arena)
{
	const struct job *job = s->check->job;
	s->ports = arena_array(arena, struct schedule_port, 2 * job->cable_count + job->block_count);
	for (size_t b = 0; b < job->block_count; b++)
		fill_block(s, b, row_of);
}

void schedule_build(struct schedule *s, const struct check_result *check, struct arena *arena)
{
	const struct job *job = check->job;
	*s = (struct schedule){ .check = check, .lengths = job_lengths(job) };
	size_t *row_of = arena_array(arena, size_t, job->cable_count);
	schedule_order(s, arena);
	for (size_t i = 0; i < job->cable_count; i++) {
		row_of[s->cables[i].cable] = i;
		fill_cable(s, &s->cables[i]);
	}
	mark_unprotected(s, row_of);
	s->strips = arena_array(arena, struct schedule_strip, job->strip_count);
	for (size_t i = 0; i < job->strip_count; i++)
		fill_strip(s, i);
	s->switches = arena_array(arena, struct schedule_switch, job->switch_count);
	for (size_t i = 0; i < job->switch_count; i++)
		fill_switch(s, i, arena);
	s->drivers = arena_array(arena, struct schedule_driver, job->driver_count);
	for (size_t i = 0; i < job->driver_count; i++)
		fill_driver(s, i);
	fill_ports(s, row_of, arena);
	schedule_find_parts(s, arena);
}

const char *schedule_place(const struct schedule_cable *cable)
{
	if (!cable->reached)
		return "Not joined to a driver";
	return cable->place != NULL ? cable->place : "Place not said";
}

const char *schedule_end(const struct schedule *s, size_t terminal)
{
	return s->check->job->terminals[terminal].name;
}

const char *schedule_protection(struct arena *arena, const struct schedule *s,
                                const struct schedule_cable *cable)
{
	const struct job *job = s->check->job;
	const char *device;
	if (cable->fuse != NO_INDEX) {
		const struct cable *fused = &job->cables[cable->fuse];
		const char *amps = quantity_text(arena, fused->fuse.num, DIM_AMP, 3);
		device = cable->fuse == cable->cable
			? arena_printf(arena, "own fuse %s at %s", amps, schedule_end(s, cable->near))
			: arena_printf(arena, "fuse %s of %s", amps, fused->item.id);
	} else if (cable->driver != NO_INDEX) {
		const struct driver *driver = &job->drivers[cable->driver];
		device = arena_printf(arena, "driver %s, at most %s", driver->item.id,
		                      quantity_text(arena, driver->trip_a, DIM_AMP, 3));
	} else {
		return "nothing known";
	}
	return cable->unprotected ? arena_printf(arena, "%s: not enough", device) : device;
}

static const char *cable_text(struct arena *arena, const struct schedule *s, double metres)
{
	return quantity_length_in(arena, metres, s->lengths, LENGTH_CABLE, 0);
}

const char *schedule_length(struct arena *arena, const struct schedule *s,
                            const struct schedule_cable *cable)
{
	const struct cable *c = &s->check->job->cables[cable->cable];
	const char *cut = cable_text(arena, s, cable->cut_m);
	if (c->supplied.num > 0)
		return arena_printf(arena, "%s, supplied", cable_text(arena, s, c->length.num));
	if (!(cable->cut_m > c->length.num))
		return cut;
	return arena_printf(arena, "%s, of it %s slack", cut, cable_text(arena, s, cable->cut_m - c->length.num));
}

/* Which colour is plus is for local code: colours are repeated as the job has them, never proposed. */
const char *schedule_polarity(struct arena *arena, const struct schedule *s,
                              const struct schedule_cable *cable)
{
	const struct item *item = &s->check->job->cables[cable->cable].item;
	struct buf text;
	buf_init(&text, arena);
	buf_add(&text, "+ to +, - to -");
	if (attr_has(&item->colour))
		buf_addf(&text, " (%s)", item->colour.text);
	if (attr_has(&item->note))
		buf_addf(&text, "; note: %s", item->note.text);
	return text.data;
}

const char *schedule_feeds_text(struct arena *arena, const struct schedule *s,
                                const struct schedule_feeds *feeds)
{
	struct buf text;
	size_t named = feeds->count <= FEEDS_NAMED ? feeds->count : FEEDS_NAMED - 1;
	buf_init(&text, arena);
	for (size_t i = 0; i < named; i++)
		buf_addf(&text, "%s%s", i > 0 ? ", " : "", s->check->job->strips[feeds->strips[i]].item.id);
	if (named < feeds->count)
		buf_addf(&text, " and %zu more", feeds->count - named);
	return text.data;
}
