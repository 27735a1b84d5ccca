/* Thicker cables on the way to a strip. */
#include "advise/remedy.h"

#include "reference/reference.h"

#include <math.h>
#include <stdlib.h>

struct candidate { size_t cable; double drop; };

const char *list_names(struct arena *arena, const char *const *names, size_t count)
{
	struct buf text;
	buf_init(&text, arena);
	for (size_t i = 0; i < count; i++) {
		if (i > 0)
			buf_add(&text, i + 1 == count ? " and " : ", ");
		buf_add(&text, names[i]);
	}
	return text.data;
}

bool on_shelf(const struct job *job, size_t wire)
{
	const struct attr *sizes = &job->limits[LIMIT_SIZES];
	if (!attr_said(sizes))
		return true;
	for (size_t i = 0; i < sizes->point_count; i++)
		if ((size_t)sizes->points[i].x == wire)
			return true;
	return false;
}

size_t next_wire(const struct job *job, size_t wire)
{
	for (size_t next = wire + 1; next < wire_size_count; next++) {
		if ((wire_sizes[next].gauge > 0) != (wire_sizes[wire].gauge > 0))
			break;
		if (on_shelf(job, next))
			return next;
	}
	return WIRE_NONE;
}

static int by_drop(const void *a, const void *b)
{
	const struct candidate *x = a, *y = b;
	if (x->drop != y->drop)
		return x->drop < y->drop ? 1 : -1;
	return x->cable < y->cable ? -1 : 1;
}

/* Cables of the path that may be changed, those that lose most first. */
static size_t find_candidates(const struct bench *bench, const struct path *path, struct candidate *out)
{
	const struct job *job = bench->circuit.job;
	size_t count = 0;
	for (size_t i = 0; i < path->count; i++) {
		const struct cable *cable = &job->cables[path->cables[i]];
		if (cable->supplied.num > 0 || next_wire(job, (size_t)cable->size.num) == WIRE_NONE)
			continue;
		double amps = bench->now->cables[path->cables[i]].amps;
		out[count++] = (struct candidate){ path->cables[i], fabs(amps) * cable->copper_ohm };
	}
	qsort(out, count, sizeof(*out), by_drop);
	return count;
}

/* The first `count` candidates at least as thick as `wire`; false when that changes none of them or they
 * are of different systems. */
static bool apply(struct trial *trial, const struct candidate *candidates, size_t count, size_t wire)
{
	bool changed = false;
	for (size_t i = 0; i < count; i++) {
		size_t now = (size_t)trial->job->cables[candidates[i].cable].size.num;
		if ((wire_sizes[now].gauge > 0) != (wire_sizes[wire].gauge > 0))
			return false;
		if (now < wire) {
			trial_resize_cable(trial, candidates[i].cable, wire);
			changed = true;
		}
	}
	return changed;
}

static const char *describe(const struct bench *bench, const struct candidate *candidates, size_t count,
                            size_t wire, struct arena *keep)
{
	const struct job *job = bench->circuit.job;
	const char **names = arena_array(keep, const char *, count);
	size_t used = 0;
	for (size_t i = 0; i < count; i++)
		if ((size_t)job->cables[candidates[i].cable].size.num < wire)
			names[used++] = job->cables[candidates[i].cable].item.id;
	return arena_printf(keep, "%s in %s", list_names(keep, names, used), wire_sizes[wire].name);
}

static bool try(struct bench *bench, struct trial *trial, const struct candidate *candidates, size_t count,
                size_t wire, const char *const *names, struct item_ref item)
{
	trial_begin(bench, trial);
	if (!apply(trial, candidates, count, wire))
		return false;
	trial_run(bench, trial);
	return trial_clears(trial, names, item);
}

static size_t thickest(const struct job *job, size_t wire)
{
	for (size_t next; (next = next_wire(job, wire)) != WIRE_NONE;)
		wire = next;
	return wire;
}

const char *thicker_cables(struct bench *bench, struct trial *trial, size_t strip,
                           const char *const *names, struct item_ref item, struct arena *keep)
{
	struct path path;
	path_find(&path, bench->circuit.job, bench->now, strip, bench->arena);
	struct candidate *candidates = arena_array(bench->arena, struct candidate, path.count);
	size_t count = find_candidates(bench, &path, candidates);
	for (size_t used = 1; used <= count; used++) {
		size_t wire = (size_t)bench->circuit.job->cables[candidates[used - 1].cable].size.num;
		if (!try(bench, trial, candidates, used, thickest(bench->circuit.job, wire), names, item))
			continue;
		for (size_t i = 0; i < used; i++)
			wire = (size_t)fmin((double)wire, bench->circuit.job->cables[candidates[i].cable].size.num);
		while ((wire = next_wire(bench->circuit.job, wire)) != WIRE_NONE)
			if (try(bench, trial, candidates, used, wire, names, item))
				return describe(bench, candidates, used, wire, keep);
	}
	return NULL;
}
