/* Who is at fault: readings are compared, every fault is fitted, and those that explain the readings best
 * are named, as many as cannot be told apart and no more. */
#include "advise/diagnose_parts.h"

#include "reference/reference.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_FITTED 48           /* with more faults than this, those the straight line ranks first */
#define MOST_GROUPS 3            /* an explanation and two rivals: nobody works through a longer list */
/* Faults whose S differs by less are not told apart. What a wrong direction can gain over the right one by
 * chance is chi-square with one degree; the best of five gains this much in 1 of 100 cases (Bonferroni). */
#define TIE 9.55
#define FAR_OUTSIDE 3.0          /* times what the meter may be off */
#define SAME_MISFIT 0.02         /* the same fit, up to where the search stops */
#define GAIN_MOST 5.0            /* standard deviations of a gain: 1 meter of 2 million is off by more */
#define SAME_DIGITS 0.05         /* the same readings foreseen, in digits of the meter */

static void check_readings(const struct evidence *e, struct diagnosis *out)
{
	size_t total = e->built->reading_count;
	out->checks = arena_array(e->arena, struct reading_check, total);
	for (size_t i = 0; i < total; i++) {
		const struct reading *r = &e->built->readings[i];
		struct reading_check *c = &out->checks[i];
		double foreseen = isfinite(e->plain[i]) ? e->plain[i] : 0;       /* what should be dead is */
		c->unknown = e->twice_fed[e->circuit_of[reading_terminal(e->job, r)]];
		c->predicted = e->plain[i];
		c->difference = r->value - e->plain[i];
		c->allowed = c->unknown ? NAN : reading_allowed(&e->meter, r->range, foreseen);
		c->within = c->unknown || fabs(r->value - foreseen) <= c->allowed;
	}
}

/* What should be dead is. */
static bool dead_agree(const struct diagnosis *d, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (isnan(d->checks[i].predicted) && !d->checks[i].within)
			return false;
	return true;
}

/* Quantile of chi-square with `n` degrees where the standard normal's is `normal` (Wilson, Hilferty 1931). */
static double chi_square(size_t n, double normal)
{
	double part = 2 / (9 * (double)n);
	return n == 0 ? 0 : (double)n * pow(1 - part + normal * sqrt(part), 3);
}

static int by_linear_fall(const void *a, const void *b)
{
	const struct fit *x = a, *y = b;
	return (x->linear_fall < y->linear_fall) - (x->linear_fall > y->linear_fall);
}

static int by_rank(const void *a, const void *b)
{
	const struct fit *x = a, *y = b;
	return (x->rank > y->rank) - (x->rank < y->rank);
}

/* Fits the most promising; returns how many, the best first. */
static size_t fit_all(const struct evidence *e, struct fit *fits, size_t count)
{
	if (count > MOST_FITTED) {
		qsort(fits, count, sizeof(*fits), by_linear_fall);
		count = MOST_FITTED;
	}
	for (size_t k = 0; k < count; k++)
		fit_run(e, &fits[k]);
	qsort(fits, count, sizeof(*fits), by_rank);
	return count;
}

static bool same_fit(const struct evidence *e, const struct fit *a, const struct fit *b)
{
	if (!(fabs(a->misfit - b->misfit) <= SAME_MISFIT))
		return false;
	for (size_t i = 0; i < e->count; i++)
		if (!(fabs(a->foreseen[i] - b->foreseen[i]) <= SAME_DIGITS * e->digit[i]))
			return false;
	return true;
}

/* ------- naming */

struct naming {
	const struct evidence *e;
	struct diagnosis *out;
	const struct fit **fits;     /* of each suspect */
	const struct fit *leader[MOST_GROUPS];
	size_t groups;
	size_t capacity, fit_capacity;
};

/* Which of equally good explanations is looked at first. Common practice, no source: a joint fails before a
 * contact, those before a setting; and the more resistance its type is allowed, the sooner: a clip before a
 * plug, a screw and solder; where the strip is before the block. What looks like an open contact is a switch
 * that was not on, more often than anything else. */
static double usual_place(const struct job *job, const struct suspect *s)
{
	switch (s->kind) {
	case SUSPECT_JOINT: {
		const struct attr *joint = &job->cables[s->item.index].joint;
		enum kind at = job->terminals[s->terminal].kind;
		double ohm = attr_said(joint) ? joints[(size_t)joint->num].ohm : JOINT_UNSAID_OHM;
		return -ohm + (at == KIND_STRIP ? 0 : at == KIND_BLOCK ? 1e-4 : 2e-4);
	}
	case SUSPECT_CONTACT: return s->extra_ohm >= OPEN_OHM ? -1 : 1;
	case SUSPECT_DRIVER:  return 2;
	case SUSPECT_CABLE:   return s->core == CORE_BOTH ? 4 : s->core == CORE_PLUS ? 3 : 3.5;
	case SUSPECT_STRIP:   break;
	}
	return 5;
}

