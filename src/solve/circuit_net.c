/* Cables and closed switches become branches, strips become chains from terminal to terminal, the
 * driver a fixed node behind its output resistance. What is not alive is left out. */
#include "solve/circuit_net.h"

struct builder {
	struct circuit_net *out;
	const struct topology *topology;
	const struct job *job;
	size_t circuit;
	struct live_part live;
};

static bool zone_lives(const struct builder *b, size_t terminal)
{
	return !b->live.zone || b->live.zone[b->topology->zone_of[terminal]];
}

static uint32_t node_at(const struct builder *b, size_t terminal)
{
	uint32_t *node = &b->out->node_of[terminal];
	if (*node == NODE_NONE)
		*node = network_add_node(&b->out->net);
	return *node;
}

static size_t terminals_of(const struct job *job, enum kind kind, size_t index)
{
	switch (kind) {
	case KIND_SWITCH: return 2;
	case KIND_STRIP:  return 2 + job->strips[index].tap_count;
	default:          return 1;
	}
}

/* A kind's items with the terminals that are their own: cables have none. */
static void list_kind(struct builder *b, const struct grouping *g, enum kind kind, struct arena *arena,
                      size_t *capacity)
{
	struct circuit_net *out = b->out;
	for (size_t k = g->first[b->circuit]; k < g->first[b->circuit + 1]; k++) {
		size_t first = item_terminal(b->job, kind, g->list[k]);
		for (size_t i = 0; i < terminals_of(b->job, kind, g->list[k]); i++) {
			out->terminals = arena_grow(arena, out->terminals, out->terminal_count, capacity,
			                            sizeof(size_t));
			out->terminals[out->terminal_count++] =
				i < 2 ? first + i : b->job->strips[g->list[k]].taps[i - 2];
		}
	}
}

static void list_terminals(struct builder *b, struct arena *arena)
{
	const struct topology *t = b->topology;
	size_t capacity = 0;
	b->out->terminals = NULL;
	b->out->terminal_count = 0;
	list_kind(b, &t->circuit_drivers, KIND_DRIVER, arena, &capacity);
	list_kind(b, &t->circuit_switches, KIND_SWITCH, arena, &capacity);
	list_kind(b, &t->circuit_blocks, KIND_BLOCK, arena, &capacity);
	list_kind(b, &t->circuit_strips, KIND_STRIP, arena, &capacity);
	for (size_t i = 0; i < b->out->terminal_count; i++)
		b->out->node_of[b->out->terminals[i]] = NODE_NONE;
}

static void add_driver(struct builder *b)
{
	const struct driver *driver =
		&b->job->drivers[b->topology->circuit_drivers.list[b->topology->circuit_drivers.first[b->circuit]]];
	struct network *net = &b->out->net;
	net->set_v = driver->set_v;
	uint32_t source = network_add_node(net);
	network_fix(net, source, 0);
	b->out->driver_branch = NO_INDEX;
	if (driver->output_resistance.num > 0) {
		b->out->driver_branch = net->branch_count;
		network_add_branch(net, source, node_at(b, driver->terminal), driver->output_resistance.num);
	} else {
		b->out->node_of[driver->terminal] = source;
	}
}

static void add_cables(struct builder *b, struct arena *arena)
{
	const struct grouping *g = &b->topology->circuit_cables;
	size_t first = g->first[b->circuit], count = group_size(g, b->circuit);
	b->out->cable_branch = arena_array(arena, size_t, count);
	for (size_t i = 0; i < count; i++) {
		const struct cable *cable = &b->job->cables[g->list[first + i]];
		b->out->cable_branch[i] = NO_INDEX;
		if (!zone_lives(b, cable->a))
			continue;
		b->out->cable_branch[i] = b->out->net.branch_count;
		network_add_branch(&b->out->net, node_at(b, cable->a), node_at(b, cable->b), cable->ohm);
	}
}

static void add_switches(struct builder *b, struct arena *arena)
{
	const struct grouping *g = &b->topology->circuit_switches;
	size_t first = g->first[b->circuit], count = group_size(g, b->circuit);
	b->out->switch_branch = arena_array(arena, size_t, count);
	for (size_t i = 0; i < count; i++) {
		size_t index = g->list[first + i];
		const struct switch_item *s = &b->job->switches[index];
		b->out->switch_branch[i] = NO_INDEX;
		if ((b->live.switch_on && !b->live.switch_on[index]) || !zone_lives(b, s->terminal))
			continue;
		b->out->switch_branch[i] = b->out->net.branch_count;
		network_add_branch(&b->out->net, node_at(b, s->terminal), node_at(b, s->terminal + 1), s->on_ohm);
	}
}

static void add_strip(struct builder *b, const struct strip *strip)
{
	double section = strip->loop_ohm_per_m * strip->pitch;
	size_t from = strip->terminal, mark = 0;
	for (size_t k = 0; k <= strip->tap_count; k++) {
		size_t to = k < strip->tap_count ? strip->taps[k] : strip->terminal + 1;
		size_t end = k < strip->tap_count ? b->job->terminals[to].mark : strip->units;
		network_add_chain(&b->out->net, node_at(b, from), node_at(b, to), end - mark, section, strip->law);
		from = to;
		mark = end;
	}
}

static void add_strips(struct builder *b, struct arena *arena)
{
	const struct grouping *g = &b->topology->circuit_strips;
	size_t first = g->first[b->circuit], count = group_size(g, b->circuit);
	b->out->strip_chain = arena_array(arena, size_t, count);
	for (size_t i = 0; i < count; i++) {
		const struct strip *strip = &b->job->strips[g->list[first + i]];
		b->out->strip_chain[i] = NO_INDEX;
		if (!zone_lives(b, strip->terminal))
			continue;
		b->out->strip_chain[i] = b->out->net.chain_count;
		add_strip(b, strip);
	}
}

void circuit_net_build(struct circuit_net *out, const struct topology *topology, size_t circuit,
                       struct live_part live, uint32_t *node_of, struct arena *arena)
{
	struct builder b = { out, topology, topology->job, circuit, live };
	out->node_of = node_of;
	network_init(&out->net, arena, 0);
	list_terminals(&b, arena);
	add_driver(&b);
	add_cables(&b, arena);
	add_switches(&b, arena);
	add_strips(&b, arena);
}
