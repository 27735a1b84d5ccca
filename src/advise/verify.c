/* What was built is judged by the same solver and the same checks as the plan was; what the readings
 * suspect is put into a copy of it and judged once more. */
#include "advise/verify.h"

#include <math.h>

#define LIGHT_NOTICED 0.005      /* of full light: less is no news */

static bool same_item(struct item_ref a, struct item_ref b)
{
	return a.kind == b.kind && a.index == b.index;
}

/* ------- what changed verdict */

static const struct finding *worst_finding(const struct findings *findings, const struct check *check,
                                           struct item_ref item)
{
	const struct finding *worst = NULL;
	for (size_t i = 0; i < findings->count; i++) {
		const struct finding *f = &findings->items[i];
		if (f->check == check && same_item(f->item, item) &&
		    (worst == NULL || f->severity > worst->severity)) {
			worst = f;
		}
	}
	return worst;
}

static bool listed(const struct verdict_changes *changes, const struct finding *f)
{
	for (size_t i = 0; i < changes->count; i++)
		if (changes->items[i].check == f->check && same_item(changes->items[i].item, f->item))
			return true;
	return false;
}

static void note_change(struct verdict_changes *changes, const struct finding *of,
                        const struct findings *before, const struct findings *after,
                        struct arena *arena)
{
	const struct finding *was = worst_finding(before, of->check, of->item);
	const struct finding *is = worst_finding(after, of->check, of->item);
	bool same = was != NULL && is != NULL && was->severity == is->severity;
	if (same || listed(changes, of))
		return;
	changes->items = arena_grow(arena, changes->items, changes->count, &changes->capacity,
	                            sizeof(*changes->items));
	changes->items[changes->count++] = (struct verdict_change){ of->item, of->check, was, is };
}

/* What is found now comes first, in the order of the findings; then what is found no longer. */
static void find_changes(struct verdict_changes *changes, const struct findings *before,
                         const struct findings *after, struct arena *arena)
{
	for (size_t i = 0; i < after->count; i++)
		note_change(changes, &after->items[i], before, after, arena);
	for (size_t i = 0; i < before->count; i++)
		note_change(changes, &before->items[i], before, after, arena);
}

/* ------- what a fault does */

/* The strip whose dimmest point moves most. */
static void find_light(struct fault_effect *effect, const struct judged *built)
{
	double most = LIGHT_NOTICED;
	effect->strip = NO_INDEX;
	for (size_t i = 0; i < built->job->strip_count; i++) {
		const struct strip_result *before = &built->solution->strips[i];
		const struct strip_result *after = &effect->faulty.solution->strips[i];
		double moved = fabs(after->light_min - before->light_min);
		if (!before->live || !after->live || !(moved > most))
			continue;
		most = moved;
		effect->strip = i;
		effect->light_before = before->light_min;
		effect->light_after = after->light_min;
	}
}

/* U = I R and P = I^2 R, I being what flows with the fault in place. */
static void find_heat(struct fault_effect *effect, const struct suspect *suspect)
{
	const struct solution *s = effect->faulty.solution;
	double amps = NAN;
	if (suspect->item.kind == KIND_CABLE && s->cables[suspect->item.index].live)
		amps = fabs(s->cables[suspect->item.index].amps);
	if (suspect->item.kind == KIND_SWITCH && s->switches[suspect->item.index].live)
		amps = fabs(s->switches[suspect->item.index].amps);
	effect->volts = amps * suspect->value;
	effect->watts = amps * amps * suspect->value;
}

static const struct fault_effect *effect_of(const struct suspect *suspect, const struct judged *built,
                                            struct arena *arena)
{
	struct fault_effect *effect = arena_one(arena, struct fault_effect);
	struct findings *findings = arena_one(arena, struct findings);
	const struct job *job = suspect_apply(built->job, suspect, arena);
	const struct solution *solution = solve_job(job, arena);
	if (!solution->converged)
		return NULL;
	check_job(job, solution, arena, findings);
	findings_sort(findings);
	effect->faulty = (struct judged){ job, solution, findings };
	find_changes(&effect->changes, built->findings, findings, arena);
	find_light(effect, built);
	find_heat(effect, suspect);
	return effect;
}

