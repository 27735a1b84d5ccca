/* Figures of items from node drops, branch and chain currents. */
#include "solve/record.h"

#include <math.h>

#define NO_DIP 1e-9              /* what rounding leaves where nothing changes */

struct view {
	struct solution *out;
	const struct topology *t;
	const struct job *job;
	size_t circuit;
	const struct circuit_net *cn;
	const struct answer *answer;
	double set_v;
};

static struct view view_of_answer(struct solution *out, const struct topology *t, size_t circuit,
                                  const struct answer *a)
{
	return (struct view){ out, t, a->job, circuit, a->cn, a,
	                      a->batch ? a->batch->values.set_v[a->lane] : a->cn->net.set_v };
}

static double node_drop(const struct answer *a, size_t node)
{
	return a->batch ? a->batch->node_drop[node][a->lane] : a->ns->node_drop[node];
}

static double branch_amps(const struct answer *a, size_t branch)
{
	return a->batch ? a->batch->branch_a[branch][a->lane] : a->ns->branch_a[branch];
}

static double into_a(const struct answer *a, size_t chain)
{
	return a->batch ? a->batch->chains[chain].in_a[a->lane] : a->ns->chain_a[chain];
}

static double into_b(const struct answer *a, size_t chain)
{
	return a->batch ? a->batch->chains[chain].in_b[a->lane] : a->ns->chain_b[chain];
}

static double volts_at(const struct view *v, size_t terminal)
{
	return v->set_v - node_drop(v->answer, v->cn->node_of[terminal]);
}

static size_t driver_of(const struct view *v)
{
	return v->t->circuit_drivers.list[v->t->circuit_drivers.first[v->circuit]];
}

/* Over the units of a strip, whatever its taps. */
struct sums { double v_low, v_high, amps, watts, light_low, light_high; };

static struct sums sums_of_lane(const struct view *v, const struct strip *strip, size_t chain)
{
	struct sums s = { INFINITY, -INFINITY, 0, 0, INFINITY, -INFINITY };
	for (size_t k = chain; k <= chain + strip->tap_count; k++) {
		const struct batch_chain *c = &v->answer->batch->chains[k];
		size_t lane = v->answer->lane;
		s.amps += c->amps[lane];
		s.watts += c->watts[lane];
		s.v_low = fmin(s.v_low, c->v_low[lane]);
		s.v_high = fmax(s.v_high, c->v_high[lane]);
		s.light_low = fmin(s.light_low, c->light_low[lane]);
		s.light_high = fmax(s.light_high, c->light_high[lane]);
	}
	return s;
}

/* `light` and `volts` of every unit are kept where they are wanted. */
static struct sums sums_of_units(const struct view *v, const struct strip *strip, size_t chain,
                                 double *light, double *volts)
{
	struct sums s = { INFINITY, -INFINITY, 0, 0, INFINITY, -INFINITY };
	const double *amps = v->answer->ns->unit_amps + v->cn->net.chains[chain].first;
	const double *drop = v->answer->ns->unit_drop + v->cn->net.chains[chain].first;
	for (size_t k = 0; k < strip->units; k++) {
		double at = v->set_v - drop[k], lit = amps[k] / strip->law.amps;
		if (light) {
			light[k] = lit;
			volts[k] = at;
		}
		s.amps += amps[k];
		s.watts += amps[k] * at;
		s.v_low = at < s.v_low ? at : s.v_low;
		s.v_high = at > s.v_high ? at : s.v_high;
		s.light_low = lit < s.light_low ? lit : s.light_low;
		s.light_high = lit > s.light_high ? lit : s.light_high;
	}
	return s;
}

static struct sums sums_of(const struct view *v, const struct strip *strip, size_t chain)
{
	return v->answer->batch ? sums_of_lane(v, strip, chain)
	                        : sums_of_units(v, strip, chain, NULL, NULL);
}

static double mean_light(const struct sums *s, const struct strip *strip)
{
	return s->amps / (double)strip->units / strip->law.amps;
}

static void record_design_strip(const struct view *v, const struct strip *strip, size_t chain,
                                struct strip_result *r, struct arena *keep)
{
	struct sums s;
	if (v->answer->batch) {
		s = sums_of_lane(v, strip, chain);
	} else {
		double *light = arena_array(keep, double, strip->units);
		double *volts = arena_array(keep, double, strip->units);
		s = sums_of_units(v, strip, chain, light, volts);
		r->light = light;
		r->volts = volts;
	}
	r->live = true;
	r->has_dip = false;
	r->current_a = s.amps;
	r->power_w = s.watts;
	r->v_min = s.v_low;
	r->v_max = r->v_max_worst = s.v_high;
	r->light_min = s.light_low;
	r->light_max = s.light_high;
	r->light_mean = mean_light(&s, strip);
	r->drop = (v->set_v - r->v_min) / strip->voltage.num;
	v->out->cut_units += strip->units;
}

