/* Small jobs in memory, and blank solutions of them. */
#include "tests/job_builder.h"

#include "base/hash.h"
#include "reference/reference.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static void need(bool holds)
{
	if (!holds)
		abort();             /* a test that is written wrongly */
}

struct job *job_builder_new(void)
{
	struct arena *arena = arena_new();
	need(arena != NULL);
	struct job *job = arena_one(arena, struct job);
	job->arena = arena;
	return job;
}

void job_builder_free(struct job *job)
{
	arena_free(job->arena);
}

void give(struct attr *attr, double value, enum dim dim)
{
	attr->origin = ORIGIN_GIVEN;
	attr->num = value;
	attr->high = value;
	attr->dim = dim;
}

void give_text(struct attr *attr, const char *text)
{
	attr->origin = ORIGIN_GIVEN;
	attr->text = text;
}

/* Arrays grow by one: tests hold few items, or add them once. */
static void *add(struct job *job, enum kind kind, void *array, size_t *count, const char *id)
{
	size_t size = kind_size(kind), old = *count;
	if ((old & (old - 1)) == 0) {
		void *larger = arena_alloc_array(job->arena, old ? 2 * old : 1, size);
		if (old > 0)
			memcpy(larger, array, old * size);
		array = larger;
	}
	*count = old + 1;
	struct item *item = (struct item *)((char *)array + old * size);
	item->id = arena_strdup(job->arena, id);
	item->kind = kind;
	return array;
}

size_t add_driver(struct job *job, const char *id, double volts, double watts)
{
	job->drivers = add(job, KIND_DRIVER, job->drivers, &job->driver_count, id);
	struct driver *driver = &job->drivers[job->driver_count - 1];
	give(&driver->voltage, volts, DIM_VOLT);
	give(&driver->power, watts, DIM_WATT);
	return job->driver_count - 1;
}

size_t add_switch(struct job *job, const char *id, double max_amps)
{
	job->switches = add(job, KIND_SWITCH, job->switches, &job->switch_count, id);
	give(&job->switches[job->switch_count - 1].max_current, max_amps, DIM_AMP);
	return job->switch_count - 1;
}

size_t add_block(struct job *job, const char *id, double ports, double max_amps)
{
	job->blocks = add(job, KIND_BLOCK, job->blocks, &job->block_count, id);
	give(&job->blocks[job->block_count - 1].ports, ports, DIM_COUNT);
	give(&job->blocks[job->block_count - 1].max_current, max_amps, DIM_AMP);
	return job->block_count - 1;
}

size_t add_strip(struct job *job, const char *id, double volts, double watts_per_m, double metres)
{
	job->strips = add(job, KIND_STRIP, job->strips, &job->strip_count, id);
	struct strip *strip = &job->strips[job->strip_count - 1];
	give(&strip->voltage, volts, DIM_VOLT);
	give(&strip->power, watts_per_m, DIM_WATT_PER_M);
	give(&strip->cut_length, 0.05, DIM_LENGTH);
	give(&strip->length, metres, DIM_LENGTH);
	return job->strip_count - 1;
}

size_t add_cable(struct job *job, const char *id, const char *size, double metres, const char *from,
                 const char *to)
{
	job->cables = add(job, KIND_CABLE, job->cables, &job->cable_count, id);
	struct cable *cable = &job->cables[job->cable_count - 1];
	size_t row = 0;
	while (row < wire_size_count && strcmp(wire_sizes[row].name, size) != 0)
		row++;
	need(row < wire_size_count);
	give(&cable->size, (double)row, wire_sizes[row].gauge ? DIM_GAUGE : DIM_AREA);
	give(&cable->length, metres, DIM_LENGTH);
	give_text(&cable->from, arena_strdup(job->arena, from));
	give_text(&cable->to, arena_strdup(job->arena, to));
	return job->cable_count - 1;
}

static size_t fixed_terminals(const struct job *job)
{
	return job->driver_count + 2 * job->switch_count + job->block_count + 2 * job->strip_count;
}

/* "L1@1.2" makes a tap at the nearest mark; every other name is that of a terminal. */
static size_t resolve(struct job *job, const struct hash *names, const char *name)
{
	const char *at = strchr(name, '@');
	if (!at) {
		size_t terminal = hash_find(names, name);
		need(terminal != HASH_NONE);
		return terminal;
	}
	size_t start = hash_find(names, arena_printf(job->arena, "%.*s.start", (int)(at - name), name));
	need(start != HASH_NONE);
	size_t strip = job->terminals[start].item;
	return job_tap(job, strip, (size_t)lround(strtod(at + 1, NULL) / job->strips[strip].pitch));
}

void job_builder_finish(struct job *job)
{
	struct hash names;

	job_assume(job);
	for (int kind = 0; kind < KIND__END; kind++)
		for (size_t i = 0; i < job_count(job, (enum kind)kind); i++)
			item_assume((enum kind)kind, job_item(job, (enum kind)kind, i));
	job_derive(job);
	job_number_terminals(job);
	hash_init(&names, job->arena);
	for (size_t t = 0; t < fixed_terminals(job); t++)
		hash_put(&names, job->terminals[t].name, t);
	for (size_t i = 0; i < job->cable_count; i++) {
		job->cables[i].a = resolve(job, &names, job->cables[i].from.text);
		job->cables[i].b = resolve(job, &names, job->cables[i].to.text);
	}
}

static size_t root_of(const size_t *parent, size_t t)
{
	while (parent[t] != t)
		t = parent[t];
	return t;
}

