/* One small chart a strip: metres or inches to the right, light in per cent of full light upward, always from 0, so
 * that strips can be compared. Lines differ by their strokes, and are named where they end. */
#include "report/profile.h"

#include "advise/size_feed.h"
#include "report/html.h"
#include "report/svg.h"

#include <math.h>
#include <string.h>

#define WIDTH 330.0
#define HEIGHT 138.0
#define LEFT 42.0
#define RIGHT 268.0              /* the names of the lines stand behind it */
#define TOP 20.0
#define BOTTOM 104.0
#define POINTS 100               /* of a curve, at most */
#define NAME_HEIGHT 12.0

/* The same change that feed-both-ends words, on a copy of the strip's circuit. */
static void propose(struct proposed_light *proposed, const struct check_result *result,
                    const struct finding *finding, struct arena *arena)
{
	const struct job *job = result->job;
	struct bench bench;
	struct trial trial;
	size_t circuit = result->solution->circuit_of_terminal[job->strips[finding->item.index].terminal];
	bench_open(&bench, job, result->solution, circuit, arena);
	const size_t *local = bench.circuit.local[KIND_STRIP];
	struct present_feed feed = present_feed_of(bench.circuit.job, bench.now, local[finding->item.index],
	                                           bench.arena);
	if (feed.known && !feed.both_now) {
		trial_begin(&bench, &trial);
		trial_add_feed(&trial, feed.cable, feed.source, feed.far, feed.metres + feed.run_metres);
		const struct solution *then = solve_design_case(trial.job, bench.scratch);
		for (size_t k = 0; k < finding->item_count; k++) {
			size_t strip = finding->items[k].index, units = job->strips[strip].units;
			if (finding->items[k].kind != KIND_STRIP || !then->strips[local[strip]].live)
				continue;
			double *light = arena_array(arena, double, units);
			memcpy(light, then->strips[local[strip]].light, units * sizeof(*light));
			proposed->of_strip[strip] = light;
		}
	}
	bench_close(&bench);
}

void proposed_light_find(struct proposed_light *proposed, const struct check_result *result,
                         struct arena *arena)
{
	proposed->of_strip = arena_array(arena, const double *, result->job->strip_count);
	for (size_t i = 0; i < result->findings->count; i++)
		if (strcmp(result->findings->items[i].check->name, "feed-both-ends") == 0)
			propose(proposed, result, &result->findings->items[i], arena);
}

struct chart {
	struct buf *out;
	struct arena *arena;
	const struct strip *strip;
	const double *now, *then;    /* light of each unit; `then` may be NULL */
	const struct strip_spread *spread;       /* with a band; NULL: none */
	double limit;
	double top;                  /* the light at the upper end of the axis */
	enum length_system lengths;
};

static double y_of(const struct chart *chart, double light)
{
	return BOTTOM - (BOTTOM - TOP) * light / chart->top;
}

static double most_light(const struct chart *chart, const double *light)
{
	double most = 0;
	for (size_t k = 0; light != NULL && k < chart->strip->units; k++)
		most = fmax(most, light[k]);
	return most;
}

static void add_axes(const struct chart *chart)
{
	struct arena *arena = chart->arena;
	bool inches = chart->lengths == LENGTHS_INCH;
	for (int percent = 0; percent <= (int)lround(100 * chart->top); percent += 25) {
		double y = y_of(chart, percent / 100.0);
		svg_line(chart->out, "grid", (struct point[]){ { LEFT, y }, { RIGHT, y } }, 2);
		svg_text(chart->out, "", SVG_END, LEFT - 5, y + 3.5, LEFT, arena_printf(arena, "%d", percent));
	}
	svg_text(chart->out, "s", SVG_START, 4, 12, RIGHT, "light, % of full");
	svg_line(chart->out, "axis", (struct point[]){ { LEFT, TOP }, { LEFT, BOTTOM }, { RIGHT, BOTTOM } }, 3);
	for (int part = 0; part <= 2; part++) {
		double x = LEFT + (RIGHT - LEFT) * part / 2, metres = chart->strip->metres * part / 2;
		svg_line(chart->out, "axis", (struct point[]){ { x, BOTTOM }, { x, BOTTOM + 4 } }, 2);
		svg_text(chart->out, "", SVG_MIDDLE, x, BOTTOM + 15, 80,
		         inches ? quantity_mark(arena, metres, chart->lengths, 0) : arena_printf(arena, "%.3g", metres));
	}
	svg_text(chart->out, "s", SVG_MIDDLE, (LEFT + RIGHT) / 2, BOTTOM + 30, RIGHT - LEFT,
	         inches ? "inches from the strip's start" : "metres from the strip's start");
}

static void add_curve(const struct chart *chart, const char *class, const double *light)
{
	size_t units = chart->strip->units, count = units < POINTS ? units : POINTS;
	struct point *points = arena_array(chart->arena, struct point, count);
	for (size_t k = 0; k < count; k++) {
		size_t unit = count > 1 ? k * (units - 1) / (count - 1) : 0;
		points[k].x = LEFT + (RIGHT - LEFT) * ((double)unit + 0.5) / (double)units;
		points[k].y = y_of(chart, light[unit]);
	}
	if (count == 1)
		points[0].x = LEFT;
	svg_curve(chart->out, class, points, count, NAN);
}