/* Net current into the strip at each of its terminals: into the chain that starts there and into the one
 * that ends there. */
static double strip_inflow(const struct view *v, size_t chain, size_t chain_count, size_t at)
{
	double amps = 0;
	if (at < chain_count)
		amps += into_a(v->answer, chain + at);
	if (at > 0)
		amps += into_b(v->answer, chain + at - 1);
	return amps;
}

static size_t strip_terminal(const struct strip *strip, size_t at)
{
	if (at == 0)
		return strip->terminal;
	return at <= strip->tap_count ? strip->taps[at - 1] : strip->terminal + 1;
}

static void record_terminal(struct terminal_result *r, double volts, bool design)
{
	if (design) {
		r->volts = volts;
		r->volts_low = r->volts_high = volts;
	} else {
		r->volts_low = fmin(r->volts_low, volts);
		r->volts_high = fmax(r->volts_high, volts);
	}
}

static void record_strips(const struct view *v, bool design, struct arena *keep)
{
	const struct grouping *g = &v->t->circuit_strips;
	size_t first = g->first[v->circuit];
	for (size_t i = 0; i < group_size(g, v->circuit); i++) {
		size_t index = g->list[first + i], chain = v->cn->strip_chain[i];
		const struct strip *strip = &v->job->strips[index];
		struct strip_result *r = &v->out->strips[index];
		if (chain == NO_INDEX)
			continue;
		if (design)
			record_design_strip(v, strip, chain, r, keep);
		for (size_t at = 0; at < strip->tap_count + 2; at++) {
			size_t terminal = strip_terminal(strip, at);
			struct terminal_result *t = &v->out->terminals[terminal];
			double amps = strip_inflow(v, chain, strip->tap_count + 1, at);
			record_terminal(t, volts_at(v, terminal), design);
			if (design)
				t->inflow_a = amps;
			t->worst_in_a = design ? amps : fmax(t->worst_in_a, amps);
		}
	}
}

static void record_cables(const struct view *v, bool design)
{
	const struct grouping *g = &v->t->circuit_cables;
	size_t first = g->first[v->circuit];
	for (size_t i = 0; i < group_size(g, v->circuit); i++) {
		size_t index = g->list[first + i], branch = v->cn->cable_branch[i];
		const struct cable *cable = &v->job->cables[index];
		struct cable_result *r = &v->out->cables[index];
		if (branch == NO_INDEX)
			continue;
		double amps = branch_amps(v->answer, branch);
		if (design) {
			r->live = true;
			r->amps = amps;
			r->v_from = volts_at(v, cable->a);
			r->v_to = volts_at(v, cable->b);
			r->loss_w = amps * amps * cable->ohm;
			r->worst_a = 0;
		}
		r->worst_a = fmax(r->worst_a, fabs(amps));
	}
}

static void record_switches(const struct view *v, bool design)
{
	const struct grouping *g = &v->t->circuit_switches;
	size_t first = g->first[v->circuit];
	for (size_t i = 0; i < group_size(g, v->circuit); i++) {
		size_t index = g->list[first + i], branch = v->cn->switch_branch[i];
		const struct switch_item *s = &v->job->switches[index];
		struct switch_result *r = &v->out->switches[index];
		for (size_t t = s->terminal; t <= s->terminal + 1; t++)
			if (v->cn->node_of[t] != NODE_NONE)
				record_terminal(&v->out->terminals[t], volts_at(v, t), design);
		if (branch == NO_INDEX)
			continue;
		double amps = branch_amps(v->answer, branch);
		if (design) {
			r->live = true;
			r->amps = amps;
			r->drop_v = volts_at(v, s->terminal) - volts_at(v, s->terminal + 1);
			r->worst_a = r->least_a = fabs(amps);
		}
		r->worst_a = fmax(r->worst_a, fabs(amps));
		r->least_a = fmin(r->least_a, fabs(amps));
	}
}

/* A block's current is what flows in: half of what its cables carry to and from it. */
static double block_inflow(const struct view *v, size_t terminal)
{
	const struct grouping *g = &v->t->terminal_cables;
	double amps = 0;
	for (size_t k = g->first[terminal]; k < g->first[terminal + 1]; k++) {
		const struct cable *cable = &v->job->cables[g->list[k]];
		double drop = volts_at(v, cable->a) - volts_at(v, cable->b);
		double into = (cable->b == terminal ? drop : -drop) / fmax(cable->ohm, BRANCH_FLOOR_OHM);
		amps += fmax(into, 0);
	}
	return amps;
}

