/* Chains as rows of uniform ladders, and the two passes over their units: writing drops, and
 * looking at what they are worth. The passes work on eight units at a time, so that the compiler
 * can use vectors. */
#include "solve/chain.h"

#include "solve/lanes.h"

#define BLOCK 8                  /* units written at a time: 2^BLOCK_LEVEL */
#define BLOCK_LEVEL 3
#define NOWHERE SIZE_MAX

static struct ladder first_ladder(const struct net_chain *chain, struct drop_law law,
                                  enum piece_index piece)
{
	switch (piece) {
	case PIECE_FULL:
		return ladder_cell(chain->section_ohm, 0, law.most);
	case PIECE_SLOPED:
		return ladder_cell(chain->section_ohm, law.slope, law.slope * law.u_knee);
	default:
		return ladder_cell(chain->section_ohm, 0, 0);
	}
}

/* Ladders of 1, 2, 4 .. 2^levels units. */
static size_t add_ladders(struct chain_store *store, struct ladder cell, unsigned levels)
{
	size_t first = store->ladder_count;
	store->ladders = arena_grow(store->arena, store->ladders, first + levels + 1,
	                            &store->ladder_capacity, sizeof *store->ladders);
	struct ladder *ladders = store->ladders + first;
	ladders[0] = cell;
	for (unsigned k = 1; k <= levels; k++)
		ladders[k] = cell = ladder_twice(cell);
	store->ladder_count += levels + 1;
	return first;
}

/* Appends a run of units on one piece, largest blocks first. `port` is empty before the first
 * block. */
static void add_run(struct chain_store *store, size_t ladder, size_t units, struct two_port *port,
                    bool *any)
{
	for (unsigned level = ladder_level(units) + 1; level-- > 0;) {
		if (!(units >> level & 1))
			continue;
		struct ladder next = store->ladders[ladder + level];
		store->blocks = arena_grow(store->arena, store->blocks, store->block_count,
		                           &store->block_capacity, sizeof *store->blocks);
		if (*any)
			*port = ladder_join(*port, next, &store->blocks[store->block_count - 1].joint);
		else
			*port = ladder_port(next);
		*any = true;
		store->blocks[store->block_count++] = (struct ladder_block){ .ladder = ladder, .level = level };
	}
}

struct two_port chain_eliminate(const struct net_chain *chain, struct drop_law law, const double *u,
                                struct drop_range range, struct chain_store *store)
{
	size_t n = chain->units, of_piece[PIECE_COUNT] = { NOWHERE, NOWHERE, NOWHERE };
	unsigned levels = ladder_level(n);
	bool uniform = drop_piece(law, range.low) == drop_piece(law, range.high), any = false;
	struct two_port port = { 0 };

	for (size_t k = 0, end; k < n; k = end) {
		enum piece_index piece = drop_piece(law, uniform ? range.low : u[k]);
		for (end = uniform ? n : k + 1; end < n && drop_piece(law, u[end]) == piece; end++)
			;
		if (of_piece[piece] == NOWHERE)
			of_piece[piece] = add_ladders(store, first_ladder(chain, law, piece), levels);
		add_run(store, of_piece[piece], end - k, &port, &any);
	}
	return port;
}

/* Drops at the edges of `count` equal parts of a block, count a power of two, from those at its
 * ends: the middle first, then the middles of the halves and so on. */
static void fill_edges(const struct ladder *level, size_t count, double *edge)
{
	for (size_t step = count; step > 1; step /= 2, level--)
		for (size_t i = step / 2; i < count; i += step)
			edge[i] = level->to * (edge[i - step / 2] + edge[i + step / 2]) + level->rest;
}

/* Units of a block up to eight. */
static void write_few(const struct ladder *ladders, unsigned level, double left, double right,
                      double *u)
{
	double edge[BLOCK + 1];
	size_t count = (size_t)1 << level;
	edge[0] = left;
	edge[count] = right;
	fill_edges(ladders + level, count, edge);
	for (size_t k = 0; k < count; k++)
		u[k] = ladders[0].to * (edge[k] + edge[k + 1]) + ladders[0].rest;
}

/* Eight units from the drops around them: u_j = left_j x_l + right_j x_r + rest_j. */
struct pattern { lanes left, right, rest; };

static struct pattern pattern_of(const struct ladder *ladders)
{
	struct pattern p = { 0 };
	struct ladder bare[BLOCK_LEVEL + 1] = { 0 };
	for (int k = 0; k <= BLOCK_LEVEL; k++) {
		bare[k] = ladders[k];
		bare[k].rest = 0;
	}
	write_few(bare, BLOCK_LEVEL, 1, 0, p.left);
	write_few(ladders, BLOCK_LEVEL, 0, 0, p.rest);
	EACH_LANE (l)
		p.right[l] = p.left[BLOCK - 1 - l];
	return p;
}

static void write_blocks(const struct pattern *restrict p, const double *restrict edge,
                         size_t count, double *restrict u)
{
	for (size_t b = 0; b < count; b++)
		EACH_LANE (l)
			u[b * BLOCK + (size_t)l] = p->left[l] * edge[b] + p->right[l] * edge[b + 1] + p->rest[l];
}

