/* Every circuit: the design case, which has all switches on, and every operating case. */
#include "solve/cases.h"
#include "solve/fault.h"
#include "solve/record.h"

#include <math.h>

struct solver {
	const struct job *job;
	struct solution *out;
	struct topology topology;
	struct arena *keep;
	struct arena *scratch;
	uint32_t *node_of;
	struct cases cases;
	size_t *zone_parent;         /* scratch of topology_reach() */
};

/* What is solved of each circuit. */
struct wanted {
	bool every_case;
	const bool *on;              /* instead of the design case; NULL: that one */
};

struct solution *solution_new(const struct job *job, struct arena *arena)
{
	struct solution *s = arena_one(arena, struct solution);
	s->drivers = arena_array(arena, struct driver_result, job->driver_count);
	s->strips = arena_array(arena, struct strip_result, job->strip_count);
	s->cables = arena_array(arena, struct cable_result, job->cable_count);
	s->switches = arena_array(arena, struct switch_result, job->switch_count);
	s->blocks = arena_array(arena, struct block_result, job->block_count);
	s->terminals = arena_array(arena, struct terminal_result, job->terminal_count);
	s->upstream = arena_array(arena, size_t, job->cable_count);
	for (size_t t = 0; t < job->terminal_count; t++)
		s->terminals[t].volts = s->terminals[t].volts_low = s->terminals[t].volts_high = NAN;
	for (size_t c = 0; c < job->cable_count; c++) {
		s->cables[c].fault_a = NAN;
		s->upstream[c] = NO_INDEX;
	}
	for (size_t i = 0; i < job->switch_count; i++)
		s->switches[i].lit_zone = NO_INDEX;
	s->converged = true;
	return s;
}

static void describe_circuits(struct solver *s)
{
	const struct topology *t = &s->topology;
	s->out->circuit_count = t->circuit_count;
	s->out->circuits = arena_array(s->keep, struct circuit, t->circuit_count);
	s->out->circuit_of_terminal = t->circuit_of;
	s->out->zone_of_terminal = t->zone_of;
	s->out->first_at = t->terminal_cables.first;
	s->out->at_terminal = t->terminal_cables.list;
	for (size_t c = 0; c < t->circuit_count; c++) {
		struct circuit *circuit = &s->out->circuits[c];
		circuit->driver_count = group_size(&t->circuit_drivers, c);
		circuit->driver = circuit->driver_count == 1
		                ? t->circuit_drivers.list[t->circuit_drivers.first[c]] : NO_INDEX;
		circuit->item_count = circuit->driver_count + group_size(&t->circuit_switches, c) +
		                      group_size(&t->circuit_blocks, c) + group_size(&t->circuit_strips, c);
	}
}

static bool solve_case(struct solver *s, size_t circuit, struct live_part live, struct circuit_net *cn,
                       struct net_solution *ns)
{
	circuit_net_build(cn, &s->topology, circuit, live, s->node_of, s->scratch);
	network_solve(&cn->net, s->scratch, ns);
	if (ns->iterations > s->out->iterations)
		s->out->iterations = ns->iterations;
	s->out->residual_a = fmax(s->out->residual_a, ns->residual_a);
	s->out->balance_w = fmax(s->out->balance_w, fabs(ns->balance_w));
	s->out->converged = s->out->converged && ns->converged;
	return ns->converged;
}

static void solve_switch_case(struct solver *s, size_t circuit, size_t index)
{
	struct circuit_net cn;
	struct net_solution ns;
	struct live_part live = cases_begin(&s->cases, index);
	if (solve_case(s, circuit, live, &cn, &ns)) {
		struct answer answer = { .job = s->job, .cn = &cn, .ns = &ns };
		record_other_case(s->out, &s->topology, circuit, &answer, index, s->out->switches[index].lit_zone);
	}
	cases_end(&s->cases, index);
	arena_reset(s->scratch);
}

static void solve_switch_cases(struct solver *s, size_t circuit)
{
	const struct grouping *g = &s->topology.circuit_switches;
	cases_of_circuit(&s->cases, circuit);
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		s->out->switches[g->list[k]].lit_zone = cases_lit_zone(&s->cases, g->list[k]);
		if (cases_differ(&s->topology, circuit))
			solve_switch_case(s, circuit, g->list[k]);
		else
			record_lone_switch(s->out, &s->topology, circuit, g->list[k],
			                   s->out->switches[g->list[k]].lit_zone);
	}
}

static void solve_circuit(struct solver *s, size_t circuit, struct wanted wanted)
{
	struct circuit_net cn;
	struct net_solution ns;
	struct circuit *c = &s->out->circuits[circuit];
	struct live_part live = { NULL, NULL };
	if (c->driver == NO_INDEX)
		return;
	if (wanted.on) {
		topology_reach(&s->topology, circuit, wanted.on, s->zone_parent, s->cases.zone_live);
		live = (struct live_part){ s->cases.zone_live, wanted.on };
	}
	c->solved = solve_case(s, circuit, live, &cn, &ns);
	if (c->solved)
		record_design_case(s->out, &s->topology, circuit,
		                   &(struct answer){ .job = s->job, .cn = &cn, .ns = &ns }, s->keep);
	arena_reset(s->scratch);
	if (!c->solved)
		return;
	fault_solve(&s->topology, circuit, s->out->cables, s->out->upstream, s->node_of, s->scratch);
	arena_reset(s->scratch);
	if (wanted.every_case)
		solve_switch_cases(s, circuit);
}

static struct solution *solve(const struct job *job, struct arena *arena, struct wanted wanted)
{
	struct solver s = { .job = job, .out = solution_new(job, arena), .keep = arena };
	s.scratch = arena_child(arena);
	topology_build(&s.topology, job, arena);
	describe_circuits(&s);
	s.node_of = arena_array(arena, uint32_t, job->terminal_count);
	cases_init(&s.cases, &s.topology, arena);
	s.zone_parent = arena_array(arena, size_t, s.topology.zone_count);
	for (size_t c = 0; c < s.topology.circuit_count; c++)
		solve_circuit(&s, c, wanted);
	arena_free(s.scratch);
	return s.out;
}

struct solution *solve_job(const struct job *job, struct arena *arena)
{
	return solve(job, arena, (struct wanted){ .every_case = true });
}

struct solution *solve_design_case(const struct job *job, struct arena *arena)
{
	return solve(job, arena, (struct wanted){ .every_case = false });
}

struct solution *solve_job_in_state(const struct job *job, const bool *on, struct arena *arena)
{
	return solve(job, arena, (struct wanted){ .on = on });
}
