/* The job as labelled, and then three rounds of builds, solved side by side: as many draws as were asked
 * for; each deviation alone, for the slopes; and for each figure the corner that its slopes point to. A
 * figure that is the larger of two (a driver's load: label watts or solved) has no slope where the other
 * one rules: where a draw went beyond its corner, slopes are taken anew at that corner.
 *
 * In a tree every figure here is monotone in each input (more resistance or more watts on the way to a
 * strip: less voltage there; elsewhere the sign is one and the same), so its extreme lies at a corner, and
 * the slopes at the nominal point name it. In a loop, or where a law changes its branch, that is not
 * certain: `monotone` says whether any draw went beyond the corner. A comparison of several strips has no
 * such corner: which of them is the dimmer may change. Their worst is left open. */
#include "advise/tolerance_group.h"

#include "advise/draw.h"
#include "advise/quantile.h"

#include <math.h>
#include <string.h>

#define STEP 0.5                 /* of a tolerance, for the slopes */
#define MOST_SLOPES ((size_t)1 << 25)    /* deviations x figures; beyond it no corners are looked at */
#define CLOSER_LOOKS 3
#define BEYOND 1e-6              /* of a value: what single precision leaves */

struct group {
	const struct job *job;
	const struct tolerance_plan *plan;
	struct group_result *out;
	struct variants *variants;
	struct job *variant[VARIANTS];
	const struct job *solved[VARIANTS];
	double *deviations;          /* of the build being set */
	double *values;              /* of all figures of the build being taken */
	float *draws;                /* deviation x sample */
	float *spread;               /* figure x sample */
	float *load;                 /* driver x sample */
	float *light;                /* (strip x point) x sample */
	double *slopes;              /* figure x deviation */
	size_t about;                /* figure whose corner is looked at closer */
	bool *broken, *failed;
	size_t done, planned;        /* builds; closer looks come on top */
};

/* One round of builds: how each is set, and what is kept of its answer (in g->values: every figure). */
struct round {
	void (*set)(struct group *g, size_t build);
	void (*take)(struct group *g, size_t build, size_t lane);
};

static void take_values(struct group *g, size_t lane)
{
	struct check_input in = { .job = g->variant[lane], .solution = variants_solution(g->variants, lane) };
	const struct measures *m = &g->out->measures;
	for (size_t i = 0; i < m->count; i++)
		g->values[i] = m->items[i].take(&m->items[i], &in);
}

static bool run_round(struct group *g, const struct round *round, size_t builds)
{
	for (size_t first = 0; first < builds; first += VARIANTS) {
		size_t count = builds - first < VARIANTS ? builds - first : VARIANTS;
		for (size_t lane = 0; lane < count; lane++) {
			round->set(g, first + lane);
			inputs_apply(&g->out->inputs, g->job, g->deviations, g->variant[lane]);
		}
		if (!variants_solve(g->variants, g->solved, count))
			return false;
		for (size_t lane = 0; lane < count; lane++) {
			take_values(g, lane);
			round->take(g, first + lane, lane);
		}
		g->done += count;
		if (g->plan->progress)
			g->plan->progress(g->plan->progress_data, fmin((double)g->done / (double)g->planned, 1));
	}
	return true;
}

/* As labelled */
static void set_nominal(struct group *g, size_t build)
{
	(void)build;
	memset(g->deviations, 0, g->out->inputs.deviation_count * sizeof(double));
}

/* Draws */
static void draw(struct group *g, struct arena *scratch)
{
	size_t samples = g->plan->samples;
	const struct inputs *inputs = &g->out->inputs;
	uint32_t *order = arena_array(scratch, uint32_t, samples);
	g->draws = arena_array(scratch, float, inputs->deviation_count * samples);
	for (size_t d = 0; d < inputs->deviation_count; d++) {
		const struct deviation *dev = &inputs->deviations[d];
		const char *name[] = {
			dev->rule ? dev->rule->key : "ambient",
			!dev->rule ? "" : dev->type_name ? kind_words[dev->item.kind].types
			                                 : kind_words[dev->item.kind].group,
			!dev->rule ? "" : dev->type_name ? dev->type_name
			                                 : job_item(g->job, dev->item.kind, dev->item.index)->id,
		};
		draw_hypercube(g->plan->seed, name, 3, samples, order, g->draws + d * samples);
	}
}

