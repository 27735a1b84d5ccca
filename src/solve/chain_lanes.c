/* Doubling carries a chain's sums as well. For 2^k units between the drops x_l and x_r, y = x_l +
 * x_r and z = x_l - x_r,
 *     sum of u   = p y + t
 *     sum of u^2 = a y^2 + b y + c + d z^2
 * and with the drop in the middle, to y + rest, twice as many have (e = 1/2 + to, f = 1/2 - to)
 *     p' = p (1 + 2 to)                    t' = 2 (t + p rest)
 *     a' = 2 (a e^2 + d f^2)               b' = 4 rest (a e - d f) + 2 b e
 *     c' = 2 (rest (a rest + b) + d rest^2 + c)                d' = (a + d) / 2.
 * The drop along a chain is concave, for units only take: its highest is found by halving, towards
 * where the rail current flows; its lowest is at an end. (On the sloped piece voltages above the
 * knee obey y'' = k y, so that units beyond the knee show at an end too.) */
#include "solve/chain_lanes.h"

#include <float.h>
#include <math.h>

struct sum_lanes { lanes p, t, a, b, c, d; };

struct chain_lanes chain_lanes_new(const struct net_chain *chain, struct arena *arena)
{
	struct chain_lanes c = { .units = chain->units };
	unsigned highest = ladder_level(chain->units);
	for (unsigned level = highest + 1; level-- > 0;)
		if (chain->units >> level & 1)
			c.level[c.block_count++] = (unsigned char)level;
	c.ladders = arena_array(arena, struct ladder_lanes, highest + 1);
	c.joints = arena_array(arena, struct joint_lanes, c.block_count);
	c.edge = arena_array(arena, lanes, c.block_count + 1);
	return c;
}

void chain_lanes_take(struct chain_lanes *c, const struct batch_values *values, size_t index,
                      bool regulated)
{
	EACH_LANE (l) {
		double full = values->amps[index][l];
		struct drop_law law = drop_law(full, values->v_knee[index][l], values->v_full[index][l],
		                               regulated, values->set_v[l]);
		enum piece_index piece = drop_piece(law, c->mean[l]);
		c->full[l] = full;
		c->section_ohm[l] = fmax(values->section_ohm[index][l], BRANCH_FLOOR_OHM);
		c->slope[l] = piece == PIECE_SLOPED ? law.slope : 0;
		c->amps[l] = piece == PIECE_SLOPED ? law.slope * law.u_knee : piece == PIECE_FULL ? full : 0;
		c->low[l] = piece == PIECE_FULL ? -INFINITY : piece == PIECE_SLOPED ? law.u_full : law.u_knee;
		c->high[l] = piece == PIECE_FULL ? law.u_full : piece == PIECE_SLOPED ? law.u_knee : INFINITY;
	}
}

static void set_ladder(struct ladder_lanes *out, int l, struct ladder ladder)
{
	out->g[l] = ladder.g;
	out->shunt[l] = ladder.shunt;
	out->source[l] = ladder.source;
	out->to[l] = ladder.to;
	out->rest[l] = ladder.rest;
}

static struct ladder get_ladder(const struct ladder_lanes *in, int l)
{
	return (struct ladder){ in->g[l], in->shunt[l], in->source[l], in->to[l], in->rest[l] };
}

static void join(struct port_lanes *restrict port, const struct ladder_lanes *restrict next,
                 struct joint_lanes *restrict joint)
{
	EACH_LANE (l) {
		struct two_port one = { port->g[l], port->shunt_a[l], port->shunt_b[l], port->source_a[l],
		                        port->source_b[l] };
		struct joint meet;
		struct two_port both = ladder_join(one, get_ladder(next, l), &meet);
		joint->to_a[l] = meet.to_a;
		joint->to_next[l] = meet.to_next;
		joint->rest[l] = meet.rest;
		port->g[l] = both.g;
		port->shunt_a[l] = both.shunt_a;
		port->shunt_b[l] = both.shunt_b;
		port->source_a[l] = both.source_a;
		port->source_b[l] = both.source_b;
	}
}

static void twice(const struct ladder_lanes *restrict one, struct ladder_lanes *restrict two)
{
	EACH_LANE (l)
		set_ladder(two, l, ladder_twice(get_ladder(one, l)));
}

