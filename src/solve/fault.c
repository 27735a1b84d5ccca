/* Resistance from the driver to every terminal, by blocks.
 *
 * A depth-first search from the driver splits the graph into biconnected parts (Tarjan 1972). A part that
 * is one edge is a bridge: R(far) = R(near) + r. In any other part (a loop) R(x) = R(entry) + the diagonal
 * of the inverse of the part's conductance matrix grounded at its entry, because all current into the
 * part passes through that one terminal. So trees cost linear time and only true loops are factored.
 *
 * A bridge cable guards all that lies beyond it; in a loop current comes both ways round, so what guards
 * it lies before its entry. */
#include "solve/fault.h"

#include "solve/klu_matrix.h"
#include "solve/network.h"

#include <math.h>

struct edge {
	uint32_t a, b;               /* nodes */
	double ohm;
	size_t cable;                /* NO_INDEX for switches and strips */
};

struct part { size_t first_edge, edge_count; uint32_t entry; };

struct graph {
	struct edge *edges;  size_t edge_count, edge_capacity;
	uint32_t node_count;
	size_t *first, *incident;    /* edges at each node */
	/* the search */
	uint32_t *order, *low;       /* order 0: not seen yet */
	size_t *next;                /* next incident edge to follow */
	size_t *by;                  /* edge that led here */
	size_t *stack; size_t stack_size;        /* edges of parts that are still open */
	struct part *parts; size_t part_count, part_capacity;
	size_t *part_edges; size_t part_edge_count;
	/* the answers */
	double *ohm;                 /* from the driver */
	size_t *guard;               /* bridge cable next towards the driver */
};

static uint32_t node_for(struct graph *g, uint32_t *node_of, size_t terminal)
{
	if (node_of[terminal] == UINT32_MAX)
		node_of[terminal] = g->node_count++;
	return node_of[terminal];
}

static void add_edge(struct graph *g, struct arena *arena, uint32_t a, uint32_t b, double ohm, size_t cable)
{
	g->edges = arena_grow(arena, g->edges, g->edge_count, &g->edge_capacity, sizeof(struct edge));
	g->edges[g->edge_count++] = (struct edge){ a, b, fmax(ohm, BRANCH_FLOOR_OHM), cable };
}

static void add_strip(struct graph *g, struct arena *arena, const struct job *job,
                      const struct strip *strip, uint32_t *node_of)
{
	size_t from = strip->terminal, mark = 0;
	for (size_t k = 0; k <= strip->tap_count; k++) {
		size_t to = k < strip->tap_count ? strip->taps[k] : strip->terminal + 1;
		size_t end = k < strip->tap_count ? job->terminals[to].mark : strip->units;
		double ohm = strip->loop_ohm_per_m * strip->pitch * (double)(end - mark);
		add_edge(g, arena, node_for(g, node_of, from), node_for(g, node_of, to), ohm, NO_INDEX);
		from = to;
		mark = end;
	}
}

static void forget(const struct topology *t, size_t circuit, uint32_t *node_of)
{
	const struct job *job = t->job;
	for (size_t k = t->circuit_cables.first[circuit]; k < t->circuit_cables.first[circuit + 1]; k++) {
		node_of[job->cables[t->circuit_cables.list[k]].a] = UINT32_MAX;
		node_of[job->cables[t->circuit_cables.list[k]].b] = UINT32_MAX;
	}
	for (size_t k = t->circuit_switches.first[circuit]; k < t->circuit_switches.first[circuit + 1]; k++)
		for (size_t side = 0; side < 2; side++)
			node_of[job->switches[t->circuit_switches.list[k]].terminal + side] = UINT32_MAX;
	for (size_t k = t->circuit_strips.first[circuit]; k < t->circuit_strips.first[circuit + 1]; k++) {
		const struct strip *strip = &job->strips[t->circuit_strips.list[k]];
		node_of[strip->terminal] = node_of[strip->terminal + 1] = UINT32_MAX;
		for (size_t i = 0; i < strip->tap_count; i++)
			node_of[strip->taps[i]] = UINT32_MAX;
	}
}

