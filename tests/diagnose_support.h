/* A job on the bench: readings are added, and what explains them is asked. */
#ifndef FAREND_TESTS_DIAGNOSE_SUPPORT_H
#define FAREND_TESTS_DIAGNOSE_SUPPORT_H

#include "support.h"

#include "advise/diagnose.h"
#include "load/load.h"
#include "solve/state.h"

#define UNIT "strip_types: {cc: {voltage: 24 V, power: 48 W/m, cut_length: 500 mm, ballast: constant-current, " \
             "regulates_above: 17 V, led_knee: 15 V, loop_resistance: 0.1 ohm/m}, " \
             "r: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, loop_resistance: 0.2 ohm/m}}\n" \
             "drivers: {D1: {voltage: 24 V, power: 150 W}}\n"

/* One core of 0.75 mm2 is 26 mohm/m at 20 C (IEC 60228, class 5): 10 m out and back are 0.52 ohm. */
#define COPPER_10M 0.52
#define COOL "job: {ambient: 20 C}\n"

struct bench {
	struct arena *arena;
	struct job *job;
	struct as_built built;
	struct diagnosis d;
};

static inline struct bench bench_of(const char *text)
{
	struct bench b = { .arena = arena_new() };
	struct diags diags;
	diags_init(&diags, b.arena);
	struct load_text input = { .name = "test.yaml", .bytes = text, .size = strlen(text) };
	enum load_status status = load_job(b.arena, &input, &diags, &b.job);
	for (size_t i = 0; i < diags.count; i++)
		print_error("%u: %s\n", diags.items[i].place.line, diags.items[i].message);
	assert_int_equal(status, LOAD_OK);
	b.built.readings = arena_array(b.arena, struct reading, 20);
	b.built.states = arena_array(b.arena, struct switch_state, 4);
	bool *on = arena_array(b.arena, bool, b.job->switch_count);
	for (size_t i = 0; i < b.job->switch_count; i++)
		on[i] = true;
	b.built.states[b.built.state_count++] = (struct switch_state){ on, "" };
	return b;
}

static inline size_t terminal(const struct bench *b, const char *name)
{
	for (size_t t = 0; t < b->job->terminal_count; t++)
		if (strcmp(b->job->terminals[t].name, name) == 0)
			return t;
	fail_msg("no terminal '%s'", name);
	return NO_INDEX;
}

static inline size_t item(const struct bench *b, enum kind kind, const char *id)
{
	for (size_t i = 0; i < job_count(b->job, kind); i++)
		if (strcmp(job_item(b->job, kind, i)->id, id) == 0)
			return i;
	fail_msg("no item '%s'", id);
	return NO_INDEX;
}

static inline struct reading *volts(struct bench *b, const char *at, double value)
{
	struct reading *r = &b->built.readings[b->built.reading_count++];
	size_t t = terminal(b, at);
	*r = (struct reading){ .range = METER_VOLTS, .at = at, .terminal = t, .value = value,
	                       .item = { b->job->terminals[t].kind, b->job->terminals[t].item } };
	return r;
}

static inline void amps(struct bench *b, const char *cable, double value)
{
	b->built.readings[b->built.reading_count++] = (struct reading){
		.range = METER_AMPS, .at = cable, .terminal = NO_INDEX, .value = value,
		.item = { KIND_CABLE, item(b, KIND_CABLE, cable) },
	};
}

static inline const struct diagnosis *ask(struct bench *b)
{
	diagnose(b->job, &b->built, &usual_meter, b->arena, &b->d);
	return &b->d;
}

/* The suspect of that kind and item, NULL where it is none; `at`: the terminal of a joint. */
static inline const struct suspect *suspect(const struct bench *b, enum suspect_kind kind, const char *id,
                                     const char *at)
{
	for (size_t i = 0; i < b->d.suspect_count; i++) {
		const struct suspect *s = &b->d.suspects[i];
		if (s->kind == kind && strcmp(job_item(b->job, s->item.kind, s->item.index)->id, id) == 0 &&
		    (!at || s->terminal == terminal(b, at)))
			return s;
	}
	return NULL;
}

static inline void close_bench(struct bench *b)
{
	arena_free(b->arena);
}

#endif
