/* farend_many_*(): the results of several checked jobs in one. Everything lives in an arena of its own, so that
 * the jobs can go. */
#include "api/job.h"

#include "api/call.h"
#include "report/many.h"

struct farend_many {
	struct arena *arena;
	const struct many_format *format;
	struct style style;
	struct many many;
	const struct many_job *adding;
	struct buf out;
	struct farend_many *opened;  /* of an opening: itself, in its arena */
};

static void open_body(void *data)
{
	struct farend_many *opening = data;
	struct farend_many *many = arena_one(opening->arena, struct farend_many);
	*many = *opening;
	many_init(&many->many, many->arena, &many->style);
	opening->opened = many;
}

enum farend_status farend_many_new(enum farend_format format, const struct farend_style *style,
                                   struct farend_many **many)
{
	static const struct many_format *const formats[] = {
		[FAREND_TEXT] = &many_text, [FAREND_JSON] = &many_json, [FAREND_CSV] = &many_csv,
	};
	*many = NULL;
	if ((size_t)format >= sizeof(formats) / sizeof(formats[0]))
		return FAREND_WRONG_CALL;
	struct farend_many opening = { .arena = arena_new(), .format = formats[format],
	                               .style = api_style(style) };
	if (opening.arena == NULL || !api_call(opening.arena, open_body, &opening)) {
		arena_free(opening.arena);
		return FAREND_NO_MEMORY;
	}
	*many = opening.opened;
	return FAREND_OK;
}

static void add_body(void *data)
{
	struct farend_many *many = data;
	many_add(&many->many, many->format, many->adding);
}

enum farend_status farend_many_add(struct farend_many *many, const char *file,
                                   const struct farend_job *job)
{
	bool checked = job != NULL && job->checked;
	many->adding = &(struct many_job){ .file = file, .result = checked ? &job->result : NULL,
	                                   .diags = job != NULL ? &job->diags : NULL };
	return api_call(many->arena, add_body, many) ? FAREND_OK : FAREND_NO_MEMORY;
}

static void end_body(void *data)
{
	struct farend_many *many = data;
	buf_init(&many->out, many->arena);
	many->format->end(&many->many, &many->out);
}

enum farend_status farend_many_end(struct farend_many *many, struct farend_text *out)
{
	*out = (struct farend_text){ .bytes = "", .size = 0 };
	if (many->many.count == 0)
		return FAREND_WRONG_CALL;
	if (!api_call(many->arena, end_body, many))
		return FAREND_NO_MEMORY;
	*out = (struct farend_text){ .bytes = many->out.data, .size = many->out.length };
	return FAREND_OK;
}

void farend_many_free(struct farend_many *many)
{
	if (many != NULL)
		arena_free(many->arena);
}