void chain_lanes_eliminate(struct chain_lanes *c)
{
	struct port_lanes *port = &c->port;
	const struct ladder_lanes *largest = &c->ladders[c->level[0]];
	EACH_LANE (l)
		set_ladder(&c->ladders[0], l, ladder_cell(c->section_ohm[l], c->slope[l], c->amps[l]));
	for (unsigned k = 0; k < c->level[0]; k++)
		twice(&c->ladders[k], &c->ladders[k + 1]);
	EACH_LANE (l) {
		port->g[l] = largest->g[l];
		port->shunt_a[l] = port->shunt_b[l] = largest->shunt[l];
		port->source_a[l] = port->source_b[l] = largest->source[l];
	}
	for (unsigned i = 1; i < c->block_count; i++)
		join(port, &c->ladders[c->level[i]], &c->joints[i - 1]);
}

static void find_edges(struct chain_lanes *c, const lanes drop_a, const lanes drop_b)
{
	EACH_LANE (l) {
		c->edge[0][l] = drop_a[l];
		c->edge[c->block_count][l] = drop_b[l];
	}
	for (unsigned i = c->block_count - 1; i > 0; i--) {
		const struct joint_lanes *joint = &c->joints[i - 1];
		const double *next = c->edge[i + 1];
		EACH_LANE (l)
			c->edge[i][l] = joint->to_a[l] * drop_a[l] + joint->to_next[l] * next[l] + joint->rest[l];
	}
}

static void start_sums(const struct ladder_lanes *restrict cell, struct sum_lanes *restrict s)
{
	EACH_LANE (l) {
		s->p[l] = cell->to[l];
		s->t[l] = cell->rest[l];
		s->a[l] = cell->to[l] * cell->to[l];
		s->b[l] = 2 * cell->to[l] * cell->rest[l];
		s->c[l] = cell->rest[l] * cell->rest[l];
		s->d[l] = 0;
	}
}

/* `two` is the ladder of twice as many units, whose middle joins the two halves. */
static void double_sums(const struct ladder_lanes *restrict two, struct sum_lanes *restrict s)
{
	EACH_LANE (l) {
		double to = two->to[l], rest = two->rest[l], e = 0.5 + to, f = 0.5 - to;
		double a = s->a[l], b = s->b[l], d = s->d[l];
		s->t[l] = 2 * (s->t[l] + s->p[l] * rest);
		s->p[l] = s->p[l] * (1 + 2 * to);
		s->c[l] = 2 * (rest * (a * rest + b) + d * rest * rest + s->c[l]);
		s->b[l] = 4 * rest * (a * e - d * f) + 2 * b * e;
		s->a[l] = 2 * (a * e * e + d * f * f);
		s->d[l] = 0.5 * (a + d);
	}
}

/* Adds the sums of u and u^2 of a block. */
static void add_sums(const struct sum_lanes *restrict s, const lanes left, const lanes right,
                     double *restrict sum, double *restrict squares)
{
	EACH_LANE (l) {
		double y = left[l] + right[l], z = left[l] - right[l];
		sum[l] += s->p[l] * y + s->t[l];
		squares[l] += (s->a[l] * y + s->b[l]) * y + s->c[l] + s->d[l] * z * z;
	}
}

/* Whether in any lane current flows into a block at both ends: into its left end flow
 *     source + g (x_r - x_l) - shunt x_l.
 * If not, the drop goes on rising beyond it and is highest elsewhere, or at an end of the chain. */
static bool holds_highest(const struct ladder_lanes *restrict block, const double *restrict left,
                          const double *restrict right)
{
	lanes least;
	bool any = false;
	EACH_LANE (l) {
		double along = block->g[l] * (right[l] - left[l]);
		double at_left = block->source[l] - block->shunt[l] * left[l] + along;
		double at_right = block->source[l] - block->shunt[l] * right[l] - along;
		least[l] = at_left < at_right ? at_left : at_right;
	}
	EACH_LANE (l)
		any |= least[l] > 0;
	return any;
}

/* The highest drop at a unit of a block, by the flow into its right half. */
static void raise_highest(const struct ladder_lanes *ladders, unsigned level, const lanes left,
                          const lanes right, double *restrict highest)
{
	lanes low, high;
	EACH_LANE (l) {
		low[l] = left[l];
		high[l] = right[l];
	}
	for (; level > 0; level--) {
		const struct ladder_lanes *half = &ladders[level - 1], *whole = &ladders[level];
		EACH_LANE (l) {
			double x = whole->to[l] * (low[l] + high[l]) + whole->rest[l];
			double flow = half->source[l] + half->g[l] * (high[l] - x) - half->shunt[l] * x;
			low[l] = flow > 0 ? x : low[l];
			high[l] = flow > 0 ? high[l] : x;
		}
	}
	EACH_LANE (l) {
		double u = ladders->to[l] * (low[l] + high[l]) + ladders->rest[l];
		highest[l] = u > highest[l] ? u : highest[l];
	}
}

