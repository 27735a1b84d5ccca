/* The order of elimination with the work of each step written down, and the arithmetic. */
#include "solve/mesh.h"

#include <string.h>

#define NONE UINT32_MAX

/* One conductance of a step: to which neighbour, and which edge holds it. */
struct arm { uint32_t node, edge; };
struct merge { uint32_t into, from; };       /* parallel edges */
struct tie { uint32_t edge, node, held; };   /* an edge to a held node */
struct step { uint32_t node; size_t arm, merge, fill; };   /* from where; to the next step's */

struct mesh {
	size_t edge_count;           /* with those that fill in */
	size_t given_count;
	struct tie *ties;            size_t tie_count;
	struct step *steps;          size_t step_count;   /* one more, as the end */
	struct arm *arms;            size_t arm_count, arm_capacity;
	struct merge *merges;        size_t merge_count, merge_capacity;
	uint32_t *fills;             size_t fill_count, fill_capacity;   /* edge of each pair of arms */
	size_t node_count;
};

/* Half edge 2 e lies at ends[e].a and 2 e + 1 at its b; each node has a list of those at it. */
struct analysis {
	struct arena *scratch, *keep;
	struct mesh *mesh;
	struct mesh_edge *ends;      size_t end_capacity;
	uint32_t *next_half;         size_t half_capacity;
	uint32_t *first_half;        /* of each node */
	uint32_t *degree;            /* edges to what is left */
	uint32_t *bucket, *newer, *older;   /* nodes by degree */
	size_t bucket_count;
	bool *gone;
	size_t *seen_in;             /* step in which a node was last seen, + 1 */
	uint32_t *edge_to;           /* by which edge */
};

static void put_in_bucket(struct analysis *a, uint32_t node)
{
	size_t at = a->degree[node] < a->bucket_count ? a->degree[node] : a->bucket_count - 1;
	a->older[node] = a->bucket[at];
	a->newer[node] = NONE;
	if (a->bucket[at] != NONE)
		a->newer[a->bucket[at]] = node;
	a->bucket[at] = node;
}

static void take_from_bucket(struct analysis *a, uint32_t node)
{
	size_t at = a->degree[node] < a->bucket_count ? a->degree[node] : a->bucket_count - 1;
	if (a->older[node] != NONE)
		a->newer[a->older[node]] = a->newer[node];
	if (a->newer[node] != NONE)
		a->older[a->newer[node]] = a->older[node];
	else
		a->bucket[at] = a->older[node];
}

static void hang(struct analysis *a, uint32_t node, size_t half)
{
	a->next_half[half] = a->first_half[node];
	a->first_half[node] = (uint32_t)half;
}

static uint32_t add_edge(struct analysis *a, uint32_t from, uint32_t to)
{
	size_t e = a->mesh->edge_count;
	a->ends = arena_grow(a->scratch, a->ends, e, &a->end_capacity, sizeof *a->ends);
	a->next_half = arena_grow(a->scratch, a->next_half, 2 * e, &a->half_capacity,
	                          sizeof *a->next_half);
	a->ends[e] = (struct mesh_edge){ from, to };
	hang(a, from, 2 * e);
	hang(a, to, 2 * e + 1);
	a->mesh->edge_count++;
	return (uint32_t)e;
}

static uint32_t other_end(const struct analysis *a, uint32_t half)
{
	return half % 2 ? a->ends[half / 2].a : a->ends[half / 2].b;
}

/* The arms of `node`: one for each neighbour, parallel edges merged into the first. */
static void find_arms(struct analysis *a, uint32_t node, size_t step)
{
	struct mesh *m = a->mesh;
	for (uint32_t half = a->first_half[node]; half != NONE; half = a->next_half[half]) {
		uint32_t neighbour = other_end(a, half);
		if (a->gone[neighbour])
			continue;
		if (a->seen_in[neighbour] == step + 1) {
			m->merges = arena_grow(a->keep, m->merges, m->merge_count, &m->merge_capacity,
			                       sizeof *m->merges);
			m->merges[m->merge_count++] = (struct merge){ a->edge_to[neighbour], half / 2 };
			a->degree[neighbour]--;
			continue;
		}
		a->seen_in[neighbour] = step + 1;
		a->edge_to[neighbour] = half / 2;
		take_from_bucket(a, neighbour);
		a->degree[neighbour]--;
		m->arms = arena_grow(a->keep, m->arms, m->arm_count, &m->arm_capacity, sizeof *m->arms);
		m->arms[m->arm_count++] = (struct arm){ neighbour, half / 2 };
	}
}

/* The edge from arms[p] to `to`, when a look through the list of arms[p] has just left it in
 * edge_to. */
