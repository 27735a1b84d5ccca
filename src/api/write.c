/* farend_write() and farend_version(). */
#include "farend.h"

#include "api/call.h"
#include "base/file.h"
#include "report/version.h"

struct writing {
	struct arena *arena;
	const char *path, *bytes;
	size_t size;
	enum file_status status;
	struct buf reason;
};

static void write_body(void *data)
{
	struct writing *writing = data;
	const char *reason = "";
	writing->status = file_write(writing->arena, writing->path, writing->bytes, writing->size,
	                             &reason);
	buf_init(&writing->reason, writing->arena);
	if (writing->status != FILE_OK)
		buf_add(&writing->reason, reason);
}

enum farend_status farend_write(const char *path, const char *bytes, size_t size,
                                struct farend_text *reason)
{
	struct writing writing = { .arena = arena_new(), .path = path, .bytes = bytes, .size = size };
	*reason = (struct farend_text){ .bytes = NULL, .size = 0 };
	if (writing.arena == NULL)
		return FAREND_NO_MEMORY;
	bool done = api_call(writing.arena, write_body, &writing) && api_copy(&writing.reason, reason);
	arena_free(writing.arena);
	if (!done)
		return FAREND_NO_MEMORY;
	return writing.status == FILE_OK ? FAREND_OK : FAREND_SYSTEM;
}

const char *farend_version(void)
{
	return FAREND_VERSION;
}
