/* farend_explain(): its text belongs to the caller, because no job is around. */
#include "api/job.h"

#include "api/call.h"
#include "base/text.h"

struct explaining {
	struct arena *arena;
	const char *name;
	struct style style;
	bool known;
	struct buf out;
};

static void name_nearest(struct explaining *explaining)
{
	struct nearest nearest = nearest_to(explaining->name);
	for (size_t i = 0; i < check_count; i++)
		nearest_offer(&nearest, checks[i].name);
	const char *hint = nearest_hint(&nearest, explaining->arena);
	buf_add(&explaining->out, hint != NULL ? hint : "");
}

static void explain_body(void *data)
{
	struct explaining *explaining = data;
	buf_init(&explaining->out, explaining->arena);
	if (explaining->name == NULL) {
		explain_list(&explaining->out, &explaining->style);
		explaining->known = true;
		return;
	}
	const struct check *check = check_find(explaining->name);
	if (check == NULL) {
		name_nearest(explaining);
		return;
	}
	explain_check(&explaining->out, check, &explaining->style);
	explaining->known = true;
}

const char *farend_check_name(size_t index)
{
	return index < check_count ? checks[index].name : NULL;
}

enum farend_status farend_explain(const char *name, const struct farend_style *style,
                                  struct farend_text *out)
{
	struct explaining explaining = { .arena = arena_new(), .name = name, .style = api_style(style) };
	*out = (struct farend_text){ .bytes = NULL, .size = 0 };
	if (explaining.arena == NULL)
		return FAREND_NO_MEMORY;
	bool done = api_call(explaining.arena, explain_body, &explaining) &&
	            api_copy(&explaining.out, out);
	arena_free(explaining.arena);
	if (!done)
		return FAREND_NO_MEMORY;
	return explaining.known ? FAREND_OK : FAREND_WRONG_CALL;
}