/* The likeliest thing that a fit stands for. */
static double usual_fit(const struct job *job, const struct fit *fit)
{
	struct suspect s = { .kind = fit->fault.kind, .item.index = fit->fault.index,
	                     .core = fit->fault.core };
	if (s.kind != SUSPECT_CABLE || s.core != CORE_BOTH || fit->x < 0)
		return usual_place(job, &s);
	const struct cable *cable = &job->cables[fit->fault.index];
	s.kind = SUSPECT_JOINT;
	s.terminal = cable->a;
	double at_a = usual_place(job, &s);
	s.terminal = cable->b;
	return fmin(at_a, usual_place(job, &s));
}

/* Of fits that are equally good the one that fails most easily leads: a clip at one dark strip, and not the
 * screw that all of them hang on. */
static void likely_first(const struct job *job, struct fit *fits, size_t count)
{
	const double best = fits[0].rank;
	for (size_t k = 1; k < count && fits[k].rank - best <= SAME_MISFIT; k++) {
		struct fit fit = fits[k];
		size_t at = k;
		for (; at > 0 && usual_fit(job, &fits[at - 1]) > usual_fit(job, &fit); at--)
			fits[at] = fits[at - 1];
		fits[at] = fit;
	}
}

static void explain(const struct evidence *e, const struct fit *fit, struct suspect *s)
{
	double gain[2], worst[2] = { -1, -1 };
	evidence_misfit(e, fit->foreseen, gain);
	/* What only a meter could do that is off as no meter is, the fault does not explain. */
	for (int range = 0; range < 2; range++)
		gain[range] = fmax(fmin(gain[range], GAIN_MOST * e->meter.gain), -GAIN_MOST * e->meter.gain);
	for (size_t i = 0; i < e->count; i++) {
		enum meter_range range = e->built->readings[e->reading[i]].range;
		double m = fit->foreseen[i], was = fabs(e->value[i] - e->base[i]);
		double rest = evidence_dark(e, i, m) ? 0 : fabs(e->value[i] - (1 + gain[range]) * m);
		worst[range] = fmax(worst[range], rest);
		double allowed = reading_allowed(&e->meter, range, m);
		bool outside = was > reading_allowed(&e->meter, range, e->base[i]);
		s->explains += outside && rest <= allowed;
		s->spoils += !outside && rest > FAR_OUTSIDE * allowed;
	}
	s->worst = worst[METER_VOLTS] < 0 ? worst[METER_AMPS] : worst[METER_VOLTS];
}

static void size_up(const struct job *job, const struct fit *fit, struct suspect *s)
{
	const struct cable *cable = &job->cables[fit->fault.index];
	s->extra_ohm = fit->x;
	switch (s->kind) {
	case SUSPECT_JOINT:
		s->value = cable->joint_ohm / 2 + fit->x;
		return;
	case SUSPECT_CABLE:
		s->value = cable->ohm / (s->core == CORE_BOTH ? 1 : 2) + fit->x;
		return;
	case SUSPECT_CONTACT:
		s->value = job->switches[fit->fault.index].on_ohm + fit->x;
		return;
	case SUSPECT_DRIVER:
	case SUSPECT_STRIP:
		s->extra_ohm = NAN;
		s->value = fit->x;
	}
}

static void name_one(struct naming *n, const struct fit *fit, enum suspect_kind kind, size_t terminal,
                     size_t group)
{
	static const enum kind items[] = {
		[SUSPECT_JOINT] = KIND_CABLE, [SUSPECT_CABLE] = KIND_CABLE, [SUSPECT_CONTACT] = KIND_SWITCH,
		[SUSPECT_DRIVER] = KIND_DRIVER, [SUSPECT_STRIP] = KIND_STRIP,
	};
	struct diagnosis *out = n->out;
	struct suspect s = { .kind = kind, .item = { items[kind], fit->fault.index }, .terminal = terminal,
	                     .core = fit->fault.core, .group = group,
	                     .uncertainty = fit_uncertainty(n->e, fit),
	                     .score = exp((n->leader[0]->rank - fit->rank) / 2) };
	size_up(n->e->job, fit, &s);
	explain(n->e, fit, &s);
	out->suspects = arena_grow(n->e->arena, out->suspects, out->suspect_count, &n->capacity, sizeof(s));
	n->fits = arena_grow(n->e->arena, n->fits, out->suspect_count, &n->fit_capacity, sizeof(*n->fits));
	size_t at = out->suspect_count++;
	while (at > 0 && out->suspects[at - 1].group == group &&
	       usual_place(n->e->job, &out->suspects[at - 1]) > usual_place(n->e->job, &s)) {
		out->suspects[at] = out->suspects[at - 1];
		n->fits[at] = n->fits[at - 1];
		at--;
	}
	out->suspects[at] = s;
	n->fits[at] = fit;
}

static void name_fit(struct naming *n, const struct fit *fit, size_t group)
{
	const struct cable *cable = &n->e->job->cables[fit->fault.index];
	name_one(n, fit, fit->fault.kind, NO_INDEX, group);
	if (fit->fault.kind != SUSPECT_CABLE || fit->fault.core != CORE_BOTH || fit->x < 0)
		return;
	name_one(n, fit, SUSPECT_JOINT, cable->a, group);
	name_one(n, fit, SUSPECT_JOINT, cable->b, group);
}

