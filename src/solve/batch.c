/* Samples side by side. Each lane tries the piece of the unit law on which each chain lay last
 * time: as a rule its units all lie there, and the lanes are solved together by doubling
 * (chain_lanes.h) and one mesh. A lane in which they do not tries once more where they seem to
 * lie, and is then solved alone, unit by unit. */
#include "solve/chain_lanes.h"
#include "solve/mesh.h"

#include <float.h>
#include <math.h>
#include <string.h>

#define ROUNDS 3

struct batch_work {
	struct arena *arena;
	struct mesh *mesh;                 /* edges: branches, then chains */
	struct mesh_work work;
	bool *held;
	struct chain_lanes *chains;
	lanes *node_f;
	lanes *branch_g;
	lanes largest_g, amps, drop;       /* what the tolerance is made of */
	struct network one;                /* a copy for lanes that are solved alone */
	struct net_solver *single;
	double *light[BATCH_LANES];        /* of every unit where a lane was solved alone */
	bool alone[BATCH_LANES];
};

static void spread(lanes to, double x)
{
	EACH_LANE (l)
		to[l] = x;
}

static void fill_values(struct batch *b, struct arena *arena)
{
	const struct network *net = b->net;
	struct batch_values *v = &b->values;
	v->branch_ohm = arena_array(arena, lanes, net->branch_count);
	v->section_ohm = arena_array(arena, lanes, net->chain_count);
	v->amps = arena_array(arena, lanes, net->chain_count);
	v->v_knee = arena_array(arena, lanes, net->chain_count);
	v->v_full = arena_array(arena, lanes, net->chain_count);
	v->load_a = arena_array(arena, lanes, net->load_count);
	v->fixed_drop = arena_array(arena, lanes, net->fixed_count);
	spread(v->set_v, net->set_v);
	for (size_t i = 0; i < net->branch_count; i++)
		spread(v->branch_ohm[i], net->branches[i].ohm);
	for (size_t i = 0; i < net->chain_count; i++) {
		spread(v->section_ohm[i], net->chains[i].section_ohm);
		spread(v->amps[i], net->chains[i].law.amps);
		spread(v->v_knee[i], net->chains[i].law.v_knee);
		spread(v->v_full[i], net->chains[i].law.v_full);
	}
	for (size_t i = 0; i < net->load_count; i++)
		spread(v->load_a[i], net->loads[i].amps);
	for (size_t i = 0; i < net->fixed_count; i++)
		spread(v->fixed_drop[i], net->fixed[i].drop);
}

static void *copy(struct arena *arena, const void *list, size_t count, size_t size)
{
	void *own = arena_alloc_array(arena, count, size);
	if (count > 0)
		memcpy(own, list, count * size);
	return own;
}

/* A network of its own with the values of one lane. */
static void copy_network(struct batch_work *w, const struct network *net)
{
	w->one = *net;
	w->one.branches = copy(w->arena, net->branches, net->branch_count, sizeof *net->branches);
	w->one.chains = copy(w->arena, net->chains, net->chain_count, sizeof *net->chains);
	w->one.loads = copy(w->arena, net->loads, net->load_count, sizeof *net->loads);
	w->one.fixed = copy(w->arena, net->fixed, net->fixed_count, sizeof *net->fixed);
	w->single = net_solver_new(&w->one, w->arena);
}

static double mean(const double *x, size_t count)
{
	double sum = 0;
	for (size_t k = 0; k < count; k++)
		sum += x[k];
	return sum / (double)count;
}

struct batch *batch_new(const struct network *net, struct arena *arena)
{
	struct batch *b = arena_one(arena, struct batch);
	struct batch_work *w = arena_one(arena, struct batch_work);
	struct net_solution nominal;
	b->net = net;
	b->work = w;
	w->arena = arena;
	fill_values(b, arena);
	w->mesh = mesh_of_network(arena, net, &w->held);
	w->work = mesh_work_new(w->mesh, BATCH_LANES, arena);
	copy_network(w, net);
	b->node_drop = arena_array(arena, lanes, net->node_count);
	b->branch_a = arena_array(arena, lanes, net->branch_count);
	b->chains = arena_array(arena, struct batch_chain, net->chain_count);
	w->branch_g = arena_array(arena, lanes, net->branch_count);
	w->node_f = arena_array(arena, lanes, net->node_count);
	w->chains = arena_array(arena, struct chain_lanes, net->chain_count);
	net_solver_run(w->single, &nominal);
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		w->chains[i] = chain_lanes_new(c, arena);
		spread(w->chains[i].mean, mean(nominal.unit_drop + c->first, c->units));
	}
	return b;
}

static double *lanes_of(double *x, size_t index)
{
	return x + index * BATCH_LANES;
}