static void record_blocks(const struct view *v, bool design)
{
	const struct grouping *g = &v->t->circuit_blocks;
	for (size_t k = g->first[v->circuit]; k < g->first[v->circuit + 1]; k++) {
		size_t index = g->list[k], terminal = v->job->blocks[index].terminal;
		struct block_result *r = &v->out->blocks[index];
		if (v->cn->node_of[terminal] == NODE_NONE)
			continue;
		double amps = block_inflow(v, terminal);
		record_terminal(&v->out->terminals[terminal], volts_at(v, terminal), design);
		if (design) {
			r->live = true;
			r->volts = volts_at(v, terminal);
			r->amps = r->worst_a = amps;
		}
		r->worst_a = fmax(r->worst_a, amps);
	}
}

/* Label watts of what is lit. */
static double nameplate(const struct view *v)
{
	const struct grouping *g = &v->t->circuit_strips;
	double watts = 0;
	for (size_t i = 0; i < group_size(g, v->circuit); i++) {
		const struct strip *strip = &v->job->strips[g->list[g->first[v->circuit] + i]];
		if (v->cn->strip_chain[i] != NO_INDEX)
			watts += strip->power_w_per_m * strip->metres;
	}
	return watts;
}

static double source_amps(const struct answer *a)
{
	return a->batch ? a->batch->source_a[a->lane] : a->ns->source_a;
}

static void record_driver(const struct view *v, bool design)
{
	const struct driver *driver = &v->job->drivers[driver_of(v)];
	struct driver_result *r = &v->out->drivers[driver_of(v)];
	double volts = volts_at(v, driver->terminal), amps = source_amps(v->answer), watts = volts * amps;
	record_terminal(&v->out->terminals[driver->terminal], volts, design);
	if (design) {
		r->live = true;
		r->output_v = volts;
		r->output_a = amps;
		r->output_w = watts;
		r->nameplate_w = nameplate(v);
		r->load_w = fmax(r->nameplate_w, watts);
		r->worst_w = r->load_w;
		r->worst_a = r->nameplate_w / driver->voltage.num;
		r->least_w = watts;
	}
	r->worst_w = fmax(r->worst_w, watts);
	r->worst_a = fmax(r->worst_a, amps);
	r->least_w = fmin(r->least_w, watts);
}

static void record_all(const struct view *v, bool design, struct arena *keep)
{
	record_driver(v, design);
	record_cables(v, design);
	record_switches(v, design);
	record_blocks(v, design);
	record_strips(v, design, keep);
}

void record_design_case(struct solution *out, const struct topology *topology, size_t circuit,
                        const struct answer *answer, struct arena *keep)
{
	struct view v = view_of_answer(out, topology, circuit, answer);
	record_all(&v, true, keep);
}

static void record_dip(struct strip_result *r, double dip, size_t by_switch)
{
	if (r->has_dip && dip <= r->dip)
		return;
	r->has_dip = true;
	r->dip = dip;
	r->dip_switch = by_switch;
}

void record_other_case(struct solution *out, const struct topology *topology, size_t circuit,
                       const struct answer *answer, size_t by_switch, size_t lit_zone)
{
	struct view v = view_of_answer(out, topology, circuit, answer);
	const struct grouping *g = &topology->circuit_strips;
	record_all(&v, false, NULL);
	for (size_t i = 0; i < group_size(g, circuit); i++) {
		size_t index = g->list[g->first[circuit] + i];
		const struct strip *strip = &v.job->strips[index];
		struct strip_result *r = &out->strips[index];
		if (v.cn->strip_chain[i] == NO_INDEX)
			continue;
		struct sums s = sums_of(&v, strip, v.cn->strip_chain[i]);
		double alone = mean_light(&s, strip);
		double dip = alone > 0 ? (alone - r->light_mean) / alone : 0;
		r->v_max_worst = fmax(r->v_max_worst, s.v_high);
		if (topology->zone_of[strip->terminal] == lit_zone)
			record_dip(r, fabs(dip) < NO_DIP ? 0 : dip, by_switch);
	}
}

void record_lone_switch(struct solution *out, const struct topology *topology, size_t circuit,
                        size_t by_switch, size_t lit_zone)
{
	const struct grouping *g = &topology->circuit_strips;
	for (size_t k = g->first[circuit]; k < g->first[circuit + 1]; k++)
		if (topology->zone_of[topology->job->strips[g->list[k]].terminal] == lit_zone)
			record_dip(&out->strips[g->list[k]], 0, by_switch);
}
