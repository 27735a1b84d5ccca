/* The written text, read back, against the plan: item by item, by name. */
#include "report/apply.h"

#include "base/hash.h"

#include <math.h>
#include <string.h>

struct reread {
	const struct job *wanted, *again;
	struct diags *diags;
	struct hash ids[KIND__END];
	bool agrees;
};

static bool same_end(const struct reread *r, size_t wanted, size_t again)
{
	return strcmp(r->wanted->terminals[wanted].name, r->again->terminals[again].name) == 0;
}

static bool same_cable(const struct reread *r, const struct cable *w, const struct cable *g)
{
	return w->size.num == g->size.num && same_end(r, w->a, g->a) && same_end(r, w->b, g->b) &&
	       attr_said(&w->fuse) == attr_said(&g->fuse) && (!attr_said(&w->fuse) || w->fuse.num == g->fuse.num) &&
	       fabs(w->length.num - g->length.num) <= APPLY_LENGTH_STEP;
}

static bool same_item(const struct reread *r, enum kind kind, size_t wanted, size_t again)
{
	switch (kind) {
	case KIND_DRIVER: return r->wanted->drivers[wanted].power.num == r->again->drivers[again].power.num;
	case KIND_STRIP:  return r->wanted->strips[wanted].units == r->again->strips[again].units;
	case KIND_CABLE:  return same_cable(r, &r->wanted->cables[wanted], &r->again->cables[again]);
	case KIND_SWITCH:
	case KIND_BLOCK:
	case KIND__END:   break;
	}
	return true;
}

/* Items that were added have the place of the one that they are like. */
static void compare_item(struct reread *r, enum kind kind, size_t index)
{
	const struct item *item = job_item(r->wanted, kind, index);
	size_t again = hash_find(&r->ids[kind], item->id);
	if (again != HASH_NONE && same_item(r, kind, index, again))
		return;
	r->agrees = false;
	diags_add(r->diags, &(struct diag){
		.level = DIAG_ERROR, .kind = "cannot-edit", .place = item->at,
		.message = arena_printf(r->diags->arena, "%s '%s' would not come out as proposed",
		                        kind_words[kind].word, item->id),
		.hint = "it shares what it says with another item; write both out in full",
	});
}

bool apply_agrees(const struct size_plan *plan, const struct job *again, struct diags *diags)
{
	struct reread r = { .wanted = plan->sized, .again = again, .diags = diags, .agrees = true };
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		hash_init(&r.ids[kind], diags->arena);
		for (size_t i = 0; i < job_count(again, kind); i++)
			hash_put(&r.ids[kind], job_item(again, kind, i)->id, i);
	}
	for (enum kind kind = 0; kind < KIND__END; kind++)
		for (size_t i = 0; i < job_count(plan->sized, kind); i++)
			compare_item(&r, kind, i);
	return r.agrees;
}
