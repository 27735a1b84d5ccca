/* Sizing a job in tests: read from a text, sized or planned by hand, written into the text and read back. */
#ifndef FAREND_TESTS_SIZE_SUPPORT_H
#define FAREND_TESTS_SIZE_SUPPORT_H

#include "support.h"

#include "advise/size.h"
#include "load/load.h"
#include "model/subset.h"
#include "reference/reference.h"
#include "report/apply.h"

struct sizing {
	struct arena *arena;
	struct diags diags;
	struct job *job;
	struct solution *solution;
	struct size_plan plan;
	struct buf copy;             /* the written text */
	struct job *again;           /* read from it */
};

static inline struct job *read_job(struct sizing *s, const char *text, size_t size)
{
	struct load_text from = { .name = "job.yaml", .bytes = text, .size = size };
	struct job *job = NULL;
	if (load_job(s->arena, &from, &s->diags, &job) != LOAD_OK) {
		struct buf why;
		buf_init(&why, s->arena);
		for (size_t i = 0; i < s->diags.count; i++)
			diag_print(&why, &s->diags.items[i], false, 80);
		fail_msg("%s\n--- in\n%s", why.data, text);
	}
	return job;
}

static inline void sizing_open(struct sizing *s, const char *text)
{
	*s = (struct sizing){ .arena = arena_new() };
	assert_non_null(s->arena);
	diags_init(&s->diags, s->arena);
	s->job = read_job(s, text, strlen(text));
	s->solution = solve_job(s->job, s->arena);
}

static inline void sizing_close(struct sizing *s)
{
	arena_free(s->arena);
}

/* A plan that changes nothing. */
static inline void plan_nothing(struct sizing *s)
{
	struct size_plan *plan = &s->plan;
	*plan = (struct size_plan){ .sized = job_copy(s->job, s->arena), .optimal = true };
	plan->drivers = arena_array(s->arena, struct driver_plan, s->job->driver_count);
	plan->cables = arena_array(s->arena, struct cable_plan, s->job->cable_count);
	plan->strips = arena_array(s->arena, struct strip_plan, s->job->strip_count);
	for (size_t i = 0; i < s->job->driver_count; i++)
		plan->drivers[i].now_w = plan->drivers[i].proposed_w = s->job->drivers[i].power.num;
	for (size_t i = 0; i < s->job->cable_count; i++) {
		const struct cable *cable = &s->job->cables[i];
		plan->cables[i].now = plan->cables[i].proposed = (size_t)cable->size.num;
		plan->cables[i].fuse_now = plan->cables[i].fuse_proposed =
			attr_said(&cable->fuse) ? cable->fuse.num : 0;
	}
}

static inline size_t item_index(const struct job *job, enum kind kind, const char *id)
{
	for (size_t i = 0; i < job_count(job, kind); i++)
		if (strcmp(job_item(job, kind, i)->id, id) == 0)
			return i;
	fail_msg("there is no '%s'", id);
	return NO_INDEX;
}

static inline size_t wire_named(const char *name)
{
	for (size_t i = 0; i < wire_size_count; i++)
		if (strcmp(wire_sizes[i].name, name) == 0)
			return i;
	fail_msg("there is no size '%s'", name);
	return WIRE_NONE;
}

static inline struct job *sized_job(struct sizing *s)
{
	return (struct job *)s->plan.sized;
}

static inline void plan_size(struct sizing *s, const char *cable, const char *size)
{
	size_t i = item_index(s->job, KIND_CABLE, cable);
	s->plan.cables[i].proposed = wire_named(size);
	sized_job(s)->cables[i].size.num = (double)wire_named(size);
}

static inline void plan_fuse(struct sizing *s, const char *cable, double amps)
{
	size_t i = item_index(s->job, KIND_CABLE, cable);
	s->plan.cables[i].fuse_proposed = amps;
	sized_job(s)->cables[i].fuse.num = amps;
	sized_job(s)->cables[i].fuse.origin = ORIGIN_GIVEN;
}

static inline void plan_driver(struct sizing *s, const char *driver, double watts, const char *part)
{
	size_t i = item_index(s->job, KIND_DRIVER, driver);
	s->plan.drivers[i].proposed_w = watts;
	s->plan.drivers[i].part = part;
	sized_job(s)->drivers[i].power.num = watts;
}

/* A second feed like `like` from the start of that cable to a terminal of a strip: 0 its start, 1 its end. */
static inline void plan_feed(struct sizing *s, const char *id, const char *like, const char *strip,
                             size_t end, double metres)
{
	struct job *sized = sized_job(s);
	size_t i = item_index(s->job, KIND_CABLE, like);
	struct cable cable = s->job->cables[i];
	cable.item.id = id;
	cable.length.num = metres;
	cable.fuse.origin = ORIGIN_UNSET;
	cable.b = sized->strips[item_index(s->job, KIND_STRIP, strip)].terminal + end;
	job_add_cable(sized, &cable);
	s->plan.added = arena_grow(s->arena, s->plan.added, s->plan.added_count, &s->plan.added_capacity,
	                           sizeof(*s->plan.added));
	s->plan.added[s->plan.added_count++] = (struct added_cable){
		.id = id, .like = i, .from = sized->terminals[cable.a].name,
		.to = sized->terminals[cable.b].name, .metres = metres, .wire = (size_t)cable.size.num,
	};
}

static inline bool write_copy(struct sizing *s)
{
	buf_init(&s->copy, s->arena);
	return apply_size(s->job, &s->plan, &s->diags, &s->copy);
}

/* Writes, reads back, and sees that it says what was planned. */
static inline const char *written_copy(struct sizing *s)
{
	if (!write_copy(s))
		fail_msg("cannot edit: %s", s->diags.items[0].message);
	s->again = read_job(s, s->copy.data, s->copy.length);
	if (!apply_agrees(&s->plan, s->again, &s->diags))
		fail_msg("%s\n--- in\n%s", s->diags.items[0].message, s->copy.data);
	return s->copy.data;
}

/* Of a job, checked afresh. */
static inline enum verdict verdict_of(struct sizing *s, const struct job *job)
{
	struct findings findings;
	check_job(job, solve_job(job, s->arena), s->arena, &findings);
	return findings_verdict(&findings);
}

#endif
