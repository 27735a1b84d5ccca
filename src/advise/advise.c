/* Which advice belongs to which finding, circuit by circuit. */
#include "advise/remedy.h"

#include <string.h>

typedef void remedy(struct bench *bench, struct finding *finding, struct arena *keep);

static const struct { const char *check; remedy *advise; } remedies[] = {
	{ "driver-headroom",    remedy_driver_size },
	{ "far-end-drop",       remedy_far_end },
	{ "far-end-dim",        remedy_far_end },
	{ "uneven",             remedy_far_end },
	{ "mismatch",           remedy_strip },
	{ "dip",                remedy_strip },
	{ "strip-overrun",      remedy_overrun },
	{ "strip-overvoltage",  remedy_overvoltage },
	{ "cable-overload",     remedy_cable_size },
	{ "cable-unprotected",  remedy_protection },
	{ "fault-may-not-trip", remedy_fuse },
	{ "fuse-overload",      remedy_fuse },
};

static remedy *find_remedy(const struct finding *finding)
{
	for (size_t i = 0; i < sizeof(remedies) / sizeof(*remedies); i++)
		if (strcmp(remedies[i].check, finding->check->name) == 0)
			return remedies[i].advise;
	return NULL;
}

static size_t circuit_of(const struct job *job, const struct solution *solution, struct item_ref item)
{
	return solution->circuit_of_terminal[item_terminal(job, item.kind, item.index)];
}

/* Findings in lists by circuit, in their order. */
struct by_circuit { size_t *head, *tail, *next; };

static struct by_circuit sort_by_circuit(const struct job *job, const struct solution *solution,
                                         const struct findings *findings, struct arena *scratch)
{
	struct by_circuit by = {
		arena_array(scratch, size_t, solution->circuit_count),
		arena_array(scratch, size_t, solution->circuit_count),
		arena_array(scratch, size_t, findings->count),
	};
	for (size_t c = 0; c < solution->circuit_count; c++)
		by.head[c] = by.tail[c] = NO_INDEX;
	for (size_t i = 0; i < findings->count; i++) {
		size_t c = circuit_of(job, solution, findings->items[i].item);
		by.next[i] = NO_INDEX;
		if (!find_remedy(&findings->items[i]) || !solution->circuits[c].solved)
			continue;
		if (by.head[c] == NO_INDEX)
			by.head[c] = i;
		else
			by.next[by.tail[c]] = i;
		by.tail[c] = i;
	}
	return by;
}

void advise_job(const struct job *job, const struct solution *solution, struct arena *arena,
                struct findings *findings)
{
	struct arena *scratch = arena_child(arena);
	struct by_circuit by = sort_by_circuit(job, solution, findings, scratch);
	for (size_t c = 0; c < solution->circuit_count; c++) {
		struct bench bench;
		if (by.head[c] == NO_INDEX)
			continue;
		bench_open(&bench, job, solution, c, scratch);
		for (size_t i = by.head[c]; i != NO_INDEX; i = by.next[i])
			find_remedy(&findings->items[i])(&bench, &findings->items[i], arena);
		bench_close(&bench);
	}
	findings_sort(findings);
	arena_free(scratch);
}
