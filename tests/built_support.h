/* A job and an as-built file laid over it, for the tests of what is read from both. */
#ifndef FAREND_TESTS_BUILT_SUPPORT_H
#define FAREND_TESTS_BUILT_SUPPORT_H

#include "load_support.h"

struct overlay {
	struct arena *arena;
	const char *job;
	const char *csv;
	struct diags diags;
	struct loaded loaded;
	enum load_status status;
};

#define JOB \
	"strip_types:\n" \
	"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm}\n" \
	"drivers:\n" \
	"  D1: {voltage: 24 V, power: 60 W}\n" \
	"switches:\n" \
	"  S1: {max_current: 3 A}\n" \
	"  S2: {max_current: 3 A}\n" \
	"blocks:\n" \
	"  B1: {ports: 6, max_current: 6 A}\n" \
	"strips:\n" \
	"  L1: {type: warm, length: 850 mm}\n" \
	"  L2: {type: warm, channel: 2400 mm}\n" \
	"  L3: {type: warm, length: 1000 mm}\n" \
	"cables:\n" \
	"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 3.2 m}\n" \
	"  C2: {size: 0.75 mm2, from: S1, to: B1, length: 300 mm}\n" \
	"  C3: {size: 0.75 mm2, from: B1, to: L1, length: 500 mm}\n" \
	"  C4: {size: 0.75 mm2, from: B1, to: L2.start, length: 500 mm}\n" \
	"  C5: {size: 0.75 mm2, from: B1, to: L2.end, length: 2.9 m}\n" \
	"  C6: {size: 0.75 mm2, from: D1, to: S2, length: 1 m}\n" \
	"  C7: {size: 0.75 mm2, from: S2, to: L3, length: 1 m}\n" \
	"  C8: {size: 0.75 mm2, from: S2, to: L3@700mm, length: 2 m}\n"

static inline void read_overlay(void *data)
{
	struct overlay *o = data;
	char path[] = "/tmp/farend-built-XXXXXX";
	int file = mkstemp(path);
	assert_true(file >= 0);
	assert_true(write(file, o->csv, strlen(o->csv)) == (ssize_t)strlen(o->csv));
	close(file);
	struct load_text text = { "job.yaml", o->job, strlen(o->job) };
	diags_init(&o->diags, o->arena);
	o->status = load_job_as_built(o->arena, &text, path, &o->diags, &o->loaded);
	unlink(path);
}

static inline struct overlay overlay_on(const char *job, const char *csv)
{
	struct overlay o = { .arena = arena_new(), .job = job, .csv = csv };
	assert_true(arena_guard(o.arena, read_overlay, &o));
	return o;
}

static inline struct overlay overlay(const char *csv)
{
	return overlay_on(JOB, csv);
}

static inline void print_all(const struct diags *diags)
{
	struct buf out;
	buf_init(&out, diags->arena);
	for (size_t i = 0; i < diags->count; i++)
		diag_print(&out, &diags->items[i], false, 100);
	print_error("%s", out.data);
}

static inline struct overlay sound(const char *csv)
{
	struct overlay o = overlay(csv);
	if (o.status != LOAD_OK)
		print_all(&o.diags);
	assert_int_equal(o.status, LOAD_OK);
	return o;
}

static inline const struct reading *reading_of(const struct overlay *o, size_t index)
{
	assert_true(index < o->loaded.built->reading_count);
	return &o->loaded.built->readings[index];
}

#endif
