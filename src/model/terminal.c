/* Terminals: the points that cables join. Fixed ones first, taps as they are asked for. */
#include "model/job.h"

#include <string.h>

static size_t add_terminal(struct job *job, enum kind kind, size_t item, enum which which, size_t mark,
                           const char *name)
{
	job->terminals = arena_grow(job->arena, job->terminals, job->terminal_count,
	                            &job->terminal_capacity, sizeof(struct terminal));
	job->terminals[job->terminal_count] =
		(struct terminal){ .kind = kind, .item = item, .which = which, .mark = mark, .name = name };
	return job->terminal_count++;
}

static size_t add_named(struct job *job, enum kind kind, size_t item, enum which which, size_t mark,
                        const char *suffix)
{
	const char *id = job_item(job, kind, item)->id;
	return add_terminal(job, kind, item, which, mark, arena_printf(job->arena, "%s%s", id, suffix));
}

void job_number_strip(struct job *job, size_t index)
{
	struct strip *strip = &job->strips[index];
	strip->terminal = add_named(job, KIND_STRIP, index, WHICH_START, 0, ".start");
	add_named(job, KIND_STRIP, index, WHICH_END, strip->units, ".end");
}

void job_number_terminals(struct job *job)
{
	for (size_t i = 0; i < job->driver_count; i++)
		job->drivers[i].terminal = add_named(job, KIND_DRIVER, i, WHICH_ONLY, 0, "");
	for (size_t i = 0; i < job->switch_count; i++) {
		job->switches[i].terminal = add_named(job, KIND_SWITCH, i, WHICH_IN, 0, ".in");
		add_named(job, KIND_SWITCH, i, WHICH_OUT, 0, ".out");
	}
	for (size_t i = 0; i < job->block_count; i++)
		job->blocks[i].terminal = add_named(job, KIND_BLOCK, i, WHICH_ONLY, 0, "");
	for (size_t i = 0; i < job->strip_count; i++)
		job_number_strip(job, i);
}

size_t job_tap(struct job *job, size_t strip_index, size_t mark)
{
	struct strip *strip = &job->strips[strip_index];
	if (mark == 0)
		return strip->terminal;
	if (mark >= strip->units)
		return strip->terminal + 1;

	size_t at = strip->tap_count;
	while (at > 0 && job->terminals[strip->taps[at - 1]].mark > mark)
		at--;
	if (at > 0 && job->terminals[strip->taps[at - 1]].mark == mark)
		return strip->taps[at - 1];

	char *suffix = arena_printf(job->arena, "@%.3f", (double)mark * strip->pitch);
	size_t end = strlen(suffix);
	while (suffix[end - 1] == '0')
		end--;
	if (suffix[end - 1] == '.')
		end--;
	suffix[end] = '\0';
	size_t tap = add_named(job, KIND_STRIP, strip_index, WHICH_TAP, mark,
	                       arena_printf(job->arena, "%sm", suffix));
	strip->taps = arena_grow(job->arena, strip->taps, strip->tap_count, &strip->tap_capacity,
	                         sizeof(size_t));
	memmove(strip->taps + at + 1, strip->taps + at, (strip->tap_count - at) * sizeof(size_t));
	strip->taps[at] = tap;
	strip->tap_count++;
	return tap;
}

size_t item_terminal(const struct job *job, enum kind kind, size_t index)
{
	switch (kind) {
	case KIND_DRIVER: return job->drivers[index].terminal;
	case KIND_SWITCH: return job->switches[index].terminal;
	case KIND_BLOCK:  return job->blocks[index].terminal;
	case KIND_STRIP:  return job->strips[index].terminal;
	case KIND_CABLE:  return job->cables[index].a;
	case KIND__END:   break;
	}
	return NO_INDEX;
}
