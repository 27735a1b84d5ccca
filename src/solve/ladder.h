/* Uniform ladders: units all alike and all on one straight piece of their law, i = amps - slope u
 * at drop u. Each unit with half a rail section on both sides is a cell; n cells in a row are a
 * two-port that comes from doubling in log2 n steps. Private to this layer; one set of equations
 * for single networks and for lanes.
 *
 * Drops obey sum of g (u - u_j) + shunt u = source. With s = 2 / section_ohm a cell has its unit
 * at
 *     u = (s (x_l + x_r) + amps) / (2 s + slope),
 * x_l and x_r being the drops at its ends. Two equal ladders (g, shunt, source at both ends) in a
 * row have
 *     x = (g (x_l + x_r) + 2 source) / (2 (g + shunt))
 * between them and are together, with to = g / (2 (g + shunt)),
 *     g' = g to,    shunt' = shunt (1 + 2 to),    source' = source (1 + 2 to).
 * Only sums, products and quotients of numbers of one sign: no digits are lost. */
#ifndef FAREND_SOLVE_LADDER_H
#define FAREND_SOLVE_LADDER_H

#include "model/unit_law.h"

#include <math.h>
#include <stddef.h>

/* 2^k cells, and their middle: the drop there is to (x_l + x_r) + rest. The middle of one cell is
 * its unit. */
struct ladder { double g, shunt, source, to, rest; };

static inline struct ladder ladder_cell(double section_ohm, double slope, double amps)
{
	double s = 2 / section_ohm, part = 1 / (2 * s + slope), to = s * part;
	return (struct ladder){ s * to, slope * to, amps * to, to, amps * part };
}

static inline struct ladder ladder_twice(struct ladder one)
{
	double part = 1 / (one.g + one.shunt), to = 0.5 * one.g * part, more = 1 + 2 * to;
	return (struct ladder){ one.g * to, one.shunt * more, one.source * more, to, one.source * part };
}

/* The largest k with 2^k <= n. */
static inline unsigned ladder_level(size_t n)
{
	unsigned level = 0;
	while (n >>= 1)
		level++;
	return level;
}

/* What a row of ladders is to the rest of the network: g between its ends, a shunt and a source at
 * each. */
struct two_port { double g, shunt_a, shunt_b, source_a, source_b; };

/* The drop where two ladders of a row meet: to_a x_a + to_next x_next + rest, with x_a at end a of
 * the row and x_next at the far end of the second. */
struct joint { double to_a, to_next, rest; };

static inline struct two_port ladder_port(struct ladder l)
{
	return (struct two_port){ l.g, l.shunt, l.shunt, l.source, l.source };
}

/* Appends `next` at end b of `port`. */
static inline struct two_port ladder_join(struct two_port port, struct ladder next,
                                          struct joint *joint)
{
	double shunt = port.shunt_b + next.shunt, source = port.source_b + next.source;
	double part = 1 / (port.g + next.g + shunt), to_a = port.g * part, to_next = next.g * part;
	*joint = (struct joint){ to_a, to_next, source * part };
	return (struct two_port){ port.g * to_next, port.shunt_a + to_a * shunt,
	                          next.shunt + to_next * shunt, port.source_a + to_a * source,
	                          next.source + to_next * source };
}

/* A straight piece of the law, as drops: i = amps - slope u for low < u <= high. */
struct piece { double slope, amps, low, high; };

enum piece_index { PIECE_FULL, PIECE_SLOPED, PIECE_DARK, PIECE_COUNT };

/* The same law without branches: i = (u_knee - u) slope, but not below 0 and not above `most`. */
struct drop_law { double slope, u_knee, u_full, most; };

static inline struct drop_law drop_law(double amps, double v_knee, double v_full, bool regulated,
                                       double set_v)
{
	return (struct drop_law){ amps / (v_full - v_knee), set_v - v_knee,
	                          regulated ? set_v - v_full : -INFINITY, regulated ? amps : INFINITY };
}

static inline double drop_amps(struct drop_law law, double u)
{
	double i = (law.u_knee - u) * law.slope;
	i = i < 0 ? 0 : i;                      /* put so that NaN stays NaN */
	return i > law.most ? law.most : i;
}

static inline enum piece_index drop_piece(struct drop_law law, double u)
{
	return u <= law.u_full ? PIECE_FULL : u < law.u_knee ? PIECE_SLOPED : PIECE_DARK;
}

#endif
