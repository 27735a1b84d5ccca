/* One chain of cut units with both of its rails, inside one Newton step: what chain.h is to the loop model.
 * All voltages are rises above the driver's own rail: v_plus - set voltage, and v_minus. Private to this
 * layer. */
#ifndef FAREND_SOLVE_RAIL_CHAIN_H
#define FAREND_SOLVE_RAIL_CHAIN_H

#include "solve/network.h"

struct rails { double plus, minus; };

/* What a chain is to the rest of the network: conductances between each two of its four ends (end a and
 * end b, plus and minus), S, none of them negative; and a source at each, A, on the right side of the node
 * equations. */
struct rail_port {
	double ap_am, ap_bp, ap_bm, am_bp, am_bm, bp_bm;
	struct rails source_a, source_b;
};

/* d of one rail of a unit from the d around it. `twin`: for the plus rail the unit's minus, for the minus
 * rail the next unit's plus. */
struct rail_row { double a_plus, a_minus, twin, next, rest; };
struct rail_step { struct rail_row plus, minus; };

/* Currents along both rails at a point, positive from a to b: into the chain at a, out of it at b. */
struct rail_flow { struct rails in, out; };

/* F at the units, and their slopes di/dv. Arrays have size chain->units. */
struct rail_flow rail_chain_residual(const struct net_chain *chain, double set_v, struct rails a,
                                     struct rails b, const struct rails *u, struct rails *f,
                                     double *slope);

/* The forward sweep over J d = -F, block by block of two; `steps` is for the sweep back. */
struct rail_port rail_chain_eliminate(const struct net_chain *chain, const struct rails *f,
                                      const double *slope, struct rail_step *steps);

/* The sweep back: d of every unit from the d of both ends. */
void rail_chain_substitute(const struct net_chain *chain, struct rails a, struct rails b,
                           const struct rail_step *steps, struct rails *d);

#endif