static void add_fill(struct analysis *a, uint32_t from, uint32_t to, bool known)
{
	struct mesh *m = a->mesh;
	uint32_t edge = known ? a->edge_to[to] : add_edge(a, from, to);
	if (!known) {
		a->degree[from]++;
		a->degree[to]++;
	}
	m->fills = arena_grow(a->keep, m->fills, m->fill_count, &m->fill_capacity, sizeof *m->fills);
	m->fills[m->fill_count++] = edge;
}

/* Every pair of neighbours becomes joined. With two of them a parallel edge does no harm: two
 * edges went. With more, edges that are there already are used; the list of the busiest neighbour
 * is not read. */
static void join_arms(struct analysis *a, struct arm *arms, size_t count, size_t *stamp)
{
	for (size_t i = 0; i + 1 < count; i++)
		if (a->degree[arms[i].node] > a->degree[arms[count - 1].node]) {
			struct arm busy = arms[i];
			arms[i] = arms[count - 1];
			arms[count - 1] = busy;
		}
	for (size_t p = 0; p + 1 < count; p++) {
		uint32_t from = arms[p].node;
		++*stamp;
		for (uint32_t h = count > 2 ? a->first_half[from] : NONE; h != NONE; h = a->next_half[h]) {
			a->seen_in[other_end(a, h)] = *stamp;
			a->edge_to[other_end(a, h)] = h / 2;
		}
		for (size_t q = p + 1; q < count; q++)
			add_fill(a, from, arms[q].node, a->seen_in[arms[q].node] == *stamp);
	}
}

static struct step here(const struct mesh *m, uint32_t node)
{
	return (struct step){ node, m->arm_count, m->merge_count, m->fill_count };
}

static void eliminate_all(struct analysis *a, size_t free_count)
{
	struct mesh *m = a->mesh;
	size_t stamp = free_count + 1, least = 0;
	m->steps = arena_array(a->keep, struct step, free_count + 1);
	for (size_t s = 0; s < free_count; s++) {
		while (a->bucket[least] == NONE)
			least++;
		uint32_t node = a->bucket[least];
		m->steps[s] = here(m, node);
		take_from_bucket(a, node);
		a->gone[node] = true;
		size_t first = m->arm_count;
		find_arms(a, node, s);
		if (m->arm_count > first)
			join_arms(a, m->arms + first, m->arm_count - first, &stamp);
		for (size_t i = first; i < m->arm_count; i++) {
			put_in_bucket(a, m->arms[i].node);
			if (a->degree[m->arms[i].node] < least)
				least = a->degree[m->arms[i].node];
		}
	}
	m->step_count = free_count;
	m->steps[free_count] = here(m, NONE);
}

static void fill_buckets(struct analysis *a, size_t node_count)
{
	for (uint32_t i = 0; i < a->bucket_count; i++)
		a->bucket[i] = NONE;
	for (uint32_t i = (uint32_t)node_count; i-- > 0;)
		if (!a->gone[i])
			put_in_bucket(a, i);
}

/* Edges between free nodes are hung into the lists; those to held ones become ties. */
static size_t take_edges(struct analysis *a, size_t node_count, const bool *held,
                         const struct mesh_edge *edges, size_t edge_count)
{
	struct mesh *m = a->mesh;
	size_t free_count = 0;
	m->ties = arena_array(a->keep, struct tie, edge_count);
	a->end_capacity = edge_count + 1;
	a->half_capacity = 2 * edge_count + 2;
	a->ends = arena_array(a->scratch, struct mesh_edge, a->end_capacity);
	a->next_half = arena_array(a->scratch, uint32_t, a->half_capacity);
	for (size_t i = 0; i < node_count; i++) {
		a->first_half[i] = NONE;
		a->gone[i] = held[i];
		free_count += !held[i];
	}
	for (uint32_t e = 0; e < edge_count; e++) {
		uint32_t from = edges[e].a, to = edges[e].b;
		a->ends[e] = edges[e];
		if (held[from] != held[to]) {
			m->ties[m->tie_count++] = held[from] ? (struct tie){ e, to, from } : (struct tie){ e, from, to };
		} else if (!held[from] && from != to) {
			hang(a, from, 2 * (size_t)e);
			hang(a, to, 2 * (size_t)e + 1);
			a->degree[from]++;
			a->degree[to]++;
		}
	}
	m->edge_count = m->given_count = edge_count;
	m->node_count = node_count;
	return free_count;
}

struct mesh *mesh_new(struct arena *arena, size_t node_count, const bool *held,
                      const struct mesh_edge *edges, size_t edge_count)
{
	struct arena *scratch = arena_child(arena);
	struct analysis a = { .scratch = scratch, .keep = arena, .mesh = arena_one(arena, struct mesh),
		.first_half = arena_array(scratch, uint32_t, node_count),
		.degree = arena_array(scratch, uint32_t, node_count),
		.bucket_count = node_count + 1,
		.bucket = arena_array(scratch, uint32_t, node_count + 1),
		.newer = arena_array(scratch, uint32_t, node_count),
		.older = arena_array(scratch, uint32_t, node_count),
		.gone = arena_array(scratch, bool, node_count),
		.seen_in = arena_array(scratch, size_t, node_count),
		.edge_to = arena_array(scratch, uint32_t, node_count) };
	size_t free_count = take_edges(&a, node_count, held, edges, edge_count);
	fill_buckets(&a, node_count);
	eliminate_all(&a, free_count);
	arena_free(scratch);
	return a.mesh;
}

