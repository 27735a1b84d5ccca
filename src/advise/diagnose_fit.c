/* One unknown, fitted by weighted least squares to the full model.
 *
 * Every fault is first looked at as a straight line m = base + x slope: that says what can be seen at all,
 * ranks the faults, and bounds what chance can do. Where all cut units stay on the sloping part of their
 * law this is nearly exact, because a resistance x acts as a source of x I in its place: only the size of the
 * pattern depends on x in a curved way. The fit itself minimises S by Brent's method over a stretched x,
 * from the best of several scales: a poor joint may have 0.05 ohm or 20, or be open. */
#include "advise/diagnose_parts.h"

#include <math.h>
#include <string.h>

#define BEND_OHM 0.01            /* the stretch is linear below it, logarithmic above */
#define SLOPE_OHM 0.002
#define SLOPE_SHARE 1e-3         /* of volts, or of watts */
#define UNSEEN 1e-3              /* a fault that moves the readings less, at its bounds, is not there */
#define BRENT_STEPS 60
#define BRENT_NEAR 2e-5
#define REACH_STEPS 12

struct search {
	const struct evidence *e;
	struct fit *fit;
	double *trial;               /* size count */
};

/* x = x0 sinh(z) for ohms, e^z for shares, z for volts. */
static double stretched(struct fault fault, double x)
{
	if (fault.kind == SUSPECT_DRIVER)
		return x;
	return fault.kind == SUSPECT_STRIP ? log(x) : asinh(x / BEND_OHM);
}

static double unstretched(struct fault fault, double z)
{
	if (fault.kind == SUSPECT_DRIVER)
		return z;
	return fault.kind == SUSPECT_STRIP ? exp(z) : BEND_OHM * sinh(z);
}

/* w = V^-1 v with the covariance V of the readings: digits and the common gain (Sherman and Morrison). */
static void weigh(const struct evidence *e, const double *v, double *w)
{
	double cross[2] = { 0, 0 }, scale[2] = { 0, 0 };
	double variance = e->meter.gain * e->meter.gain;
	for (size_t i = 0; i < e->count; i++) {
		enum meter_range range = e->built->readings[e->reading[i]].range;
		double per = 1 / (e->digit[i] * e->digit[i]);
		cross[range] += v[i] * e->base[i] * per;
		scale[range] += e->base[i] * e->base[i] * per;
	}
	for (size_t i = 0; i < e->count; i++) {
		enum meter_range range = e->built->readings[e->reading[i]].range;
		double g = variance * cross[range] / (1 + variance * scale[range]);
		w[i] = (v[i] - g * e->base[i]) / (e->digit[i] * e->digit[i]);
	}
}

static double dot(const double *a, const double *b, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += a[i] * b[i];
	return sum;
}

/* How much S falls for a shift of `a` standard deviations where the readings hold `z`, and the best shift
 * within the bounds. */
static void fit_linear(const struct evidence *e, struct fit *fit)
{
	double z = 0;
	for (size_t i = 0; i < e->count; i++)
		z += fit->weight[i] * (e->value[i] - e->base[i]);
	double shift = z / fit->strength;
	shift = fmin(fmax(shift, fit->low - fit->neutral), fit->high - fit->neutral);
	double a = shift * fit->strength;
	fit->linear_x = fit->neutral + shift;
	fit->linear_fall = 2 * a * z - a * a;
}

/* False where the readings do not see it. */
static bool begin(const struct evidence *e, struct fault fault, struct fit *fit)
{
	*fit = (struct fit){ .fault = fault };
	fault_bounds(e->job, fault, &fit->low, &fit->high, &fit->neutral);
	double step = fit->neutral > 0 ? SLOPE_SHARE * fit->neutral : SLOPE_OHM;
	fit->slope = arena_array(e->arena, double, e->count);
	fit->weight = arena_array(e->arena, double, e->count);
	evidence_foresee(e, fault, fit->neutral + step, fit->slope);
	for (size_t i = 0; i < e->count; i++)
		fit->slope[i] = (fit->slope[i] - e->base[i]) / step;
	weigh(e, fit->slope, fit->weight);
	fit->strength = sqrt(fmax(dot(fit->slope, fit->weight, e->count), 0));
	if (!(fit->strength * fmin(fit->high - fit->neutral, 10) > UNSEEN))
		return false;
	for (size_t i = 0; i < e->count; i++)
		fit->weight[i] /= fit->strength;
	fit_linear(e, fit);
	return true;
}

