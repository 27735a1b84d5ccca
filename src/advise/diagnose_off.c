/* A driver that gives nothing: switched off, tripped, or not connected. What is read behind it then says
 * nothing about joints, so that it is set aside before any fault is fitted, state by state: a driver may
 * trip in one of them only. */
#include "advise/diagnose_parts.h"

#include <math.h>

#define HELD 0.5                 /* of what is foreseen: so much a dark strip may hold for a while */

/* What was read of one circuit in one state, where something was foreseen. */
struct seen {
	size_t nothing;              /* readings of nothing, or nearly */
	struct item_ref first;       /* what the first of them is of */
	bool several;                /* they are of more than one item */
	bool own_nothing;            /* one is at the driver's terminals */
	bool some;                   /* a reading of less than half */
	bool live;
};

struct lookout {
	const struct evidence *e;
	struct seen *states;         /* of the driver being looked at */
	size_t *strips;              /* how many each circuit has */
};

static bool is_nothing(const struct evidence *e, const struct reading *r)
{
	return r->range == METER_VOLTS ? r->value < OFF_V
	                               : fabs(r->value) <= reading_allowed(&e->meter, METER_AMPS, 0);
}

/* Something was foreseen there, more than what counts as nothing. */
static bool tells(const struct evidence *e, size_t i)
{
	double nothing = e->built->readings[i].range == METER_VOLTS ? OFF_V
	               : 2 * reading_allowed(&e->meter, METER_AMPS, 0);
	return fabs(e->plain[i]) > nothing;
}

static bool is_own(const struct reading *r)
{
	return r->range == METER_VOLTS && r->item.kind == KIND_DRIVER;
}

static void see(const struct evidence *e, size_t i, struct seen *seen)
{
	const struct reading *r = &e->built->readings[i];
	if (!is_nothing(e, r)) {
		bool held = r->range == METER_VOLTS && !is_own(r) && r->value < HELD * e->plain[i];
		seen->some = seen->some || held;
		seen->live = seen->live || !held;
		return;
	}
	if (seen->nothing++ == 0)
		seen->first = r->item;
	seen->several = seen->several || r->item.kind != seen->first.kind || r->item.index != seen->first.index;
	seen->own_nothing = seen->own_nothing || is_own(r);
}

/* Where nobody measured at the driver itself, one dark strip of several is no reason to doubt it. */
static bool is_off(const struct seen *seen, bool gives, bool alone)
{
	if (seen->live || seen->own_nothing)
		return !seen->live;
	return !gives && !seen->some && seen->nothing > 0 && (seen->several || alone);
}

static bool in_circuit(const struct evidence *e, size_t i, size_t circuit)
{
	return e->circuit_of[reading_terminal(e->job, &e->built->readings[i])] == circuit && tells(e, i);
}

/* Marks the readings behind one driver in the states in which it is off. */
static bool look_at(const struct lookout *l, size_t driver, bool *off)
{
	const struct evidence *e = l->e;
	size_t circuit = e->circuit_of[item_terminal(e->job, KIND_DRIVER, driver)];
	bool gives = false, any = false;
	if (e->twice_fed[circuit])
		return false;
	for (size_t s = 0; s < e->built->state_count; s++)
		l->states[s] = (struct seen){ .nothing = 0 };
	for (size_t i = 0; i < e->built->reading_count; i++) {
		const struct reading *r = &e->built->readings[i];
		if (!in_circuit(e, i, circuit))
			continue;
		see(e, i, &l->states[r->state]);
		gives = gives || (is_own(r) && !is_nothing(e, r));
	}
	for (size_t i = 0; i < e->built->reading_count; i++) {
		if (!in_circuit(e, i, circuit) ||
		    !is_off(&l->states[e->built->readings[i].state], gives, l->strips[circuit] == 1))
			continue;
		off[i] = any = true;
	}
	return any;
}

static size_t *strips_by_circuit(const struct evidence *e, struct arena *arena)
{
	size_t *counts = arena_array(arena, size_t, e->job->terminal_count);
	for (size_t i = 0; i < e->job->strip_count; i++)
		counts[e->circuit_of[item_terminal(e->job, KIND_STRIP, i)]]++;
	return counts;
}

void off_find(struct evidence *e)
{
	struct arena *work = arena_child(e->arena);
	struct lookout l = { .e = e, .states = arena_array(work, struct seen, e->built->state_count),
	                     .strips = strips_by_circuit(e, work) };
	e->off = arena_array(e->arena, bool, e->built->reading_count);
	e->off_drivers = arena_array(e->arena, size_t, e->job->driver_count);
	for (size_t d = 0; d < e->job->driver_count; d++)
		if (look_at(&l, d, e->off))
			e->off_drivers[e->off_driver_count++] = d;
	arena_free(work);
}

/* All that is read behind it is foreseen as nothing; its own voltage is what was read there. */
static struct suspect suspect_of(const struct evidence *e, const struct reading_check *checks, size_t driver)
{
	struct suspect s = { .kind = SUSPECT_DRIVER, .item = { KIND_DRIVER, driver }, .terminal = NO_INDEX,
	                     .extra_ohm = NAN, .uncertainty = reading_allowed(&e->meter, METER_VOLTS, 0),
	                     .off = true };
	size_t circuit = e->circuit_of[item_terminal(e->job, KIND_DRIVER, driver)];
	double worst[2] = { -1, -1 }, own = -1;
	for (size_t i = 0; i < e->built->reading_count; i++) {
		const struct reading *r = &e->built->readings[i];
		if (!e->off[i] || !in_circuit(e, i, circuit))
			continue;
		worst[r->range] = fmax(worst[r->range], fabs(r->value));
		own = is_own(r) ? fmax(own, r->value) : own;
		s.explains += !checks[i].within && is_nothing(e, r);
	}
	s.value = own >= 0 ? own : fmax(worst[METER_VOLTS], 0);
	s.worst = worst[METER_VOLTS] >= 0 ? worst[METER_VOLTS] : worst[METER_AMPS];
	return s;
}

void off_name(const struct evidence *e, struct diagnosis *out)
{
	out->suspects = arena_array(e->arena, struct suspect, e->off_driver_count);
	out->suspect_count = e->off_driver_count;
	for (size_t i = 0; i < e->off_driver_count; i++) {
		out->suspects[i] = suspect_of(e, out->checks, e->off_drivers[i]);
		out->suspects[i].group = i;
		out->suspects[i].score = 1 / (double)e->off_driver_count;
	}
}