struct mesh *mesh_of_network(struct arena *arena, const struct network *net, bool **held)
{
	size_t count = net->branch_count + net->chain_count;
	struct mesh_edge *edges = arena_array(arena, struct mesh_edge, count);
	*held = arena_array(arena, bool, net->node_count);
	for (size_t i = 0; i < net->fixed_count; i++)
		(*held)[net->fixed[i].node] = true;
	for (size_t i = 0; i < net->branch_count; i++)
		edges[i] = (struct mesh_edge){ net->branches[i].a, net->branches[i].b };
	for (size_t i = 0; i < net->chain_count; i++)
		edges[net->branch_count + i] = (struct mesh_edge){ net->chains[i].a, net->chains[i].b };
	return mesh_new(arena, net->node_count, *held, edges, count);
}

struct mesh_work mesh_work_new(const struct mesh *mesh, size_t width, struct arena *arena)
{
	return (struct mesh_work){ .width = width,
		.g = arena_array(arena, double, mesh->edge_count * width),
		.shunt = arena_array(arena, double, mesh->node_count * width),
		.source = arena_array(arena, double, mesh->node_count * width),
		.x = arena_array(arena, double, mesh->node_count * width),
		.share = arena_array(arena, double, mesh->arm_count * width) };
}

static inline double *at(double *x, size_t index, int width)
{
	return x + index * (size_t)width;
}

/* An edge to a held node is a shunt and a source. */
LANES_INLINE void tie_down(const struct mesh *m, const struct mesh_work *w, int width)
{
	size_t fills = m->edge_count - m->given_count;
	memset(at(w->g, m->given_count, width), 0, fills * (size_t)width * sizeof *w->g);
	for (const struct tie *t = m->ties; t < m->ties + m->tie_count; t++) {
		double *tie = at(w->g, t->edge, width);
		lanes_add(at(w->shunt, t->node, width), tie, width);
		lanes_add_product(at(w->source, t->node, width), tie, at(w->x, t->held, width), width);
	}
}

LANES_INLINE void take_out(const struct mesh *m, const struct step *s, const struct mesh_work *w,
                           int width)
{
	double part[BATCH_LANES];
	const double *shunt = at(w->shunt, s->node, width), *source = at(w->source, s->node, width);
	for (size_t k = s->merge; k < s[1].merge; k++)
		lanes_add(at(w->g, m->merges[k].into, width), at(w->g, m->merges[k].from, width), width);
	for (int l = 0; l < width; l++)
		part[l] = shunt[l];
	for (size_t k = s->arm; k < s[1].arm; k++)
		lanes_add(part, at(w->g, m->arms[k].edge, width), width);
	for (int l = 0; l < width; l++)
		part[l] = 1 / part[l];
	lanes_product(at(w->x, s->node, width), source, part, width);
	for (size_t k = s->arm; k < s[1].arm; k++) {
		double *share = at(w->share, k, width);
		lanes_product(share, at(w->g, m->arms[k].edge, width), part, width);
		lanes_add_product(at(w->shunt, m->arms[k].node, width), share, shunt, width);
		lanes_add_product(at(w->source, m->arms[k].node, width), share, source, width);
	}
	size_t fill = s->fill;
	for (size_t p = s->arm; p < s[1].arm; p++)
		for (size_t q = p + 1; q < s[1].arm; q++, fill++)
			lanes_add_product(at(w->g, m->fills[fill], width), at(w->g, m->arms[p].edge, width),
			                  at(w->share, q, width), width);
}

/* Written once for any number of lanes; `width` is a constant where it is called. */
LANES_INLINE void solve(const struct mesh *m, const struct mesh_work *w, int width)
{
	tie_down(m, w, width);
	for (size_t i = 0; i < m->step_count; i++)
		take_out(m, &m->steps[i], w, width);
	for (size_t i = m->step_count; i-- > 0;)
		for (size_t k = m->steps[i].arm; k < m->steps[i + 1].arm; k++)
			lanes_add_product(at(w->x, m->steps[i].node, width), at(w->share, k, width),
			                  at(w->x, m->arms[k].node, width), width);
}

void mesh_solve(const struct mesh *mesh, const struct mesh_work *work)
{
	if (work->width == 1)
		solve(mesh, work, 1);
	else
		solve(mesh, work, BATCH_LANES);
}
