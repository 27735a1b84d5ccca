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

static void forget_terminals(const struct builder *b)
{
	const struct topology *t = b->topology;
	const struct job *job = b->job;
	for (size_t k = t->circuit_drivers.first[b->circuit]; k < t->circuit_drivers.first[b->circuit + 1]; k++)
		b->out->node_of[job->drivers[t->circuit_drivers.list[k]].terminal] = NODE_NONE;
	for (size_t k = t->circuit_switches.first[b->circuit]; k < t->circuit_switches.first[b->circuit + 1]; k++)
		for (size_t side = 0; side < 2; side++)
			b->out->node_of[job->switches[t->circuit_switches.list[k]].terminal + side] = NODE_NONE;
	for (size_t k = t->circuit_blocks.first[b->circuit]; k < t->circuit_blocks.first[b->circuit + 1]; k++)
		b->out->node_of[job->blocks[t->circuit_blocks.list[k]].terminal] = NODE_NONE;
	for (size_t k = t->circuit_strips.first[b->circuit]; k < t->circuit_strips.first[b->circuit + 1]; k++) {
		const struct strip *strip = &job->strips[t->circuit_strips.list[k]];
		b->out->node_of[strip->terminal] = NODE_NONE;
		b->out->node_of[strip->terminal + 1] = NODE_NONE;
		for (size_t i = 0; i < strip->tap_count; i++)
			b->out->node_of[strip->taps[i]] = NODE_NONE;
	}
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
		if (b->live.switch_on && !b->live.switch_on[index])
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
	forget_terminals(&b);
	add_driver(&b);
	add_cables(&b, arena);
	add_switches(&b, arena);
	add_strips(&b, arena);
}