/* The driver is node 0. */
static void collect_edges(struct graph *g, const struct topology *t, size_t circuit, uint32_t *node_of,
                          struct arena *arena)
{
	const struct job *job = t->job;
	size_t driver = t->circuit_drivers.list[t->circuit_drivers.first[circuit]];
	forget(t, circuit, node_of);
	node_of[job->drivers[driver].terminal] = g->node_count++;
	for (size_t k = t->circuit_cables.first[circuit]; k < t->circuit_cables.first[circuit + 1]; k++) {
		size_t c = t->circuit_cables.list[k];
		const struct cable *cable = &job->cables[c];
		add_edge(g, arena, node_for(g, node_of, cable->a), node_for(g, node_of, cable->b), cable->ohm, c);
	}
	for (size_t k = t->circuit_switches.first[circuit]; k < t->circuit_switches.first[circuit + 1]; k++) {
		const struct switch_item *s = &job->switches[t->circuit_switches.list[k]];
		add_edge(g, arena, node_for(g, node_of, s->terminal), node_for(g, node_of, s->terminal + 1),
		         s->on_ohm, NO_INDEX);
	}
	for (size_t k = t->circuit_strips.first[circuit]; k < t->circuit_strips.first[circuit + 1]; k++)
		add_strip(g, arena, job, &job->strips[t->circuit_strips.list[k]], node_of);
}

static void index_edges(struct graph *g, struct arena *arena)
{
	g->first = arena_array(arena, size_t, g->node_count + 2);
	g->incident = arena_array(arena, size_t, 2 * g->edge_count);
	for (size_t e = 0; e < g->edge_count; e++) {
		g->first[g->edges[e].a + 2]++;
		g->first[g->edges[e].b + 2]++;
	}
	for (size_t i = 2; i < g->node_count + 2; i++)
		g->first[i] += g->first[i - 1];
	for (size_t e = 0; e < g->edge_count; e++) {
		g->incident[g->first[g->edges[e].a + 1]++] = e;
		g->incident[g->first[g->edges[e].b + 1]++] = e;
	}
}

static uint32_t other_end(const struct edge *edge, uint32_t node)
{
	return edge->a == node ? edge->b : edge->a;
}

/* Everything on the stack down to the edge that led to `child` is one part, entered at `entry`. */
static void close_part(struct graph *g, struct arena *arena, uint32_t entry, uint32_t child)
{
	struct part part = { .first_edge = g->part_edge_count, .entry = entry };
	size_t edge;
	do {
		edge = g->stack[--g->stack_size];
		g->part_edges[g->part_edge_count++] = edge;
	} while (edge != g->by[child]);
	part.edge_count = g->part_edge_count - part.first_edge;
	g->parts = arena_grow(arena, g->parts, g->part_count, &g->part_capacity, sizeof(part));
	g->parts[g->part_count++] = part;
}

/* Depth first without recursion: networks can be long chains. */
static void find_parts(struct graph *g, struct arena *arena)
{
	uint32_t *path = arena_array(arena, uint32_t, g->node_count);
	size_t depth = 1;
	uint32_t seen = 1;
	path[0] = 0;
	g->order[0] = g->low[0] = seen++;
	g->by[0] = NO_INDEX;
	while (depth > 0) {
		uint32_t node = path[depth - 1];
		if (g->next[node] == g->first[node + 1]) {
			if (--depth == 0)
				break;
			uint32_t above = path[depth - 1];
			if (g->low[node] < g->low[above])
				g->low[above] = g->low[node];
			if (g->low[node] >= g->order[above])
				close_part(g, arena, above, node);
			continue;
		}
		size_t edge = g->incident[g->next[node]++];
		uint32_t far = other_end(&g->edges[edge], node);
		if (edge == g->by[node])
			continue;
		if (g->order[far] == 0) {
			g->order[far] = g->low[far] = seen++;
			g->by[far] = edge;
			g->stack[g->stack_size++] = edge;
			path[depth++] = far;
		} else if (g->order[far] < g->order[node]) {
			g->stack[g->stack_size++] = edge;
			if (g->order[far] < g->low[node])
				g->low[node] = g->order[far];
		}
	}
}

static void solve_bridge(struct graph *g, const struct edge *edge, uint32_t entry)
{
	uint32_t far = other_end(edge, entry);
	g->ohm[far] = g->ohm[entry] + edge->ohm;
	g->guard[far] = edge->cable != NO_INDEX ? edge->cable : g->guard[entry];
}

