/* One chain of cut units inside one Newton step: Kirchhoff's law at its units, and its elimination to
 * an equivalent between its ends. All voltages are drops below the set voltage. Private to this layer. */
#ifndef FAREND_SOLVE_CHAIN_H
#define FAREND_SOLVE_CHAIN_H

#include "solve/network.h"

/* What a chain is to the rest of the network: g between its ends, a shunt and a source at each. */
struct two_port {
	double g;                    /* S */
	double shunt_a, shunt_b;     /* S */
	double source_a, source_b;   /* A, right side of the node equations */
};

/* Currents of a chain at a point: into it at its end a, out of it at its end b, A. */
struct chain_flow { double in, out; };

/* F_k = (current in along the rail) - (current out) - i(v_k) at drops `u`, and the slopes di/dv.
 * Arrays have size chain->units. */
struct chain_flow chain_residual(const struct net_chain *chain, double set_v, double drop_a,
                                 double drop_b, const double *u, double *f, double *slope);

/* Thomas' forward sweep over J d = -F with J's unit rows from chain_residual(). `to_a`, `to_next` and
 * `rest` keep d_k = to_a d_a + to_next d_(k+1) + rest for the sweep back. */
struct two_port chain_eliminate(const struct net_chain *chain, const double *f, const double *slope,
                                double *to_a, double *to_next, double *rest);

/* The sweep back: d of every unit from the d of both ends. */
void chain_substitute(const struct net_chain *chain, double d_a, double d_b, const double *to_a,
                      const double *to_next, const double *rest, double *d);

#endif
