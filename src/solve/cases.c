/* The way back to the driver, zone by zone. */
#include "solve/cases.h"

void cases_init(struct cases *cases, const struct topology *topology, struct arena *arena)
{
	*cases = (struct cases){
		.topology = topology,
		.through = arena_array(arena, size_t, topology->zone_count),
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
	for (size_t level = 0, found = 1; found > 0; level++) {
		found = 0;
		for (size_t i = 0; i < count; i++) {
			size_t index = g->list[first + i];
			size_t a = zone_at(s, index, 0), b = zone_at(s, index, 1);
			size_t near = s->depth[a] == level ? a : b, far = near == a ? b : a;
			if (s->depth[near] != level || s->depth[far] != NO_INDEX)
				continue;
			s->depth[far] = level + 1;
			s->through[far] = index;
			found++;
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

/* Marks (or unmarks) the switch and the route to it as on and alive. */
static void set_route(struct cases *s, size_t index, bool on)
{
	size_t zone = near_zone(s, index);
	s->switch_on[index] = on;
	s->zone_live[far_zone(s, index)] = on;
	for (;;) {
		s->zone_live[zone] = on;
		size_t through = s->through[zone];
		if (through == NO_INDEX)
			return;
		s->switch_on[through] = on;
		zone = near_zone(s, through);
	}
}

size_t cases_lit_zone(const struct cases *s, size_t index)
{
	size_t far = far_zone(s, index);
	return far != near_zone(s, index) ? far : NO_INDEX;
}

struct live_part cases_begin(struct cases *s, size_t index)
{
	set_route(s, index, true);
	return (struct live_part){ s->zone_live, s->switch_on };
}

void cases_end(struct cases *s, size_t index)
{
	set_route(s, index, false);
}
