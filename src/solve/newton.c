/* The operating point of one network.
 *
 * Unknown are the drops u below the set voltage at free nodes and units. Kirchhoff's current law is the
 * gradient F(u) of C(u) = sum of g du^2 / 2 over branches + sum of the integrals of i over units, which
 * is strictly convex. Newton's direction d solves J d = -F; along it phi'(s) = F(u + s d) . d never
 * decreases. The full step is taken when phi'(1) <= 0.1 |phi'(0)|; otherwise s is bracketed until
 * |phi'(s)| <= 0.1 |phi'(0)|. The slope is used and not C itself, whose differences cancel. Plain Newton
 * cycles on constant-current units behind resistance. */
#include "solve/chain.h"
#include "solve/klu_matrix.h"
#include "solve/network.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define MAX_STEPS 500
#define MAX_SEARCH 80
#define SEARCH_SHARE 0.1

/* A point of the search with Kirchhoff's law evaluated there. */
struct point_state {
	double *node;                /* drops, size node_count */
	double *unit;                /* size unit_count */
	double *node_f, *unit_f;     /* imbalances, A */
	double *slope;               /* of each unit, S */
};

struct newton {
	const struct network *net;
	uint32_t *unknown;           /* of each node, KLU_GROUND for fixed ones */
	size_t unknown_count;
	struct klu_matrix *matrix;   /* elements: branches, then chains */
	double *right;               /* right side, then solution, of the nodes */
	double *to_a, *to_next, *rest;
	struct point_state at, trial;
	double *node_d, *unit_d;     /* Newton's direction */
	double tolerance_floor;      /* A, from the currents themselves */
	double largest_g;
};

static struct point_state new_point(struct arena *arena, const struct network *net)
{
	return (struct point_state){
		.node = arena_array(arena, double, net->node_count),
		.unit = arena_array(arena, double, net->unit_count),
		.node_f = arena_array(arena, double, net->node_count),
		.unit_f = arena_array(arena, double, net->unit_count),
		.slope = arena_array(arena, double, net->unit_count),
	};
}

static void number_unknowns(struct newton *w, struct arena *arena)
{
	const struct network *net = w->net;
	w->unknown = arena_array(arena, uint32_t, net->node_count);
	for (size_t i = 0; i < net->fixed_count; i++) {
		w->unknown[net->fixed[i].node] = KLU_GROUND;
		w->at.node[net->fixed[i].node] = net->fixed[i].drop;
		w->trial.node[net->fixed[i].node] = net->fixed[i].drop;
	}
	for (size_t i = 0; i < net->node_count; i++)
		if (w->unknown[i] != KLU_GROUND)
			w->unknown[i] = (uint32_t)w->unknown_count++;
}

static void build_matrix(struct newton *w, struct arena *arena)
{
	const struct network *net = w->net;
	size_t count = net->branch_count + net->chain_count;
	struct klu_pair *pairs = arena_array(arena, struct klu_pair, count);
	for (size_t i = 0; i < net->branch_count; i++)
		pairs[i] = (struct klu_pair){ w->unknown[net->branches[i].a], w->unknown[net->branches[i].b] };
	for (size_t i = 0; i < net->chain_count; i++)
		pairs[net->branch_count + i] =
			(struct klu_pair){ w->unknown[net->chains[i].a], w->unknown[net->chains[i].b] };
	w->matrix = klu_matrix_new(arena, w->unknown_count, pairs, count);
}

static void set_up(struct newton *w, const struct network *net, struct arena *arena)
{
	double amps = 0;
	*w = (struct newton){ .net = net };
	w->at = new_point(arena, net);
	w->trial = new_point(arena, net);
	number_unknowns(w, arena);
	build_matrix(w, arena);
	w->right = arena_array(arena, double, w->unknown_count);
	w->to_a = arena_array(arena, double, net->unit_count);
	w->to_next = arena_array(arena, double, net->unit_count);
	w->rest = arena_array(arena, double, net->unit_count);
	w->node_d = arena_array(arena, double, net->node_count);
	w->unit_d = arena_array(arena, double, net->unit_count);
	for (size_t i = 0; i < net->branch_count; i++)
		w->largest_g = fmax(w->largest_g, 1 / net->branches[i].ohm);
	for (size_t i = 0; i < net->chain_count; i++) {
		w->largest_g = fmax(w->largest_g, 2 / net->chains[i].section_ohm);
		amps += net->chains[i].units * net->chains[i].law.amps;
	}
	for (size_t i = 0; i < net->load_count; i++)
		amps += fabs(net->loads[i].amps);
	w->tolerance_floor = 1e-13 * amps;
}