/* Between 5 and 95 of 100 builds: there along the upper edge, back along the lower one. */
static void add_band(const struct chart *chart)
{
	struct point points[2 * BAND_POINTS];
	double half = 0.5 / (double)chart->strip->units;
	for (size_t p = 0; p < BAND_POINTS; p++) {
		double share = half + (1 - 2 * half) * (double)p / (BAND_POINTS - 1);
		double x = LEFT + (RIGHT - LEFT) * share;
		points[p] = (struct point){ x, y_of(chart, (double)chart->spread->band_high[p]) };
		points[2 * BAND_POINTS - 1 - p] =
			(struct point){ x, y_of(chart, (double)chart->spread->band_low[p]) };
	}
	svg_curve(chart->out, "band", points, 2 * BAND_POINTS, points[2 * BAND_POINTS - 1].y);
}

/* Names behind the ends of the lines, pushed apart where the lines end close together. */
static void add_names(const struct chart *chart)
{
	size_t last = chart->strip->units - 1;
	struct { const char *name; double y; } names[3] = {
		{ "limit", y_of(chart, chart->limit) }, { "now", y_of(chart, chart->now[last]) },
	};
	size_t count = 2;
	if (chart->then != NULL) {
		names[count].name = "proposed";
		names[count++].y = y_of(chart, chart->then[last]);
	}
	for (size_t i = 1; i < count; i++)
		for (size_t k = i; k > 0 && names[k].y < names[k - 1].y; k--) {
			const char *name = names[k].name;
			double y = names[k].y;
			names[k] = names[k - 1];
			names[k - 1].name = name;
			names[k - 1].y = y;
		}
	for (size_t i = 0; i < count; i++) {
		if (i > 0 && names[i].y < names[i - 1].y + NAME_HEIGHT)
			names[i].y = names[i - 1].y + NAME_HEIGHT;
		svg_text(chart->out, "", SVG_START, RIGHT + 5, names[i].y + 3.5, WIDTH - RIGHT - 5, names[i].name);
	}
}

static const char *range_text(const struct chart *chart, const double *light)
{
	double least = INFINITY;
	for (size_t k = 0; k < chart->strip->units; k++)
		least = fmin(least, light[k]);
	return percent_range(chart->arena, least, most_light(chart, light));
}

/* "71 to 97 % of full light now, 93 % with a second feed; 64 to 80 % at its dimmest in 9 of 10 builds" */
static const char *ranges_text(const struct chart *chart)
{
	struct arena *arena = chart->arena;
	const char *text = arena_printf(arena, "%s of full light", range_text(chart, chart->now));
	if (chart->then != NULL)
		text = arena_printf(arena, "%s now, %s with a second feed", text, range_text(chart, chart->then));
	if (chart->spread != NULL)
		text = arena_printf(arena, "%s; %s at its dimmest in 9 of 10 builds", text,
		                    percent_range(arena, chart->spread->light_min.p05,
		                                  chart->spread->light_min.p95));
	return text;
}

static void add_chart(const struct chart *chart, size_t i)
{
	const struct item *item = &chart->strip->item;
	svg_open(chart->out, &(struct svg_frame){
		.id = arena_printf(chart->arena, "light-%zu", i + 1),
		.title = arena_printf(chart->arena, "Light along %s", item->id),
		.desc = arena_printf(chart->arena, "From start to end: %s. The limit is %s.", ranges_text(chart),
		                     quantity_percent(chart->arena, chart->limit)),
		.width = WIDTH, .height = HEIGHT, .scale = 1.25,
	});
	add_axes(chart);
	double limit = y_of(chart, chart->limit);
	svg_line(chart->out, "limit", (struct point[]){ { LEFT, limit }, { RIGHT, limit } }, 2);
	if (chart->spread != NULL)
		add_band(chart);
	if (chart->then != NULL)
		add_curve(chart, "then", chart->then);
	add_curve(chart, "now", chart->now);
	add_names(chart);
	svg_close(chart->out);
}

static void add_figure(struct buf *out, const struct check_result *result, size_t i, const double *then,
                       enum length_system lengths)
{
	const struct item *item = &result->job->strips[i].item;
	struct chart chart = {
		.out = out, .arena = out->arena, .strip = &result->job->strips[i], .then = then,
		.now = result->solution->strips[i].light, .limit = job_limit(result->job, LIMIT_LIGHT),
		.lengths = lengths,
	};
	const char *ranges = "no figures: no single driver supplies it";
	bool live = result->solution->strips[i].live && chart.strip->units > 0;
	buf_add(out, "<figure>\n");
	if (live) {
		double most = fmax(most_light(&chart, chart.now), most_light(&chart, then));
		if (result->tolerance != NULL && result->tolerance->strips[i].band_high != NULL)
			chart.spread = &result->tolerance->strips[i];
		for (size_t p = 0; chart.spread != NULL && p < BAND_POINTS; p++)
			most = fmax(most, (double)chart.spread->band_high[p]);
		chart.top = fmax(1.0, 0.25 * ceil(4 * most - 1e-9));
		add_chart(&chart, i);
		ranges = ranges_text(&chart);
	}
	html_element(out, "figcaption", arena_printf(out->arena, "%s%s%s: %s", item->id,
		attr_has(&item->place) ? ", " : "", attr_has(&item->place) ? item->place.text : "", ranges));
	buf_add(out, "</figure>\n");
}

void profiles_html(struct buf *out, const struct check_result *result,
                   const struct proposed_light *proposed)
{
	enum length_system lengths = job_lengths(result->job);
	buf_add(out, "<div class=\"profiles\">\n");
	for (size_t i = 0; i < result->job->strip_count; i++)
		add_figure(out, result, i, proposed->of_strip[i], lengths);
	buf_add(out, "</div>\n");
}
