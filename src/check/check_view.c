/* What the eye compares: strips that are seen together, and one strip before and after other lights
 * come on. */
#include "check/judge.h"

#include "base/hash.h"

/* Strips of one view: the dimmest and the brightest so far. */
struct view {
	const char *name;
	size_t dimmest, brightest;
};

const char *view_of(const struct strip *strip)
{
	const struct attr *said = attr_has(&strip->view) ? &strip->view : &strip->item.place;
	return attr_has(said) && said->text && said->text[0] ? said->text : NULL;
}

static size_t collect_views(const struct check_input *in, struct arena *scratch, struct view *views)
{
	const struct strip_result *strips = in->solution->strips;
	struct hash known;
	size_t count = 0;

	hash_init(&known, scratch);
	for (size_t i = 0; i < in->job->strip_count; i++) {
		const char *name = view_of(&in->job->strips[i]);
		if (!name || !strip_judged(in, i))
			continue;
		size_t at = hash_put(&known, name, count);
		if (at == count)
			views[count++] = (struct view){ .name = name, .dimmest = i, .brightest = i };
		if (strips[i].light_mean < strips[views[at].dimmest].light_mean)
			views[at].dimmest = i;
		if (strips[i].light_mean > strips[views[at].brightest].light_mean)
			views[at].brightest = i;
	}
	return count;
}

/* Strips whose dimness a far-end finding explains already. */
static bool *explained_strips(const struct check_input *in, const struct findings *out,
                              struct arena *scratch)
{
	bool *explained = arena_array(scratch, bool, in->job->strip_count);
	for (size_t i = 0; i < out->count; i++) {
		const struct finding *f = &out->items[i];
		if (!check_is_far_end(f->check) || f->severity == SEVERITY_NOTE)
			continue;
		for (size_t k = 0; k < f->item_count; k++)
			explained[f->items[k].index] = true;
	}
	return explained;
}

/* lowest / highest mean light among the strips of one view */
void check_mismatch(const struct check *check, const struct check_input *in, struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	const struct strip_result *strips = in->solution->strips;
	struct view *views = arena_array(scratch, struct view, in->job->strip_count);
	size_t count = collect_views(in, scratch, views);
	const bool *explained = explained_strips(in, out, scratch);
	double limit = job_limit(in->job, LIMIT_MISMATCH);

	for (size_t i = 0; i < count; i++) {
		const struct view *view = &views[i];
		double dim = strips[view->dimmest].light_mean, bright = strips[view->brightest].light_mean;
		if (!below(dim / bright, limit) || explained[view->dimmest])
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_CAUTION,
		                                ref_to(KIND_STRIP, view->dimmest),
		                                &in->job->strips[view->dimmest].view);
		finding_concerns(out, f, ref_to(KIND_STRIP, view->brightest));
		finding_limit(out, f, in->job, LIMIT_MISMATCH);
		f->value = dim / bright;
		f->limit = limit;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_RATIO);
		f->message = say(out, "%s gives %s of its light where %s gives %s, and they are "
		                 "seen together (%s): %s of the brighter one, limit %s",
		                 name_of(in, f->items[0]), quantity_percent(out->arena, dim),
		                 name_of(in, f->items[1]), quantity_percent(out->arena, bright),
		                 view->name, pair.value, pair.limit);
		f->todo = "give both the same way from the driver: thicker or shorter cable to the dimmer "
		          "one; or say with 'view' that they are not seen together";
	}
	arena_free(scratch);
}

/* dip = (mean light alone - mean light with all on) / alone. One finding per switch: what dims one
 * of its strips dims the others. */
void check_dip(const struct check *check, const struct check_input *in, struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	const struct strip_result *strips = in->solution->strips;
	double limit = job_limit(in->job, LIMIT_DIP);
	size_t *first_of = empty_slots(scratch, in->job->switch_count);
	size_t *group = empty_slots(scratch, in->job->strip_count);
	double *dip = arena_array(scratch, double, in->job->strip_count);

	for (size_t i = 0; i < in->job->strip_count; i++) {
		if (!strip_judged(in, i) || !strips[i].has_dip || !above(strips[i].dip, limit))
			continue;
		size_t *first = &first_of[strips[i].dip_switch];
		if (*first == NO_INDEX)
			*first = i;
		group[i] = *first;
		dip[i] = strips[i].dip;
	}
	for (size_t i = findings_by_group(out, check, in->job, group, dip); i < out->count; i++) {
		struct finding *f = &out->items[i];
		const struct strip_result *r = &strips[f->item.index];
		f->value = r->dip;
		f->limit = limit;
		finding_limit(out, f, in->job, LIMIT_DIP);
		struct pair pair = pair_text(out, f->value, f->limit, DIM_RATIO);
		f->message = say(out, "%s loses %s of its light when the other switches come on "
		                 "while %s is on (limit %s)", name_of(in, f->item), pair.value,
		                 name_of(in, ref_to(KIND_SWITCH, r->dip_switch)), pair.limit);
		f->todo = "use a thicker cable where the switches share one, or give this switch a cable "
		          "of its own from the driver";
	}
	arena_free(scratch);
}