void chain_substitute(const struct chain_store *store, size_t first, size_t end, double drop_a,
                      double drop_b, double *u)
{
	struct pattern pattern = { 0 };
	size_t pattern_ladder = NOWHERE;
	double right = drop_b;

	for (size_t i = first; i < end; i++)
		u += (size_t)1 << store->blocks[i].level;
	for (size_t i = end; i-- > first;) {
		const struct ladder_block *b = &store->blocks[i];
		const struct ladder *ladders = store->ladders + b->ladder;
		const struct joint *joint = i > first ? &b[-1].joint : NULL;
		double left = joint ? joint->to_a * drop_a + joint->to_next * right + joint->rest : drop_a;
		u -= (size_t)1 << b->level;
		if (b->level < BLOCK_LEVEL) {
			write_few(ladders, b->level, left, right, u);
		} else {
			size_t count = (size_t)1 << (b->level - BLOCK_LEVEL);
			if (pattern_ladder != b->ladder)
				pattern = pattern_of(ladders);
			pattern_ladder = b->ladder;
			store->edge[0] = left;
			store->edge[count] = right;
			fill_edges(ladders + b->level, count, store->edge);
			write_blocks(&pattern, store->edge, count, u);
		}
		right = left;
	}
}

/* With s the conductance of a rail section (2 s for the half ones at both ends),
 *     F_k = s (u_k - u_(k-1)) - s (u_(k+1) - u_k) - i(u_k). */
struct sums { lanes imbalance, low, high, units_w, rails; };

/* `before` and `after` are the currents along the rail. */
static inline double look(struct sums *a, int l, struct drop_law law, double set_v, double u,
                          double before, double after)
{
	double i = drop_amps(law, u), f = fabs(before - after - i);
	a->imbalance[l] = f > a->imbalance[l] ? f : a->imbalance[l];
	a->low[l] = u < a->low[l] ? u : a->low[l];
	a->high[l] = u > a->high[l] ? u : a->high[l];
	a->units_w[l] += i * (set_v - u);
	a->rails[l] += after * after;
	return i;
}

static void look_at_eight(struct sums *restrict a, struct drop_law law, double set_v, double s,
                          const double *restrict u, size_t count, double *restrict amps)
{
	for (; count > 0; count--, u += BLOCK, amps += BLOCK)
		EACH_LANE (l)
			amps[l] = look(a, l, law, set_v, u[l], s * (u[l] - u[l - 1]), s * (u[l + 1] - u[l]));
}

struct chain_audit chain_audit(const struct net_chain *chain, struct drop_law law, double set_v,
                               double drop_a, double drop_b, const double *u, double *amps)
{
	size_t n = chain->units, inner = n > 2 ? (n - 2) / BLOCK : 0;
	double s = 1 / chain->section_ohm, in = 2 * s * (u[0] - drop_a), before = in;
	struct sums a = { 0 };
	EACH_LANE (l) {
		a.low[l] = INFINITY;
		a.high[l] = -INFINITY;
	}
	for (size_t k = 0; k < n; k++) {
		double after = k + 1 < n ? s * (u[k + 1] - u[k]) : 0;
		if (k == 1 && inner > 0) {
			look_at_eight(&a, law, set_v, s, u + 1, inner, amps + 1);
			k += inner * BLOCK;
			before = s * (u[k] - u[k - 1]);
			after = k + 1 < n ? s * (u[k + 1] - u[k]) : 0;
		}
		if (k + 1 == n)
			break;
		amps[k] = look(&a, 0, law, set_v, u[k], before, after);
		before = after;
	}
	double out = 2 * s * (drop_b - u[n - 1]), rails = 0.5 * (in * in + out * out);
	amps[n - 1] = look(&a, 0, law, set_v, u[n - 1], before, out);
	a.rails[0] -= out * out;
	struct chain_audit audit = { .range = { a.low[0], a.high[0] }, .in = in, .out = out };
	double units_w = 0, most = 0;
	EACH_LANE (l) {
		audit.range.low = fmin(audit.range.low, a.low[l]);
		audit.range.high = fmax(audit.range.high, a.high[l]);
		most = fmax(most, a.imbalance[l]);
		units_w += a.units_w[l];
		rails += a.rails[l];
	}
	audit.watts = units_w + rails * chain->section_ohm;
	audit.imbalance = isnan(audit.watts) ? NAN : most;
	return audit;
}

struct chain_slope chain_slope(const struct net_chain *chain, struct drop_law law, double drop_a,
                               double drop_b, const double *u, const double *to, double s)
{
	size_t n = chain->units;
	double g = 1 / chain->section_ohm, at = u[0] + s * (to[0] - u[0]);
	struct chain_slope slope = { .in = 2 * g * (at - drop_a) };
	double before = slope.in;

	for (size_t k = 0; k < n; k++) {
		double next = k + 1 < n ? u[k + 1] + s * (to[k + 1] - u[k + 1]) : drop_b;
		double after = (k + 1 < n ? g : 2 * g) * (next - at);
		slope.sum += (before - after - drop_amps(law, at)) * (to[k] - u[k]);
		before = after;
		at = next;
	}
	slope.out = before;
	return slope;
}
