/* A plan and what was built of it, judged and verified; and what `verify` writes, read back. */
#ifndef FAREND_TESTS_VERIFY_SUPPORT_H
#define FAREND_TESTS_VERIFY_SUPPORT_H

#include "farend.h"

#include "advise/advise.h"
#include "advise/verify.h"
#include "load/load.h"

#include "support.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define DEMO_JOB "fixtures/jobs/boot-room-clips.yaml"
#define DEMO_BUILT "fixtures/built/boot-room.csv"

struct site {
	struct arena *arena;
	struct judged plan, built;
	struct as_built as_built;
	struct reading readings[8];
	struct switch_state all_on;
	struct verification out;
};

static inline struct judged judge(struct arena *arena, const char *text)
{
	struct diags diags;
	struct job *job;
	struct findings *findings = arena_one(arena, struct findings);
	diags_init(&diags, arena);
	struct load_text input = { "test.yaml", text, strlen(text) };
	assert_int_equal(load_job(arena, &input, &diags, &job), LOAD_OK);
	struct solution *solution = solve_job(job, arena);
	check_job(job, solution, arena, findings);
	advise_job(job, solution, arena, findings);
	return (struct judged){ job, solution, findings };
}

static inline struct site *open_site(const char *plan, const char *built)
{
	struct arena *arena = arena_new();
	struct site *s = arena_one(arena, struct site);
	s->arena = arena;
	s->plan = judge(arena, plan);
	s->built = judge(arena, built);
	bool *on = arena_array(arena, bool, 8);
	memset(on, true, 8 * sizeof(*on));
	s->all_on = (struct switch_state){ on, "" };
	s->as_built = (struct as_built){ .file = "test.csv", .readings = s->readings, .states = &s->all_on,
	                                 .state_count = 1 };
	return s;
}

static inline void add_volts(struct site *s, const char *at, double volts)
{
	const struct job *job = s->built.job;
	size_t t = 0;
	while (strcmp(job->terminals[t].name, at) != 0)
		t++;
	s->readings[s->as_built.reading_count++] = (struct reading){
		.range = METER_VOLTS, .at = at, .terminal = t, .value = volts,
		.item = { job->terminals[t].kind, job->terminals[t].item },
	};
}

static inline void verify(struct site *s)
{
	verify_job(&s->plan, &s->built, &s->as_built, &usual_meter, s->arena, &s->out);
}

/* One cut unit: 24 V, i = (v - 12 V) / 12 ohm, 0.1 ohm of rail before it, a cable of 2 x 19.5 mohm/m
 * (IEC 60228, 1 mm2, class 5) x 1 m at 25 C and 40 mohm of joints. */
#define ONE(extra) \
	"drivers: {D1: {voltage: 24 V, power: 60 W}}\n" \
	"strips: {L1: {voltage: 24 V, power: 24 W/m, cut_length: 1 m, length: 1 m, loop_resistance: 0.2 ohm/m, " \
	"led_knee: 12 V, mount: aluminium}}\n" \
	"cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 1 m, joint_resistance: 40 mohm, joint: screw}}\n" \
	extra

/* ------- as it is written */

static inline char *built_file(const char *text)
{
	static char path[64];
	snprintf(path, sizeof(path), "/tmp/farend-verify-XXXXXX");
	int file = mkstemp(path);
	assert_true(file >= 0);
	assert_true(write(file, text, strlen(text)) == (ssize_t)strlen(text));
	close(file);
	return path;
}

static inline struct farend_job *verified(const char *job_file, const char *built, const char *switches)
{
	struct farend_job *job;
	assert_int_equal(farend_read_built(job_file, built, &job), FAREND_OK);
	if (switches != NULL)
		assert_int_equal(farend_set_switches(job, switches), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verify(job, NULL), FAREND_OK);
	return job;
}

static inline struct farend_text rendered(struct farend_job *job, enum farend_format format, size_t width)
{
	struct farend_style style = { .width = width };
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_VERIFY, format, &style, &text), FAREND_OK);
	assert_int_equal(strlen(text.bytes), text.size);
	return text;
}

static inline json_t *parsed(struct farend_job *job)
{
	json_error_t error;
	json_t *json = json_loads(rendered(job, FAREND_JSON, 80).bytes, JSON_REJECT_DUPLICATES, &error);
	if (json == NULL)
		fail_msg("line %d: %s", error.line, error.text);
	return json;
}

static inline const char *word(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);
	assert_true(json_is_string(value));
	return json_string_value(value);
}

static inline double number(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);
	if (!json_is_number(value))
		fail_msg("'%s' is not a number", key);
	return json_number_value(value);
}

static inline void assert_says(const char *text, const char *words)
{
	if (strstr(text, words) == NULL)
		fail_msg("'%s' is not in:\n%s", words, text);
}

#endif
