/* The operating point of one network with its rails apart.
 *
 * Unknown are the rises p of the plus rail (v_plus - V) and m of the minus rail (v_minus) at free nodes and
 * units; both are 0 at the driver. Kirchhoff's law on both rails is the gradient F of
 *     C(p, m) = sum of g+ dp^2 / 2 + sum of g- dm^2 / 2 over branches + sum over units of the integral of
 *               i dv up to v = V + p - m.
 * i never falls with v, so its integral is convex, of a linear form in (p, m) too; and every free node has
 * a path to a fixed one on either rail, so the first two sums are strictly convex. C therefore is, there is
 * one answer, and the line search of the loop model finds it.
 *
 * The driver holds both rails behind its output resistance, a branch like any other with half in each
 * core. Only the sum of the halves counts: all that the network has in common with its driver is that one
 * pair, and units return what they take, so both halves carry the same current; any other split moves both
 * rails of everything behind it alike, and no voltage between them. */
#include "solve/two_rail.h"

#include "solve/klu_matrix.h"
#include "solve/line_search.h"
#include "solve/rail_chain.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define MAX_STEPS 500
#define CHAIN_PAIRS 6            /* conductances between a chain's four ends */

struct point_state {
	struct rails *node, *unit;   /* rises, V */
	struct rails *node_f, *unit_f;   /* imbalances, A */
	double *slope;               /* of each unit, S */
};

struct two_rail {
	const struct network *net;
	struct rails *ohm;           /* of each branch */
	uint32_t *unknown;           /* of each node: 2 u and 2 u + 1 of the matrix; KLU_GROUND: fixed */
	size_t unknown_count;        /* of nodes */
	struct klu_matrix *matrix;   /* pairs: two a branch, then CHAIN_PAIRS a chain */
	double *right;
	struct rail_step *steps;
	struct point_state at, trial;
	struct rails *node_d, *unit_d;   /* Newton's direction */
	double tolerance_floor, largest_g;
};

static struct point_state new_point(struct arena *arena, const struct network *net)
{
	struct point_state p = {
		.node = arena_array(arena, struct rails, net->node_count),
		.unit = arena_array(arena, struct rails, net->unit_count),
		.node_f = arena_array(arena, struct rails, net->node_count),
		.unit_f = arena_array(arena, struct rails, net->unit_count),
		.slope = arena_array(arena, double, net->unit_count),
	};
	for (size_t i = 0; i < net->fixed_count; i++)
		p.node[net->fixed[i].node] = (struct rails){ -net->fixed[i].drop / 2, net->fixed[i].drop / 2 };
	return p;
}

static void split_branches(struct two_rail *w, const struct rail_extra *extras, size_t count,
                           struct arena *arena)
{
	const struct network *net = w->net;
	w->ohm = arena_array(arena, struct rails, net->branch_count);
	for (size_t i = 0; i < net->branch_count; i++)
		w->ohm[i].plus = w->ohm[i].minus = net->branches[i].ohm / 2;
	for (size_t i = 0; i < count; i++) {
		struct rails *ohm = &w->ohm[extras[i].branch];
		ohm->plus = fmax(ohm->plus + extras[i].plus_ohm, BRANCH_FLOOR_OHM / 2);
		ohm->minus = fmax(ohm->minus + extras[i].minus_ohm, BRANCH_FLOOR_OHM / 2);
	}
}

static void number_unknowns(struct two_rail *w, struct arena *arena)
{
	const struct network *net = w->net;
	w->unknown = arena_array(arena, uint32_t, net->node_count);
	for (size_t i = 0; i < net->fixed_count; i++)
		w->unknown[net->fixed[i].node] = KLU_GROUND;
	for (size_t i = 0; i < net->node_count; i++)
		if (w->unknown[i] != KLU_GROUND)
			w->unknown[i] = (uint32_t)w->unknown_count++;
}

static uint32_t plus_of(const struct two_rail *w, uint32_t node)
{
	return w->unknown[node] == KLU_GROUND ? KLU_GROUND : 2 * w->unknown[node];
}

static uint32_t minus_of(const struct two_rail *w, uint32_t node)
{
	return w->unknown[node] == KLU_GROUND ? KLU_GROUND : 2 * w->unknown[node] + 1;
}

