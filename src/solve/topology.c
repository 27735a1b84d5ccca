/* Union-find over terminals, then counting sorts. Zones are joined first; switches then make circuits of
 * them. */
#include "solve/topology.h"

#include "base/union_find.h"

static size_t *join_zones(const struct job *job, struct arena *arena)
{
	size_t *parent = arena_array(arena, size_t, job->terminal_count);
	union_reset(parent, job->terminal_count);
	for (size_t i = 0; i < job->cable_count; i++)
		union_join(parent, job->cables[i].a, job->cables[i].b);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		union_join(parent, strip->terminal, strip->terminal + 1);
		for (size_t k = 0; k < strip->tap_count; k++)
			union_join(parent, strip->terminal, strip->taps[k]);
	}
	return parent;
}

static void join_through_switches(const struct job *job, size_t *parent)
{
	for (size_t i = 0; i < job->switch_count; i++)
		union_join(parent, job->switches[i].terminal, job->switches[i].terminal + 1);
}

/* Numbers the parts in the order of their first terminal; returns how many there are. */
static size_t number_parts(const struct job *job, size_t *parent, size_t *number)
{
	size_t count = 0;
	for (size_t t = 0; t < job->terminal_count; t++) {
		size_t root = union_root(parent, t);     /* the smallest terminal of its part */
		number[t] = root == t ? count++ : number[root];
	}
	return count;
}

static struct grouping new_grouping(struct arena *arena, size_t groups, size_t members)
{
	return (struct grouping){ arena_array(arena, size_t, groups + 2), arena_array(arena, size_t, members) };
}

static void count_member(struct grouping *g, size_t group)
{
	g->first[group + 2]++;
}

static void close_counts(struct grouping *g, size_t groups)
{
	for (size_t i = 2; i < groups + 2; i++)
		g->first[i] += g->first[i - 1];
}

static void put_member(struct grouping *g, size_t group, size_t member)
{
	g->list[g->first[group + 1]++] = member;
}

/* Items of circuits that are not told apart (topology_build_one) are in no group. */
static struct grouping group_by_circuit(const struct topology *t, struct arena *arena, enum kind kind)
{
	size_t count = job_count(t->job, kind), members = 0;
	struct grouping g = { .first = arena_array(arena, size_t, t->circuit_count + 2) };
	for (size_t i = 0; i < count; i++) {
		size_t circuit = t->circuit_of[item_terminal(t->job, kind, i)];
		if (circuit >= t->circuit_count)
			continue;
		count_member(&g, circuit);
		members++;
	}
	close_counts(&g, t->circuit_count);
	g.list = arena_array(arena, size_t, members);
	for (size_t i = 0; i < count; i++) {
		size_t circuit = t->circuit_of[item_terminal(t->job, kind, i)];
		if (circuit < t->circuit_count)
			put_member(&g, circuit, i);
	}
	return g;
}

static void group_items(struct topology *t, struct arena *arena)
{
	t->circuit_drivers = group_by_circuit(t, arena, KIND_DRIVER);
	t->circuit_switches = group_by_circuit(t, arena, KIND_SWITCH);
	t->circuit_blocks = group_by_circuit(t, arena, KIND_BLOCK);
	t->circuit_strips = group_by_circuit(t, arena, KIND_STRIP);
	t->circuit_cables = group_by_circuit(t, arena, KIND_CABLE);
}

static struct grouping group_cables_by_terminal(const struct job *job, struct arena *arena)
{
	struct grouping g = new_grouping(arena, job->terminal_count, 2 * job->cable_count);
	for (size_t i = 0; i < job->cable_count; i++) {
		count_member(&g, job->cables[i].a);
		count_member(&g, job->cables[i].b);
	}
	close_counts(&g, job->terminal_count);
	for (size_t i = 0; i < job->cable_count; i++) {
		put_member(&g, job->cables[i].a, i);
		put_member(&g, job->cables[i].b, i);
	}
	return g;
}

void topology_build(struct topology *t, const struct job *job, struct arena *arena)
{
	size_t *parent = join_zones(job, arena);
	t->job = job;
	t->zone_of = arena_array(arena, size_t, job->terminal_count);
	t->circuit_of = arena_array(arena, size_t, job->terminal_count);
	t->zone_count = number_parts(job, parent, t->zone_of);
	join_through_switches(job, parent);
	t->circuit_count = number_parts(job, parent, t->circuit_of);
	group_items(t, arena);
	t->terminal_cables = group_cables_by_terminal(job, arena);
}

void topology_build_one(struct topology *t, const struct job *job, size_t terminal, struct arena *arena)
{
	size_t *parent = join_zones(job, arena);
	*t = (struct topology){ .job = job, .circuit_count = 1 };
	t->zone_of = arena_array(arena, size_t, job->terminal_count);
	t->circuit_of = arena_array(arena, size_t, job->terminal_count);
	t->zone_count = number_parts(job, parent, t->zone_of);
	join_through_switches(job, parent);
	size_t wanted = union_root(parent, terminal);
	for (size_t i = 0; i < job->terminal_count; i++)
		t->circuit_of[i] = union_root(parent, i) == wanted ? 0 : 1;
	group_items(t, arena);
}

/* The zones at either side of a switch. */
static void switch_zones(const struct topology *t, size_t index, size_t side[2])
{
	side[0] = t->zone_of[t->job->switches[index].terminal];
	side[1] = t->zone_of[t->job->switches[index].terminal + 1];
}

void topology_reach(const struct topology *t, size_t circuit, const bool *on, size_t *parent, bool *zone_live)
{
	const struct grouping *g = &t->circuit_switches;
	size_t driver = t->circuit_drivers.list[t->circuit_drivers.first[circuit]];
	size_t home = t->zone_of[t->job->drivers[driver].terminal], side[2];

	parent[home] = home;
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		switch_zones(t, g->list[k], side);
		parent[side[0]] = side[0];
		parent[side[1]] = side[1];
	}
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		switch_zones(t, g->list[k], side);
		if (!on || on[g->list[k]])
			union_join(parent, side[0], side[1]);
	}
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++) {
		switch_zones(t, g->list[k], side);
		for (size_t i = 0; i < 2; i++)
			zone_live[side[i]] = union_root(parent, side[i]) == union_root(parent, home);
	}
	zone_live[home] = true;
}
