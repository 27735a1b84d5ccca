/* Circuits that are seen together are looked at together; every other circuit on its own, one after the
 * other, so that memory is that of one. A type's reel is the same in all of them: its deviation is drawn
 * by its name. */
#include "advise/tolerance.h"

#include "advise/tolerance_group.h"
#include "base/hash.h"
#include "base/union_find.h"

#include <math.h>
#include <string.h>

#define MATTERS_MOST 12          /* inputs worth naming */
#define MATTERS_LEAST 0.005      /* share that is worth naming */

struct sweep {
	const struct job *job;
	const struct solution *solution;
	struct tolerance_plan plan;  /* of one part */
	const struct tolerance_plan *whole;
	struct arena *arena;
	struct tolerance *out;
	size_t *part_of;             /* of each circuit: the first circuit of its part */
	size_t parts, done;
	size_t check_capacity;
	bool *broken, *failed;       /* builds */
};

/* Strips of one view make one part of their circuits. */
static void join_views(struct sweep *s, struct arena *scratch)
{
	const struct check_input in = { s->job, s->solution };
	struct hash views;
	hash_init(&views, scratch);
	s->part_of = arena_array(s->arena, size_t, s->solution->circuit_count);
	union_reset(s->part_of, s->solution->circuit_count);
	for (size_t i = 0; i < s->job->strip_count; i++) {
		size_t circuit = s->solution->circuit_of_terminal[s->job->strips[i].terminal];
		const char *view = view_of(&s->job->strips[i]);
		if (view && strip_judged(&in, i))
			union_join(s->part_of, circuit, hash_put(&views, view, circuit));
	}
	for (size_t c = 0; c < s->solution->circuit_count; c++) {
		s->part_of[c] = union_root(s->part_of, c);
		s->parts += s->part_of[c] == c && s->solution->circuits[c].solved;
	}
}

struct part_filter { const struct sweep *sweep; size_t part; };

static bool in_part(const void *data, enum kind kind, size_t index)
{
	const struct part_filter *f = data;
	const struct sweep *s = f->sweep;
	size_t circuit = s->solution->circuit_of_terminal[item_terminal(s->job, kind, index)];
	return s->part_of[circuit] == f->part;
}

static void report_progress(void *data, double share)
{
	struct sweep *s = data;
	s->whole->progress(s->whole->progress_data, ((double)s->done + share) / (double)s->parts);
}

static struct item_ref whole_item(const struct subset *subset, struct item_ref item)
{
	return (struct item_ref){ item.kind, subset->whole[item.kind][item.index] };
}

static const float *keep_band(const struct sweep *s, const float *band)
{
	float *kept = arena_array(s->arena, float, BAND_POINTS);
	memcpy(kept, band, BAND_POINTS * sizeof(float));
	return kept;
}

static void add_strip(struct sweep *s, const struct subset *subset, const struct group_result *part,
                      const struct checked_spread *c)
{
	struct strip_spread *strip = &s->out->strips[subset->whole[KIND_STRIP][c->item.index]];
	strip->light_min = c->spread;
	strip->light_min_worst = c->worst;
	if (s->plan.bands && part->band_low[c->item.index]) {
		strip->band_low = keep_band(s, part->band_low[c->item.index]);
		strip->band_high = keep_band(s, part->band_high[c->item.index]);
	}
}

/* Share of the variance, to first order: the slope squared, for all deviations are spread alike. */
static double weight_of(const struct group_result *part, size_t deviation)
{
	return part->slope[deviation] * part->slope[deviation];
}

static void rank_matters(struct sweep *s, const struct subset *subset, const struct group_result *part)
{
	struct tolerance *out = s->out;
	double sum = 0;
	out->matter_count = 0;
	if (!part->slope)
		return;
	for (size_t d = 0; d < part->inputs.deviation_count; d++)
		sum += weight_of(part, d);
	for (size_t d = 0; d < part->inputs.deviation_count; d++) {
		const struct deviation *dev = &part->inputs.deviations[d];
		double share = weight_of(part, d) / sum;
		size_t at = out->matter_count;
		if (!(share >= MATTERS_LEAST))
			continue;
		while (at > 0 && out->matters[at - 1].share < share)
			at--;
		if (at == MATTERS_MOST)
			continue;
		out->matter_count += out->matter_count < MATTERS_MOST;
		memmove(out->matters + at + 1, out->matters + at,
		        (out->matter_count - at - 1) * sizeof(*out->matters));
		out->matters[at] = (struct matter){ .rule = dev->rule, .type_name = dev->type_name, .share = share };
		if (dev->rule)
			out->matters[at].item = whole_item(subset, dev->item);
	}
}