/* F at a point. At fixed nodes it is minus the current that they deliver. */
static void evaluate(const struct newton *w, struct point_state *p)
{
	const struct network *net = w->net;
	memset(p->node_f, 0, net->node_count * sizeof(double));
	for (size_t i = 0; i < net->branch_count; i++) {
		const struct net_branch *b = &net->branches[i];
		double amps = (p->node[b->b] - p->node[b->a]) / b->ohm;
		p->node_f[b->a] -= amps;
		p->node_f[b->b] += amps;
	}
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		struct chain_flow flow = chain_residual(c, net->set_v, p->node[c->a], p->node[c->b],
			p->unit + c->first, p->unit_f + c->first, p->slope + c->first);
		p->node_f[c->a] -= flow.in;
		p->node_f[c->b] += flow.out;
	}
	for (size_t i = 0; i < net->load_count; i++)
		p->node_f[net->loads[i].node] -= net->loads[i].amps;
}

/* J d = -F: chains condensed to their ends, the small system by KLU, then back into the chains. */
static bool find_direction(struct newton *w)
{
	const struct network *net = w->net;
	klu_matrix_clear(w->matrix);
	for (size_t i = 0; i < net->node_count; i++)
		if (w->unknown[i] != KLU_GROUND)
			w->right[w->unknown[i]] = -w->at.node_f[i];
	for (size_t i = 0; i < net->branch_count; i++)
		klu_matrix_add(w->matrix, i, 1 / net->branches[i].ohm, 0, 0);
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		struct two_port port = chain_eliminate(c, w->at.unit_f + c->first, w->at.slope + c->first,
			w->to_a + c->first, w->to_next + c->first, w->rest + c->first);
		klu_matrix_add(w->matrix, net->branch_count + i, port.g, port.shunt_a, port.shunt_b);
		if (w->unknown[c->a] != KLU_GROUND)
			w->right[w->unknown[c->a]] += port.source_a;
		if (w->unknown[c->b] != KLU_GROUND)
			w->right[w->unknown[c->b]] += port.source_b;
	}
	if (!klu_matrix_solve(w->matrix, w->right))
		return false;
	for (size_t i = 0; i < net->node_count; i++)
		w->node_d[i] = w->unknown[i] == KLU_GROUND ? 0 : w->right[w->unknown[i]];
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		chain_substitute(c, w->node_d[c->a], w->node_d[c->b], w->to_a + c->first,
			w->to_next + c->first, w->rest + c->first, w->unit_d + c->first);
	}
	return true;
}

/* phi'(s) = F . d at a point */
static double directional(const struct newton *w, const struct point_state *p)
{
	double sum = 0;
	for (size_t i = 0; i < w->net->node_count; i++)
		sum += p->node_f[i] * w->node_d[i];
	for (size_t k = 0; k < w->net->unit_count; k++)
		sum += p->unit_f[k] * w->unit_d[k];
	return sum;
}

/* Goes to u + s d and returns phi'(s). */
static double step_to(struct newton *w, double s)
{
	for (size_t i = 0; i < w->net->node_count; i++)
		w->trial.node[i] = w->at.node[i] + s * w->node_d[i];
	for (size_t k = 0; k < w->net->unit_count; k++)
		w->trial.unit[k] = w->at.unit[k] + s * w->unit_d[k];
	evaluate(w, &w->trial);
	return directional(w, &w->trial);
}

/* Leaves the accepted point in `trial`; true when it was the full step. Regula falsi (Illinois), kept
 * off the ends of the bracket. */
static bool line_search(struct newton *w)
{
	double low = 0, low_phi = directional(w, &w->at);
	double wanted = SEARCH_SHARE * fabs(low_phi);
	double high = 1, high_phi = step_to(w, 1);
	if (!(high_phi > wanted) || low_phi >= 0)
		return true;
	for (int i = 0, side = 0; i < MAX_SEARCH; i++) {
		double width = high - low;
		double s = low - low_phi * width / (high_phi - low_phi);
		s = fmin(fmax(s, low + 0.02 * width), high - 0.02 * width);
		double phi = step_to(w, s);
		if (fabs(phi) <= wanted)
			return false;
		if (phi > 0) {
			high = s;
			high_phi = phi;
			low_phi = side > 0 ? low_phi / 2 : low_phi;
			side = 1;
		} else {
			low = s;
			low_phi = phi;
			high_phi = side < 0 ? high_phi / 2 : high_phi;
			side = -1;
		}
	}
	return false;
}

