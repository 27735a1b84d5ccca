/* farend_schema(): like farend_explain() it needs no job, and its text belongs to the caller. */
#include "api/call.h"
#include "report/schema.h"

struct writing {
	struct arena *arena;
	struct buf out;
};

static void schema_body(void *data)
{
	struct writing *writing = data;
	buf_init(&writing->out, writing->arena);
	schema_json(&writing->out);
}

enum farend_status farend_schema(struct farend_text *out)
{
	struct writing writing = { .arena = arena_new() };
	*out = (struct farend_text){ .bytes = NULL, .size = 0 };
	if (writing.arena == NULL)
		return FAREND_NO_MEMORY;
	bool done = api_call(writing.arena, schema_body, &writing) && api_copy(&writing.out, out);
	arena_free(writing.arena);
	return done ? FAREND_OK : FAREND_NO_MEMORY;
}
