/* The operating point of one network.
 *
 * Unknown are the drops u below the set voltage at free nodes and units. Kirchhoff's current law
 * is the gradient F(u) of C(u) = sum of g du^2 / 2 over branches + sum of the integrals of i over
 * units, which is strictly convex. The law of a unit is straight in pieces: on given pieces the
 * network is linear, and its solution is where Newton's full step from any point on those pieces
 * ends.
 *
 * The first guess is the solution on the pieces of the last answer, or of no drop at all. Where
 * its units lie on these very pieces it is the answer. Else Newton goes on from there: with d the
 * way to the solution on the present pieces, phi'(s) = F(u + s d) . d never decreases, and
 * line_search.h says how far to go. The slope is used and not C itself, whose differences cancel.
 * Plain Newton cycles on constant-current units behind resistance. */
#include "solve/chain.h"
#include "solve/line_search.h"
#include "solve/mesh.h"
#include "solve/network.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define MAX_STEPS 500

/* A point of the search. */
struct point_state {
	double *node;                /* drops, size node_count */
	double *unit;                /* size unit_count */
	struct drop_range *range;    /* of the units of each chain */
};

struct net_solver {
	const struct network *net;
	struct arena *arena;
	struct mesh *mesh;           /* edges: branches, then chains */
	struct mesh_work work;
	bool *held;
	struct drop_law *law;        /* of each chain */
	size_t *block;               /* first of each chain in the store; one more as the end */
	struct chain_store store;
	struct point_state at, trial;
	double *node_f;              /* imbalances at the last point looked at, A */
	double *amps;                /* of units there */
	double *branch_a, *chain_a, *chain_b;
	double chains_w, imbalance, highest_drop;
	double tolerance_floor;      /* A, from the currents themselves */
	double largest_g;
	double s;                    /* last tried along the direction */
};

static struct point_state new_point(struct arena *arena, const struct network *net)
{
	return (struct point_state){
		.node = arena_array(arena, double, net->node_count),
		.unit = arena_array(arena, double, net->unit_count),
		.range = arena_array(arena, struct drop_range, net->chain_count),
	};
}

struct net_solver *net_solver_new(const struct network *net, struct arena *arena)
{
	struct net_solver *w = arena_one(arena, struct net_solver);
	uint32_t longest = 0;
	w->net = net;
	w->arena = w->store.arena = arena;
	w->mesh = mesh_of_network(arena, net, &w->held);
	w->work = mesh_work_new(w->mesh, 1, arena);
	w->at = new_point(arena, net);
	w->law = arena_array(arena, struct drop_law, net->chain_count);
	w->block = arena_array(arena, size_t, net->chain_count + 1);
	w->node_f = arena_array(arena, double, net->node_count);
	w->amps = arena_array(arena, double, net->unit_count);
	w->branch_a = arena_array(arena, double, net->branch_count);
	w->chain_a = arena_array(arena, double, net->chain_count);
	w->chain_b = arena_array(arena, double, net->chain_count);
	for (size_t i = 0; i < net->chain_count; i++)
		longest = net->chains[i].units > longest ? net->chains[i].units : longest;
	w->store.edge = arena_array(arena, double, longest / 8 + 2);
	return w;
}

static void take_values(struct net_solver *w)
{
	const struct network *net = w->net;
	double amps = 0;
	w->largest_g = 0;
	for (size_t i = 0; i < net->branch_count; i++)
		w->largest_g = fmax(w->largest_g, 1 / net->branches[i].ohm);
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		w->law[i] = drop_law(c->law.amps, c->law.v_knee, c->law.v_full, c->law.regulated, net->set_v);
		w->largest_g = fmax(w->largest_g, fmax(2 / c->section_ohm, w->law[i].slope));
		amps += c->units * c->law.amps;
	}
	for (size_t i = 0; i < net->load_count; i++)
		amps += fabs(net->loads[i].amps);
	w->tolerance_floor = 1e-13 * amps;
	for (size_t i = 0; i < net->fixed_count; i++)
		w->at.node[net->fixed[i].node] = net->fixed[i].drop;
}

/* Kirchhoff's law at the nodes. At fixed nodes F is minus the current that they deliver. `in` and
 * `out` are the currents of the chains. */
