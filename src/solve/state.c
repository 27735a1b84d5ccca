/* One state of the switches: what the driver reaches is built into a network, solved once, and read back
 * as a meter would. Cores that are alike are solved as one loop; else the rails apart (two_rail.h), and
 * only where that makes a difference: a cable that is no part of a loop carries the same current in both
 * cores, and what either has in excess is a loop resistance. */
#include "solve/state.h"

#include "base/union_find.h"
#include "solve/circuit_net.h"
#include "solve/two_rail.h"

#include <math.h>

struct state_solver {
	const struct job *job;
	const bool *on;
	const struct core_extra *extras;
	size_t extra_count;
	struct state_solution *out;
	struct topology topology;
	uint32_t *node_of;
	size_t *parent;              /* scratch of topology_reach() */
	bool *zone_live;
	struct arena *scratch;       /* emptied after each circuit */
};

static struct state_solution *new_solution(const struct job *job, struct arena *arena)
{
	struct state_solution *s = arena_one(arena, struct state_solution);
	s->converged = true;
	s->terminal_v = arena_array(arena, double, job->terminal_count);
	s->cable_a = arena_array(arena, double, job->cable_count);
	s->cable_minus_a = arena_array(arena, double, job->cable_count);
	s->switch_a = arena_array(arena, double, job->switch_count);
	s->driver_a = arena_array(arena, double, job->driver_count);
	s->strip_a = arena_array(arena, double, job->strip_count);
	for (size_t t = 0; t < job->terminal_count; t++)
		s->terminal_v[t] = NAN;
	return s;
}

/* Place of `item` among a circuit's members, which ascend, or NO_INDEX. */
static size_t place_in(const struct grouping *g, size_t circuit, size_t item)
{
	size_t low = g->first[circuit], high = g->first[circuit + 1];
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (g->list[middle] < item)
			low = middle + 1;
		else
			high = middle;
	}
	bool found = low < g->first[circuit + 1] && g->list[low] == item;
	return found ? low - g->first[circuit] : NO_INDEX;
}

/* The extras of cables that are alive in this circuit. */
static size_t place_extras(const struct state_solver *s, size_t circuit, const struct circuit_net *cn,
                           struct rail_extra *placed)
{
	size_t count = 0;
	for (size_t i = 0; i < s->extra_count; i++) {
		const struct core_extra *extra = &s->extras[i];
		size_t at = place_in(&s->topology.circuit_cables, circuit, extra->cable);
		if (at != NO_INDEX && cn->cable_branch[at] != NO_INDEX)
			placed[count++] = (struct rail_extra){ cn->cable_branch[at], extra->plus_ohm,
			                                       extra->minus_ohm };
	}
	return count;
}

/* Whether current has another way round: the ends of the branch stay joined without it. */
static bool in_loop(const struct network *net, size_t branch, size_t *parent)
{
	union_reset(parent, net->node_count);
	for (size_t i = 0; i < net->branch_count; i++)
		if (i != branch)
			union_join(parent, net->branches[i].a, net->branches[i].b);
	for (size_t i = 0; i < net->chain_count; i++)
		union_join(parent, net->chains[i].a, net->chains[i].b);
	return union_root(parent, net->branches[branch].a) == union_root(parent, net->branches[branch].b);
}

static bool rails_differ(const struct network *net, const struct rail_extra *extras, size_t count,
                         struct arena *arena)
{
	size_t *parent = count > 0 ? arena_array(arena, size_t, net->node_count) : NULL;
	for (size_t i = 0; i < count; i++)
		if (in_loop(net, extras[i].branch, parent))
			return true;
	return false;
}

/* The loop model in the words of the other: a drop below the set voltage is a voltage between cores, and
 * the current in one core is that in the other. */
static void solve_loop(struct network *net, const struct rail_extra *extras, size_t count,
                       struct arena *arena, struct two_rail_solution *out)
{
	struct net_solution ns;
	for (size_t i = 0; i < count; i++) {
		double *ohm = &net->branches[extras[i].branch].ohm;
		*ohm = fmax(*ohm + extras[i].plus_ohm + extras[i].minus_ohm, BRANCH_FLOOR_OHM);
	}
	network_solve(net, arena, &ns);
	double *volts = arena_array(arena, double, net->node_count);
	for (size_t i = 0; i < net->node_count; i++)
		volts[i] = net->set_v - ns.node_drop[i];
	*out = (struct two_rail_solution){
		.converged = ns.converged, .iterations = ns.iterations, .residual_a = ns.residual_a,
		.balance_w = ns.balance_w, .source_a = ns.source_a, .node_v = volts, .plus_a = ns.branch_a,
		.minus_a = ns.branch_a, .unit_amps = ns.unit_amps,
	};
}

