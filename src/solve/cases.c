/* The ways back to the driver, zone by zone: all of those with the fewest switches, so that the order in which a
 * file names them decides nothing. */
#include "solve/cases.h"

void cases_init(struct cases *cases, const struct topology *topology, struct arena *arena)
{
	*cases = (struct cases){
		.topology = topology,
		.through = arena_array(arena, size_t, topology->zone_count),
		.beside = arena_array(arena, size_t, topology->job->switch_count),
		.pending = arena_array(arena, size_t, topology->zone_count),
		.depth = arena_array(arena, size_t, topology->zone_count),
		.zone_live = arena_array(arena, bool, topology->zone_count),
		.switch_on = arena_array(arena, bool, topology->job->switch_count),
	};
}

/* The zone at the `in` (0) or `out` (1) of a switch. */
static size_t zone_at(const struct cases *s, size_t index, size_t side)
{
	return s->topology->zone_of[s->topology->job->switches[index].terminal + side];
}

/* Breadth first from the driver's zone over the circuit's switches. */
void cases_of_circuit(struct cases *s, size_t circuit)
{
	const struct topology *t = s->topology;
	const struct grouping *g = &t->circuit_switches;
	size_t first = g->first[circuit], count = group_size(g, circuit);
	size_t driver = t->circuit_drivers.list[t->circuit_drivers.first[circuit]];

	for (size_t i = 0; i < count; i++)
		for (size_t side = 0; side < 2; side++)
			s->depth[zone_at(s, g->list[first + i], side)] = NO_INDEX;
	size_t home = t->zone_of[t->job->drivers[driver].terminal];
	s->depth[home] = 0;
	s->through[home] = NO_INDEX;
	bool found = true;
	for (size_t level = 0; found; level++) {
		found = false;
		for (size_t i = 0; i < count; i++) {
			size_t index = g->list[first + i];
			size_t a = zone_at(s, index, 0), b = zone_at(s, index, 1);
			size_t near = s->depth[a] == level ? a : b, far = near == a ? b : a;
			if (s->depth[near] != level || (s->depth[far] != NO_INDEX && s->depth[far] != level + 1))
				continue;
			if (s->depth[far] == NO_INDEX)
				s->through[far] = NO_INDEX;
			s->depth[far] = level + 1;
			s->beside[index] = s->through[far];
			s->through[far] = index;
			found = true;
		}
	}
}

static size_t far_zone(const struct cases *s, size_t index)
{
	size_t a = zone_at(s, index, 0);
	size_t b = zone_at(s, index, 1);
	return s->depth[a] <= s->depth[b] ? b : a;
}

static size_t near_zone(const struct cases *s, size_t index)
{
	size_t a = zone_at(s, index, 0);
	size_t b = zone_at(s, index, 1);
	return s->depth[a] <= s->depth[b] ? a : b;
}

/* Marks (or unmarks) the switch and the ways to it as on and alive. */
static void set_ways(struct cases *s, size_t index, bool on)
{
	size_t count = 0;
	s->switch_on[index] = on;
	s->zone_live[far_zone(s, index)] = on;
	s->zone_live[near_zone(s, index)] = on;
	s->pending[count++] = near_zone(s, index);
	while (count > 0) {
		size_t zone = s->pending[--count];
		for (size_t i = s->through[zone]; i != NO_INDEX; i = s->beside[i]) {
			size_t near = near_zone(s, i);
			s->switch_on[i] = on;
			if (s->zone_live[near] != on)
				s->pending[count++] = near;
			s->zone_live[near] = on;
		}
	}
}

size_t cases_lit_zone(const struct cases *s, size_t index)
{
	size_t far = far_zone(s, index);
	return far != near_zone(s, index) ? far : NO_INDEX;
}

struct live_part cases_begin(struct cases *s, size_t index)
{
	set_ways(s, index, true);
	return (struct live_part){ s->zone_live, s->switch_on };
}

void cases_end(struct cases *s, size_t index)
{
	set_ways(s, index, false);
}
