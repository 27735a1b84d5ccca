/* In which order cables are pulled: breadth first from the drivers, then gathered by place. The same
 * walk tells which strips lie behind each cable. */
#include "report/schedule.h"

#include "base/hash.h"


struct walk {
	const struct job *job;
	const struct solution *solution;
	size_t *queue;               /* terminals, in the order of being reached */
	size_t head, tail;
	bool *seen;                  /* per terminal */
	size_t *via;                 /* per terminal: place in `order` of the cable that reached it */
	bool *walked;                /* per cable */
	struct schedule_cable *order;
	size_t count;
	size_t *parent;              /* per place in `order`: the cable before it */
	bool *closes;                /* the same: both its ends had been reached */
};

static void reach_terminal(struct walk *w, size_t terminal, size_t via)
{
	if (w->seen[terminal])
		return;
	w->seen[terminal] = true;
	w->via[terminal] = via;
	w->queue[w->tail++] = terminal;
}

/* A terminal, and those that its item joins it to. */
static void reach(struct walk *w, size_t terminal, size_t via)
{
	const struct terminal *t = &w->job->terminals[terminal];
	reach_terminal(w, terminal, via);
	if (t->kind == KIND_SWITCH) {
		size_t in = w->job->switches[t->item].terminal;
		reach_terminal(w, in, via);
		reach_terminal(w, in + 1, via);
	} else if (t->kind == KIND_STRIP) {
		const struct strip *strip = &w->job->strips[t->item];
		reach_terminal(w, strip->terminal, via);
		for (size_t i = 0; i < strip->tap_count; i++)
			reach_terminal(w, strip->taps[i], via);
		reach_terminal(w, strip->terminal + 1, via);
	}
}

static const char *place_at(const struct job *job, size_t terminal)
{
	const struct terminal *t = &job->terminals[terminal];
	const struct attr *place = &job_item(job, t->kind, t->item)->place;
	return attr_has(place) && place->text[0] != '\0' ? place->text : NULL;
}

/* Its own place; else that of the end that it is pulled from; else that of the other end. */
static const char *place_of(const struct job *job, const struct schedule_cable *cable)
{
	const struct attr *own = &job->cables[cable->cable].item.place;
	if (attr_has(own) && own->text[0] != '\0')
		return own->text;
	const char *near = place_at(job, cable->near);
	return near != NULL ? near : place_at(job, cable->far);
}

/* Goes along a cable from a terminal that was reached. In a loop the ends are told apart by the
 * electrical distance, which is what decides where a fuse counts. */
static void follow(struct walk *w, size_t index, size_t from, bool reached)
{
	const struct cable *cable = &w->job->cables[index];
	const struct cable_result *result = &w->solution->cables[index];
	size_t to = cable->a == from ? cable->b : cable->a;
	size_t at = w->count++;
	bool forward = result->live ? result->from_nearer : cable->a == from;
	w->walked[index] = true;
	w->parent[at] = w->via[from];
	w->closes[at] = w->seen[to];
	w->order[at] = (struct schedule_cable){
		.cable = index,
		.reached = reached,
		.near = forward ? cable->a : cable->b,
		.far = forward ? cable->b : cable->a,
	};
	w->order[at].place = place_of(w->job, &w->order[at]);
	reach(w, to, at);
}

static void walk_on(struct walk *w, bool reached)
{
	while (w->head < w->tail) {
		size_t terminal = w->queue[w->head++];
		for (size_t i = w->solution->first_at[terminal]; i < w->solution->first_at[terminal + 1]; i++) {
			size_t cable = w->solution->at_terminal[i];
			if (!w->walked[cable])
				follow(w, cable, terminal, reached);
		}
	}
}

static void walk_job(struct walk *w, const struct schedule *schedule, struct arena *arena)
{
	const struct job *job = schedule->check->job;
	*w = (struct walk){ .job = job, .solution = schedule->check->solution };
	w->queue = arena_array(arena, size_t, job->terminal_count);
	w->seen = arena_array(arena, bool, job->terminal_count);
	w->via = arena_array(arena, size_t, job->terminal_count);
	w->walked = arena_array(arena, bool, job->cable_count);
	w->order = arena_array(arena, struct schedule_cable, job->cable_count);
	w->parent = arena_array(arena, size_t, job->cable_count);
	w->closes = arena_array(arena, bool, job->cable_count);
	for (size_t i = 0; i < job->driver_count; i++)
		reach(w, job->drivers[i].terminal, NO_INDEX);
	walk_on(w, true);
	for (size_t i = 0; i < job->cable_count; i++) {
		if (w->walked[i])
			continue;
		reach(w, job->cables[i].a, NO_INDEX);
		walk_on(w, false);
	}
}