static void build_matrix(struct two_rail *w, struct arena *arena)
{
	const struct network *net = w->net;
	size_t count = 2 * net->branch_count + CHAIN_PAIRS * net->chain_count, at = 0;
	struct klu_pair *pairs = arena_array(arena, struct klu_pair, count);
	for (size_t i = 0; i < net->branch_count; i++) {
		const struct net_branch *b = &net->branches[i];
		pairs[at++] = (struct klu_pair){ plus_of(w, b->a), plus_of(w, b->b) };
		pairs[at++] = (struct klu_pair){ minus_of(w, b->a), minus_of(w, b->b) };
	}
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		uint32_t ap = plus_of(w, c->a), am = minus_of(w, c->a);
		uint32_t bp = plus_of(w, c->b), bm = minus_of(w, c->b);
		const struct klu_pair of_chain[CHAIN_PAIRS] = {
			{ ap, am }, { ap, bp }, { ap, bm }, { am, bp }, { am, bm }, { bp, bm },
		};
		memcpy(pairs + at, of_chain, sizeof of_chain);
		at += CHAIN_PAIRS;
	}
	w->matrix = klu_matrix_new(arena, 2 * w->unknown_count, pairs, count);
}

static void set_up(struct two_rail *w, const struct network *net, const struct rail_extra *extras,
                   size_t extra_count, struct arena *arena)
{
	double amps = 0;
	*w = (struct two_rail){ .net = net };
	w->at = new_point(arena, net);
	w->trial = new_point(arena, net);
	split_branches(w, extras, extra_count, arena);
	number_unknowns(w, arena);
	build_matrix(w, arena);
	w->right = arena_array(arena, double, 2 * w->unknown_count);
	w->steps = arena_array(arena, struct rail_step, net->unit_count);
	w->node_d = arena_array(arena, struct rails, net->node_count);
	w->unit_d = arena_array(arena, struct rails, net->unit_count);
	for (size_t i = 0; i < net->branch_count; i++)
		w->largest_g = fmax(w->largest_g, 1 / fmin(w->ohm[i].plus, w->ohm[i].minus));
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct unit_law *law = &net->chains[i].law;
		w->largest_g = fmax(w->largest_g, 4 / net->chains[i].section_ohm);
		w->largest_g = fmax(w->largest_g, law->amps / (law->v_full - law->v_knee));
		amps += net->chains[i].units * law->amps;
	}
	for (size_t i = 0; i < net->load_count; i++)
		amps += fabs(net->loads[i].amps);
	w->tolerance_floor = 1e-13 * amps;
}

static void add_flow(struct rails *f, struct rails flow, double sign)
{
	f->plus += sign * flow.plus;
	f->minus += sign * flow.minus;
}

/* Currents in both cores of a branch, a -> b. */
static struct rails branch_flow(const struct two_rail *w, const struct point_state *p, size_t i)
{
	struct rails a = p->node[w->net->branches[i].a], b = p->node[w->net->branches[i].b];
	return (struct rails){ (a.plus - b.plus) / w->ohm[i].plus, (a.minus - b.minus) / w->ohm[i].minus };
}

/* F at a point: what leaves a node. At fixed nodes it is what they deliver. */
static void evaluate(const struct two_rail *w, struct point_state *p)
{
	const struct network *net = w->net;
	memset(p->node_f, 0, net->node_count * sizeof *p->node_f);
	for (size_t i = 0; i < net->branch_count; i++) {
		struct rails flow = branch_flow(w, p, i);
		add_flow(&p->node_f[net->branches[i].a], flow, 1);
		add_flow(&p->node_f[net->branches[i].b], flow, -1);
	}
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		struct rail_flow flow = rail_chain_residual(c, net->set_v, p->node[c->a], p->node[c->b],
			p->unit + c->first, p->unit_f + c->first, p->slope + c->first);
		add_flow(&p->node_f[c->a], flow.in, 1);
		add_flow(&p->node_f[c->b], flow.out, -1);
	}
	for (size_t i = 0; i < net->load_count; i++)
		add_flow(&p->node_f[net->loads[i].node], (struct rails){ net->loads[i].amps, -net->loads[i].amps },
		         1);
}

static void add_source(struct two_rail *w, uint32_t node, struct rails source)
{
	if (w->unknown[node] == KLU_GROUND)
		return;
	w->right[plus_of(w, node)] += source.plus;
	w->right[minus_of(w, node)] += source.minus;
}

