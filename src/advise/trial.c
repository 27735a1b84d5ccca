/* Copies, changes, and the same checks over again. */
#include "advise/trial.h"

#include "reference/reference.h"

#include <string.h>

const char *const far_end_family[] = { "far-end-drop", "far-end-dim", "uneven", NULL };

struct circuit_filter { const struct job *job; const struct solution *solution; size_t circuit; };

static bool in_circuit(const void *data, enum kind kind, size_t index)
{
	const struct circuit_filter *f = data;
	return f->solution->circuit_of_terminal[item_terminal(f->job, kind, index)] == f->circuit;
}

void bench_open(struct bench *bench, const struct job *job, const struct solution *solution,
                size_t circuit, struct arena *parent)
{
	bench->whole = job;
	bench->arena = arena_child(parent);
	struct circuit_filter filter = { job, solution, circuit };
	bench->circuit = job_subset(job, in_circuit, &filter, bench->arena);
	bench->now = solve_job(bench->circuit.job, bench->arena);
	bench->scratch = arena_child(parent);
}

void bench_close(struct bench *bench)
{
	arena_free(bench->scratch);
	arena_free(bench->arena);
}

void trial_begin(struct bench *bench, struct trial *trial)
{
	arena_reset(bench->scratch);
	trial->job = job_copy(bench->circuit.job, bench->scratch);
}

void trial_run(struct bench *bench, struct trial *trial)
{
	trial->solution = solve_job(trial->job, bench->scratch);
	check_job(trial->job, trial->solution, bench->scratch, &trial->findings);
}

void trial_resize_cable(struct trial *trial, size_t cable, size_t wire)
{
	cable_resize(&trial->job->cables[cable], wire, trial->job->ambient.num);
}

void trial_set_units(struct trial *trial, size_t strip, size_t units)
{
	struct strip *s = &trial->job->strips[strip];
	s->length.num = (double)units * s->pitch;
	s->length.origin = ORIGIN_GIVEN;
	strip_derive(s, trial->job->ambient.num);
	trial->job->terminals[s->terminal + 1].mark = s->units;
}

static const struct driver *find_driver_type(const struct job *job, const char *name)
{
	const struct driver *types = job->types[KIND_DRIVER];
	for (size_t i = 0; name && i < job->type_count[KIND_DRIVER]; i++)
		if (strcmp(types[i].item.id, name) == 0)
			return &types[i];
	return NULL;
}

/* What the part says counts, and of what the item said only that about which the part is silent. */
static void take_part(struct driver *driver, const struct driver *part)
{
	struct attribute_table table = attributes_of(KIND_DRIVER);
	for (size_t i = 0; i < table.count; i++) {
		struct attr *value = attribute_slot(&table.rows[i], driver);
		if (attr_said(attribute_value(&table.rows[i], part)) || value->origin < ORIGIN_GIVEN)
			value->origin = ORIGIN_UNSET;
	}
	item_inherit(KIND_DRIVER, driver, part, ORIGIN_TYPE);
	item_assume(KIND_DRIVER, driver);
}

void trial_set_driver(struct trial *trial, size_t driver, double watts, const char *part)
{
	struct driver *d = &trial->job->drivers[driver];
	const struct driver *type = find_driver_type(trial->job, part);
	if (type) {
		take_part(d, type);
	} else {
		d->power.num = watts;
		d->max_current.origin = ORIGIN_UNSET;
		d->trip_current.origin = ORIGIN_UNSET;
		if (d->class_2.num > 0 && !limited_power(d->voltage.num, watts, watts / d->voltage.num))
			d->class_2.num = 0;      /* no driver of that size is limited, whatever the old one was */
	}
	driver_derive(d, trial->job->ambient.num);
}

void trial_add_feed(struct trial *trial, size_t like, size_t from, size_t to, double metres)
{
	struct cable cable = trial->job->cables[like];
	cable.item.id = "(second feed)";
	cable.length.num = metres;
	cable.fuse.origin = ORIGIN_UNSET;
	cable.supplied.num = 0;
	cable.a = from;
	cable.b = to;
	cable_derive(&cable, trial->job->ambient.num);
	job_add_cable(trial->job, &cable);
}

static bool named(const struct finding *f, const char *const *names)
{
	for (; *names; names++)
		if (strcmp(f->check->name, *names) == 0)
			return true;
	return false;
}

bool trial_clears(const struct trial *trial, const char *const *names, struct item_ref item)
{
	for (size_t i = 0; i < trial->findings.count; i++) {
		const struct finding *f = &trial->findings.items[i];
		if (f->severity == SEVERITY_NOTE || !named(f, names))
			continue;
		for (size_t k = 0; k < f->item_count; k++)
			if (f->items[k].kind == item.kind && f->items[k].index == item.index)
				return false;
	}
	return true;
}

bool trial_has(const struct trial *trial, const char *name)
{
	for (size_t i = 0; i < trial->findings.count; i++)
		if (trial->findings.items[i].severity > SEVERITY_NOTE &&
		    strcmp(trial->findings.items[i].check->name, name) == 0)
			return true;
	return false;
}