struct fit_list { struct fit *fits; size_t count, capacity; bool *circuit_read; };

static void add_fault(const struct evidence *e, struct fit_list *list, struct fault fault)
{
	struct fit fit;
	if (!list->circuit_read[e->circuit_of[fault_terminal(e->job, fault)]] || !begin(e, fault, &fit))
		return;
	list->fits = arena_grow(e->arena, list->fits, list->count, &list->capacity, sizeof(fit));
	list->fits[list->count++] = fit;
}

static void mark_circuits(const struct evidence *e, bool *read)
{
	for (size_t i = 0; i < e->count; i++) {
		const struct reading *r = &e->built->readings[e->reading[i]];
		size_t terminal = r->range == METER_VOLTS ? r->terminal
		                : item_terminal(e->job, r->item.kind, r->item.index);
		read[e->circuit_of[terminal]] = true;
	}
}

size_t fits_begin(const struct evidence *e, struct fit **out)
{
	struct fit_list list = { .circuit_read = arena_array(e->arena, bool, e->job->terminal_count) };
	mark_circuits(e, list.circuit_read);
	for (size_t i = 0; i < e->job->cable_count; i++) {
		add_fault(e, &list, (struct fault){ SUSPECT_CABLE, i, CORE_BOTH });
		if (e->in_loop[i]) {
			add_fault(e, &list, (struct fault){ SUSPECT_CABLE, i, CORE_PLUS });
			add_fault(e, &list, (struct fault){ SUSPECT_CABLE, i, CORE_MINUS });
		}
	}
	for (size_t i = 0; i < e->job->switch_count; i++)
		add_fault(e, &list, (struct fault){ SUSPECT_CONTACT, i, CORE_BOTH });
	for (size_t i = 0; i < e->job->driver_count; i++)
		add_fault(e, &list, (struct fault){ SUSPECT_DRIVER, i, CORE_BOTH });
	for (size_t i = 0; i < e->job->strip_count; i++)
		add_fault(e, &list, (struct fault){ SUSPECT_STRIP, i, CORE_BOTH });
	*out = list.fits;
	return list.count;
}

/* S at z; the fit keeps the best so far. */
static double cost(struct search *s, double z)
{
	struct fit *fit = s->fit;
	double x = fmin(fmax(unstretched(fit->fault, z), fit->low), fit->high);
	evidence_foresee(s->e, fit->fault, x, s->trial);
	double misfit = evidence_misfit(s->e, s->trial, NULL);
	if (misfit < fit->misfit) {
		double *kept = fit->foreseen;
		fit->foreseen = s->trial;
		s->trial = kept;
		fit->x = x;
		fit->misfit = misfit;
	}
	return misfit;
}

/* Scales from which a search may start; shares of what it should be, for drivers and strips. */
static const double start_ohm[] = { 0.05, 1, 20, 1e5 }, start_volts[] = { 0.8, 0.9, 0.97, 1.03 },
	start_watts[] = { 0.2, 0.4, 0.7, 2.5 };

static void try_starts(struct search *s)
{
	struct fit *fit = s->fit;
	const double *starts = fit->fault.kind == SUSPECT_STRIP ? start_watts
	                     : fit->fault.kind == SUSPECT_DRIVER ? start_volts : start_ohm;
	double unit = fit->fault.kind == SUSPECT_DRIVER ? fit->neutral : 1;
	if (fit->linear_fall > 0)
		cost(s, stretched(fit->fault, fit->linear_x));
	for (size_t i = 0; i < sizeof(start_ohm) / sizeof(start_ohm[0]); i++)
		cost(s, stretched(fit->fault, unit * starts[i]));
}

/* Walks from z in growing steps until S rises or the bound is reached; moves z to the best seen. */
static double walk(struct search *s, double *z, double *at, double step, double bound)
{
	for (;;) {
		double next = step > 0 ? fmin(*z + step, bound) : fmax(*z + step, bound);
		if (next == *z)
			return next;
		double there = cost(s, next);
		if (!(there < *at))
			return next;
		*z = next;
		*at = there;
		step *= 2;
	}
}