static void fill_matrix(struct two_rail *w)
{
	const struct network *net = w->net;
	size_t at = 0;
	klu_matrix_clear(w->matrix);
	memset(w->right, 0, 2 * w->unknown_count * sizeof *w->right);
	for (size_t i = 0; i < net->node_count; i++)
		add_source(w, (uint32_t)i, (struct rails){ -w->at.node_f[i].plus, -w->at.node_f[i].minus });
	for (size_t i = 0; i < net->branch_count; i++) {
		klu_matrix_add(w->matrix, at++, 1 / w->ohm[i].plus, 0, 0);
		klu_matrix_add(w->matrix, at++, 1 / w->ohm[i].minus, 0, 0);
	}
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		struct rail_port p = rail_chain_eliminate(c, w->at.unit_f + c->first, w->at.slope + c->first,
		                                          w->steps + c->first);
		const double g[CHAIN_PAIRS] = { p.ap_am, p.ap_bp, p.ap_bm, p.am_bp, p.am_bm, p.bp_bm };
		for (size_t k = 0; k < CHAIN_PAIRS; k++)
			klu_matrix_add(w->matrix, at++, g[k], 0, 0);
		add_source(w, c->a, p.source_a);
		add_source(w, c->b, p.source_b);
	}
}

/* J d = -F: chains condensed to their ends, the small system by KLU, then back into the chains. */
static bool find_direction(struct two_rail *w)
{
	const struct network *net = w->net;
	fill_matrix(w);
	if (!klu_matrix_solve(w->matrix, w->right))
		return false;
	for (size_t i = 0; i < net->node_count; i++)
		if (w->unknown[i] != KLU_GROUND)
			w->node_d[i] = (struct rails){ w->right[plus_of(w, (uint32_t)i)],
			                               w->right[minus_of(w, (uint32_t)i)] };
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		rail_chain_substitute(c, w->node_d[c->a], w->node_d[c->b], w->steps + c->first,
		                      w->unit_d + c->first);
	}
	return true;
}

static double dot(const struct rails *f, const struct rails *d, size_t count)
{
	double sum = 0;
	for (size_t i = 0; i < count; i++)
		sum += f[i].plus * d[i].plus + f[i].minus * d[i].minus;
	return sum;
}

/* phi'(s) = F . d at a point */
static double directional(const struct two_rail *w, const struct point_state *p)
{
	return dot(p->node_f, w->node_d, w->net->node_count) + dot(p->unit_f, w->unit_d, w->net->unit_count);
}

static void advance(const struct rails *from, double s, const struct rails *d, size_t count,
                    struct rails *to)
{
	for (size_t i = 0; i < count; i++)
		to[i] = (struct rails){ from[i].plus + s * d[i].plus, from[i].minus + s * d[i].minus };
}

static double step_to(void *data, double s)
{
	struct two_rail *w = data;
	advance(w->at.node, s, w->node_d, w->net->node_count, w->trial.node);
	advance(w->at.unit, s, w->unit_d, w->net->unit_count, w->trial.unit);
	evaluate(w, &w->trial);
	return directional(w, &w->trial);
}

static double largest(const struct rails *x, size_t count)
{
	double most = 0;
	for (size_t i = 0; i < count; i++) {
		if (isnan(x[i].plus) || isnan(x[i].minus))
			return NAN;
		most = fmax(most, fmax(fabs(x[i].plus), fabs(x[i].minus)));
	}
	return most;
}

static double residual(const struct two_rail *w, const struct point_state *p)
{
	double most = largest(p->unit_f, w->net->unit_count);
	for (size_t i = 0; i < w->net->node_count; i++)
		if (w->unknown[i] != KLU_GROUND) {
			double here = largest(&p->node_f[i], 1);
			most = isnan(here) || isnan(most) ? NAN : fmax(most, here);
		}
	return most;
}

/* As in the loop model: rounding alone leaves about the largest g v eps. */
static bool balanced(const struct two_rail *w, const struct point_state *p)
{
	double rise = fmax(largest(p->node, w->net->node_count), largest(p->unit, w->net->unit_count));
	return residual(w, p) <= fmax(32 * DBL_EPSILON * w->largest_g * rise, w->tolerance_floor);
}

