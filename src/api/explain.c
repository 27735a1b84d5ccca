/* farend_explain(): its text belongs to the caller, because no job is around. */
#include "api/job.h"

#include "api/call.h"
#include "base/text.h"
#include "load/mistake.h"
#include "report/explain.h"

#include <string.h>

/* What goes wrong after reading: in `size --apply`, in solving. */
static const struct explained_mistake later[] = {
	{ "cannot-edit", "a job that cannot be changed in place",
	  "write the item that the message names out in full, on lines of its own, without an alias or a merge; "
	  "then 'size --apply' can change it", NULL, NULL },
	{ "not-solved", "no balance of currents was found",
	  "look for a resistance or a length that is far from usual; a job that was read without a mistake should "
	  "always be solved, so keep it and report it", NULL, NULL },
};

#define LATER_COUNT (sizeof(later) / sizeof(later[0]))
#define MISTAKE_COUNT (MISTAKE__END + LATER_COUNT)

struct explaining {
	struct arena *arena;
	const char *name;
	struct style style;
	bool known;
	struct buf out;
};

static struct explained_mistake mistake_at(size_t index)
{
	if (index >= MISTAKE__END)
		return later[index - MISTAKE__END];
	const struct mistake_row *row = mistake_row((enum mistake)index);
	return (struct explained_mistake){ row->name, row->meaning, row->cure, row->wrong, row->right };
}

static void name_nearest(struct explaining *explaining)
{
	struct nearest nearest = nearest_to(explaining->name);
	for (size_t i = 0; i < check_count; i++)
		nearest_offer(&nearest, checks[i].name);
	for (size_t i = 0; i < MISTAKE_COUNT; i++)
		nearest_offer(&nearest, mistake_at(i).name);
	const char *hint = nearest_hint(&nearest, explaining->arena);
	buf_add(&explaining->out, hint != NULL ? hint : "");
}

static void list_all(struct explaining *explaining)
{
	struct explained_mistake mistakes[MISTAKE_COUNT];
	for (size_t i = 0; i < MISTAKE_COUNT; i++)
		mistakes[i] = mistake_at(i);
	explain_list(&explaining->out, &explaining->style);
	explain_mistakes(&explaining->out, mistakes, MISTAKE_COUNT, &explaining->style);
	explain_list_end(&explaining->out);
}

static bool explain_one(struct explaining *explaining)
{
	const struct check *check = check_find(explaining->name);
	if (check != NULL) {
		explain_check(&explaining->out, check, &explaining->style);
		return true;
	}
	for (size_t i = 0; i < MISTAKE_COUNT; i++) {
		struct explained_mistake mistake = mistake_at(i);
		if (strcmp(mistake.name, explaining->name) == 0) {
			explain_mistake(&explaining->out, &mistake, &explaining->style);
			return true;
		}
	}
	return false;
}

static void explain_body(void *data)
{
	struct explaining *explaining = data;
	buf_init(&explaining->out, explaining->arena);
	explaining->known = true;
	if (explaining->name == NULL)
		list_all(explaining);
	else if (!explain_one(explaining)) {
		explaining->known = false;
		name_nearest(explaining);
	}
}

const char *farend_check_name(size_t index)
{
	return index < check_count ? checks[index].name : NULL;
}

const char *farend_mistake_name(size_t index)
{
	return index < MISTAKE_COUNT ? mistake_at(index).name : NULL;
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
