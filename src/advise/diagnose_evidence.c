/* What was read and what the model foresees there, with nothing wrong or with one fault. */
#include "advise/diagnose_parts.h"

#include "solve/solution.h"

#include <math.h>

#define KNEE_OFF 0.03            /* the tolerance of a knee (model/tolerance.h) */

const struct meter usual_meter = { .gain = 0.005, .digit_v = 0.010, .digit_a = 0.010 };

size_t reading_terminal(const struct job *job, const struct reading *r)
{
	return r->range == METER_VOLTS ? r->terminal : item_terminal(job, r->item.kind, r->item.index);
}

double reading_in(const struct state_solution *s, const struct reading *r)
{
	if (r->range == METER_VOLTS)
		return s->terminal_v[r->terminal];
	switch (r->item.kind) {
	case KIND_CABLE:  return s->cable_a[r->item.index];
	case KIND_SWITCH: return s->switch_a[r->item.index];
	case KIND_DRIVER: return s->driver_a[r->item.index];
	case KIND_STRIP:  return s->strip_a[r->item.index];
	case KIND_BLOCK:
	case KIND__END:   break;
	}
	return NAN;
}

double reading_allowed(const struct meter *meter, enum meter_range range, double foreseen)
{
	double digit = range == METER_VOLTS ? meter->digit_v : meter->digit_a;
	return SIGMAS_95 * hypot(meter->gain * foreseen, digit);
}

size_t fault_terminal(const struct job *job, struct fault fault)
{
	static const enum kind kinds[] = {
		[SUSPECT_JOINT] = KIND_CABLE, [SUSPECT_CABLE] = KIND_CABLE, [SUSPECT_CONTACT] = KIND_SWITCH,
		[SUSPECT_DRIVER] = KIND_DRIVER, [SUSPECT_STRIP] = KIND_STRIP,
	};
	return item_terminal(job, kinds[fault.kind], fault.index);
}

/* Bounds beyond which nobody would look: a driver or a strip that far off its label is another part. An open
 * joint has to bring even one cut unit of a few milliwatts down to its knee: by its law that looks like some
 * kilohms. */
void fault_bounds(const struct job *job, struct fault fault, double *low, double *high, double *neutral)
{
	*low = *neutral = 0;
	*high = 1e6;
	switch (fault.kind) {
	case SUSPECT_CABLE:
		if (fault.core == CORE_BOTH)
			*low = -job->cables[fault.index].copper_ohm;
		break;
	case SUSPECT_DRIVER:
		*neutral = job->drivers[fault.index].set_v;
		*low = fmin(OFF_V, *neutral / 2);
		*high = *neutral * 1.5;
		break;
	case SUSPECT_STRIP:
		*neutral = 1;
		*low = 0.05;
		*high = 5;
		break;
	case SUSPECT_JOINT:
	case SUSPECT_CONTACT:
		break;
	}
}

void fault_put(struct job *job, struct fault fault, double x)
{
	switch (fault.kind) {
	case SUSPECT_JOINT:
	case SUSPECT_CABLE:
		job->cables[fault.index].ohm += x;
		break;
	case SUSPECT_CONTACT:
		job->switches[fault.index].on_ohm += x;
		break;
	case SUSPECT_DRIVER:
		job->drivers[fault.index].set_v = x;
		break;
	case SUSPECT_STRIP:
		job->strips[fault.index].law.amps *= x;
		job->strips[fault.index].power_w_per_m *= x;
		break;
	}
}

/* Takes the fault out again: only what fault_put() changes, from an item that was saved before. */
union saved { struct cable cable; struct switch_item contact; struct driver driver; struct strip strip; };

static void save(const struct job *job, struct fault fault, union saved *saved)
{
	switch (fault.kind) {
	case SUSPECT_JOINT:
	case SUSPECT_CABLE:   saved->cable = job->cables[fault.index];     break;
	case SUSPECT_CONTACT: saved->contact = job->switches[fault.index]; break;
	case SUSPECT_DRIVER:  saved->driver = job->drivers[fault.index];   break;
	case SUSPECT_STRIP:   saved->strip = job->strips[fault.index];     break;
	}
}

static void restore(struct job *job, struct fault fault, const union saved *saved)
{
	switch (fault.kind) {
	case SUSPECT_JOINT:
	case SUSPECT_CABLE:   job->cables[fault.index] = saved->cable;     break;
	case SUSPECT_CONTACT: job->switches[fault.index] = saved->contact; break;
	case SUSPECT_DRIVER:  job->drivers[fault.index] = saved->driver;   break;
	case SUSPECT_STRIP:   job->strips[fault.index] = saved->strip;     break;
	}
}

struct state_solution *evidence_solve(const struct evidence *e, struct fault fault, double x,
                                      const bool *on, size_t only, struct arena *arena)
{
	if (fault.core != CORE_BOTH) {
		struct core_extra extra = { .cable = fault.index,
		                            .plus_ohm = fault.core == CORE_PLUS ? x : 0,
		                            .minus_ohm = fault.core == CORE_MINUS ? x : 0 };
		return solve_state(e->job, on, &extra, 1, only, arena);
	}
	union saved saved;
	save(e->job, fault, &saved);
	fault_put(e->job, fault, x);
	struct state_solution *s = solve_state(e->job, on, NULL, 0, only, arena);
	restore(e->job, fault, &saved);
	return s;
}