static void solve_loop(struct graph *g, const struct part *part, uint32_t *local, struct arena *arena)
{
	struct klu_pair *pairs = arena_array(arena, struct klu_pair, part->edge_count);
	uint32_t *node = arena_array(arena, uint32_t, part->edge_count);   /* no loop has more nodes */
	uint32_t count = 0;
	for (size_t i = 0; i < part->edge_count; i++) {
		const struct edge *edge = &g->edges[g->part_edges[part->first_edge + i]];
		const uint32_t ends[2] = { edge->a, edge->b };
		for (int k = 0; k < 2; k++)
			if (ends[k] != part->entry && local[ends[k]] == KLU_GROUND) {
				node[count] = ends[k];
				local[ends[k]] = count++;
			}
		pairs[i] = (struct klu_pair){ local[edge->a], local[edge->b] };
	}
	struct klu_matrix *matrix = klu_matrix_new(arena, count, pairs, part->edge_count);
	for (size_t i = 0; i < part->edge_count; i++)
		klu_matrix_add(matrix, i, 1 / g->edges[g->part_edges[part->first_edge + i]].ohm, 0, 0);
	double *x = arena_array(arena, double, count);
	for (uint32_t i = 0; i < count; i++) {
		for (uint32_t k = 0; k < count; k++)
			x[k] = k == i;
		if (i == 0)
			klu_matrix_solve(matrix, x);
		else
			klu_matrix_resolve(matrix, x);
		g->ohm[node[i]] = g->ohm[part->entry] + x[i];
		g->guard[node[i]] = g->guard[part->entry];
	}
	for (uint32_t i = 0; i < count; i++)
		local[node[i]] = KLU_GROUND;
}

/* Parts close from the outside in, so the last one closed is the one nearest to the driver. */
static void solve_parts(struct graph *g, struct cable_result *cables, size_t *upstream,
                        struct arena *arena)
{
	uint32_t *local = arena_array(arena, uint32_t, g->node_count);
	for (uint32_t i = 0; i < g->node_count; i++)
		local[i] = KLU_GROUND;
	g->guard[0] = NO_INDEX;
	for (size_t p = g->part_count; p-- > 0;) {
		const struct part *part = &g->parts[p];
		bool loop = part->edge_count > 1;
		if (loop)
			solve_loop(g, part, local, arena);
		else
			solve_bridge(g, &g->edges[g->part_edges[part->first_edge]], part->entry);
		for (size_t i = 0; i < part->edge_count; i++) {
			size_t cable = g->edges[g->part_edges[part->first_edge + i]].cable;
			if (cable == NO_INDEX)
				continue;
			cables[cable].in_loop = loop;
			upstream[cable] = g->guard[part->entry];
		}
	}
}

void fault_solve(const struct topology *topology, size_t circuit, struct cable_result *cables,
                 size_t *upstream, uint32_t *node_of, struct arena *scratch)
{
	const struct job *job = topology->job;
	const struct driver *driver =
		&job->drivers[topology->circuit_drivers.list[topology->circuit_drivers.first[circuit]]];
	struct graph g = { 0 };
	collect_edges(&g, topology, circuit, node_of, scratch);
	if (g.edge_count == 0)
		return;                  /* a driver on its own */
	index_edges(&g, scratch);
	g.order = arena_array(scratch, uint32_t, g.node_count);
	g.low = arena_array(scratch, uint32_t, g.node_count);
	g.next = arena_array(scratch, size_t, g.node_count);
	g.by = arena_array(scratch, size_t, g.node_count);
	g.stack = arena_array(scratch, size_t, g.edge_count);
	g.part_edges = arena_array(scratch, size_t, g.edge_count);
	g.ohm = arena_array(scratch, double, g.node_count);
	g.guard = arena_array(scratch, size_t, g.node_count);
	for (uint32_t i = 0; i < g.node_count; i++)
		g.next[i] = g.first[i];
	find_parts(&g, scratch);
	solve_parts(&g, cables, upstream, scratch);
	for (size_t e = 0; e < g.edge_count; e++) {
		const struct edge *edge = &g.edges[e];
		if (edge->cable == NO_INDEX)
			continue;
		double a = g.ohm[edge->a], b = g.ohm[edge->b];
		cables[edge->cable].from_nearer = a <= b;
		cables[edge->cable].fault_a = driver->set_v / (driver->output_resistance.num + fmax(a, b));
	}
}