/* The group that a fit belongs to, a new one where there is room, else NO_INDEX. */
static size_t place_fit(struct naming *n, const struct fit *fit)
{
	for (size_t g = 0; g < n->groups; g++)
		if (same_fit(n->e, n->leader[g], fit))
			return g;
	if (n->groups == MOST_GROUPS)
		return NO_INDEX;
	n->leader[n->groups] = fit;
	return n->groups++;
}

static size_t count_unlisted(const struct evidence *e, const struct fit *fits, const size_t *group,
                             size_t count)
{
	size_t unlisted = 0;
	for (size_t k = 0; k < count; k++) {
		size_t j = 0;
		while (j < k && (group[j] != NO_INDEX || !same_fit(e, &fits[j], &fits[k])))
			j++;
		unlisted += group[k] == NO_INDEX && j == k;
	}
	return unlisted;
}

/* `fits` are sorted, the best first. */
static void name_suspects(struct naming *n, const struct fit *fits, size_t count)
{
	size_t *group = arena_array(n->e->arena, size_t, count), tied = 0;
	double sum = 0;
	for (; tied < count && fits[tied].rank - fits[0].rank <= TIE; tied++)
		group[tied] = place_fit(n, &fits[tied]);
	for (size_t g = 0; g < n->groups; g++)
		for (size_t k = 0; k < tied; k++)
			if (group[k] == g)
				name_fit(n, &fits[k], g);
	n->out->unlisted = count_unlisted(n->e, fits, group, tied);
	for (size_t i = 0; i < n->out->suspect_count; i++)
		sum += n->out->suspects[i].score;
	for (size_t i = 0; i < n->out->suspect_count; i++)
		n->out->suspects[i].score /= sum;
}

/* Of what does not explain everything, whether it is worth naming: it brings in some of the readings that
 * disagree, and contradicts none that agrees. */
static bool comes_near(const struct diagnosis *d, size_t readings)
{
	size_t outside = 0;
	for (size_t i = 0; i < readings; i++)
		outside += !d->checks[i].within;
	return d->suspects[0].spoils == 0 && (d->suspects[0].explains > 0 || outside == 0);
}

void diagnose(const struct job *job, const struct as_built *built, const struct meter *meter,
              struct arena *arena, struct diagnosis *out)
{
	struct evidence e;
	struct fit *fits;
	double gain[2] = { 0, 0 };
	evidence_gather(&e, job, built, meter, arena);
	*out = (struct diagnosis){ .meter = *meter, .odd = NO_INDEX, .exchanged = NO_INDEX };
	check_readings(&e, out);
	double sound = evidence_misfit(&e, e.base, gain);
	out->gain_v = gain[METER_VOLTS];
	out->gain_a = gain[METER_AMPS];
	if (e.off_driver_count > 0) {
		off_name(&e, out);
		out->explained = sound <= chi_square(e.count, 3.09) && dead_agree(out, built->reading_count);
		return;
	}
	size_t count = fits_begin(&e, &fits);
	double threshold = count > 0 ? fits_threshold(&e, fits, count) : INFINITY;
	if (sound > threshold)
		count = fit_all(&e, fits, count);
	if (!(sound > threshold) || !(sound - fits[0].rank > threshold)) {
		/* no single fault: the meter, unless the readings are off beyond any meter (0.999) */
		out->agree = sound <= chi_square(e.count, 3.09) && dead_agree(out, built->reading_count);
		if (!out->agree)
			find_odd(&e, chi_square(e.count, 3.09), out);
		return;
	}
	out->explained = fits[0].misfit <= chi_square(e.count > 0 ? e.count - 1 : 0, 2.326) + SAME_MISFIT;
	if (!out->explained && find_odd(&e, chi_square(e.count, 3.09), out))
		return;
	likely_first(job, fits, count);
	struct naming n = { .e = &e, .out = out };
	name_suspects(&n, fits, count);
	if (!n.leader[0])            /* cannot be: the best fit has just passed the threshold */
		return;
	if (!out->explained && !comes_near(out, built->reading_count)) {
		out->suspect_count = out->unlisted = 0;
		return;
	}
	evidence_misfit(&e, n.leader[0]->foreseen, gain);
	out->gain_v = gain[METER_VOLTS];
	out->gain_a = gain[METER_AMPS];
	find_next_reading(&e, out, n.fits, &out->next);
}

struct job *suspect_apply(const struct job *job, const struct suspect *suspect, struct arena *arena)
{
	struct job *copy = job_copy(job, arena);
	bool ohms = suspect->kind != SUSPECT_DRIVER && suspect->kind != SUSPECT_STRIP;
	struct fault fault = { suspect->kind, suspect->item.index, suspect->core };
	fault_put(copy, fault, ohms ? suspect->extra_ohm : suspect->value);
	return copy;
}