static void add_port(struct mesh_work *w, size_t edge, size_t a, size_t b,
                     const struct port_lanes *port)
{
	memcpy(lanes_of(w->g, edge), port->g, sizeof(lanes));
	lanes_add(lanes_of(w->shunt, a), port->shunt_a, BATCH_LANES);
	lanes_add(lanes_of(w->shunt, b), port->shunt_b, BATCH_LANES);
	lanes_add(lanes_of(w->source, a), port->source_a, BATCH_LANES);
	lanes_add(lanes_of(w->source, b), port->source_b, BATCH_LANES);
}

static void conductance(const double *restrict ohm, double *restrict g)
{
	EACH_LANE (l)
		g[l] = 1 / (ohm[l] > BRANCH_FLOOR_OHM ? ohm[l] : BRANCH_FLOOR_OHM);
}

static void take_chain(const struct batch *b, size_t i)
{
	struct batch_work *w = b->work;
	struct chain_lanes *c = &w->chains[i];
	const struct net_chain *chain = &b->net->chains[i];
	lanes g;
	chain_lanes_take(c, &b->values, i, chain->law.regulated);
	chain_lanes_eliminate(c);
	add_port(&w->work, b->net->branch_count + i, chain->a, chain->b, &c->port);
	EACH_LANE (l)
		g[l] = 2 / c->section_ohm[l];
	lanes_raise(w->largest_g, g, BATCH_LANES);
	EACH_LANE (l)
		w->amps[l] += (double)c->units * c->full[l];
}

static void solve_nodes(struct batch *b)
{
	const struct network *net = b->net;
	struct batch_work *w = b->work;
	memset(w->work.shunt, 0, net->node_count * sizeof(lanes));
	memset(w->work.source, 0, net->node_count * sizeof(lanes));
	EACH_LANE (l)
		w->largest_g[l] = w->amps[l] = w->drop[l] = 0;
	for (size_t i = 0; i < net->branch_count; i++) {
		conductance(b->values.branch_ohm[i], lanes_of(w->work.g, i));
		lanes_raise(w->largest_g, lanes_of(w->work.g, i), BATCH_LANES);
	}
	memcpy(w->branch_g, w->work.g, net->branch_count * sizeof(lanes));
	for (size_t i = 0; i < net->chain_count; i++)
		take_chain(b, i);
	for (size_t i = 0; i < net->load_count; i++) {
		lanes_add(lanes_of(w->work.source, net->loads[i].node), b->values.load_a[i], BATCH_LANES);
		EACH_LANE (l)
			w->amps[l] += fabs(b->values.load_a[i][l]);
	}
	for (size_t i = 0; i < net->fixed_count; i++)
		memcpy(lanes_of(w->work.x, net->fixed[i].node), b->values.fixed_drop[i], sizeof(lanes));
	mesh_solve(w->mesh, &w->work);
}

static void find_branch_amps(const double *restrict g, const double *restrict from,
                             const double *restrict to, double *restrict amps)
{
	EACH_LANE (l)
		amps[l] = (to[l] - from[l]) * g[l];
}

static void lanes_take_off(double *restrict to, const double *restrict x)
{
	EACH_LANE (l)
		to[l] -= x[l];
}

/* Kirchhoff's law at every node, and for every chain as a whole. */
static void look_at_nodes(struct batch *b)
{
	const struct network *net = b->net;
	struct batch_work *w = b->work;
	memset(w->node_f, 0, net->node_count * sizeof(lanes));
	for (size_t i = 0; i < net->branch_count; i++) {
		const struct net_branch *branch = &net->branches[i];
		find_branch_amps(w->branch_g[i], b->node_drop[branch->a], b->node_drop[branch->b],
		                 b->branch_a[i]);
		lanes_take_off(w->node_f[branch->a], b->branch_a[i]);
		lanes_add(w->node_f[branch->b], b->branch_a[i], BATCH_LANES);
	}
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct batch_chain *c = &b->chains[i];
		lanes f;
		EACH_LANE (l)
			f[l] = c->in_a[l] + c->in_b[l] - c->amps[l];
		lanes_raise(b->residual_a, f, BATCH_LANES);
		lanes_take_off(w->node_f[net->chains[i].a], c->in_a);
		lanes_take_off(w->node_f[net->chains[i].b], c->in_b);
	}
	for (size_t i = 0; i < net->load_count; i++)
		lanes_take_off(w->node_f[net->loads[i].node], b->values.load_a[i]);
	for (size_t i = 0; i < net->fixed_count; i++)
		lanes_take_off(b->source_a, w->node_f[net->fixed[i].node]);
	for (size_t i = 0; i < net->node_count; i++) {
		if (!w->held[i])
			lanes_raise(b->residual_a, w->node_f[i], BATCH_LANES);
		lanes_raise(w->drop, b->node_drop[i], BATCH_LANES);
	}
}

