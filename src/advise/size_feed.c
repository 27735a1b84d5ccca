/* Feeding a strip: as drawn, from the other end, from both, in the middle, or in runs of its own. */
#include "advise/size_feed.h"

#include <math.h>
#include <string.h>

const char *feed_words(enum feed feed)
{
	static const char *const words[FEED__END] = {
		[FEED_AS_DRAWN] = "as drawn", [FEED_OTHER_END] = "other end", [FEED_BOTH_ENDS] = "both ends",
		[FEED_MIDDLE] = "tap in the middle", [FEED_SPLIT] = "split run",
	};
	return words[feed];
}

static size_t cables_at(const struct solution *solution, size_t terminal)
{
	return solution->first_at[terminal + 1] - solution->first_at[terminal];
}

/* A block without a free port cannot take a second feed: the terminal above it has to. */
static bool has_room(const struct job *job, const struct solution *solution, size_t terminal)
{
	const struct terminal *t = &job->terminals[terminal];
	return t->kind != KIND_BLOCK || (double)cables_at(solution, terminal) < job->blocks[t->item].ports.num;
}

struct present_feed present_feed_of(const struct job *job, const struct solution *solution, size_t strip,
                                    struct arena *scratch)
{
	struct present_feed f = { .strip = strip, .terminal = path_feed(job, solution, strip) };
	struct path path;
	if (f.terminal == NO_INDEX || job->terminals[f.terminal].which == WHICH_TAP)
		return f;
	path_find(&path, job, solution, strip, scratch);
	f.far = path_far_end(job, solution, strip, f.terminal, &f.run_metres);
	bool far_free = cables_at(solution, f.far) == 0;
	f.both_now = !far_free && solution->terminals[f.far].inflow_a > 1e-9;
	f.known = path.count > 0 && path.source != NO_INDEX && (far_free || f.both_now);
	if (!f.known)
		return f;
	f.cable = path.cables[0];
	f.source = path.source;
	f.metres = path.metres;
	f.usable = far_free && f.far == strip_other_end(job, f.terminal) && job->strips[strip].tap_count == 0 &&
	           cables_at(solution, f.terminal) == 1;
	return f;
}

bool present_feed_find_room(const struct job *job, const struct solution *solution,
                            struct present_feed *f, struct arena *scratch)
{
	struct path path;
	bool reached = false;
	path_find(&path, job, solution, f->strip, scratch);
	for (size_t i = 0; i < path.count && !(reached && has_room(job, solution, f->source)); i++) {
		const struct cable *cable = &job->cables[path.cables[i]];
		size_t upper = solution->cables[path.cables[i]].amps > 0 ? cable->a : cable->b;
		if (reached) {
			f->source = upper;
			f->metres += cable->length.num;
		}
		reached = reached || upper == f->source;
	}
	return job->terminals[f->source].kind != KIND_STRIP && has_room(job, solution, f->source);
}

/* "C11b", the first such id that is free. */
static const char *spare_id(const struct job *job, enum kind kind, const char *base, struct arena *arena)
{
	for (const char *letter = "bcdefghijklmnopqrstuvwxyz"; *letter; letter++) {
		const char *id = arena_printf(arena, "%s%c", base, *letter);
		bool taken = false;
		for (enum kind k = 0; k < KIND__END && !taken; k++)
			for (size_t i = 0; i < job_count(job, k) && !taken; i++)
				taken = strcmp(job_item(job, k, i)->id, id) == 0;
		if (!taken)
			return id;
	}
	return arena_printf(arena, "%s-%zu", base, job_count(job, kind));
}

/* As it is written down: up to the next 10 mm. */
static double written_length(double metres)
{
	return ceil(metres / 0.010 - 1e-6) * 0.010;
}

