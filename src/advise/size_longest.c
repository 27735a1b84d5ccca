/* The longest run of a strip type: its longest strip is taken with the cables on its way to the driver, all
 * else left away, and its length bisected in whole cut units. */
#include "advise/size_longest.h"

#include "advise/size_feed.h"
#include "base/hash.h"

#define MOST_METRES 100.0

struct way_filter { const struct job *job; const struct path *path; size_t strip; };

static bool touches(const struct way_filter *f, size_t terminal, size_t count)
{
	for (size_t i = 0; i < f->path->count; i++) {
		const struct cable *c = &f->job->cables[f->path->cables[i]];
		for (size_t t = terminal; t < terminal + count; t++)
			if (c->a == t || c->b == t)
				return true;
	}
	return false;
}

static bool on_the_way(const void *data, enum kind kind, size_t index)
{
	const struct way_filter *f = data;
	switch (kind) {
	case KIND_STRIP:  return index == f->strip;
	case KIND_DRIVER: return touches(f, f->job->drivers[index].terminal, 1);
	case KIND_BLOCK:  return touches(f, f->job->blocks[index].terminal, 1);
	case KIND_SWITCH: return touches(f, f->job->switches[index].terminal, 2);
	case KIND_CABLE:
		for (size_t i = 0; i < f->path->count; i++)
			if (f->path->cables[i] == index)
				return true;
		return false;
	case KIND__END:
		break;
	}
	return false;
}

static bool passes(const struct job *base, enum feed feed, size_t units, struct arena *scratch)
{
	arena_reset(scratch);
	struct trial trial = { .job = job_copy(base, scratch) };
	struct feed_option option;
	trial_set_units(&trial, 0, units);
	trial.solution = solve_job(trial.job, scratch);
	struct present_feed present = present_feed_of(trial.job, trial.solution, 0, scratch);
	if (!feed_apply(trial.job, &present, feed, 0, NULL))
		return false;
	trial.solution = solve_job(trial.job, scratch);
	check_job(trial.job, trial.solution, scratch, &trial.findings);
	feed_judge(trial.job, trial.solution, &trial.findings, 0, trial.job->strip_count, &option);
	return option.passes;
}

static double longest(const struct job *base, enum feed feed, struct arena *scratch)
{
	size_t good = 0, bad = (size_t)(MOST_METRES / base->strips[0].pitch) + 1;
	while (bad - good > 1) {
		size_t units = good + (bad - good) / 2;
		if (passes(base, feed, units, scratch))
			good = units;
		else
			bad = units;
	}
	return (double)good * base->strips[0].pitch;
}

/* Runs through other strips say nothing of one type alone: those are passed over. */
static bool simple_way(const struct job *job, const struct solution *solution, size_t strip,
                       struct path *path, struct arena *scratch)
{
	if (!solution->strips[strip].live || job->strips[strip].tap_count > 0)
		return false;
	path_find(path, job, solution, strip, scratch);
	for (size_t i = 0; i < path->count; i++) {
		const struct terminal *a = &job->terminals[job->cables[path->cables[i]].a];
		const struct terminal *b = &job->terminals[job->cables[path->cables[i]].b];
		if ((a->kind == KIND_STRIP && a->item != strip) || (b->kind == KIND_STRIP && b->item != strip))
			return false;
	}
	return path->count > 0;
}

static void add_longest(const struct job *job, const struct solution *solution, size_t strip,
                        const char *name, struct arena *arena, struct size_plan *out)
{
	struct arena *own = arena_child(arena), *scratch = arena_child(own);
	struct path path;
	if (simple_way(job, solution, strip, &path, own)) {
		struct way_filter filter = { job, &path, strip };
		struct subset alone = job_subset(job, on_the_way, &filter, own);
		out->longest[out->longest_count++] = (struct longest_run){
			.strip_type = name, .like = job->strips[strip].item.id,
			.one_end = longest(alone.job, FEED_AS_DRAWN, scratch),
			.both_ends = longest(alone.job, FEED_BOTH_ENDS, scratch),
			.middle = longest(alone.job, FEED_MIDDLE, scratch),
		};
	}
	arena_free(own);
}

void longest_runs(const struct job *job, const struct solution *solution, struct arena *arena,
                  struct size_plan *out)
{
	struct hash types;
	size_t *best = arena_array(arena, size_t, job->strip_count), count = 0;
	hash_init(&types, arena);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		const char *name = strip->item.type_name ? strip->item.type_name : strip->item.id;
		size_t at = hash_put(&types, name, count);
		if (at == count)
			best[count++] = i;
		else if (strip->metres > job->strips[best[at]].metres)
			best[at] = i;
	}
	out->longest = arena_array(arena, struct longest_run, count);
	for (size_t k = 0; k < count; k++) {
		const struct strip *strip = &job->strips[best[k]];
		add_longest(job, solution, best[k],
		            strip->item.type_name ? strip->item.type_name : strip->item.id, arena, out);
	}
}
