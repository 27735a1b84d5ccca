/* farend_read() and its kind, farend_free() and the diagnostics. */
#include "api/job.h"

#include "api/call.h"
#include "load/load.h"

#define DEFAULT_WIDTH 80

struct style api_style(const struct farend_style *style)
{
	struct style plain = { .colour = false, .width = DEFAULT_WIDTH };
	if (style != NULL) {
		plain.colour = style->colour;
		plain.width = style->width > 0 ? style->width : DEFAULT_WIDTH;
	}
	return plain;
}

/* What was made last fails first: a job that cannot even be allocated frees its arena. */
struct opening {
	struct arena *arena;
	struct farend_job *job;
};

static void open_job(void *data)
{
	struct opening *opening = data;
	struct farend_job *job = arena_one(opening->arena, struct farend_job);
	job->arena = opening->arena;
	diags_init(&job->diags, job->arena);
	opening->job = job;
}

struct job_reading {
	struct farend_job *job;
	const struct load_text *text;
	const char *as_built;        /* NULL: the job as planned */
	enum load_status status;
};

static void read_job(void *data)
{
	struct job_reading *reading = data;
	struct farend_job *job = reading->job;
	struct loaded loaded = { .plan = NULL };
	if (reading->as_built == NULL)
		reading->status = load_job(job->arena, reading->text, &job->diags, &loaded.job);
	else
		reading->status = load_job_as_built(job->arena, reading->text, reading->as_built, &job->diags,
		                                    &loaded);
	if (reading->status == LOAD_OK) {
		job->planned = loaded.plan;
		job->built = loaded.built;
		job->job = loaded.job;
	}
	diags_sort(&job->diags);
}

static enum farend_status read_text(const struct load_text *text, const char *as_built,
                                    struct farend_job **out)
{
	static const enum farend_status statuses[] = {
		[LOAD_OK] = FAREND_OK, [LOAD_WRONG] = FAREND_WRONG_INPUT, [LOAD_SYSTEM] = FAREND_SYSTEM,
	};
	struct opening opening = { .arena = arena_new() };
	*out = NULL;
	if (opening.arena == NULL)
		return FAREND_NO_MEMORY;
	if (!api_call(opening.arena, open_job, &opening)) {
		arena_free(opening.arena);
		return FAREND_NO_MEMORY;
	}
	*out = opening.job;
	struct job_reading reading = { .job = opening.job, .text = text, .as_built = as_built };
	if (!api_call(opening.arena, read_job, &reading)) {
		opening.job->job = NULL;
		return FAREND_NO_MEMORY;
	}
	return statuses[reading.status];
}

struct printing {
	struct farend_job *job;
	struct style style;
	struct buf out;
};

static const char *plural(size_t count, const char *one, const char *many)
{
	return count == 1 ? one : many;
}

static void print_diagnostics(void *data)
{
	struct printing *printing = data;
	const struct diags *diags = &printing->job->diags;
	buf_init(&printing->out, printing->job->arena);
	for (size_t i = 0; i < diags->count; i++)
		diag_print(&printing->out, &diags->items[i], printing->style.colour, printing->style.width);
	if (diags->errors > 0) {
		buf_addf(&printing->out, "%zu %s; nothing was %s\n", diags->errors,
		         plural(diags->errors, "error", "errors"),
		         printing->job->checked ? "written" : "solved");
	}
}

enum farend_status farend_read(const char *path, struct farend_job **job)
{
	return read_text(&(struct load_text){ .name = path }, NULL, job);
}

enum farend_status farend_read_built(const char *path, const char *as_built, struct farend_job **job)
{
	return read_text(&(struct load_text){ .name = path }, as_built, job);
}

enum farend_status farend_read_text(const char *name, const char *bytes, size_t size,
                                    struct farend_job **job)
{
	return read_text(&(struct load_text){ .name = name, .bytes = bytes, .size = size }, NULL, job);
}

enum farend_status farend_read_text_built(const char *name, const char *bytes, size_t size,
                                          const char *as_built, struct farend_job **job)
{
	return read_text(&(struct load_text){ .name = name, .bytes = bytes, .size = size }, as_built, job);
}

struct switching {
	struct farend_job *job;
	const char *text;
	bool known;
};

static void switch_body(void *data)
{
	struct switching *switching = data;
	struct farend_job *job = switching->job;
	struct switch_state state;
	switching->known = load_switch_state(job->arena, job->job, switching->text, &job->diags, &state);
	if (switching->known)
		job->state = state;
}

enum farend_status farend_set_switches(struct farend_job *job, const char *state)
{
	struct switching switching = { .job = job, .text = state };
	if (job->job == NULL || job->checked)
		return FAREND_WRONG_CALL;
	if (!api_call(job->arena, switch_body, &switching))
		return FAREND_NO_MEMORY;
	return switching.known ? FAREND_OK : FAREND_WRONG_CALL;
}

void farend_free(struct farend_job *job)
{
	if (job != NULL)
		arena_free(job->arena);
}

enum farend_status farend_diagnostics(struct farend_job *job, const struct farend_style *style,
                                      struct farend_text *out)
{
	struct printing printing = { .job = job, .style = api_style(style) };
	*out = (struct farend_text){ .bytes = "", .size = 0 };
	if (!api_call(job->arena, print_diagnostics, &printing))
		return FAREND_NO_MEMORY;
	*out = (struct farend_text){ .bytes = printing.out.data, .size = printing.out.length };
	return FAREND_OK;
}

bool farend_diagnostic(const struct farend_job *job, size_t index, struct farend_diagnostic *out)
{
	if (index >= job->diags.count)
		return false;
	const struct diag *diag = &job->diags.items[index];
	bool placed = diag->place.source != NULL;
	*out = (struct farend_diagnostic){
		.kind = diag->kind,
		.file = placed ? diag->place.source->name : NULL,
		.line = placed ? diag->place.line : 0,
		.column = placed ? diag->place.column : 0,
		.message = diag->message,
		.expected = diag->expected,
		.hint = diag->hint,
	};
	return true;
}