static void look_at_nodes(struct net_solver *w, const double *node)
{
	const struct network *net = w->net;
	memset(w->node_f, 0, net->node_count * sizeof(double));
	for (size_t i = 0; i < net->branch_count; i++) {
		const struct net_branch *b = &net->branches[i];
		double amps = (node[b->b] - node[b->a]) / b->ohm;
		w->branch_a[i] = amps;
		w->node_f[b->a] -= amps;
		w->node_f[b->b] += amps;
	}
	for (size_t i = 0; i < net->chain_count; i++) {
		w->node_f[net->chains[i].a] -= w->chain_a[i];
		w->node_f[net->chains[i].b] -= w->chain_b[i];
	}
	for (size_t i = 0; i < net->load_count; i++)
		w->node_f[net->loads[i].node] -= net->loads[i].amps;
}

static void look_at_chain(struct net_solver *w, size_t i, struct point_state *p)
{
	const struct net_chain *c = &w->net->chains[i];
	struct chain_audit audit = chain_audit(c, w->law[i], w->net->set_v, p->node[c->a], p->node[c->b],
	                                       p->unit + c->first, w->amps + c->first);
	p->range[i] = audit.range;
	w->chain_a[i] = audit.in;
	w->chain_b[i] = -audit.out;
	w->chains_w += audit.watts;
	w->highest_drop = fmax(w->highest_drop, fmax(fabs(audit.range.low), fabs(audit.range.high)));
	if (!(w->imbalance >= audit.imbalance) && !isnan(w->imbalance))
		w->imbalance = audit.imbalance;
}

static void start_looking(struct net_solver *w)
{
	w->imbalance = w->highest_drop = w->chains_w = 0;
}

/* Rounding alone leaves imbalances of about the largest g v eps; asked in the positive, so that
 * NaN has not converged. */
static bool balanced(struct net_solver *w, const struct point_state *p)
{
	look_at_nodes(w, p->node);
	for (size_t i = 0; i < w->net->node_count; i++) {
		w->highest_drop = fmax(w->highest_drop, fabs(p->node[i]));
		if (!w->held[i] && !(w->imbalance >= fabs(w->node_f[i])) && !isnan(w->imbalance))
			w->imbalance = fabs(w->node_f[i]);
	}
	double rounding = 32 * DBL_EPSILON * w->largest_g * w->highest_drop;
	return w->imbalance <= fmax(rounding, w->tolerance_floor);
}

/* Drops at the nodes on the pieces of `from`: chains condensed to their ends, then the mesh of
 * nodes. */
static void solve_nodes(struct net_solver *w, const struct point_state *from)
{
	const struct network *net = w->net;
	struct mesh_work *m = &w->work;
	memset(m->shunt, 0, net->node_count * sizeof(double));
	memset(m->source, 0, net->node_count * sizeof(double));
	for (size_t i = 0; i < net->branch_count; i++)
		m->g[i] = 1 / net->branches[i].ohm;
	w->store.ladder_count = w->store.block_count = 0;
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		w->block[i] = w->store.block_count;
		struct two_port port = chain_eliminate(c, w->law[i], from->unit + c->first, from->range[i],
		                                       &w->store);
		m->g[net->branch_count + i] = port.g;
		m->shunt[c->a] += port.shunt_a;
		m->shunt[c->b] += port.shunt_b;
		m->source[c->a] += port.source_a;
		m->source[c->b] += port.source_b;
	}
	w->block[net->chain_count] = w->store.block_count;
	for (size_t i = 0; i < net->load_count; i++)
		m->source[net->loads[i].node] += net->loads[i].amps;
	for (size_t i = 0; i < net->fixed_count; i++)
		m->x[net->fixed[i].node] = net->fixed[i].drop;
	mesh_solve(w->mesh, m);
}

static void solve_units(struct net_solver *w, size_t i, struct point_state *p)
{
	const struct net_chain *c = &w->net->chains[i];
	chain_substitute(&w->store, w->block[i], w->block[i + 1], p->node[c->a], p->node[c->b],
	                 p->unit + c->first);
}

/* The first guess, in place: what is known of the last answer is its pieces. */
static bool guess(struct net_solver *w)
{
	solve_nodes(w, &w->at);
	memcpy(w->at.node, w->work.x, w->net->node_count * sizeof(double));
	start_looking(w);
	for (size_t i = 0; i < w->net->chain_count; i++) {
		solve_units(w, i, &w->at);
		look_at_chain(w, i, &w->at);
	}
	return balanced(w, &w->at);
}