static double strip_amps(const struct job *job, size_t strip, const struct network *net, size_t chain,
                         const double *unit_amps)
{
	const double *amps = unit_amps + net->chains[chain].first;
	double sum = 0;
	for (size_t k = 0; k < job->strips[strip].units; k++)
		sum += amps[k];
	return sum;
}

static void record(const struct state_solver *s, size_t circuit, const struct circuit_net *cn,
                   const struct two_rail_solution *found)
{
	const struct topology *t = &s->topology;
	struct state_solution *out = s->out;
	out->converged = out->converged && found->converged;
	out->residual_a = fmax(out->residual_a, found->residual_a);
	out->driver_a[t->circuit_drivers.list[t->circuit_drivers.first[circuit]]] = found->source_a;
	for (size_t i = 0; i < cn->terminal_count; i++)
		if (cn->node_of[cn->terminals[i]] != NODE_NONE)
			out->terminal_v[cn->terminals[i]] = found->node_v[cn->node_of[cn->terminals[i]]];
	const size_t *cables = t->circuit_cables.list + t->circuit_cables.first[circuit];
	for (size_t i = 0; i < group_size(&t->circuit_cables, circuit); i++) {
		if (cn->cable_branch[i] == NO_INDEX)
			continue;
		out->cable_a[cables[i]] = found->plus_a[cn->cable_branch[i]];
		out->cable_minus_a[cables[i]] = found->minus_a[cn->cable_branch[i]];
	}
	const size_t *switches = t->circuit_switches.list + t->circuit_switches.first[circuit];
	for (size_t i = 0; i < group_size(&t->circuit_switches, circuit); i++)
		if (cn->switch_branch[i] != NO_INDEX)
			out->switch_a[switches[i]] = found->plus_a[cn->switch_branch[i]];
	const size_t *strips = t->circuit_strips.list + t->circuit_strips.first[circuit];
	for (size_t i = 0; i < group_size(&t->circuit_strips, circuit); i++)
		if (cn->strip_chain[i] != NO_INDEX)
			out->strip_a[strips[i]] = strip_amps(s->job, strips[i], &cn->net, cn->strip_chain[i],
			                                     found->unit_amps);
}

static void solve_circuit(struct state_solver *s, size_t circuit)
{
	struct circuit_net cn;
	struct two_rail_solution found;
	if (group_size(&s->topology.circuit_drivers, circuit) != 1)
		return;
	topology_reach(&s->topology, circuit, s->on, s->parent, s->zone_live);
	struct live_part live = { s->zone_live, s->on };
	circuit_net_build(&cn, &s->topology, circuit, live, s->node_of, s->scratch);
	struct rail_extra *extras = arena_array(s->scratch, struct rail_extra, s->extra_count);
	size_t count = place_extras(s, circuit, &cn, extras);
	if (rails_differ(&cn.net, extras, count, s->scratch))
		two_rail_solve(&cn.net, extras, count, s->scratch, &found);
	else
		solve_loop(&cn.net, extras, count, s->scratch, &found);
	record(s, circuit, &cn, &found);
	arena_reset(s->scratch);
}

struct state_solution *solve_state(const struct job *job, const bool *on, const struct core_extra *extras,
                                   size_t extra_count, size_t only, struct arena *arena)
{
	struct arena *work = arena_child(arena);
	struct state_solver s = { .job = job, .on = on, .extras = extras, .extra_count = extra_count,
	                          .out = new_solution(job, arena), .scratch = arena_child(work) };
	if (only == NO_INDEX)
		topology_build(&s.topology, job, work);
	else
		topology_build_one(&s.topology, job, only, work);
	s.node_of = arena_array(work, uint32_t, job->terminal_count);
	s.parent = arena_array(work, size_t, s.topology.zone_count);
	s.zone_live = arena_array(work, bool, s.topology.zone_count);
	for (size_t c = 0; c < s.topology.circuit_count; c++)
		solve_circuit(&s, c);
	arena_free(work);
	return s.out;
}