/* Solves all lanes on the pieces that they are thought to lie on; marks those that do. */
static void solve_together(struct batch *b)
{
	const struct network *net = b->net;
	struct batch_work *w = b->work;
	lanes off = { 0 }, drop;
	solve_nodes(b);
	memcpy(b->node_drop, w->work.x, net->node_count * sizeof(lanes));
	EACH_LANE (l)
		b->residual_a[l] = b->source_a[l] = 0;
	for (size_t i = 0; i < net->chain_count; i++) {
		chain_lanes_figures(&w->chains[i], b->values.set_v, b->node_drop[net->chains[i].a],
		                    b->node_drop[net->chains[i].b], &b->chains[i], off);
		EACH_LANE (l)
			drop[l] = b->values.set_v[l] - b->chains[i].v_low[l];
		lanes_raise(w->drop, drop, BATCH_LANES);
	}
	look_at_nodes(b);
	EACH_LANE (l) {
		double rounding = 32 * DBL_EPSILON * w->largest_g[l] * w->drop[l];
		b->converged[l] = off[l] == 0 && b->residual_a[l] <= fmax(rounding, 1e-13 * w->amps[l]);
	}
}

static void take_lane(struct batch *b, int l)
{
	struct network *one = &b->work->one;
	const struct batch_values *v = &b->values;
	one->set_v = v->set_v[l];
	for (size_t i = 0; i < one->branch_count; i++)
		one->branches[i].ohm = fmax(v->branch_ohm[i][l], BRANCH_FLOOR_OHM);
	for (size_t i = 0; i < one->chain_count; i++) {
		one->chains[i].section_ohm = fmax(v->section_ohm[i][l], BRANCH_FLOOR_OHM);
		one->chains[i].law.amps = v->amps[i][l];
		one->chains[i].law.v_knee = v->v_knee[i][l];
		one->chains[i].law.v_full = v->v_full[i][l];
	}
	for (size_t i = 0; i < one->load_count; i++)
		one->loads[i].amps = v->load_a[i][l];
	for (size_t i = 0; i < one->fixed_count; i++)
		one->fixed[i].drop = v->fixed_drop[i][l];
}

static void record_chain(struct batch *b, int l, size_t i, const struct net_solution *s)
{
	const struct net_chain *c = &b->work->one.chains[i];
	const double *drop = s->unit_drop + c->first, *amps = s->unit_amps + c->first;
	struct batch_chain *out = &b->chains[i];
	double low = drop[0], high = drop[0], least = amps[0], most = amps[0], sum = 0, watts = 0;
	for (size_t k = 0; k < c->units; k++) {
		low = fmin(low, drop[k]);
		high = fmax(high, drop[k]);
		least = fmin(least, amps[k]);
		most = fmax(most, amps[k]);
		sum += amps[k];
		watts += amps[k] * (b->work->one.set_v - drop[k]);
		b->work->light[l][c->first + k] = amps[k] / c->law.amps;
	}
	out->in_a[l] = s->chain_a[i];
	out->in_b[l] = s->chain_b[i];
	out->v_low[l] = b->work->one.set_v - high;
	out->v_high[l] = b->work->one.set_v - low;
	out->amps[l] = sum;
	out->watts[l] = watts;
	out->light_low[l] = least / c->law.amps;
	out->light_high[l] = most / c->law.amps;
	out->light_mean[l] = sum / (double)c->units / c->law.amps;
	b->work->chains[i].mean[l] = mean(drop, c->units);
}

static void solve_alone(struct batch *b, int l)
{
	struct batch_work *w = b->work;
	struct net_solution s;
	take_lane(b, l);
	net_solver_run(w->single, &s);
	if (!w->light[l])
		w->light[l] = arena_array(w->arena, double, b->net->unit_count);
	w->alone[l] = true;
	b->converged[l] = s.converged;
	b->iterations[l] = ROUNDS + s.iterations;
	b->residual_a[l] = s.residual_a;
	b->source_a[l] = s.source_a;
	for (size_t i = 0; i < b->net->node_count; i++)
		b->node_drop[i][l] = s.node_drop[i];
	for (size_t i = 0; i < b->net->branch_count; i++)
		b->branch_a[i][l] = s.branch_a[i];
	for (size_t i = 0; i < b->net->chain_count; i++)
		record_chain(b, l, i, &s);
}

void batch_solve(struct batch *b, size_t count)
{
	bool all = false;
	EACH_LANE (l) {
		b->work->alone[l] = false;
		b->iterations[l] = 0;
	}
	for (int round = 1; round <= ROUNDS && !all; round++) {
		solve_together(b);
		all = true;
		for (size_t l = 0; l < count; l++) {
			if (b->iterations[l] == 0 && b->converged[l])
				b->iterations[l] = round;
			all = all && b->converged[l];
		}
	}
	for (size_t l = 0; l < count && !all; l++)
		if (!b->converged[l])
			solve_alone(b, (int)l);
}

void batch_light(const struct batch *b, size_t chain, size_t unit, lanes light)
{
	chain_lanes_light(&b->work->chains[chain], unit, light);
	EACH_LANE (l)
		if (b->work->alone[l])
			light[l] = b->work->light[l][b->net->chains[chain].first + unit];
}