static void set_draw(struct group *g, size_t build)
{
	for (size_t d = 0; d < g->out->inputs.deviation_count; d++)
		g->deviations[d] = (double)g->draws[d * g->plan->samples + build];
}

static void take_light(struct group *g, size_t build, size_t lane)
{
	for (size_t i = 0; i < g->job->strip_count; i++) {
		const double *light = variants_light(g->variants, lane, i);
		for (size_t p = 0; light && p < BAND_POINTS; p++)
			g->light[(i * BAND_POINTS + p) * g->plan->samples + build] = (float)light[p];
	}
}

static void take_draw(struct group *g, size_t build, size_t lane)
{
	size_t samples = g->plan->samples;
	for (size_t i = 0; i < g->out->measures.count; i++) {
		const struct measure *m = &g->out->measures.items[i];
		struct checked_spread *c = &g->out->checks[i];
		g->spread[i * samples + build] = (float)g->values[i];
		if (measure_breaks(m, g->values[i], m->limit)) {
			c->chance += 1;
			g->broken[build] = true;
		}
		if (measure_breaks(m, g->values[i], m->fail)) {
			c->fail_chance += 1;
			g->failed[build] = true;
		}
	}
	for (size_t i = 0; i < g->job->driver_count; i++)
		g->load[i * samples + build] = (float)variants_solution(g->variants, lane)->drivers[i].load_w;
	if (g->plan->bands)
		take_light(g, build, lane);
}

/* Slopes: one deviation at a time */
static void set_single(struct group *g, size_t build)
{
	set_nominal(g, build);
	g->deviations[build] = STEP;
}

static void take_single(struct group *g, size_t build, size_t lane)
{
	size_t count = g->out->inputs.deviation_count;
	(void)lane;
	for (size_t i = 0; i < g->out->measures.count; i++)
		g->slopes[i * count + build] = (g->values[i] - g->out->checks[i].nominal) / STEP;
}

/* The corner that is worst for figure `build` */
static void set_corner(struct group *g, size_t build)
{
	size_t count = g->out->inputs.deviation_count;
	const double *slope = g->slopes + build * count;
	double worse = g->out->measures.items[build].least ? -1 : 1;
	for (size_t d = 0; d < count; d++)
		g->deviations[d] = slope[d] > 0 ? worse : slope[d] < 0 ? -worse : 0;
}

static void take_corner(struct group *g, size_t build, size_t lane)
{
	(void)lane;
	if (g->out->measures.items[build].strip_count <= 1)
		g->out->checks[build].worst = g->values[build];
}

/* The slopes of figure `about` at its corner: one deviation at a time to another place. */
static void set_corner_single(struct group *g, size_t build)
{
	set_corner(g, g->about);
	g->deviations[build] = fabs(g->deviations[build]) > 0 ? 0 : 1;
}

static void take_corner_single(struct group *g, size_t build, size_t lane)
{
	double *slope = &g->slopes[g->about * g->out->inputs.deviation_count + build];
	double worse = g->out->measures.items[g->about].least ? -1 : 1;
	double from = *slope > 0 ? worse : *slope < 0 ? -worse : 0, to = fabs(from) > 0 ? 0 : 1;
	(void)lane;
	*slope = (g->values[g->about] - g->out->checks[g->about].worst) / (to - from);
}

static const struct round draw_round = { set_draw, take_draw };
static const struct round slope_round = { set_single, take_single };
static const struct round corner_round = { set_corner, take_corner };
static const struct round closer_round = { set_corner_single, take_corner_single };

/* One corner again, by itself. */
static bool run_corner(struct group *g, size_t figure)
{
	set_corner(g, figure);
	inputs_apply(&g->out->inputs, g->job, g->deviations, g->variant[0]);
	if (!variants_solve(g->variants, g->solved, 1))
		return false;
	take_values(g, 0);
	take_corner(g, figure, 0);
	return true;
}

