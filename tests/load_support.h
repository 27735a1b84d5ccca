/* Reading a job from a text, for the tests of the reader. */
#ifndef FAREND_TESTS_LOAD_SUPPORT_H
#define FAREND_TESTS_LOAD_SUPPORT_H

#include "support.h"

#include "load/load.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

struct job_reading {
	struct arena *arena;
	struct load_text text;
	struct diags diags;
	struct job *job;
	enum load_status status;
};

static inline void read_job(void *data)
{
	struct job_reading *r = data;
	diags_init(&r->diags, r->arena);
	r->status = load_job(r->arena, &r->text, &r->diags, &r->job);
}

static inline struct job_reading read_named(const char *name, const char *text)
{
	struct job_reading r = { .arena = arena_new() };
	r.text = (struct load_text){ .name = name, .bytes = text, .size = text ? strlen(text) : 0 };
	assert_true(arena_guard(r.arena, read_job, &r));
	return r;
}

static inline struct job_reading read_text(const char *text)
{
	return read_named("job.yaml", text);
}

static inline void done(struct job_reading *r)
{
	arena_free(r->arena);
}

static inline void assert_mistake(const struct job_reading *r, size_t index, const char *kind,
                                  unsigned line, unsigned column)
{
	assert_true(index < r->diags.count);
	assert_string_equal(r->diags.items[index].kind, kind);
	assert_int_equal(r->diags.items[index].place.line, line);
	assert_int_equal(r->diags.items[index].place.column, column);
}

/* Parts of a job that is right. */
#define DRIVER "drivers:\n  D1: {voltage: 24 V, power: 60 W}\n"
#define WARM   "strip_types:\n  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm}\n"
#define STRIP  "strips:\n  L1: {type: warm, length: 850 mm}\n"
#define CABLE  "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 3.2 m}\n"
#define RIGHT  WARM DRIVER STRIP CABLE

/* A folder of this test's own with one file in it. */
static inline void make_file(char *folder, size_t size, const char *name, const char *text)
{
	char path[256];
	snprintf(folder, size, "/tmp/farend-load-XXXXXX");
	assert_non_null(mkdtemp(folder));
	snprintf(path, sizeof path, "%s/%s", folder, name);
	FILE *file = fopen(path, "wb");
	assert_non_null(file);
	fputs(text, file);
	assert_int_equal(fclose(file), 0);
}

static inline void remove_file(const char *folder, const char *name)
{
	char path[256];
	snprintf(path, sizeof path, "%s/%s", folder, name);
	unlink(path);
	rmdir(folder);
}

#endif