void evidence_foresee(const struct evidence *e, struct fault fault, double x, double *m)
{
	size_t only = fault_terminal(e->job, fault), circuit = e->circuit_of[only];
	for (size_t state = 0; state < e->built->state_count; state++) {
		struct state_solution *s = NULL;
		for (size_t i = 0; i < e->count; i++) {
			const struct reading *r = &e->built->readings[e->reading[i]];
			if (r->state != state)
				continue;
			m[i] = e->base[i];
			if (e->circuit_of[reading_terminal(e->job, r)] != circuit)
				continue;
			if (!s)
				s = evidence_solve(e, fault, x, e->built->states[state].on, only, e->scratch);
			m[i] = reading_in(s, r);
		}
		if (s)
			arena_reset(e->scratch);
	}
}

bool evidence_dark(const struct evidence *e, size_t i, double m)
{
	double dark = e->dark[i];
	return e->base[i] >= dark && e->value[i] < dark && m < dark && m > dark * (1 - 2 * KNEE_OFF);
}

double evidence_misfit(const struct evidence *e, const double *m, double gain[2])
{
	double own[2] = { 0, 0 }, cross[2] = { 0, 0 }, scale[2] = { 0, 0 }, sum = 0;
	double variance = e->meter.gain * e->meter.gain;
	for (size_t i = 0; i < e->count; i++) {
		enum meter_range range = e->built->readings[e->reading[i]].range;
		if (evidence_dark(e, i, m[i]))
			continue;
		double rest = (e->value[i] - m[i]) / e->digit[i], size = m[i] / e->digit[i];
		own[range] += rest * rest;
		cross[range] += rest * size;
		scale[range] += size * size;
	}
	for (int range = 0; range < 2; range++) {
		double g = cross[range] * variance / (1 + variance * scale[range]);
		sum += own[range] - g * cross[range];
		if (gain)
			gain[range] = g;
	}
	return sum;
}

/* Every reading in its state, nothing wrong. */
static void foresee_base(struct evidence *e, double *base)
{
	const struct as_built *built = e->built;
	for (size_t state = 0; state < built->state_count; state++) {
		struct state_solution *s =
			solve_state(e->job, built->states[state].on, NULL, 0, NO_INDEX, e->scratch);
		for (size_t i = 0; i < built->reading_count; i++) {
			const struct reading *r = &built->readings[i];
			if (r->state == state)
				base[i] = e->twice_fed[e->circuit_of[reading_terminal(e->job, r)]]
					? NAN : reading_in(s, r);
		}
		arena_reset(e->scratch);
	}
}

static void find_loops(struct evidence *e)
{
	struct arena *work = arena_child(e->arena);
	const struct solution *s = solve_design_case(e->job, work);
	e->in_loop = arena_array(e->arena, bool, e->job->cable_count);
	e->circuit_of = arena_array(e->arena, size_t, e->job->terminal_count);
	for (size_t i = 0; i < e->job->cable_count; i++)
		e->in_loop[i] = s->cables[i].in_loop;
	for (size_t t = 0; t < e->job->terminal_count; t++)
		e->circuit_of[t] = s->circuit_of_terminal[t];
	e->twice_fed = arena_array(e->arena, bool, e->job->terminal_count);
	bool *fed = arena_array(work, bool, e->job->terminal_count);
	for (size_t i = 0; i < e->job->driver_count; i++) {
		size_t circuit = e->circuit_of[item_terminal(e->job, KIND_DRIVER, i)];
		e->twice_fed[circuit] = fed[circuit];
		fed[circuit] = true;
	}
	arena_free(work);
}

/* The lowest knee of each circuit, and a little more. */
static double *dark_below(const struct evidence *e)
{
	double *dark = arena_array(e->arena, double, e->job->terminal_count);
	for (size_t i = 0; i < e->job->strip_count; i++) {
		double *of = &dark[e->circuit_of[item_terminal(e->job, KIND_STRIP, i)]];
		double below = e->job->strips[i].law.v_knee * (1 + KNEE_OFF);
		*of = *of > 0 ? fmin(*of, below) : below;
	}
	return dark;
}

void evidence_gather(struct evidence *e, const struct job *job, const struct as_built *built,
                     const struct meter *meter, struct arena *arena)
{
	size_t total = built->reading_count;
	*e = (struct evidence){ .built = built, .meter = *meter, .arena = arena,
	                        .scratch = arena_child(arena) };
	e->job = job_copy(job, arena);
	find_loops(e);
	e->reading = arena_array(arena, size_t, total);
	e->value = arena_array(arena, double, total);
	e->digit = arena_array(arena, double, total);
	e->base = arena_array(arena, double, total);
	e->dark = arena_array(arena, double, total);
	e->plain = arena_array(arena, double, total);
	double *dark = dark_below(e);
	foresee_base(e, e->plain);
	off_find(e);
	for (size_t i = 0; i < total; i++) {
		const struct reading *r = &built->readings[i];
		if (!isfinite(e->plain[i]) || e->off[i])
			continue;
		e->reading[e->count] = i;
		e->value[e->count] = r->value;
		e->digit[e->count] = r->range == METER_VOLTS ? meter->digit_v : meter->digit_a;
		if (r->range == METER_VOLTS && r->item.kind != KIND_DRIVER)
			e->dark[e->count] = dark[e->circuit_of[r->terminal]];
		e->base[e->count++] = e->plain[i];
	}
}