/* The job as labelled says what there is to measure, and its nominal figures. */
static bool measure_nominal(struct group *g, struct arena *scratch, struct arena *keep)
{
	struct group_result *out = g->out;
	set_nominal(g, 0);
	inputs_apply(&out->inputs, g->job, g->deviations, g->variant[0]);
	if (!variants_solve(g->variants, g->solved, 1))
		return false;
	measures_of(&(struct check_input){ g->job, variants_solution(g->variants, 0) }, keep, &out->measures);
	out->checks = arena_array(keep, struct checked_spread, out->measures.count);
	g->values = arena_array(scratch, double, out->measures.count);
	take_values(g, 0);
	for (size_t i = 0; i < out->measures.count; i++) {
		const struct measure *m = &out->measures.items[i];
		out->checks[i] = (struct checked_spread){ .check = m->check, .item = m->item, .limit = m->limit,
		                                          .fail = m->fail, .least = m->least,
		                                          .nominal = g->values[i], .worst = NAN };
	}
	g->done = 1;
	return true;
}

static bool set_up(struct group *g, struct arena *scratch, struct arena *keep)
{
	struct group_result *out = g->out;
	size_t samples = g->plan->samples;

	inputs_of(g->job, keep, &out->inputs);
	g->variants = variants_new(g->job, g->plan->bands ? BAND_POINTS : 0, scratch);
	for (size_t lane = 0; lane < VARIANTS; lane++)
		g->solved[lane] = g->variant[lane] = job_copy(g->job, scratch);
	g->deviations = arena_array(scratch, double, out->inputs.deviation_count);
	if (!measure_nominal(g, scratch, keep))
		return false;
	g->spread = arena_array(scratch, float, out->measures.count * samples);
	g->load = arena_array(scratch, float, g->job->driver_count * samples);
	if (g->plan->bands)
		g->light = arena_array(scratch, float, g->job->strip_count * BAND_POINTS * samples);
	return true;
}

/* Did a draw go beyond the corner? */
static bool beyond(const struct group *g, size_t figure)
{
	const struct checked_spread *c = &g->out->checks[figure];
	double extreme = (double)quantile(g->spread + figure * g->plan->samples, g->plan->samples,
	                                  c->least ? 0 : 1);
	return (c->least ? c->worst - extreme : extreme - c->worst) > BEYOND * fabs(c->worst);
}

/* Corners, and where one was not it, a closer look. The slopes at the nominal point are kept for ranking. */
static bool find_corners(struct group *g, struct arena *scratch)
{
	size_t deviations = g->out->inputs.deviation_count, figures = g->out->measures.count;
	double *nominal = arena_array(scratch, double, deviations);
	if (!run_round(g, &corner_round, figures))
		return false;
	for (g->about = 0; g->about < figures; g->about++) {
		double *slope = g->slopes + g->about * deviations;
		memcpy(nominal, slope, deviations * sizeof(double));
		for (int look = 0; look < CLOSER_LOOKS && beyond(g, g->about); look++) {
			double before = g->out->checks[g->about].worst;
			if (!run_round(g, &closer_round, deviations) || !run_corner(g, g->about))
				return false;
			bool least = g->out->measures.items[g->about].least;
			double after = g->out->checks[g->about].worst;
			if (least ? after < before : after > before)
				continue;
			g->out->checks[g->about].worst = before;
			break;
		}
		g->out->monotone = g->out->monotone && !beyond(g, g->about);
		memcpy(slope, nominal, deviations * sizeof(double));
	}
	return true;
}

static void sum_up_checks(struct group *g)
{
	size_t samples = g->plan->samples;
	for (size_t i = 0; i < g->out->measures.count; i++) {
		struct checked_spread *c = &g->out->checks[i];
		float *list = g->spread + i * samples;
		c->chance /= (double)samples;
		c->fail_chance /= (double)samples;
		c->spread = (struct spread){ (double)quantile(list, samples, 0.05),
		                             (double)quantile(list, samples, 0.50),
		                             (double)quantile(list, samples, 0.95) };
	}
}

