/* Sweeps along one chain. With s the conductance of a rail section (2 s for the half ones at both
 * ends), unit k sees
 *     F_k = s (u_k - u_(k-1)) + s (u_k - u_(k+1)) - i(V - u_k),    dF_k/du_k = 2 s + di/dv. */
#include "solve/chain.h"

struct chain_flow chain_residual(const struct net_chain *chain, double set_v, double drop_a,
                                 double drop_b, const double *u, double *f, double *slope)
{
	size_t n = chain->units;
	double s = 1 / chain->section_ohm;
	double in = 2 * s * (u[0] - drop_a);
	struct chain_flow flow = { .in = in };

	for (size_t k = 0; k < n; k++) {
		double out = k + 1 < n ? s * (u[k + 1] - u[k]) : 2 * s * (drop_b - u[k]);
		f[k] = in - out - unit_amps(&chain->law, set_v - u[k], &slope[k]);
		in = out;
	}
	flow.out = in;
	return flow;
}

/* The part already eliminated is a two-port (g, shunts A and B, sources) between end a and unit k. Adding
 * the unit's slope to B and the next section s, the unit's row has the diagonal D = g + B + s and
 *     g' = g s / D,   A' = A + g B / D,   B' = s B / D,   sources split as g / D and s / D.
 * Every term is a sum or product of positive numbers: no digits are lost to subtraction. */
struct two_port chain_eliminate(const struct net_chain *chain, const double *f, const double *slope,
                                double *to_a, double *to_next, double *rest)
{
	size_t n = chain->units;
	double section = 1 / chain->section_ohm;
	struct two_port port = { .g = 2 * section };

	for (size_t k = 0; k < n; k++) {
		double s = k + 1 < n ? section : 2 * section;
		double shunt = port.shunt_b + slope[k];
		double source = port.source_b - f[k];
		double d = 1 / (port.g + shunt + s);

		to_a[k] = port.g * d;
		to_next[k] = s * d;
		rest[k] = source * d;
		port.shunt_a += to_a[k] * shunt;
		port.source_a += to_a[k] * source;
		port.shunt_b = to_next[k] * shunt;
		port.source_b = to_next[k] * source;
		port.g *= to_next[k];
	}
	return port;
}

void chain_substitute(const struct net_chain *chain, double d_a, double d_b, const double *to_a,
                      const double *to_next, const double *rest, double *d)
{
	double next = d_b;
	for (size_t k = chain->units; k-- > 0;) {
		next = to_a[k] * d_a + to_next[k] * next + rest[k];
		d[k] = next;
	}
}
