/* Walking against the current, and on along joined strips. */
#include "advise/path.h"

size_t path_feed(const struct job *job, const struct solution *solution, size_t strip)
{
	const struct strip *s = &job->strips[strip];
	const double least = 1e-9;
	size_t best = NO_INDEX;
	double most = least;
	for (size_t i = 0; i < s->tap_count + 2; i++) {
		size_t t = i < 2 ? s->terminal + i : s->taps[i - 2];
		if (solution->terminals[t].inflow_a > most) {
			most = solution->terminals[t].inflow_a;
			best = t;
		}
	}
	return best;
}

/* The cable that brings most current to a terminal, or NO_INDEX. */
static size_t incoming(const struct job *job, const struct solution *solution, size_t terminal)
{
	size_t best = NO_INDEX;
	double most = 1e-9;
	for (size_t k = solution->first_at[terminal]; k < solution->first_at[terminal + 1]; k++) {
		size_t c = solution->at_terminal[k];
		double amps = solution->cables[c].amps;
		double into = job->cables[c].b == terminal ? amps : -amps;
		if (into > most) {
			most = into;
			best = c;
		}
	}
	return best;
}

static size_t other_end(const struct cable *cable, size_t terminal)
{
	return cable->a == terminal ? cable->b : cable->a;
}

/* Where the current that leaves an item at `terminal` came into it. */
static size_t entry_of(const struct job *job, const struct solution *solution, size_t terminal)
{
	const struct terminal *t = &job->terminals[terminal];
	if (t->which == WHICH_OUT)
		return terminal - 1;
	if (t->which == WHICH_IN)
		return incoming(job, solution, terminal) != NO_INDEX ? terminal : terminal + 1;
	if (t->kind == KIND_STRIP)
		return path_feed(job, solution, t->item);
	return terminal;
}

static double strip_metres_between(const struct job *job, size_t a, size_t b)
{
	const struct terminal *ta = &job->terminals[a], *tb = &job->terminals[b];
	double marks = ta->mark > tb->mark ? (double)(ta->mark - tb->mark) : (double)(tb->mark - ta->mark);
	return marks * job->strips[ta->item].pitch;
}

void path_find(struct path *path, const struct job *job, const struct solution *solution, size_t strip,
               struct arena *arena)
{
	size_t capacity = 0, at = path_feed(job, solution, strip);
	*path = (struct path){ .source = NO_INDEX };
	while (at != NO_INDEX && path->count < job->cable_count) {
		size_t cable = incoming(job, solution, at);
		if (cable == NO_INDEX)
			return;
		path->cables = arena_grow(arena, path->cables, path->count, &capacity, sizeof(size_t));
		path->cables[path->count++] = cable;
		size_t from = other_end(&job->cables[cable], at);
		if (path->source == NO_INDEX) {
			path->metres += job->cables[cable].length.num;
			if (job->terminals[from].kind != KIND_STRIP)
				path->source = from;
		}
		at = entry_of(job, solution, from);
		if (path->source == NO_INDEX && at != NO_INDEX)
			path->metres += strip_metres_between(job, from, at);
	}
}

static size_t next_strip_terminal(const struct job *job, const struct solution *solution, size_t terminal)
{
	for (size_t k = solution->first_at[terminal]; k < solution->first_at[terminal + 1]; k++) {
		size_t far = other_end(&job->cables[solution->at_terminal[k]], terminal);
		enum which which = job->terminals[far].which;
		if (job->terminals[far].kind == KIND_STRIP && (which == WHICH_START || which == WHICH_END))
			return far;
	}
	return NO_INDEX;
}

size_t path_far_end(const struct job *job, const struct solution *solution, size_t strip, size_t feed,
                    double *metres)
{
	size_t end = strip_other_end(job, feed);
	*metres = job->strips[strip].metres;
	for (size_t guard = 0; guard < job->strip_count; guard++) {
		size_t next = next_strip_terminal(job, solution, end);
		if (next == NO_INDEX)
			break;
		*metres += job->strips[job->terminals[next].item].metres;
		end = strip_other_end(job, next);
	}
	return end;
}
