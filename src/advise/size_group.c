/* Branches of one driver, and their sizing. */
#include "advise/size_group.h"

#include "advise/remedy.h"
#include "base/hash.h"
#include "base/union_find.h"
#include "reference/reference.h"

#include <math.h>
#include <stdlib.h>

#define BUDGET_PER_CABLE 60
#define LEAST_BUDGET 400

bool size_may_be(const struct job *job, size_t cable, size_t wire)
{
	const struct wire_size *now = &wire_sizes[(size_t)job->cables[cable].size.num];
	const struct wire_size *least = &wire_sizes[(size_t)job_limit(job, LIMIT_MIN_SIZE)];
	if ((wire_sizes[wire].gauge > 0) != (now->gauge > 0))
		return false;
	if (wire_sizes[wire].area_mm2 < least->area_mm2 * 0.999)
		return false;
	return on_shelf(job, wire);
}

static size_t size_thinnest(const struct job *job, size_t cable)
{
	for (size_t wire = 0; wire < wire_size_count; wire++)
		if (size_may_be(job, cable, wire))
			return wire;
	return (size_t)job->cables[cable].size.num;
}

size_t size_thickest(const struct job *job, size_t cable)
{
	for (size_t wire = wire_size_count; wire-- > 0;)
		if (size_may_be(job, cable, wire))
			return wire;
	return (size_t)job->cables[cable].size.num;
}

static void join_views(const struct job *job, size_t *parent, struct arena *arena)
{
	struct hash views;
	hash_init(&views, arena);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		const struct attr *view = attr_said(&strip->view) ? &strip->view : &strip->item.place;
		if (!attr_said(view))
			continue;
		size_t first = hash_put(&views, view->text, strip->terminal);
		union_join(parent, strip->terminal, first);
	}
}

size_t size_branches(const struct job *job, bool with_views, struct arena *arena, size_t **group_of)
{
	size_t *parent = arena_array(arena, size_t, job->terminal_count);
	size_t *group = arena_array(arena, size_t, job->terminal_count);
	size_t home = job->drivers[0].output_resistance.num > 0 ? NO_INDEX : job->drivers[0].terminal, count = 0;
	union_reset(parent, job->terminal_count);
	for (size_t i = 0; i < job->cable_count; i++)
		if (job->cables[i].a != home && job->cables[i].b != home)
			union_join(parent, job->cables[i].a, job->cables[i].b);
	for (size_t i = 0; i < job->switch_count; i++)
		union_join(parent, job->switches[i].terminal, job->switches[i].terminal + 1);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		union_join(parent, strip->terminal, strip->terminal + 1);
		for (size_t k = 0; k < strip->tap_count; k++)
			union_join(parent, strip->taps[k], strip->terminal);
	}
	if (with_views)
		join_views(job, parent, arena);
	for (size_t t = 0; t < job->terminal_count; t++)
		group[t] = NO_INDEX;
	for (size_t t = 0; t < job->terminal_count; t++) {
		size_t root = union_root(parent, t);
		if (t == home)
			continue;
		if (group[root] == NO_INDEX)
			group[root] = count++;
		group[t] = group[root];
	}
	*group_of = group;
	return count;
}

struct branch_filter { const struct job *job; const size_t *group_of; size_t group; };

static bool in_branch(const void *data, enum kind kind, size_t index)
{
	const struct branch_filter *f = data;
	if (kind == KIND_DRIVER)
		return true;
	size_t group = f->group_of[item_terminal(f->job, kind, index)];
	if (kind == KIND_CABLE && group == NO_INDEX)
		group = f->group_of[f->job->cables[index].b];
	return group == f->group;
}

struct order { size_t cable; double length; };

static int longest_first(const void *a, const void *b)
{
	const struct order *x = a, *y = b;
	if (x->length != y->length)
		return x->length < y->length ? 1 : -1;
	return x->cable < y->cable ? -1 : x->cable > y->cable;
}

/* Sizes that cannot do whatever the others are: thinner than its current needs, by a wide margin for what
 * thicker cables elsewhere draw more; and, where no fuse stands in the branch, such that the driver could
 * overload them even with every cable at its thinnest. */
static size_t least_size(const struct job *job, const struct solution *thick, const struct solution *thin,
                         size_t cable, size_t low, size_t high, bool fused)
{
	const struct driver *driver = &job->drivers[0];
	struct cable trial = job->cables[cable];
	for (size_t wire = low; wire < high; wire++) {
		if (!size_may_be(job, cable, wire))
			continue;
		cable_resize(&trial, wire, job->ambient.num);
		bool carries = trial.iz >= 0.7 * thick->cables[cable].worst_a;
		bool guarded = fused || thin->cables[cable].fault_a <= trial.iz ||
		               (driver->rated_a <= trial.iz && driver->trip_a <= OVERLOAD_FACTOR * trial.iz);
		if (carries && guarded)
			return wire;
	}
	return high;
}

static void resize_all(struct job *job, const size_t *cable, const size_t *wire, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		struct cable *c = &job->cables[cable[i]];
		cable_resize(c, wire[i], job->ambient.num);
	}
}

static void list_cables(struct size_search *s)
{
	const struct job *job = s->job;
	struct order *order = arena_array(s->arena, struct order, job->cable_count);
	for (size_t i = 0; i < job->cable_count; i++)
		if (job->cables[i].supplied.num == 0)
			order[s->count++] = (struct order){ i, job->cables[i].length.num };
	qsort(order, s->count, sizeof(*order), longest_first);
	s->cable = arena_array(s->arena, size_t, s->count);
	s->low = arena_array(s->arena, size_t, s->count);
	s->high = arena_array(s->arena, size_t, s->count);
	for (size_t i = 0; i < s->count; i++) {
		s->cable[i] = order[i].cable;
		s->low[i] = size_thinnest(job, s->cable[i]);
		s->high[i] = size_thickest(job, s->cable[i]);
	}
}

static void raise_lows(struct size_search *s)
{
	bool fused = false;
	for (size_t i = 0; i < s->job->cable_count; i++)
		fused = fused || attr_said(&s->job->cables[i].fuse);
	resize_all(s->job, s->cable, s->low, s->count);
	const struct solution *thin = solve_job(s->job, s->scratch);
	resize_all(s->job, s->cable, s->high, s->count);
	const struct solution *thick = solve_job(s->job, s->scratch);
	for (size_t i = 0; i < s->count; i++)
		s->low[i] = least_size(s->job, thick, thin, s->cable[i], s->low[i], s->high[i], fused);
	arena_reset(s->scratch);
}

static bool size_branch(struct job *job, const size_t *group_of, size_t group, struct arena *arena)
{
	struct branch_filter filter = { job, group_of, group };
	struct arena *own = arena_child(arena);
	struct subset branch = job_subset(job, in_branch, &filter, own);
	struct size_search s = { .job = branch.job, .arena = own, .scratch = arena_child(own), .proven = true };
	list_cables(&s);
	if (s.count > 0) {
		raise_lows(&s);
		s.budget = LEAST_BUDGET + BUDGET_PER_CABLE * s.count;
		size_search_run(&s);
		for (size_t i = 0; i < s.count; i++) {
			size_t whole = branch.whole[KIND_CABLE][s.cable[i]];
			resize_all(job, &whole, &s.wire[i], 1);
		}
	}
	arena_free(own);
	return s.proven;
}

bool size_cables(struct job *job, struct arena *arena)
{
	size_t *group_of;
	size_t count = size_branches(job, true, arena, &group_of);
	bool proven = true;
	for (size_t g = 0; g < count; g++)
		proven = size_branch(job, group_of, g, arena) && proven;
	return proven;
}
