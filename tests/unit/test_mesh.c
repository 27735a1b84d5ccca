/* Elimination of nodes against answers that are known beforehand: x is chosen, and the sources
 * that make it the answer follow from it. */
#include "support.h"

#include "oracle/chance.h"
#include "solve/mesh.h"

#define GRAPHS 400
#define MOST_NODES 24
#define MOST_EDGES 400

struct graph {
	size_t nodes, edges;
	struct mesh_edge ends[MOST_EDGES];
	bool held[MOST_NODES];
	double g[MOST_EDGES], shunt[MOST_NODES], source[MOST_NODES], x[MOST_NODES];
};

static void add_edge(struct graph *graph, uint32_t a, uint32_t b, double g)
{
	graph->ends[graph->edges] = (struct mesh_edge){ a, b };
	graph->g[graph->edges++] = g;
}

static void choose_answer(struct chance *c, struct graph *graph)
{
	for (size_t i = 0; i < graph->nodes; i++) {
		graph->x[i] = chance_between(c, 0.1, 2);
		graph->shunt[i] = chance_below(c, 2) ? chance_decades(c, 1e-3, 1) : 0;
		graph->source[i] = graph->shunt[i] * graph->x[i];
	}
	for (size_t e = 0; e < graph->edges; e++) {
		uint32_t a = graph->ends[e].a, b = graph->ends[e].b;
		double amps = graph->g[e] * (graph->x[a] - graph->x[b]);
		graph->source[a] += amps;
		graph->source[b] -= amps;
	}
}

/* A tree with `more` edges, some of them parallel or from a node to itself. */
static void random_graph(struct chance *c, struct graph *graph)
{
	*graph = (struct graph){ .nodes = 2 + chance_below(c, MOST_NODES - 1) };
	graph->held[0] = true;
	graph->held[1 + chance_below(c, graph->nodes - 1)] = chance_below(c, 2) == 0;
	for (uint32_t i = 1; i < graph->nodes; i++)
		add_edge(graph, (uint32_t)chance_below(c, i), i, chance_decades(c, 0.01, 100));
	size_t room = MOST_EDGES - graph->edges;
	for (size_t more = chance_below(c, chance_below(c, 2) ? 4 : room); more > 0; more--)
		add_edge(graph, (uint32_t)chance_below(c, graph->nodes), (uint32_t)chance_below(c, graph->nodes),
		         chance_decades(c, 0.01, 100));
	choose_answer(c, graph);
}

static void fill(struct mesh_work *w, const struct graph *graph, size_t lane)
{
	for (size_t e = 0; e < graph->edges; e++)
		w->g[e * w->width + lane] = graph->g[e];
	for (size_t i = 0; i < graph->nodes; i++) {
		w->shunt[i * w->width + lane] = graph->shunt[i];
		w->source[i * w->width + lane] = graph->source[i];
		w->x[i * w->width + lane] = graph->held[i] ? graph->x[i] : NAN;
	}
}

static void graphs_have_the_chosen_answer(void **state)
{
	(void)state;
	struct chance chance = { 1 };
	static struct graph graph;
	for (int i = 0; i < GRAPHS; i++) {
		struct arena *arena = arena_new();
		random_graph(&chance, &graph);
		struct mesh *mesh = mesh_new(arena, graph.nodes, graph.held, graph.ends, graph.edges);
		struct mesh_work w = mesh_work_new(mesh, 1, arena);
		fill(&w, &graph, 0);
		mesh_solve(mesh, &w);
		for (size_t k = 0; k < graph.nodes; k++)
			assert_near(w.x[k], graph.x[k], 0, 1e-8);
		/* used up and filled again, it gives the same again */
		double before = w.x[graph.nodes - 1];
		fill(&w, &graph, 0);
		mesh_solve(mesh, &w);
		assert_true(memcmp(&before, &w.x[graph.nodes - 1], sizeof before) == 0);
		arena_free(arena);
	}
}

