/* Sweeps along one chain with two rails. With s the conductance of one rail's section (2 s for the half
 * ones at both ends) and v_k = V + p_k - m_k, unit k sees
 *     F_k+ = s (p_k - p_(k-1)) + s (p_k - p_(k+1)) + i(v_k)
 *     F_k- = s (m_k - m_(k-1)) + s (m_k - m_(k+1)) - i(v_k)
 * and J is the conductance matrix of the rails with a conductance di/dv across them at every unit. */
#include "solve/rail_chain.h"

struct rail_flow rail_chain_residual(const struct net_chain *chain, double set_v, struct rails a,
                                     struct rails b, const struct rails *u, struct rails *f,
                                     double *slope)
{
	size_t n = chain->units;
	double section = 2 / chain->section_ohm;
	struct rails in = { 2 * section * (a.plus - u[0].plus), 2 * section * (a.minus - u[0].minus) };
	struct rail_flow flow = { .in = in };

	for (size_t k = 0; k < n; k++) {
		struct rails next = k + 1 < n ? u[k + 1] : b;
		double s = k + 1 < n ? section : 2 * section;
		struct rails out = { s * (u[k].plus - next.plus), s * (u[k].minus - next.minus) };
		double amps = unit_amps(&chain->law, set_v + u[k].plus - u[k].minus, &slope[k]);
		f[k] = (struct rails){ out.plus - in.plus + amps, out.minus - in.minus - amps };
		in = out;
	}
	flow.out = in;
	return flow;
}

/* The part already eliminated is six conductances between a+, a-, k+ and k-. Node k+, then node k-, is
 * eliminated as a star is turned into a mesh: with g_i to its neighbours, G = sum of g_i and source q,
 *     d = (sum of g_i d_i + q) / G,    g_ij' = g_ij + g_i g_j / G,    q_i' = q_i + q g_i / G,
 * which is the elimination of the 2 x 2 block row (Thomas). Every term is a sum or product of positive
 * numbers: no digits are lost to subtraction. */
struct rail_port rail_chain_eliminate(const struct net_chain *chain, const struct rails *f,
                                      const double *slope, struct rail_step *steps)
{
	size_t n = chain->units;
	double section = 2 / chain->section_ohm;
	struct rail_port g = { .ap_bp = 2 * section, .am_bm = 2 * section };

	for (size_t k = 0; k < n; k++) {
		struct rail_row *p = &steps[k].plus, *m = &steps[k].minus;
		double s = k + 1 < n ? section : 2 * section;
		double across = g.bp_bm + slope[k];

		double source = g.source_b.plus - f[k].plus;
		double d = 1 / (g.ap_bp + g.am_bp + across + s);
		*p = (struct rail_row){ g.ap_bp * d, g.am_bp * d, across * d, s * d, source * d };
		double ap_am = g.ap_am + g.ap_bp * p->a_minus;
		double ap_km = g.ap_bm + g.ap_bp * p->twin, am_km = g.am_bm + g.am_bp * p->twin;
		double ap_np = g.ap_bp * p->next, am_np = g.am_bp * p->next, km_np = across * p->next;
		g.source_a.plus += p->a_plus * source;
		g.source_a.minus += p->a_minus * source;
		g.source_b.plus = p->next * source;
		source = g.source_b.minus - f[k].minus + p->twin * source;

		d = 1 / (ap_km + am_km + km_np + s);
		*m = (struct rail_row){ ap_km * d, am_km * d, km_np * d, s * d, source * d };
		g.ap_am = ap_am + ap_km * m->a_minus;
		g.ap_bp = ap_np + ap_km * m->twin;
		g.am_bp = am_np + am_km * m->twin;
		g.ap_bm = ap_km * m->next;
		g.am_bm = am_km * m->next;
		g.bp_bm = km_np * m->next;
		g.source_a.plus += m->a_plus * source;
		g.source_a.minus += m->a_minus * source;
		g.source_b.plus += m->twin * source;
		g.source_b.minus = m->next * source;
	}
	return g;
}

void rail_chain_substitute(const struct net_chain *chain, struct rails a, struct rails b,
                           const struct rail_step *steps, struct rails *d)
{
	struct rails next = b;
	for (size_t k = chain->units; k-- > 0;) {
		const struct rail_row *p = &steps[k].plus, *m = &steps[k].minus;
		double minus = m->a_plus * a.plus + m->a_minus * a.minus + m->twin * next.plus +
		               m->next * next.minus + m->rest;
		double plus = p->a_plus * a.plus + p->a_minus * a.minus + p->twin * minus +
		              p->next * next.plus + p->rest;
		next = d[k] = (struct rails){ plus, minus };
	}
}