/* It is bought for itself, wherever the present feed came from. */
static void add_cable(struct job *job, const struct present_feed *p, size_t to, double metres,
                      struct feed_change *change)
{
	struct cable cable = job->cables[p->cable];
	cable.item.id = spare_id(job, KIND_CABLE, cable.item.id, job->arena);
	cable.length.num = metres = written_length(metres);
	cable.fuse.origin = ORIGIN_UNSET;
	cable.supplied.num = 0;
	cable.item.part.origin = cable.item.price.origin = ORIGIN_UNSET;
	cable.item.place.origin = cable.item.note.origin = ORIGIN_UNSET;
	cable.a = p->source;
	cable.b = to;
	cable_derive(&cable, job->ambient.num);
	job_add_cable(job, &cable);
	if (!change)
		return;
	change->added = arena_grow(change->arena, change->added, change->added_count, &change->added_capacity,
	                           sizeof(*change->added));
	change->added[change->added_count++] = (struct added_cable){
		.id = arena_strdup(change->arena, cable.item.id), .like = p->cable,
		.from = arena_strdup(change->arena, job->terminals[p->source].name),
		.to = arena_strdup(change->arena, job->terminals[to].name), .metres = metres,
		.wire = (size_t)cable.size.num,
	};
}

static void move_cable(struct job *job, const struct present_feed *p, size_t to, double more,
                       struct feed_change *change)
{
	struct cable *cable = &job->cables[p->cable];
	bool at_from = cable->a == p->terminal;
	if (at_from)
		cable->a = to;
	else
		cable->b = to;
	if (more > 0)
		cable->length.num = written_length(cable->length.num + more);
	cable_derive(cable, job->ambient.num);
	if (!change)
		return;
	change->moved = arena_grow(change->arena, change->moved, change->moved_count, &change->moved_capacity,
	                           sizeof(*change->moved));
	change->moved[change->moved_count++] = (struct moved_cable){
		.cable = p->cable, .to = arena_strdup(change->arena, job->terminals[to].name), .at_from = at_from,
	};
}

/* Runs of like length, each with a feed of its own from the same source; the first keeps the present one. */
static void split(struct job *job, const struct present_feed *p, size_t runs, struct feed_change *change)
{
	const struct strip whole = job->strips[p->strip];
	size_t done = 0;
	for (size_t run = 0; run < runs; run++) {
		size_t units = (whole.units - done + (runs - run) - 1) / (runs - run);
		struct strip part = whole;
		part.length.num = (double)units * whole.pitch;
		part.length.origin = ORIGIN_GIVEN;
		strip_derive(&part, job->ambient.num);
		if (run == 0) {
			job->strips[p->strip] = part;
			job->terminals[part.terminal + 1].mark = part.units;
		} else {
			part.item.id = spare_id(job, KIND_STRIP, whole.item.id, job->arena);
			size_t added = job_add_strip(job, &part);
			add_cable(job, p, job->strips[added].terminal, p->metres + (double)done * whole.pitch, change);
		}
		done += units;
	}
}

bool feed_apply(struct job *job, const struct present_feed *p, enum feed feed, size_t runs,
                struct feed_change *change)
{
	const struct strip *strip = &job->strips[p->strip];
	if (feed == FEED_AS_DRAWN)
		return true;
	if (!p->usable)
		return false;
	size_t other = strip_other_end(job, p->terminal);
	switch (feed) {
	case FEED_OTHER_END:
		move_cable(job, p, other, 0, change);
		return true;
	case FEED_BOTH_ENDS:
		add_cable(job, p, other, p->metres + strip->metres, change);
		return true;
	case FEED_MIDDLE:
		if (strip->units < 2)
			return false;
		size_t middle = strip->units / 2;
		move_cable(job, p, job_tap(job, p->strip, middle), (double)middle * strip->pitch, change);
		return true;
	case FEED_SPLIT:
		if (strip->units < runs)
			return false;
		split(job, p, runs, change);
		return true;
	case FEED_AS_DRAWN:
	case FEED__END:
		break;
	}
	return false;
}

static bool concerned(const struct findings *findings, size_t strip)
{
	struct trial view = { .findings = *findings };
	return !trial_clears(&view, far_end_family, (struct item_ref){ KIND_STRIP, strip });
}

void feed_judge(const struct job *job, const struct solution *solution, const struct findings *findings,
                size_t strip, size_t first_part, struct feed_option *option)
{
	option->light_min = solution->strips[strip].light_min;
	option->drop = solution->strips[strip].drop;
	option->passes = solution->strips[strip].live && !concerned(findings, strip);
	for (size_t s = first_part; s < job->strip_count; s++) {
		option->light_min = fmin(option->light_min, solution->strips[s].light_min);
		option->drop = fmax(option->drop, solution->strips[s].drop);
		option->passes = option->passes && !concerned(findings, s);
	}
}