static void sum_up_light(struct group *g, struct arena *keep)
{
	struct group_result *out = g->out;
	size_t samples = g->plan->samples;
	out->band_low = arena_array(keep, float *, g->job->strip_count);
	out->band_high = arena_array(keep, float *, g->job->strip_count);
	for (size_t i = 0; i < g->job->strip_count; i++) {
		if (!variants_light(g->variants, 0, i))
			continue;
		out->band_low[i] = arena_array(keep, float, BAND_POINTS);
		out->band_high[i] = arena_array(keep, float, BAND_POINTS);
		for (size_t p = 0; p < BAND_POINTS; p++) {
			float *list = g->light + (i * BAND_POINTS + p) * samples;
			out->band_low[i][p] = quantile(list, samples, 0.05);
			out->band_high[i][p] = quantile(list, samples, 0.95);
		}
	}
}

static void sum_up_loads(struct group *g, struct arena *keep)
{
	size_t samples = g->plan->samples;
	g->out->load_p95 = arena_array(keep, double, g->job->driver_count);
	for (size_t i = 0; i < g->job->driver_count; i++)
		g->out->load_p95[i] = variants_solution(g->variants, 0)->drivers[i].live
			? (double)quantile(g->load + i * samples, samples, 0.95) : NAN;
}

/* How many times its own spread a figure is away from its limit; the chance counts first. */
bool nearer_to_breaking(const struct checked_spread *a, const struct checked_spread *b)
{
	double near[2];
	const struct checked_spread *both[2] = { a, b };
	if (a->chance > b->chance || a->chance < b->chance)
		return a->chance > b->chance;
	for (int i = 0; i < 2; i++) {
		const struct checked_spread *c = both[i];
		double room = c->least ? c->spread.p50 - c->limit : c->limit - c->spread.p50;
		near[i] = room / (c->spread.p95 - c->spread.p05);
	}
	return near[0] < near[1];
}

static bool varies(const struct checked_spread *c)
{
	return c->spread.p95 - c->spread.p05 > BEYOND * fabs(c->spread.p50);
}

static void decide(struct group *g, struct arena *keep)
{
	struct group_result *out = g->out;
	size_t count = out->inputs.deviation_count;
	out->decides = NO_INDEX;
	for (size_t i = 0; i < out->measures.count; i++)
		if (varies(&out->checks[i]) && (out->decides == NO_INDEX ||
		                                nearer_to_breaking(&out->checks[i], &out->checks[out->decides])))
			out->decides = i;
	if (out->decides == NO_INDEX || !g->slopes)
		return;
	out->slope = arena_array(keep, double, count);
	memcpy(out->slope, g->slopes + out->decides * count, count * sizeof(double));
}

bool tolerance_group(const struct job *job, const struct tolerance_plan *plan, bool *broken, bool *failed,
                     struct arena *keep, struct group_result *out)
{
	struct arena *scratch = arena_child(keep);
	struct group g = { .job = job, .plan = plan, .out = out, .broken = broken, .failed = failed };
	*out = (struct group_result){ .job = job, .monotone = true };
	if (!set_up(&g, scratch, keep)) {
		arena_free(scratch);
		return false;
	}
	size_t deviations = out->inputs.deviation_count, figures = out->measures.count;
	bool corners = figures > 0 && deviations <= MOST_SLOPES / figures;
	g.planned = 1 + plan->samples + (corners ? deviations + figures : 0);

	draw(&g, scratch);
	bool solved = run_round(&g, &draw_round, plan->samples);
	if (solved && corners) {
		g.slopes = arena_array(scratch, double, figures * deviations);
		solved = run_round(&g, &slope_round, deviations) && find_corners(&g, scratch);
	}
	if (solved) {
		sum_up_checks(&g);
		sum_up_loads(&g, keep);
		if (plan->bands)
			sum_up_light(&g, keep);
		decide(&g, keep);
	}
	arena_free(scratch);
	return solved;
}