/* The drop at unit `k` of a block. */
static void unit_drop(const struct ladder_lanes *ladders, unsigned level, size_t k,
                      const lanes left, const lanes right, double *restrict u)
{
	lanes low, high;
	EACH_LANE (l) {
		low[l] = left[l];
		high[l] = right[l];
	}
	for (; level > 0; level--) {
		double *restrict moves = k >> (level - 1) & 1 ? low : high;
		EACH_LANE (l)
			u[l] = ladders[level].to[l] * (low[l] + high[l]) + ladders[level].rest[l];
		EACH_LANE (l)
			moves[l] = u[l];
	}
	EACH_LANE (l)
		u[l] = ladders->to[l] * (low[l] + high[l]) + ladders->rest[l];
}

static void sum_up(const struct chain_lanes *c, lanes sum, lanes squares)
{
	struct sum_lanes s;
	unsigned block = c->block_count;
	start_sums(c->ladders, &s);
	for (unsigned level = 0; level <= c->level[0]; level++) {
		if (level > 0)
			double_sums(&c->ladders[level], &s);
		if (c->level[block - 1] == level) {
			block--;
			add_sums(&s, c->edge[block], c->edge[block + 1], sum, squares);
		}
	}
}

static void fill_figures(const struct chain_lanes *restrict c, const double *restrict set_v,
                         const double *restrict sum, const double *restrict squares,
                         const double *restrict lowest, const double *restrict highest,
                         struct batch_chain *restrict out)
{
	double n = (double)c->units;
	EACH_LANE (l) {
		double amps = n * c->amps[l] - c->slope[l] * sum[l], part = 1 / c->full[l];
		out->v_low[l] = set_v[l] - highest[l];
		out->v_high[l] = set_v[l] - lowest[l];
		out->amps[l] = amps;
		out->watts[l] = set_v[l] * amps - (c->amps[l] * sum[l] - c->slope[l] * squares[l]);
		out->light_low[l] = (c->amps[l] - c->slope[l] * highest[l]) * part;
		out->light_high[l] = (c->amps[l] - c->slope[l] * lowest[l]) * part;
		out->light_mean[l] = amps / n * part;
	}
}

static void find_ends(const struct port_lanes *restrict p, const double *restrict drop_a,
                      const double *restrict drop_b, struct batch_chain *restrict out)
{
	EACH_LANE (l) {
		double along = p->g[l] * (drop_b[l] - drop_a[l]);
		out->in_a[l] = p->source_a[l] - p->shunt_a[l] * drop_a[l] + along;
		out->in_b[l] = p->source_b[l] - p->shunt_b[l] * drop_b[l] - along;
	}
}

void chain_lanes_figures(struct chain_lanes *c, const lanes set_v, const lanes drop_a,
                         const lanes drop_b, struct batch_chain *out, lanes off)
{
	lanes sum = { 0 }, squares = { 0 }, first, last, lowest, highest;
	unsigned end = c->block_count - 1;
	find_edges(c, drop_a, drop_b);
	sum_up(c, sum, squares);
	unit_drop(c->ladders, c->level[0], 0, c->edge[0], c->edge[1], first);
	unit_drop(c->ladders, c->level[end], SIZE_MAX, c->edge[end], c->edge[end + 1], last);
	EACH_LANE (l)
		highest[l] = first[l] > last[l] ? first[l] : last[l];
	for (unsigned i = 0; i <= end; i++)
		if (holds_highest(&c->ladders[c->level[i]], c->edge[i], c->edge[i + 1]))
			raise_highest(c->ladders, c->level[i], c->edge[i], c->edge[i + 1], highest);
	EACH_LANE (l)
		lowest[l] = first[l] < last[l] ? first[l] : last[l];
	EACH_LANE (l) {
		double slack = 4 * DBL_EPSILON * set_v[l];
		off[l] = lowest[l] >= c->low[l] - slack && highest[l] <= c->high[l] + slack ? off[l] : 1;
	}
	fill_figures(c, set_v, sum, squares, lowest, highest, out);
	find_ends(&c->port, drop_a, drop_b, out);
	EACH_LANE (l)
		c->mean[l] = sum[l] / (double)c->units;
}

void chain_lanes_light(const struct chain_lanes *c, size_t unit, lanes light)
{
	lanes u;
	unsigned i = 0;
	for (; unit >> c->level[i]; i++)
		unit -= (size_t)1 << c->level[i];
	unit_drop(c->ladders, c->level[i], unit, c->edge[i], c->edge[i + 1], u);
	EACH_LANE (l)
		light[l] = (c->amps[l] - c->slope[l] * u[l]) / c->full[l];
}