static void add_part(struct sweep *s, const struct subset *subset, const struct group_result *part)
{
	struct tolerance *out = s->out;
	size_t first = out->check_count;
	for (size_t i = 0; i < part->measures.count; i++) {
		struct checked_spread c = part->checks[i];
		if (c.check == check_find("far-end-dim"))
			add_strip(s, subset, part, &c);
		c.item = whole_item(subset, c.item);
		out->checks = arena_grow(s->arena, out->checks, out->check_count, &s->check_capacity, sizeof(c));
		out->checks[out->check_count++] = c;
	}
	for (size_t i = 0; i < part->job->driver_count; i++)
		out->driver_load_p95[subset->whole[KIND_DRIVER][i]] = part->load_p95[i];
	out->deviations += part->inputs.deviation_count;
	out->monotone = out->monotone && part->monotone;
	if (part->decides == NO_INDEX)
		return;
	size_t decides = first + part->decides;
	if (out->decides != NO_INDEX && !nearer_to_breaking(&out->checks[decides], &out->checks[out->decides]))
		return;
	out->decides = decides;
	rank_matters(s, subset, part);
}

static bool sweep_part(struct sweep *s, size_t circuit)
{
	struct arena *scratch = arena_child(s->arena);
	struct part_filter filter = { s, circuit };
	struct group_result part;
	struct subset subset = job_subset(s->job, in_part, &filter, scratch);
	bool solved = tolerance_group(subset.job, &s->plan, s->broken, s->failed, scratch, &part);
	if (solved)
		add_part(s, &subset, &part);
	arena_free(scratch);
	s->done++;
	return solved;
}

static double share_without(const bool *flags, size_t count)
{
	size_t without = 0;
	for (size_t i = 0; i < count; i++)
		without += !flags[i];
	return (double)without / (double)count;
}

static void set_up(struct sweep *s)
{
	struct tolerance *out = s->out;
	s->plan = *s->whole;
	if (s->plan.samples == 0)
		s->plan.samples = TOLERANCE_SAMPLES;
	if (s->plan.progress) {
		s->plan.progress = report_progress;
		s->plan.progress_data = s;
	}
	*out = (struct tolerance){ .samples = s->plan.samples, .seed = s->plan.seed, .monotone = true,
	                           .decides = NO_INDEX };
	out->strips = arena_array(s->arena, struct strip_spread, s->job->strip_count);
	for (size_t i = 0; i < s->job->strip_count; i++)
		out->strips[i] = (struct strip_spread){ .light_min = { NAN, NAN, NAN }, .light_min_worst = NAN };
	out->driver_load_p95 = arena_array(s->arena, double, s->job->driver_count);
	for (size_t i = 0; i < s->job->driver_count; i++)
		out->driver_load_p95[i] = NAN;
	out->matters = arena_array(s->arena, struct matter, MATTERS_MOST);
	s->broken = arena_array(s->arena, bool, s->plan.samples);
	s->failed = arena_array(s->arena, bool, s->plan.samples);
}

bool tolerance_of(const struct job *job, const struct solution *solution,
                  const struct tolerance_plan *plan, struct arena *arena, struct tolerance *out)
{
	struct sweep s = { .job = job, .solution = solution, .whole = plan, .arena = arena, .out = out };
	struct arena *scratch = arena_child(arena);
	set_up(&s);
	join_views(&s, scratch);
	arena_free(scratch);
	bool solved = true;
	for (size_t c = 0; c < solution->circuit_count && solved; c++)
		if (s.part_of[c] == c && solution->circuits[c].solved)
			solved = sweep_part(&s, c);
	out->passes = share_without(s.broken, s.plan.samples);
	out->sound = share_without(s.failed, s.plan.samples);
	return solved;
}
