/* The one further reading that tells most: where two explanations foresee values that lie furthest apart,
 * measured in what the meter, and the uncertainty of each explanation, leave open. */
#include "advise/diagnose_parts.h"

#include <math.h>
#include <string.h>

#define WORTH 2.0                /* standard deviations apart */
#define AMPS_HANDICAP 0.6        /* a circuit has to be opened for a current; a door only to be shut */
#define STATE_HANDICAP 0.85
#define MOST_MEMBERS 4           /* of the first group that are compared with its first */

struct hypothesis {
	const struct fit *fit;
	double shift;                /* of x: one standard deviation */
	struct state_solution *at, *beside;
};

struct hunt {
	const struct evidence *e;
	double gain[2];              /* standard deviation left of each meter's gain */
	double best;
	struct next_reading *next;
	struct arena *scratch;
};

/* What the readings leave open of the gain: 1 / sqrt(1 / gain^2 + sum m^2 / d^2). */
static void gain_left(const struct evidence *e, double left[2])
{
	double sum[2] = { 0, 0 };
	for (size_t i = 0; i < e->count; i++)
		sum[e->built->readings[e->reading[i]].range] += pow(e->base[i] / e->digit[i], 2);
	for (int range = 0; range < 2; range++)
		left[range] = e->meter.gain / sqrt(1 + e->meter.gain * e->meter.gain * sum[range]);
}

static bool same_state(const struct job *job, const bool *a, const bool *b)
{
	return job->switch_count == 0 || memcmp(a, b, job->switch_count * sizeof(bool)) == 0;
}

static bool taken(const struct hunt *h, const struct reading *r, const bool *on)
{
	for (size_t i = 0; i < h->e->built->reading_count; i++) {
		const struct reading *old = &h->e->built->readings[i];
		bool same = old->range == r->range &&
		            (r->range == METER_VOLTS ? old->terminal == r->terminal
		             : old->item.kind == r->item.kind && old->item.index == r->item.index);
		if (same && same_state(h->e->job, h->e->built->states[old->state].on, on))
			return true;
	}
	return false;
}

static void solve_hypothesis(const struct hunt *h, struct hypothesis *y, const bool *on)
{
	const struct fit *fit = y->fit;
	double beside = fit->x + y->shift <= fit->high ? fit->x + y->shift : fit->x - y->shift;
	y->at = evidence_solve(h->e, fit->fault, fit->x, on, NO_INDEX, h->scratch);
	y->beside = evidence_solve(h->e, fit->fault, beside, on, NO_INDEX, h->scratch);
}

/* Takes the reading as the next one when it separates better than what was found so far. */
static void consider(struct hunt *h, const struct reading *r, const struct switch_state *state,
                     const struct hypothesis *first, const struct hypothesis *other, bool usual, size_t rival)
{
	double a = reading_in(first->at, r), b = reading_in(other->at, r);
	double digit = r->range == METER_VOLTS ? h->e->meter.digit_v : h->e->meter.digit_a;
	double open = hypot(hypot(digit, h->gain[r->range] * a),
	                    hypot(reading_in(first->beside, r) - a,
	                          reading_in(other->beside, r) - b));
	double apart = fabs(a - b) / open;
	double counts = apart * (usual ? 1 : STATE_HANDICAP) * (r->range == METER_AMPS ? AMPS_HANDICAP : 1);
	if (!(apart >= WORTH) || !(counts > h->best * (1 + 1e-6)) || taken(h, r, state->on))
		return;
	h->best = counts;
	*h->next = (struct next_reading){ true, r->range, r->terminal, r->item, *state, a, b, rival };
}

static void consider_all(struct hunt *h, const struct switch_state *state, const struct hypothesis *first,
                         const struct hypothesis *other, bool usual, size_t rival)
{
	static const enum kind through[] = { KIND_CABLE, KIND_SWITCH, KIND_DRIVER };
	const struct job *job = h->e->job;
	for (size_t t = 0; t < job->terminal_count; t++) {
		const struct terminal *terminal = &job->terminals[t];
		struct reading r = { .range = METER_VOLTS, .terminal = t,
		                     .item = { terminal->kind, terminal->item } };
		consider(h, &r, state, first, other, usual, rival);
	}
	for (size_t k = 0; k < sizeof(through) / sizeof(*through); k++)
		for (size_t i = 0; i < job_count(job, through[k]); i++) {
			struct reading r = { .range = METER_AMPS, .terminal = NO_INDEX,
			                     .item = { through[k], i } };
			consider(h, &r, state, first, other, usual, rival);
		}
}

/* Every switch on, or all but one; in the words of AS-BUILT files. */
static struct switch_state state_without(const struct job *job, size_t off, struct arena *arena)
{
	bool *on = arena_array(arena, bool, job->switch_count);
	for (size_t i = 0; i < job->switch_count; i++)
		on[i] = i != off;
	const char *text = off == NO_INDEX ? "" : arena_printf(arena, "%s=off", job->switches[off].item.id);
	return (struct switch_state){ on, text };
}

static void compare_in(struct hunt *h, const struct switch_state *state, struct hypothesis first,
                       struct hypothesis other, size_t rival)
{
	solve_hypothesis(h, &first, state->on);
	solve_hypothesis(h, &other, state->on);
	consider_all(h, state, &first, &other, *state->text == '\0', rival);
	arena_reset(h->scratch);
}

/* In the states that were used, with all on, and with each switch of the two circuits off. */
static void compare(struct hunt *h, struct hypothesis first, struct hypothesis other, size_t rival)
{
	const struct evidence *e = h->e;
	size_t near[2] = { e->circuit_of[fault_terminal(e->job, first.fit->fault)],
	                   e->circuit_of[fault_terminal(e->job, other.fit->fault)] };
	struct switch_state all = state_without(e->job, NO_INDEX, e->arena);
	compare_in(h, &all, first, other, rival);
	for (size_t i = 0; i < e->built->state_count; i++)
		if (!same_state(e->job, e->built->states[i].on, all.on))
			compare_in(h, &e->built->states[i], first, other, rival);
	for (size_t i = 0; i < e->job->switch_count; i++) {
		size_t circuit = e->circuit_of[e->job->switches[i].terminal];
		if (circuit != near[0] && circuit != near[1])
			continue;
		struct switch_state off = state_without(e->job, i, e->arena);
		compare_in(h, &off, first, other, rival);
	}
}

static struct hypothesis hypothesis_of(const struct suspect *s, const struct fit *fit)
{
	return (struct hypothesis){ .fit = fit, .shift = s->uncertainty / SIGMAS_95 };
}

void find_next_reading(const struct evidence *e, const struct diagnosis *d, const struct fit **fits,
                       struct next_reading *next)
{
	struct hunt h = { .e = e, .next = next, .scratch = arena_child(e->arena) };
	*next = (struct next_reading){ .terminal = NO_INDEX };
	gain_left(e, h.gain);
	struct hypothesis first = hypothesis_of(&d->suspects[0], fits[0]);
	for (size_t i = 1; i < d->suspect_count && !next->is_worth; i++)
		if (d->suspects[i].group != d->suspects[i - 1].group)
			compare(&h, first, hypothesis_of(&d->suspects[i], fits[i]), i);
	for (size_t i = 1, members = 0; i < d->suspect_count && !next->is_worth; i++) {
		if (d->suspects[i].group != 0 || members == MOST_MEMBERS || fits[i] == fits[i - 1] ||
		    fits[i] == fits[0])
			continue;
		members++;
		compare(&h, first, hypothesis_of(&d->suspects[i], fits[i]), i);
	}
	arena_free(h.scratch);
}
