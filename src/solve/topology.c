/* Union-find over terminals, then counting sorts. */
#include "solve/topology.h"

#include "base/union_find.h"

/* Joins what cables and strips join; switches only where asked. Returns how many parts there are, and
 * numbers them in the order of their first terminal. */
static size_t number_parts(const struct job *job, struct arena *arena, bool through_switches, size_t **out)
{
	size_t *parent = arena_array(arena, size_t, job->terminal_count);
	size_t *number = arena_array(arena, size_t, job->terminal_count);
	size_t count = 0;
	union_reset(parent, job->terminal_count);
	for (size_t i = 0; i < job->cable_count; i++)
		union_join(parent, job->cables[i].a, job->cables[i].b);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		union_join(parent, strip->terminal, strip->terminal + 1);
		for (size_t k = 0; k < strip->tap_count; k++)
			union_join(parent, strip->terminal, strip->taps[k]);
	}
	for (size_t i = 0; through_switches && i < job->switch_count; i++)
		union_join(parent, job->switches[i].terminal, job->switches[i].terminal + 1);
	for (size_t t = 0; t < job->terminal_count; t++) {
		size_t root = union_root(parent, t);     /* the smallest terminal of its part */
		number[t] = root == t ? count++ : number[root];
	}
	*out = number;
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

static struct grouping group_by_circuit(const struct topology *t, struct arena *arena, enum kind kind)
{
	size_t count = job_count(t->job, kind);
	struct grouping g = new_grouping(arena, t->circuit_count, count);
	for (size_t i = 0; i < count; i++)
		count_member(&g, t->circuit_of[item_terminal(t->job, kind, i)]);
	close_counts(&g, t->circuit_count);
	for (size_t i = 0; i < count; i++)
		put_member(&g, t->circuit_of[item_terminal(t->job, kind, i)], i);
	return g;
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
	t->job = job;
	t->circuit_count = number_parts(job, arena, true, &t->circuit_of);
	t->zone_count = number_parts(job, arena, false, &t->zone_of);
	t->circuit_drivers = group_by_circuit(t, arena, KIND_DRIVER);
	t->circuit_switches = group_by_circuit(t, arena, KIND_SWITCH);
	t->circuit_blocks = group_by_circuit(t, arena, KIND_BLOCK);
	t->circuit_strips = group_by_circuit(t, arena, KIND_STRIP);
	t->circuit_cables = group_by_circuit(t, arena, KIND_CABLE);
	t->terminal_cables = group_cables_by_terminal(job, arena);
}