static void join(size_t *parent, size_t a, size_t b)
{
	a = root_of(parent, a);
	b = root_of(parent, b);
	parent[a > b ? a : b] = a > b ? b : a;
}

static void number_circuits(const struct job *job, struct solution *s)
{
	size_t *parent = arena_array(job->arena, size_t, job->terminal_count);
	for (size_t t = 0; t < job->terminal_count; t++)
		parent[t] = t;
	for (size_t i = 0; i < job->cable_count; i++)
		join(parent, job->cables[i].a, job->cables[i].b);
	for (size_t t = 1; t < job->terminal_count; t++)
		if (job->terminals[t].kind == KIND_SWITCH && job->terminals[t].which == WHICH_OUT)
			join(parent, t, t - 1);
		else if (job->terminals[t].kind == KIND_STRIP)
			join(parent, t, job->strips[job->terminals[t].item].terminal);

	s->circuit_of_terminal = arena_array(job->arena, size_t, job->terminal_count);
	s->circuits = arena_array(job->arena, struct circuit, job->terminal_count);
	for (size_t t = 0; t < job->terminal_count; t++) {
		size_t root = root_of(parent, t);
		s->circuit_of_terminal[t] = root == t ? s->circuit_count++ : s->circuit_of_terminal[root];
	}
	for (size_t c = 0; c < s->circuit_count; c++)
		s->circuits[c].driver = NO_INDEX;
	for (size_t i = 0; i < job->driver_count; i++) {
		struct circuit *circuit = &s->circuits[s->circuit_of_terminal[job->drivers[i].terminal]];
		circuit->driver = ++circuit->driver_count == 1 ? i : NO_INDEX;
		circuit->solved = circuit->driver_count == 1;
	}
}

static void list_cables(const struct job *job, struct solution *s)
{
	s->first_at = arena_array(job->arena, size_t, job->terminal_count + 1);
	s->at_terminal = arena_array(job->arena, size_t, 2 * job->cable_count);
	for (size_t i = 0; i < job->cable_count; i++) {
		s->first_at[job->cables[i].a + 1]++;
		s->first_at[job->cables[i].b + 1]++;
	}
	for (size_t t = 0; t < job->terminal_count; t++)
		s->first_at[t + 1] += s->first_at[t];
	size_t *next = arena_array(job->arena, size_t, job->terminal_count);
	memcpy(next, s->first_at, job->terminal_count * sizeof(size_t));
	for (size_t i = 0; i < job->cable_count; i++) {
		s->at_terminal[next[job->cables[i].a]++] = i;
		s->at_terminal[next[job->cables[i].b]++] = i;
	}
}

static bool is_live(const struct solution *s, size_t terminal)
{
	return s->circuits[s->circuit_of_terminal[terminal]].solved;
}

static double set_volts(const struct job *job, const struct solution *s, size_t terminal)
{
	size_t driver = s->circuits[s->circuit_of_terminal[terminal]].driver;
	return is_live(s, terminal) ? job->drivers[driver].set_v : (double)NAN;
}

static void light_strip(const struct job *job, const struct solution *s, size_t i)
{
	const struct strip *strip = &job->strips[i];
	struct strip_result *r = &s->strips[i];
	double volts = set_volts(job, s, strip->terminal);
	double *lights = arena_array(job->arena, double, strip->units);
	double *units = arena_array(job->arena, double, strip->units);
	for (size_t k = 0; k < strip->units; k++) {
		lights[k] = 1;
		units[k] = volts;
	}
	*r = (struct strip_result){ .live = is_live(s, strip->terminal), .v_min = volts, .v_max = volts,
	                            .light_min = 1, .light_max = 1, .light_mean = 1,
	                            .v_max_worst = volts, .dip_switch = NO_INDEX,
	                            .light = lights, .volts = units };
}

struct solution *blank_solution(const struct job *job)
{
	struct solution *s = arena_one(job->arena, struct solution);
	s->converged = true;
	number_circuits(job, s);
	list_cables(job, s);
	s->drivers = arena_array(job->arena, struct driver_result, job->driver_count);
	s->strips = arena_array(job->arena, struct strip_result, job->strip_count);
	s->cables = arena_array(job->arena, struct cable_result, job->cable_count);
	s->switches = arena_array(job->arena, struct switch_result, job->switch_count);
	s->blocks = arena_array(job->arena, struct block_result, job->block_count);
	s->terminals = arena_array(job->arena, struct terminal_result, job->terminal_count);
	s->upstream = arena_array(job->arena, size_t, job->cable_count);
	for (size_t i = 0; i < job->driver_count; i++)
		s->drivers[i].live = is_live(s, job->drivers[i].terminal);
	for (size_t i = 0; i < job->strip_count; i++)
		light_strip(job, s, i);
	for (size_t i = 0; i < job->switch_count; i++)
		s->switches[i].live = is_live(s, job->switches[i].terminal);
	for (size_t i = 0; i < job->block_count; i++)
		s->blocks[i].live = is_live(s, job->blocks[i].terminal);
	for (size_t i = 0; i < job->cable_count; i++) {
		s->cables[i].live = is_live(s, job->cables[i].a);
		s->cables[i].fault_a = s->cables[i].live ? 0 : (double)NAN;
		s->upstream[i] = NO_INDEX;
	}
	for (size_t t = 0; t < job->terminal_count; t++)
		s->terminals[t].volts = set_volts(job, s, t);
	return s;
}