/* phi'(s) = F . d at u + s d, d being the way from `at` to `trial`. */
static double slope_at(void *data, double s)
{
	struct net_solver *w = data;
	const double *u = w->at.node, *to = w->trial.node;
	double *node = w->work.x, sum = 0;
	w->s = s;
	for (size_t i = 0; i < w->net->node_count; i++)
		node[i] = u[i] + s * (to[i] - u[i]);
	for (size_t i = 0; i < w->net->chain_count; i++) {
		const struct net_chain *c = &w->net->chains[i];
		struct chain_slope slope = chain_slope(c, w->law[i], node[c->a], node[c->b],
		                                       w->at.unit + c->first, w->trial.unit + c->first, s);
		w->chain_a[i] = slope.in;
		w->chain_b[i] = -slope.out;
		sum += slope.sum;
	}
	look_at_nodes(w, node);
	for (size_t i = 0; i < w->net->node_count; i++)
		sum += w->node_f[i] * (to[i] - u[i]);
	return sum;
}

/* Moves `trial` to u + s d. Returns the largest change of a drop, NAN when any is. */
static double go(const double *u, double *trial, size_t count, double s, double most)
{
	for (size_t i = 0; i < count; i++) {
		double step = s * (trial[i] - u[i]);
		if (s < 1)
			trial[i] = u[i] + step;
		most = fabs(step) <= most || isnan(most) ? most : fabs(step);
	}
	return most;
}

static bool newton_step(struct net_solver *w)
{
	const struct network *net = w->net;
	solve_nodes(w, &w->at);
	memcpy(w->trial.node, w->work.x, net->node_count * sizeof(double));
	for (size_t i = 0; i < net->chain_count; i++)
		solve_units(w, i, &w->trial);
	bool full = line_search(slope_at, w, slope_at(w, 0));
	double step = go(w->at.node, w->trial.node, net->node_count, full ? 1 : w->s, 0);
	step = go(w->at.unit, w->trial.unit, net->unit_count, full ? 1 : w->s, step);

	struct point_state before = w->at;
	w->at = w->trial;
	w->trial = before;
	start_looking(w);
	for (size_t i = 0; i < net->chain_count; i++)
		look_at_chain(w, i, &w->at);
	return balanced(w, &w->at) || (full && step <= 4 * DBL_EPSILON * net->set_v);
}

static void iterate(struct net_solver *w, struct net_solution *out)
{
	out->iterations = 1;
	out->converged = guess(w);
	if (!out->converged && !w->trial.node)
		w->trial = new_point(w->arena, w->net);
	while (!out->converged && !isnan(w->imbalance) && out->iterations < MAX_STEPS) {
		out->iterations++;
		out->converged = newton_step(w);
	}
}

/* Power from the fixed nodes - what branches, rails, units and loads take. */
static double power_balance(const struct net_solver *w)
{
	const struct network *net = w->net;
	double watts = -w->chains_w;
	for (size_t i = 0; i < net->fixed_count; i++)
		watts -= w->node_f[net->fixed[i].node] * (net->set_v - net->fixed[i].drop);
	for (size_t i = 0; i < net->branch_count; i++)
		watts -= w->branch_a[i] * w->branch_a[i] * net->branches[i].ohm;
	for (size_t i = 0; i < net->load_count; i++)
		watts -= net->loads[i].amps * (net->set_v - w->at.node[net->loads[i].node]);
	return watts;
}

void net_solver_run(struct net_solver *w, struct net_solution *out)
{
	*out = (struct net_solution){ .branch_a = w->branch_a, .chain_a = w->chain_a,
	                              .chain_b = w->chain_b, .unit_amps = w->amps };
	take_values(w);
	iterate(w, out);
	out->node_drop = w->at.node;
	out->unit_drop = w->at.unit;
	for (size_t i = 0; i < w->net->fixed_count; i++)
		out->source_a -= w->node_f[w->net->fixed[i].node];
	out->residual_a = w->imbalance;
	out->balance_w = power_balance(w);
}

void network_solve(const struct network *net, struct arena *arena, struct net_solution *out)
{
	net_solver_run(net_solver_new(net, arena), out);
}