/* Brent (1973), localmin: parabolas through the three best points, golden sections where they fail. */
static void brent(struct search *s, double a, double b, double x, double fx)
{
	const double golden = 0.3819660112501051;
	double w = x, v = x, fw = fx, fv = fx, d = 0, e = 0;
	for (int i = 0; i < BRENT_STEPS; i++) {
		double middle = (a + b) / 2, near = BRENT_NEAR * (1 + 0.1 * fabs(x));
		if (fabs(x - middle) <= 2 * near - (b - a) / 2)
			return;
		double p = 0, q = 0, before = e;
		if (fabs(e) > near) {
			double r = (x - w) * (fx - fv);
			q = (x - v) * (fx - fw);
			p = (x - v) * q - (x - w) * r;
			q = 2 * (q - r);
			p = q > 0 ? -p : p;
			q = fabs(q);
			e = d;
		}
		if (fabs(p) < fabs(q * before / 2) && p > q * (a - x) && p < q * (b - x)) {
			d = p / q;
			if (x + d - a < 2 * near || b - x - d < 2 * near)
				d = x < middle ? near : -near;
		} else {
			e = x < middle ? b - x : a - x;
			d = golden * e;
		}
		double u = x + (fabs(d) >= near ? d : d > 0 ? near : -near), fu = cost(s, u);
		if (fu <= fx) {
			*(u < x ? &b : &a) = x;
			v = w, fv = fw, w = x, fw = fx, x = u, fx = fu;
			continue;
		}
		*(u < x ? &a : &b) = u;
		if (fu <= fw || w == x)
			v = w, fv = fw, w = u, fw = fu;
		else if (fu <= fv || v == x || v == w)
			v = u, fv = fu;
	}
}

void fit_run(const struct evidence *e, struct fit *fit)
{
	struct arena *work = arena_child(e->arena);
	double *best = arena_array(e->arena, double, e->count);
	struct search s = { .e = e, .fit = fit, .trial = arena_array(work, double, e->count) };
	fit->foreseen = arena_array(work, double, e->count);
	memcpy(fit->foreseen, e->base, e->count * sizeof(double));
	fit->x = fit->neutral;
	fit->misfit = evidence_misfit(e, e->base, NULL);
	try_starts(&s);
	double z = stretched(fit->fault, fit->x), at = fit->misfit;
	double low = stretched(fit->fault, fit->low), high = stretched(fit->fault, fit->high);
	double step = fit->fault.kind == SUSPECT_DRIVER ? 0.2 : 0.3;
	double right = walk(&s, &z, &at, step, high);
	double left = walk(&s, &z, &at, -step, low);
	brent(&s, left, right, z, at);
	fit->rank = fit->misfit + fault_unlikely(fit->fault, fit->x - fit->neutral);
	memcpy(best, fit->foreseen, e->count * sizeof(double));
	fit->foreseen = best;
	arena_free(work);
}

/* Distance in x from the minimum, upwards (sign 1) or downwards (-1), at which S has risen by RISE_95. The
 * root of the rise is nearly proportional to the distance in z, so a few proportional steps find it. */
static double reach(struct search *s, double sign)
{
	struct fit *fit = s->fit;
	double z = stretched(fit->fault, fit->x), least = fit->misfit;
	double bound = fabs(stretched(fit->fault, sign > 0 ? fit->high : fit->low) - z);
	double wide = unstretched(fit->fault, z + 0.01) - unstretched(fit->fault, z);
	double distance = fmax(fmin(0.01 * SIGMAS_95 / (fit->strength * wide), 1), 1e-6), x = fit->x;
	for (int i = 0; i < REACH_STEPS; i++) {
		distance = fmin(distance, bound);
		x = unstretched(fit->fault, z + sign * distance);
		evidence_foresee(s->e, fit->fault, x, s->trial);
		double rise = fmax(evidence_misfit(s->e, s->trial, NULL) - least, 0);
		double factor = sqrt(RISE_95 / fmax(rise, 1e-3));
		if (fabs(factor - 1) < 0.01 || (distance >= bound && factor > 1))
			break;
		distance *= fmin(fmax(factor, 0.2), 4);
	}
	return fabs(x - fit->x);
}

double fit_uncertainty(const struct evidence *e, const struct fit *fit)
{
	struct arena *work = arena_child(e->arena);
	struct fit copy = *fit;
	struct search s = { .e = e, .fit = &copy, .trial = arena_array(work, double, e->count) };
	double half = fmax(reach(&s, 1), reach(&s, -1));
	arena_free(work);
	return half;
}