/* Lane by lane the same operations: not one bit differs. */
static void lanes_have_the_same_bits(void **state)
{
	(void)state;
	struct chance chance = { 2 };
	static struct graph graph;
	for (int i = 0; i < GRAPHS / 4; i++) {
		struct arena *arena = arena_new();
		random_graph(&chance, &graph);
		struct mesh *mesh = mesh_new(arena, graph.nodes, graph.held, graph.ends, graph.edges);
		struct mesh_work together = mesh_work_new(mesh, BATCH_LANES, arena);
		struct mesh_work one[BATCH_LANES];
		EACH_LANE (l) {
			for (size_t e = 0; e < graph.edges; e++)
				graph.g[e] *= chance_between(&chance, 0.5, 2);
			choose_answer(&chance, &graph);
			one[l] = mesh_work_new(mesh, 1, arena);
			fill(&one[l], &graph, 0);
			mesh_solve(mesh, &one[l]);
			fill(&together, &graph, (size_t)l);
		}
		mesh_solve(mesh, &together);
		EACH_LANE (l)
			for (size_t k = 0; k < graph.nodes; k++)
				assert_memory_equal(&together.x[k * BATCH_LANES + (size_t)l], &one[l].x[k],
				                    sizeof(double));
		arena_free(arena);
	}
}

/* A load of 1 uS behind 1 MS, 1 GS and 1 S from 2 V: x = 2 V x 1 S / (1 S + 1 uS) and a little
 * more along the way; all digits of the difference between the nodes' currents would be lost to
 * subtraction. */
static void widely_spread_conductances_keep_their_digits(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	const bool held[] = { true, false, false, false };
	const struct mesh_edge ends[] = { { 0, 1 }, { 2, 1 }, { 2, 3 } };
	const double ohm[] = { 1, 1e-9, 1e-6 }, load = 1e-6;
	struct mesh *mesh = mesh_new(arena, 4, held, ends, 3);
	struct mesh_work w = mesh_work_new(mesh, 1, arena);
	w.x[0] = 2;
	w.shunt[3] = load;
	for (int e = 0; e < 3; e++)
		w.g[e] = 1 / ohm[e];
	mesh_solve(mesh, &w);
	double amps = 2 / (1 / load + 1 + 1e-9 + 1e-6);
	assert_near(w.x[3], amps / load, 4e-16, 0);
	assert_near(w.x[1], 2 - amps, 4e-16, 0);
	arena_free(arena);
}

/* 3 S and 2 S from 2 V, in a row or side by side, 1 A out of the end of the second: 1/3 V and 1/2 V are lost in
 * them where it flows, whichever node of the list is held. */
static void any_node_may_be_held(void **state)
{
	(void)state;
	for (uint32_t i = 0; i < 6; i++) {
		struct arena *arena = arena_new();
		uint32_t source = i % 3, one = (i + 1) % 3, two = (i + 2) % 3;
		bool held[3] = { false }, in_a_row = i < 3;
		held[source] = true;
		const struct mesh_edge ends[] = { { source, one }, { in_a_row ? one : source, two } };
		struct mesh *mesh = mesh_new(arena, 3, held, ends, 2);
		struct mesh_work w = mesh_work_new(mesh, 1, arena);
		w.x[source] = 2;
		w.g[0] = 3;
		w.g[1] = 2;
		w.source[two] = -1;
		mesh_solve(mesh, &w);
		double lost = in_a_row ? 1.0 / 3 : 0;
		assert_near(w.x[one], 2 - lost, 1e-15, 0);
		assert_near(w.x[two], 2 - lost - 0.5, 1e-15, 0);
		arena_free(arena);
	}
}

static void a_node_joined_to_nothing_has_no_answer(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	const bool held[] = { true, false, false, false };
	const struct mesh_edge ends[] = { { 0, 1 }, { 2, 3 } };
	struct mesh *mesh = mesh_new(arena, 4, held, ends, 2);
	struct mesh_work w = mesh_work_new(mesh, 1, arena);
	w.g[0] = w.g[1] = 1;
	w.x[0] = 3;
	mesh_solve(mesh, &w);
	assert_near(w.x[1], 3, 0, 0);
	assert_false(isfinite(w.x[2]) || isfinite(w.x[3]));
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(graphs_have_the_chosen_answer),
		cmocka_unit_test(lanes_have_the_same_bits),
		cmocka_unit_test(widely_spread_conductances_keep_their_digits),
		cmocka_unit_test(any_node_may_be_held),
		cmocka_unit_test(a_node_joined_to_nothing_has_no_answer),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