static double largest(const double *x, size_t count)
{
	double most = 0;
	for (size_t i = 0; i < count; i++) {
		if (isnan(x[i]))
			return NAN;
		most = fmax(most, fabs(x[i]));
	}
	return most;
}

static double residual(const struct newton *w, const struct point_state *p)
{
	double most = largest(p->unit_f, w->net->unit_count);
	for (size_t i = 0; i < w->net->node_count && !isnan(most); i++)
		if (w->unknown[i] != KLU_GROUND)
			most = isnan(p->node_f[i]) ? NAN : fmax(most, fabs(p->node_f[i]));
	return most;
}

/* Rounding alone leaves imbalances of about the largest g v eps; asked in the positive, so that NaN has
 * not converged. */
static bool balanced(const struct newton *w, const struct point_state *p)
{
	double drop = fmax(largest(p->node, w->net->node_count), largest(p->unit, w->net->unit_count));
	double rounding = 32 * DBL_EPSILON * w->largest_g * drop;
	return residual(w, p) <= fmax(rounding, w->tolerance_floor);
}

static void iterate(struct newton *w, struct net_solution *out)
{
	evaluate(w, &w->at);
	out->converged = balanced(w, &w->at);
	while (!out->converged && out->iterations < MAX_STEPS) {
		out->iterations++;
		if (!find_direction(w))
			return;
		bool full = line_search(w);
		struct point_state before = w->at;
		w->at = w->trial;
		w->trial = before;
		double step = fmax(largest(w->node_d, w->net->node_count),
		                   largest(w->unit_d, w->net->unit_count));
		out->converged = balanced(w, &w->at) ||
		                 (full && step <= 4 * DBL_EPSILON * w->net->set_v);
	}
}

/* Power from the fixed nodes - what branches, rails, units and loads take. */
static double power_balance(const struct newton *w, const struct net_solution *s)
{
	const struct network *net = w->net;
	double watts = 0;
	for (size_t i = 0; i < net->fixed_count; i++)
		watts -= w->at.node_f[net->fixed[i].node] * (net->set_v - net->fixed[i].drop);
	for (size_t i = 0; i < net->branch_count; i++)
		watts -= s->branch_a[i] * s->branch_a[i] * net->branches[i].ohm;
	for (size_t i = 0; i < net->load_count; i++)
		watts -= net->loads[i].amps * (net->set_v - w->at.node[net->loads[i].node]);
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		double rail = s->chain_a[i], ohm = c->section_ohm / 2;
		for (size_t k = c->first; k < c->first + c->units; k++) {
			double volts = net->set_v - w->at.unit[k];
			watts -= rail * rail * ohm + s->unit_amps[k] * volts;
			rail -= s->unit_amps[k];
			ohm = c->section_ohm;
		}
		watts -= rail * rail * c->section_ohm / 2;
	}
	return watts;
}

static void collect(const struct newton *w, struct arena *arena, struct net_solution *out)
{
	const struct network *net = w->net;
	double *amps = arena_array(arena, double, net->unit_count);
	double slope;
	out->node_drop = w->at.node;
	out->unit_drop = w->at.unit;
	out->unit_amps = amps;
	out->branch_a = arena_array(arena, double, net->branch_count);
	out->chain_a = arena_array(arena, double, net->chain_count);
	out->chain_b = arena_array(arena, double, net->chain_count);
	for (size_t i = 0; i < net->branch_count; i++)
		out->branch_a[i] = (w->at.node[net->branches[i].b] - w->at.node[net->branches[i].a]) /
		                   net->branches[i].ohm;
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		const double *u = w->at.unit + c->first;
		for (size_t k = 0; k < c->units; k++)
			amps[c->first + k] = unit_amps(&c->law, net->set_v - u[k], &slope);
		out->chain_a[i] = 2 / c->section_ohm * (u[0] - w->at.node[c->a]);
		out->chain_b[i] = 2 / c->section_ohm * (u[c->units - 1] - w->at.node[c->b]);
	}
	for (size_t i = 0; i < net->fixed_count; i++)
		out->source_a -= w->at.node_f[net->fixed[i].node];
	out->residual_a = residual(w, &w->at);
	out->balance_w = power_balance(w, out);
}

void network_solve(const struct network *net, struct arena *arena, struct net_solution *out)
{
	struct newton w;
	*out = (struct net_solution){ 0 };
	set_up(&w, net, arena);
	iterate(&w, out);
	collect(&w, arena, out);
}
