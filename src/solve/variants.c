/* One batch for each circuit and operating case; items are written into its lanes and read back by the same
 * records as those of single solves. */
#include "solve/variants.h"

#include "solve/batch.h"
#include "solve/cases.h"
#include "solve/record.h"

#include <string.h>

struct lane_case {
	size_t circuit;
	size_t by_switch;            /* NO_INDEX: the design case */
	size_t lit_zone;
	struct circuit_net cn;
	struct batch *batch;         /* NULL: a lone switch, whose case is the design case */
};

struct variants {
	struct topology topology;
	struct lane_case *cases;     size_t case_count, case_capacity;
	struct solution *solutions[VARIANTS];
	size_t points;
	double *light[VARIANTS];        /* strip by point */
	struct arena *arena;
};

static void add_case(struct variants *v, struct lane_case c, const struct live_part *live)
{
	if (live) {
		uint32_t *node_of = arena_array(v->arena, uint32_t, v->topology.job->terminal_count);
		circuit_net_build(&c.cn, &v->topology, c.circuit, *live, node_of, v->arena);
	}
	v->cases = arena_grow(v->arena, v->cases, v->case_count, &v->case_capacity, sizeof(c));
	v->cases[v->case_count++] = c;
}

static void add_circuit(struct variants *v, struct cases *cases, size_t circuit)
{
	const struct grouping *g = &v->topology.circuit_switches;
	struct live_part live = { NULL, NULL };
	add_case(v, (struct lane_case){ .circuit = circuit, .by_switch = NO_INDEX }, &live);
	cases_of_circuit(cases, circuit);
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		struct lane_case c = { .circuit = circuit, .by_switch = g->list[k],
		                       .lit_zone = cases_lit_zone(cases, g->list[k]) };
		if (!cases_differ(&v->topology, circuit)) {
			add_case(v, c, NULL);
			continue;
		}
		live = cases_begin(cases, c.by_switch);
		add_case(v, c, &live);
		cases_end(cases, c.by_switch);
	}
}

#define COPY(member, type, count) \
	memcpy(copy->member, from->member, (count) * sizeof(type))

/* With what the variants have in common: who is live, fault currents, what lies before what. */
static struct solution *copy_solution(const struct job *job, const struct solution *from,
                                      struct arena *arena)
{
	struct solution *copy = solution_new(job, arena), own = *copy;
	*copy = *from;
	copy->drivers = own.drivers;
	copy->strips = own.strips;
	copy->cables = own.cables;
	copy->switches = own.switches;
	copy->blocks = own.blocks;
	copy->terminals = own.terminals;
	COPY(drivers, struct driver_result, job->driver_count);
	COPY(strips, struct strip_result, job->strip_count);
	COPY(cables, struct cable_result, job->cable_count);
	COPY(switches, struct switch_result, job->switch_count);
	COPY(blocks, struct block_result, job->block_count);
	COPY(terminals, struct terminal_result, job->terminal_count);
	for (size_t i = 0; i < job->strip_count; i++)
		copy->strips[i].light = copy->strips[i].volts = NULL;
	return copy;
}

struct variants *variants_new(const struct job *job, size_t points, struct arena *arena)
{
	struct variants *v = arena_one(arena, struct variants);
	struct cases cases;
	const struct solution *nominal = solve_job(job, arena);

	v->arena = arena;
	v->points = points;
	topology_build(&v->topology, job, arena);
	cases_init(&cases, &v->topology, arena);
	for (size_t c = 0; c < v->topology.circuit_count; c++)
		if (nominal->circuits[c].solved)
			add_circuit(v, &cases, c);
	for (size_t i = 0; i < v->case_count; i++)       /* once they have stopped moving */
		if (v->cases[i].cn.node_of)
			v->cases[i].batch = batch_new(&v->cases[i].cn.net, arena);
	for (size_t lane = 0; lane < VARIANTS; lane++) {
		v->solutions[lane] = copy_solution(job, nominal, arena);
		v->light[lane] = arena_array(arena, double, job->strip_count * points);
	}
	return v;
}