static void iterate(struct two_rail *w, struct two_rail_solution *out)
{
	evaluate(w, &w->at);
	out->converged = balanced(w, &w->at);
	while (!out->converged && out->iterations < MAX_STEPS) {
		out->iterations++;
		if (!find_direction(w))
			return;
		bool full = line_search(step_to, w, directional(w, &w->at));
		struct point_state before = w->at;
		w->at = w->trial;
		w->trial = before;
		double step = fmax(largest(w->node_d, w->net->node_count),
		                   largest(w->unit_d, w->net->unit_count));
		out->converged = balanced(w, &w->at) || (full && step <= 4 * DBL_EPSILON * w->net->set_v);
	}
}

/* Joule's law in both rails of a chain, and what its units take. */
static double chain_watts(const struct two_rail *w, const struct net_chain *c, const double *amps)
{
	struct rails before = w->at.node[c->a];
	double ohm = c->section_ohm / 4, watts = 0;
	for (size_t k = 0; k <= c->units; k++) {
		struct rails here = k < c->units ? w->at.unit[c->first + k] : w->at.node[c->b];
		double dp = before.plus - here.plus, dm = before.minus - here.minus;
		if (k > 0)
			ohm = k < c->units ? c->section_ohm / 2 : c->section_ohm / 4;
		watts += (dp * dp + dm * dm) / ohm;
		if (k < c->units)
			watts += amps[c->first + k] * (w->net->set_v + here.plus - here.minus);
		before = here;
	}
	return watts;
}

static double node_volts(const struct two_rail *w, size_t node)
{
	return w->net->set_v + w->at.node[node].plus - w->at.node[node].minus;
}

static double power_balance(const struct two_rail *w, const struct two_rail_solution *s)
{
	const struct network *net = w->net;
	double watts = 0;
	for (size_t i = 0; i < net->fixed_count; i++) {
		struct rails at = w->at.node[net->fixed[i].node], f = w->at.node_f[net->fixed[i].node];
		watts += f.plus * (net->set_v + at.plus) + f.minus * at.minus;
	}
	for (size_t i = 0; i < net->branch_count; i++)
		watts -= s->plus_a[i] * s->plus_a[i] * w->ohm[i].plus +
		         s->minus_a[i] * s->minus_a[i] * w->ohm[i].minus;
	for (size_t i = 0; i < net->load_count; i++)
		watts -= net->loads[i].amps * node_volts(w, net->loads[i].node);
	for (size_t i = 0; i < net->chain_count; i++)
		watts -= chain_watts(w, &net->chains[i], s->unit_amps);
	return watts;
}

static void collect(const struct two_rail *w, struct arena *arena, struct two_rail_solution *out)
{
	const struct network *net = w->net;
	double *volts = arena_array(arena, double, net->node_count), slope;
	double *amps = arena_array(arena, double, net->unit_count);
	double *plus = arena_array(arena, double, net->branch_count);
	double *minus = arena_array(arena, double, net->branch_count);
	for (size_t i = 0; i < net->node_count; i++)
		volts[i] = node_volts(w, i);
	for (size_t i = 0; i < net->branch_count; i++) {
		struct rails flow = branch_flow(w, &w->at, i);
		plus[i] = flow.plus;
		minus[i] = -flow.minus;
	}
	for (size_t i = 0; i < net->chain_count; i++)
		for (size_t k = net->chains[i].first; k < net->chains[i].first + net->chains[i].units; k++)
			amps[k] = unit_amps(&net->chains[i].law,
			                    net->set_v + w->at.unit[k].plus - w->at.unit[k].minus, &slope);
	for (size_t i = 0; i < net->fixed_count; i++)
		out->source_a += w->at.node_f[net->fixed[i].node].plus;
	out->node_v = volts;
	out->unit_amps = amps;
	out->plus_a = plus;
	out->minus_a = minus;
	out->residual_a = residual(w, &w->at);
	out->balance_w = power_balance(w, out);
}

void two_rail_solve(const struct network *net, const struct rail_extra *extras, size_t extra_count,
                    struct arena *arena, struct two_rail_solution *out)
{
	struct two_rail w;
	*out = (struct two_rail_solution){ 0 };
	set_up(&w, net, extras, extra_count, arena);
	iterate(&w, out);
	collect(&w, arena, out);
}
