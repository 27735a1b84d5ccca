/* Copying jobs, whole or one circuit, and growing the copies. */
#include "model/subset.h"

#include <string.h>

static void set_array(struct job *job, enum kind kind, void *items, size_t count)
{
	switch (kind) {
	case KIND_DRIVER: job->drivers = items;  job->driver_count = count; break;
	case KIND_SWITCH: job->switches = items; job->switch_count = count; break;
	case KIND_BLOCK:  job->blocks = items;   job->block_count = count;  break;
	case KIND_STRIP:  job->strips = items;   job->strip_count = count;  break;
	case KIND_CABLE:  job->cables = items;   job->cable_count = count;  break;
	case KIND__END:   break;
	}
}

static void pick_items(struct subset *s, const struct job *whole, subset_filter *inside, const void *data,
                       enum kind kind)
{
	struct arena *arena = s->job->arena;
	size_t total = job_count(whole, kind), size = kind_size(kind), count = 0;
	s->local[kind] = arena_array(arena, size_t, total);
	for (size_t i = 0; i < total; i++)
		s->local[kind][i] = inside(data, kind, i) ? count++ : NO_INDEX;
	char *items = arena_alloc_array(arena, count, size);
	s->whole[kind] = arena_array(arena, size_t, count);
	for (size_t i = 0; i < total; i++)
		if (s->local[kind][i] != NO_INDEX) {
			memcpy(items + s->local[kind][i] * size, job_item(whole, kind, i), size);
			s->whole[kind][s->local[kind][i]] = i;
		}
	set_array(s->job, kind, items, count);
}

/* The subset's own terminal for one of the whole job. */
static size_t map_terminal(const struct subset *s, const struct job *whole, size_t terminal)
{
	const struct terminal *t = &whole->terminals[terminal];
	size_t local = s->local[t->kind][t->item];
	size_t base = item_terminal(s->job, t->kind, local);
	switch (t->which) {
	case WHICH_END:
	case WHICH_OUT: return base + 1;
	case WHICH_TAP: return job_tap(s->job, local, t->mark);
	case WHICH_ONLY:
	case WHICH_START:
	case WHICH_IN:  break;
	}
	return base;
}

struct subset job_subset(const struct job *whole, subset_filter *inside, const void *data,
                         struct arena *arena)
{
	struct subset s = { .job = arena_one(arena, struct job) };
	*s.job = *whole;
	s.job->arena = arena;
	s.job->terminals = NULL;
	s.job->terminal_count = s.job->terminal_capacity = 0;
	for (enum kind kind = 0; kind < KIND__END; kind++)
		pick_items(&s, whole, inside, data, kind);
	for (size_t i = 0; i < s.job->strip_count; i++) {
		s.job->strips[i].taps = NULL;
		s.job->strips[i].tap_count = s.job->strips[i].tap_capacity = 0;
	}
	job_number_terminals(s.job);
	for (size_t i = 0; i < s.job->cable_count; i++) {
		struct cable *cable = &s.job->cables[i];
		cable->a = map_terminal(&s, whole, cable->a);
		cable->b = map_terminal(&s, whole, cable->b);
	}
	return s;
}

static void *copy_array(struct arena *arena, const void *from, size_t count, size_t size)
{
	void *to = arena_alloc_array(arena, count, size);
	if (count > 0)
		memcpy(to, from, count * size);
	return to;
}

struct job *job_copy(const struct job *job, struct arena *arena)
{
	struct job *copy = arena_one(arena, struct job);
	*copy = *job;
	copy->arena = arena;
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		size_t count = job_count(job, kind);
		const void *items = count > 0 ? job_item(job, kind, 0) : NULL;
		set_array(copy, kind, copy_array(arena, items, count, kind_size(kind)), count);
	}
	copy->terminals = copy_array(arena, job->terminals, job->terminal_count, sizeof(struct terminal));
	copy->terminal_capacity = job->terminal_count;
	for (size_t i = 0; i < copy->strip_count; i++) {
		struct strip *strip = &copy->strips[i];
		strip->taps = copy_array(arena, strip->taps, strip->tap_count, sizeof(size_t));
		strip->tap_capacity = strip->tap_count;
	}
	return copy;
}

size_t job_add_strip(struct job *job, const struct strip *strip)
{
	size_t index = job->strip_count, capacity = index;
	job->strips = arena_grow(job->arena, job->strips, index, &capacity, sizeof(*strip));
	job->strips[index] = *strip;
	job->strips[index].taps = NULL;
	job->strips[index].tap_count = job->strips[index].tap_capacity = 0;
	job->strip_count++;
	job_number_strip(job, index);
	return index;
}

size_t job_add_cable(struct job *job, const struct cable *cable)
{
	size_t capacity = job->cable_count;
	job->cables = arena_grow(job->arena, job->cables, job->cable_count, &capacity, sizeof(*cable));
	job->cables[job->cable_count] = *cable;
	return job->cable_count++;
}