/* ------- what is not yet measured */

/* Its length is the part's own. */
static bool came_with_part(const struct job *job, struct item_ref item)
{
	if (item.kind != KIND_CABLE)
		return false;
	const struct attr *supplied = &job->cables[item.index].supplied;
	return attr_has(supplied) && supplied->num != 0;
}

static void find_uncut(struct verification *v, struct arena *arena)
{
	static const enum kind kinds[] = { KIND_STRIP, KIND_CABLE };
	const struct job *job = v->built.job;
	v->uncut = arena_array(arena, struct item_ref, job->strip_count + job->cable_count);
	for (size_t k = 0; k < sizeof(kinds) / sizeof(kinds[0]); k++) {
		for (size_t i = 0; i < job_count(job, kinds[k]); i++) {
			struct item_ref item = { kinds[k], i };
			if (!came_with_part(job, item) && isnan(verify_built_length(v, item)))
				v->uncut[v->uncut_count++] = item;
		}
	}
}

static bool is_read(const struct as_built *as_built, size_t terminal)
{
	for (size_t i = 0; i < as_built->reading_count; i++)
		if (as_built->readings[i].range == METER_VOLTS && as_built->readings[i].terminal == terminal)
			return true;
	return false;
}

static bool worth_reading(const struct verification *v, size_t terminal)
{
	const struct terminal *t = &v->built.job->terminals[terminal];
	bool end = t->kind == KIND_BLOCK ||
	           (t->kind == KIND_STRIP && (t->which == WHICH_START || t->which == WHICH_END));
	return end && isfinite(v->built.solution->terminals[terminal].volts);
}

static void find_unread(struct verification *v, struct arena *arena)
{
	v->unread = arena_array(arena, size_t, v->built.job->terminal_count);
	for (size_t t = 0; t < v->built.job->terminal_count; t++)
		if (worth_reading(v, t) && !is_read(v->as_built, t))
			v->unread[v->unread_count++] = t;
}

static enum verdict worse(enum verdict a, enum verdict b)
{
	return a > b ? a : b;
}

void verify_job(const struct judged *plan, const struct judged *built, const struct as_built *as_built,
                const struct meter *meter, struct arena *arena, struct verification *out)
{
	*out = (struct verification){ .plan = *plan, .built = *built, .as_built = as_built };
	find_changes(&out->changes, plan->findings, built->findings, arena);
	diagnose(built->job, as_built, meter, arena, &out->diagnosis);
	if (out->diagnosis.suspect_count > 0 && !out->diagnosis.suspects[0].off)
		out->effect = effect_of(&out->diagnosis.suspects[0], built, arena);
	find_uncut(out, arena);
	find_unread(out, arena);
	out->verdict = findings_verdict(built->findings);
	if (!out->diagnosis.agree)
		out->verdict = worse(out->verdict, VERDICT_CAUTION);
	if (out->effect != NULL)
		out->verdict = worse(out->verdict, findings_verdict(out->effect->faulty.findings));
}

double verify_length(const struct job *job, struct item_ref item)
{
	if (item.kind == KIND_CABLE)
		return job->cables[item.index].length.num;
	if (item.kind != KIND_STRIP)
		return NAN;
	const struct strip *strip = &job->strips[item.index];
	return attr_has(&strip->length) ? strip->length.num : strip->metres;
}

double verify_built_length(const struct verification *verification, struct item_ref item)
{
	for (size_t i = 0; i < verification->as_built->length_count; i++)
		if (same_item(verification->as_built->lengths[i].item, item))
			return verification->as_built->lengths[i].length.num;
	return NAN;
}

size_t verify_unknown(const struct verification *verification)
{
	size_t unknown = 0;
	for (size_t i = 0; i < verification->as_built->reading_count; i++)
		unknown += verification->diagnosis.checks[i].unknown;
	return unknown;
}

size_t verify_outside(const struct verification *verification)
{
	size_t outside = 0;
	for (size_t i = 0; i < verification->as_built->reading_count; i++)
		outside += !verification->diagnosis.checks[i].within;
	return outside;
}
