/* Every circuit, every operating case.
 *
 * The design case has all switches on. For each switch there is the case in which it is on together with
 * the switches between it and the driver (on a path with the fewest of them) and no other. Zones are
 * what stays joined with every switch off: a case is a set of live zones. */
#include "solve/record.h"

#include "solve/fault.h"

#include <math.h>

/* The path back to the driver, zone by zone. */
struct route {
	size_t *through;             /* switch by which each zone is reached, NO_INDEX at the driver */
	size_t *depth;               /* switches passed; NO_INDEX: not reached */
};

struct solver {
	const struct job *job;
	struct solution *out;
	struct topology topology;
	struct arena *keep;
	struct arena *scratch;
	uint32_t *node_of;
	struct route route;
	bool *zone_live, *switch_on;
};

static struct solution *new_solution(const struct job *job, struct arena *arena)
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

/* Breadth first from the driver's zone over the circuit's switches. `list` grows by the zones reached. */
static void find_routes(struct solver *s, size_t circuit)
{
	const struct topology *t = &s->topology;
	const struct grouping *g = &t->circuit_switches;
	size_t first = g->first[circuit], count = group_size(g, circuit);
	size_t driver = s->out->circuits[circuit].driver;

	for (size_t i = 0; i < count; i++)
		for (size_t side = 0; side < 2; side++)
			s->route.depth[t->zone_of[s->job->switches[g->list[first + i]].terminal + side]] = NO_INDEX;
	size_t home = t->zone_of[s->job->drivers[driver].terminal];
	s->route.depth[home] = 0;
	s->route.through[home] = NO_INDEX;
	for (size_t level = 0, found = 1; found > 0; level++) {
		found = 0;
		for (size_t i = 0; i < count; i++) {
			size_t index = g->list[first + i];
			size_t a = t->zone_of[s->job->switches[index].terminal];
			size_t b = t->zone_of[s->job->switches[index].terminal + 1];
			size_t near = s->route.depth[a] == level ? a : b, far = near == a ? b : a;
			if (s->route.depth[near] != level || s->route.depth[far] != NO_INDEX)
				continue;
			s->route.depth[far] = level + 1;
			s->route.through[far] = index;
			found++;
		}
	}
}

static size_t far_zone(const struct solver *s, size_t index)
{
	size_t a = s->topology.zone_of[s->job->switches[index].terminal];
	size_t b = s->topology.zone_of[s->job->switches[index].terminal + 1];
	return s->route.depth[a] <= s->route.depth[b] ? b : a;
}

static size_t near_zone(const struct solver *s, size_t index)
{
	size_t a = s->topology.zone_of[s->job->switches[index].terminal];
	size_t b = s->topology.zone_of[s->job->switches[index].terminal + 1];
	return s->route.depth[a] <= s->route.depth[b] ? a : b;
}

/* Marks (or unmarks) the switch and the route to it as on and alive. */
static void set_route(struct solver *s, size_t index, bool on)
{
	size_t zone = near_zone(s, index);
	s->switch_on[index] = on;
	s->zone_live[far_zone(s, index)] = on;
	for (;;) {
		s->zone_live[zone] = on;
		size_t through = s->route.through[zone];
		if (through == NO_INDEX)
			return;
		s->switch_on[through] = on;
		zone = near_zone(s, through);
	}
}

/* False when the case is the design case itself: one switch, and nothing else beyond others. */
static bool differs_from_design(const struct solver *s, size_t circuit)
{
	return group_size(&s->topology.circuit_switches, circuit) > 1;
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

	set_route(s, index, true);
	struct live_part live = { s->zone_live, s->switch_on };
	if (solve_case(s, circuit, live, &cn, &ns))
		record_other_case(s->out, &s->topology, circuit, &cn, &ns, index, s->out->switches[index].lit_zone);
	set_route(s, index, false);
	arena_reset(s->scratch);
}

/* A lone switch has no other to come on: its case is the design case, with no dip. */
static void set_lone_switch(struct solver *s, size_t circuit, size_t index)
{
	const struct grouping *g = &s->topology.circuit_strips;
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		struct strip_result *r = &s->out->strips[g->list[k]];
		if (s->topology.zone_of[s->job->strips[g->list[k]].terminal] != s->out->switches[index].lit_zone)
			continue;
		r->has_dip = true;
		r->dip_switch = index;
	}
}

static void solve_switch_cases(struct solver *s, size_t circuit)
{
	const struct grouping *g = &s->topology.circuit_switches;
	find_routes(s, circuit);
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		size_t far = far_zone(s, g->list[k]);
		s->out->switches[g->list[k]].lit_zone = far != near_zone(s, g->list[k]) ? far : NO_INDEX;
		if (differs_from_design(s, circuit))
			solve_switch_case(s, circuit, g->list[k]);
		else
			set_lone_switch(s, circuit, g->list[k]);
	}
}

static void solve_circuit(struct solver *s, size_t circuit, bool every_case)
{
	struct circuit_net cn;
	struct net_solution ns;
	struct circuit *c = &s->out->circuits[circuit];
	if (c->driver == NO_INDEX)
		return;
	c->solved = solve_case(s, circuit, (struct live_part){ NULL, NULL }, &cn, &ns);
	if (c->solved)
		record_design_case(s->out, &s->topology, circuit, &cn, &ns, s->keep);
	arena_reset(s->scratch);
	if (!c->solved)
		return;
	fault_solve(&s->topology, circuit, s->out->cables, s->out->upstream, s->node_of, s->scratch);
	arena_reset(s->scratch);
	if (every_case)
		solve_switch_cases(s, circuit);
}

static struct solution *solve(const struct job *job, struct arena *arena, bool every_case)
{
	struct solver s = { .job = job, .out = new_solution(job, arena), .keep = arena };
	s.scratch = arena_child(arena);
	topology_build(&s.topology, job, arena);
	describe_circuits(&s);
	s.node_of = arena_array(arena, uint32_t, job->terminal_count);
	s.route.through = arena_array(arena, size_t, s.topology.zone_count);
	s.route.depth = arena_array(arena, size_t, s.topology.zone_count);
	s.zone_live = arena_array(arena, bool, s.topology.zone_count);
	s.switch_on = arena_array(arena, bool, job->switch_count);
	for (size_t c = 0; c < s.topology.circuit_count; c++)
		solve_circuit(&s, c, every_case);
	arena_free(s.scratch);
	return s.out;
}

struct solution *solve_job(const struct job *job, struct arena *arena)
{
	return solve(job, arena, true);
}

struct solution *solve_design_case(const struct job *job, struct arena *arena)
{
	return solve(job, arena, false);
}
