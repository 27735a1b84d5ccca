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
	const struct net_solution *ns;
};

static double volts_at(const struct view *v, size_t terminal)
{
	return v->cn->net.set_v - v->ns->node_drop[v->cn->node_of[terminal]];
}

static size_t driver_of(const struct view *v)
{
	return v->t->circuit_drivers.list[v->t->circuit_drivers.first[v->circuit]];
}

/* The units of a strip lie one after the other, whatever its taps. */
static size_t first_unit(const struct view *v, size_t chain)
{
	return v->cn->net.chains[chain].first;
}

static double highest_volts(const struct view *v, const struct strip *strip, size_t chain)
{
	const double *drop = v->ns->unit_drop + first_unit(v, chain);
	double least = drop[0];
	for (size_t k = 1; k < strip->units; k++)
		least = fmin(least, drop[k]);
	return v->cn->net.set_v - least;
}

static double mean_light(const struct view *v, const struct strip *strip, size_t chain)
{
	const double *amps = v->ns->unit_amps + first_unit(v, chain);
	double sum = 0;
	for (size_t k = 0; k < strip->units; k++)
		sum += amps[k];
	return sum / (double)strip->units / strip->law.amps;
}

static void record_units(const struct view *v, const struct strip *strip, size_t chain,
                         struct strip_result *r, struct arena *keep)
{
	size_t first = first_unit(v, chain);
	double *light = arena_array(keep, double, strip->units);
	double *volts = arena_array(keep, double, strip->units);
	r->v_min = r->light_min = INFINITY;
	r->v_max = r->light_max = -INFINITY;
	r->current_a = r->power_w = 0;
	for (size_t k = 0; k < strip->units; k++) {
		double amps = v->ns->unit_amps[first + k];
		volts[k] = v->cn->net.set_v - v->ns->unit_drop[first + k];
		light[k] = amps / strip->law.amps;
		r->current_a += amps;
		r->power_w += amps * volts[k];
		r->v_min = fmin(r->v_min, volts[k]);
		r->v_max = fmax(r->v_max, volts[k]);
		r->light_min = fmin(r->light_min, light[k]);
		r->light_max = fmax(r->light_max, light[k]);
	}
	r->light = light;
	r->volts = volts;
	r->light_mean = r->current_a / (double)strip->units / strip->law.amps;
}

/* Net current into the strip at each of its terminals: into the chain that starts there and into the one
 * that ends there. */
static double strip_inflow(const struct view *v, size_t chain, size_t chain_count, size_t at)
{
	double amps = 0;
	if (at < chain_count)
		amps += v->ns->chain_a[chain + at];
	if (at > 0)
		amps += v->ns->chain_b[chain + at - 1];
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
		if (design) {
			r->live = true;
			record_units(v, strip, chain, r, keep);
			r->drop = (v->cn->net.set_v - r->v_min) / strip->voltage.num;
			r->v_max_worst = r->v_max;
			v->out->cut_units += strip->units;
		} else {
			r->v_max_worst = fmax(r->v_max_worst, highest_volts(v, strip, chain));
		}
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
		double amps = v->ns->branch_a[branch];
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
		double amps = v->ns->branch_a[branch];
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

static double nameplate(const struct view *v)
{
	const struct grouping *g = &v->t->circuit_strips;
	double watts = 0;
	for (size_t k = g->first[v->circuit]; k < g->first[v->circuit + 1]; k++) {
		const struct strip *strip = &v->job->strips[g->list[k]];
		watts += strip->power_w_per_m * strip->metres;
	}
	return watts;
}

static void record_driver(const struct view *v, bool design)
{
	const struct driver *driver = &v->job->drivers[driver_of(v)];
	struct driver_result *r = &v->out->drivers[driver_of(v)];
	double volts = volts_at(v, driver->terminal), amps = v->ns->source_a, watts = volts * amps;
	record_terminal(&v->out->terminals[driver->terminal], volts, design);
	if (design) {
		r->live = true;
		r->output_v = volts;
		r->output_a = amps;
		r->output_w = watts;
		r->nameplate_w = nameplate(v);
		r->load_w = fmax(r->nameplate_w, watts);
		r->worst_w = r->load_w;
		r->worst_a = amps;
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
                        const struct circuit_net *cn, const struct net_solution *ns, struct arena *keep)
{
	struct view v = { out, topology, topology->job, circuit, cn, ns };
	record_all(&v, true, keep);
}

void record_other_case(struct solution *out, const struct topology *topology, size_t circuit,
                       const struct circuit_net *cn, const struct net_solution *ns, size_t by_switch,
                       size_t lit_zone)
{
	struct view v = { out, topology, topology->job, circuit, cn, ns };
	const struct grouping *g = &topology->circuit_strips;
	record_all(&v, false, NULL);
	for (size_t i = 0; i < group_size(g, circuit); i++) {
		size_t index = g->list[g->first[circuit] + i];
		const struct strip *strip = &v.job->strips[index];
		struct strip_result *r = &out->strips[index];
		if (topology->zone_of[strip->terminal] != lit_zone || cn->strip_chain[i] == NO_INDEX)
			continue;
		double alone = mean_light(&v, strip, cn->strip_chain[i]);
		double dip = alone > 0 ? (alone - r->light_mean) / alone : 0;
		if (fabs(dip) < NO_DIP)
			dip = 0;
		if (!r->has_dip || dip > r->dip) {
			r->has_dip = true;
			r->dip = dip;
			r->dip_switch = by_switch;
		}
	}
}