/* The values of one variant into its lane of one case. */
static void fill_lane(const struct variants *v, struct lane_case *c, const struct job *job, size_t lane)
{
	const struct topology *t = &v->topology;
	struct batch_values *values = &c->batch->values;
	const struct driver *driver = &job->drivers[t->circuit_drivers.list[t->circuit_drivers.first[c->circuit]]];
	const struct grouping *cables = &t->circuit_cables, *switches = &t->circuit_switches;
	const struct grouping *strips = &t->circuit_strips;

	values->set_v[lane] = driver->set_v;
	if (c->cn.driver_branch != NO_INDEX)
		values->branch_ohm[c->cn.driver_branch][lane] = driver->output_resistance.num;
	for (size_t i = 0; i < group_size(cables, c->circuit); i++)
		if (c->cn.cable_branch[i] != NO_INDEX)
			values->branch_ohm[c->cn.cable_branch[i]][lane] =
				job->cables[cables->list[cables->first[c->circuit] + i]].ohm;
	for (size_t i = 0; i < group_size(switches, c->circuit); i++)
		if (c->cn.switch_branch[i] != NO_INDEX)
			values->branch_ohm[c->cn.switch_branch[i]][lane] =
				job->switches[switches->list[switches->first[c->circuit] + i]].on_ohm;
	for (size_t i = 0; i < group_size(strips, c->circuit); i++) {
		const struct strip *strip = &job->strips[strips->list[strips->first[c->circuit] + i]];
		size_t first = c->cn.strip_chain[i];
		for (size_t k = first; first != NO_INDEX && k <= first + strip->tap_count; k++) {
			values->section_ohm[k][lane] = strip->loop_ohm_per_m * strip->pitch;
			values->amps[k][lane] = strip->law.amps;
			values->v_knee[k][lane] = strip->law.v_knee;
			values->v_full[k][lane] = strip->law.v_full;
		}
	}
}

static bool all_converged(const struct batch *batch, size_t count)
{
	for (size_t lane = 0; lane < count; lane++)
		if (!batch->converged[lane])
			return false;
	return true;
}

/* The chain of a strip that unit `unit` lies in; *unit is then counted from that chain's start. */
static size_t chain_of_unit(const struct network *net, size_t chain, size_t *unit)
{
	while (*unit >= net->chains[chain].units)
		*unit -= net->chains[chain++].units;
	return chain;
}

static void take_light(struct variants *v, const struct lane_case *c)
{
	const struct grouping *g = &v->topology.circuit_strips;
	lanes light;
	for (size_t i = 0; i < group_size(g, c->circuit); i++) {
		size_t strip = g->list[g->first[c->circuit] + i], units = v->topology.job->strips[strip].units;
		for (size_t p = 0; c->cn.strip_chain[i] != NO_INDEX && p < v->points; p++) {
			double place = v->points > 1 ? (double)p / (double)(v->points - 1) : 0.5;
			size_t unit = (size_t)(place * (double)(units - 1) + 0.5);
			size_t chain = chain_of_unit(&c->cn.net, c->cn.strip_chain[i], &unit);
			batch_light(c->batch, chain, unit, light);
			for (size_t lane = 0; lane < VARIANTS; lane++)
				v->light[lane][strip * v->points + p] = light[lane];
		}
	}
}

static void record_lane(struct variants *v, const struct lane_case *c, const struct job *job, size_t lane)
{
	struct answer answer = { .job = job, .cn = &c->cn, .batch = c->batch, .lane = lane };
	if (!c->batch)
		record_lone_switch(v->solutions[lane], &v->topology, c->circuit, c->by_switch, c->lit_zone);
	else if (c->by_switch == NO_INDEX)
		record_design_case(v->solutions[lane], &v->topology, c->circuit, &answer, NULL);
	else
		record_other_case(v->solutions[lane], &v->topology, c->circuit, &answer, c->by_switch,
		                  c->lit_zone);
}

bool variants_solve(struct variants *v, const struct job *const *jobs, size_t count)
{
	for (size_t lane = 0; lane < count; lane++)
		v->solutions[lane]->cut_units = 0;
	for (size_t i = 0; i < v->case_count; i++) {
		struct lane_case *c = &v->cases[i];
		if (c->batch) {
			for (size_t lane = 0; lane < count; lane++)
				fill_lane(v, c, jobs[lane], lane);
			batch_solve(c->batch, count);
			if (!all_converged(c->batch, count))
				return false;
		}
		for (size_t lane = 0; lane < count; lane++)
			record_lane(v, c, jobs[lane], lane);
		if (v->points > 0 && c->by_switch == NO_INDEX)
			take_light(v, c);
	}
	return true;
}

const struct solution *variants_solution(const struct variants *v, size_t lane)
{
	return v->solutions[lane];
}

const double *variants_light(const struct variants *v, size_t lane, size_t strip)
{
	bool live = v->points > 0 && v->solutions[lane]->strips[strip].live;
	return live ? v->light[lane] + strip * v->points : NULL;
}
