/* One chain of cut units: its elimination to an equivalent between its ends, and Kirchhoff's law
 * at its units. All voltages are drops below the set voltage. Private to this layer.
 *
 * The law of a unit has three straight pieces. On given pieces the chain is linear: a row of
 * uniform ladders (ladder.h), as a rule just one. So Newton's full step goes to the solution of
 * the network on the pieces where its units are now, whatever their drops. */
#ifndef FAREND_SOLVE_CHAIN_H
#define FAREND_SOLVE_CHAIN_H

#include "solve/ladder.h"
#include "solve/network.h"

/* Lowest and highest drop at the units of a chain: all on one piece when these two are. */
struct drop_range { double low, high; };

/* 2^level units on one piece. `ladder`: where the ladders of that piece lie, one for each level. */
struct ladder_block { size_t ladder; unsigned level; struct joint joint; };

/* What elimination leaves for the way back, of all chains one after another. */
struct chain_store {
	struct arena *arena;
	struct ladder *ladders;      size_t ladder_count, ladder_capacity;
	struct ladder_block *blocks;        size_t block_count, block_capacity;
	double *edge;                /* scratch: size units / 8 + 2 of the longest chain */
};

/* Eliminates the units, on the pieces where drops `u` put them; `u` is read only where `range`
 * spans more than one. Appends to the store; the chain's blocks start at its block_count before. */
struct two_port chain_eliminate(const struct net_chain *chain, struct drop_law law, const double *u,
                                struct drop_range range, struct chain_store *store);

/* The way back: drops of the units from those at both ends and blocks [first, end) of the store. */
void chain_substitute(const struct chain_store *store, size_t first, size_t end, double drop_a,
                      double drop_b, double *u);

/* Kirchhoff's law at drops `u` by the law itself. */
struct chain_audit {
	struct drop_range range;
	double imbalance;            /* A, largest; NAN when anything is */
	double watts;                /* taken by units and rails */
	double in, out;              /* A, along the rails: into the chain at end a, out of it at end b */
};

struct chain_audit chain_audit(const struct net_chain *chain, struct drop_law law, double set_v,
                               double drop_a, double drop_b, const double *u, double *amps);

/* At u + s (to - u), ends alike: the sum of F (to - u) over units, and the currents in and out. */
struct chain_slope { double sum, in, out; };
struct chain_slope chain_slope(const struct net_chain *chain, struct drop_law law, double drop_a,
                               double drop_b, const double *u, const double *to, double s);

#endif