/* Keeps the first few in ascending order. */
static void feeds_add(struct schedule_feeds *feeds, size_t strip)
{
	size_t at = feeds->count < FEEDS_NAMED ? feeds->count : FEEDS_NAMED;
	feeds->count++;
	while (at > 0 && feeds->strips[at - 1] > strip) {
		if (at < FEEDS_NAMED)
			feeds->strips[at] = feeds->strips[at - 1];
		at--;
	}
	if (at < FEEDS_NAMED)
		feeds->strips[at] = strip;
}

static void feeds_merge(struct schedule_feeds *into, const struct schedule_feeds *from)
{
	size_t named = from->count < FEEDS_NAMED ? from->count : FEEDS_NAMED;
	for (size_t i = 0; i < named; i++)
		feeds_add(into, from->strips[i]);
	into->count += from->count - named;
}

/* Every strip belongs to the cable that reached it, and what a cable feeds to the one before it. A cable
 * that closes a loop feeds the strip that it ends at. */
static void find_feeds(struct walk *w)
{
	for (size_t i = 0; i < w->job->strip_count; i++) {
		size_t terminal = w->job->strips[i].terminal;
		if (w->seen[terminal] && w->via[terminal] != NO_INDEX)
			feeds_add(&w->order[w->via[terminal]].feeds, i);
	}
	for (size_t at = w->count; at-- > 0;) {
		const struct terminal *far = &w->job->terminals[w->order[at].far];
		if (w->closes[at] && far->kind == KIND_STRIP)
			feeds_add(&w->order[at].feeds, far->item);
		else if (!w->closes[at] && w->parent[at] != NO_INDEX)
			feeds_merge(&w->order[w->parent[at]].feeds, &w->order[at].feeds);
	}
}

/* Which group each cable is in: one for each place, in the order of the walk; what is not reached by a
 * driver is one group, the last. */
static size_t find_groups(const struct walk *w, size_t *group, struct arena *arena)
{
	struct hash places;
	size_t count = 0, unsaid = NO_INDEX;
	hash_init(&places, arena);
	for (size_t at = 0; at < w->count; at++) {
		const struct schedule_cable *cable = &w->order[at];
		if (!cable->reached)
			group[at] = NO_INDEX;
		else if (cable->place != NULL)
			group[at] = hash_put(&places, cable->place, count);
		else
			group[at] = unsaid = unsaid == NO_INDEX ? count : unsaid;
		count += group[at] == count;
	}
	for (size_t at = 0; at < w->count; at++)
		group[at] = group[at] == NO_INDEX ? count : group[at];
	return count + 1;
}

/* A counting sort keeps the order of the walk within each place. */
static void gather_by_place(const struct walk *w, struct schedule_cable *sorted, struct arena *arena)
{
	size_t *group = arena_array(arena, size_t, w->count);
	size_t groups = find_groups(w, group, arena);
	size_t *next = arena_array(arena, size_t, groups + 1);
	for (size_t at = 0; at < w->count; at++)
		next[group[at] + 1]++;
	for (size_t g = 1; g <= groups; g++)
		next[g] += next[g - 1];
	for (size_t at = 0; at < w->count; at++)
		sorted[next[group[at]]++] = w->order[at];
}

/* The nearest fuse towards the driver. A fuse inside a loop guards nothing, and upstream[] passes over
 * loops; what lies upstream was walked before. */
static void find_fuses(struct walk *w, struct arena *arena)
{
	size_t *guard = arena_array(arena, size_t, w->job->cable_count);
	for (size_t at = 0; at < w->count; at++) {
		size_t c = w->order[at].cable;
		size_t up = w->solution->upstream[c];
		bool own = attr_has(&w->job->cables[c].fuse) && !w->solution->cables[c].in_loop;
		guard[c] = own ? c : up != NO_INDEX ? guard[up] : NO_INDEX;
		w->order[at].fuse = guard[c];
	}
}

void schedule_order(struct schedule *schedule, struct arena *arena)
{
	struct arena *scratch = arena_child(arena);
	struct walk w;
	walk_job(&w, schedule, scratch);
	find_feeds(&w);
	find_fuses(&w, scratch);
	schedule->cables = arena_array(arena, struct schedule_cable, w.count);
	gather_by_place(&w, schedule->cables, scratch);
	arena_free(scratch);
}
