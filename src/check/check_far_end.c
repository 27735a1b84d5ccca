/* Does the far end stay bright? Voltage lost, light of the dimmest cut unit, and evenness along
 * strips joined end to end: three views of one cause, so one finding for each such run. The worst
 * severity wins; between equals the light, which is what is seen, comes before the voltage and the
 * evenness. */
#include "check/judge.h"

#include "base/union_find.h"

#define FULL_LIGHT 0.999         /* constant-current units that have all they need */

enum view { VIEW_LIGHT, VIEW_DROP, VIEW_EVENNESS, VIEW__END };       /* ORDER: of precedence */
#define FINE (-1)                /* below every severity */

/* Strips joined end to end. */
struct run {
	int severity[VIEW__END];
	size_t worst[VIEW__END];     /* strip */
	size_t brightest;            /* its strip; that of the dimmest is worst[VIEW_EVENNESS] */
	enum view decides;
};

struct runs {
	const struct check_input *in;
	size_t *of;                  /* strip → first strip of its run */
	struct run *by_first;
};

size_t *strips_joined(const struct job *job, struct arena *arena)
{
	size_t *parent = arena_array(arena, size_t, job->strip_count);
	union_reset(parent, job->strip_count);
	for (size_t i = 0; i < job->cable_count; i++) {
		const struct terminal *a = &job->terminals[job->cables[i].a];
		const struct terminal *b = &job->terminals[job->cables[i].b];
		if (a->kind == KIND_STRIP && b->kind == KIND_STRIP)
			union_join(parent, a->item, b->item);
	}
	for (size_t i = 0; i < job->strip_count; i++)
		parent[i] = union_root(parent, i);
	return parent;
}

/* (set voltage - lowest voltage) / nominal */
static int drop_severity(const struct check_input *in, size_t strip)
{
	const struct strip_result *r = &in->solution->strips[strip];
	if (!above(r->drop, job_limit(in->job, LIMIT_DROP)) &&
	    !above(r->drop, job_limit(in->job, LIMIT_DROP_FAIL)))
		return FINE;
	if (in->job->strips[strip].law.regulated && r->light_min >= FULL_LIGHT)
		return SEVERITY_NOTE;
	return above(r->drop, job_limit(in->job, LIMIT_DROP_FAIL)) ? SEVERITY_FAIL : SEVERITY_CAUTION;
}

static int light_severity(const struct check_input *in, size_t strip)
{
	double light = in->solution->strips[strip].light_min;
	if (below(light, job_limit(in->job, LIMIT_LIGHT_FAIL)))
		return SEVERITY_FAIL;
	return below(light, job_limit(in->job, LIMIT_LIGHT)) ? SEVERITY_CAUTION : FINE;
}

static double evenness(const struct runs *runs, const struct run *run)
{
	const struct strip_result *strips = runs->in->solution->strips;
	return strips[run->worst[VIEW_EVENNESS]].light_min / strips[run->brightest].light_max;
}

static void keep_worse(struct run *run, enum view view, size_t strip, int severity, bool worse)
{
	if (run->worst[view] != NO_INDEX && (severity < run->severity[view] ||
	                                     (severity == run->severity[view] && !worse)))
		return;
	run->severity[view] = severity;
	run->worst[view] = strip;
}

static void add_strip(const struct runs *runs, struct run *run, size_t i)
{
	const struct strip_result *s = runs->in->solution->strips;
	size_t light = run->worst[VIEW_LIGHT], drop = run->worst[VIEW_DROP];
	size_t dim = run->worst[VIEW_EVENNESS];

	keep_worse(run, VIEW_LIGHT, i, light_severity(runs->in, i),
	           light != NO_INDEX && s[i].light_min < s[light].light_min);
	keep_worse(run, VIEW_DROP, i, drop_severity(runs->in, i),
	           drop != NO_INDEX && s[i].drop > s[drop].drop);
	keep_worse(run, VIEW_EVENNESS, i, FINE, dim != NO_INDEX && s[i].light_min < s[dim].light_min);
	if (run->brightest == NO_INDEX || s[i].light_max > s[run->brightest].light_max)
		run->brightest = i;
}

static void judge_runs(struct runs *runs, struct arena *scratch)
{
	const struct job *job = runs->in->job;
	runs->of = strips_joined(job, scratch);
	runs->by_first = arena_array(scratch, struct run, job->strip_count);
	for (size_t i = 0; i < job->strip_count; i++) {
		struct run *run = &runs->by_first[i];
		run->brightest = NO_INDEX;
		for (int view = 0; view < VIEW__END; view++) {
			run->severity[view] = FINE;
			run->worst[view] = NO_INDEX;
		}
	}
	for (size_t i = 0; i < job->strip_count; i++)
		if (strip_judged(runs->in, i))
			add_strip(runs, &runs->by_first[runs->of[i]], i);
	for (size_t i = 0; i < job->strip_count; i++) {
		struct run *run = &runs->by_first[i];
		if (run->brightest == NO_INDEX)
			continue;
		if (below(evenness(runs, run), job_limit(job, LIMIT_EVENNESS)))
			run->severity[VIEW_EVENNESS] = SEVERITY_CAUTION;
		for (int view = 0; view < VIEW__END; view++)
			if (run->severity[view] > run->severity[run->decides])
				run->decides = (enum view)view;
	}
}

/* "far end", or where else the voltage is lowest. */
static const char *lowest_point(const struct runs *runs, struct findings *out, size_t strip)
{
	const struct strip *s = &runs->in->job->strips[strip];
	const double *volts = runs->in->solution->strips[strip].volts;
	size_t low = 0;
	for (size_t k = 1; k < s->units; k++)
		if (volts[k] < volts[low])
			low = k;
	if (low == 0 || low + 1 == s->units)
		return "far end";
	return say(out, "lowest point, %s from its start,",
	           strip_length_text(out, ((double)low + 0.5) * s->pitch));
}

static const char *drop_words(const struct runs *runs, struct findings *out, size_t strip,
                              double limit)
{
	const struct strip_result *r = &runs->in->solution->strips[strip];
	const struct strip *s = &runs->in->job->strips[strip];
	double set_v = runs->in->job->drivers[driver_at(runs->in, s->terminal)].set_v;
	struct pair pair = pair_text(out, r->drop, limit, DIM_RATIO);
	return say(out, "%s's %s gets %s of %s (%s lost, limit %s)", s->item.id,
	           lowest_point(runs, out, strip), quantity_volts(out->arena, r->v_min),
	           volts_text(out, set_v), pair.value, pair.limit);
}

static const char *light_words(struct findings *out, double light, double limit)
{
	struct pair pair = pair_text(out, light, limit, DIM_RATIO);
	return say(out, "dimmest cut unit gives %s of its light (limit %s)", pair.value,
	           pair.limit);
}

static double limit_for(const struct runs *runs, int severity, enum limit caution, enum limit fail)
{
	return job_limit(runs->in->job, severity == SEVERITY_FAIL ? fail : caution);
}

static void describe_uneven(const struct runs *runs, struct findings *out, const struct run *run,
                            struct finding *f)
{
	const struct strip_result *r = &runs->in->solution->strips[f->item.index];
	struct pair pair = pair_text(out, f->value, f->limit, DIM_RATIO);
	f->message = say(out, "%s's dimmest cut unit gives %s of its light, %s of what the "
	                 "brightest of %s gives (limit %s)", name_of(runs->in, f->item),
	                 quantity_percent(out->arena, r->light_min), pair.value,
	                 run->brightest == f->item.index ? "the same strip"
	                 : name_of(runs->in, ref_to(KIND_STRIP, run->brightest)), pair.limit);
}

/* Voltage and light are both said where both are outside. */
static void describe_loss(const struct runs *runs, struct findings *out, struct finding *f)
{
	size_t strip = f->item.index;
	const struct strip_result *r = &runs->in->solution->strips[strip];
	int drop = drop_severity(runs->in, strip), light = light_severity(runs->in, strip);
	const char *lost = drop_words(runs, out, strip,
	                              limit_for(runs, drop, LIMIT_DROP, LIMIT_DROP_FAIL));
	const char *lit = light_words(out, r->light_min,
	                              limit_for(runs, light, LIMIT_LIGHT, LIMIT_LIGHT_FAIL));
	if (drop == SEVERITY_NOTE)
		f->message = say(out, "%s, but its constant-current units still give full light",
		                 lost);
	else if (drop > FINE && light > FINE)
		f->message = say(out, "%s, and its %s", lost, lit);
	else
		f->message = drop > FINE ? lost
		                         : say(out, "%s's %s", name_of(runs->in, f->item), lit);
}

static void raise_run(const struct runs *runs, const struct check *check, struct findings *out,
                      const struct run *run)
{
	static const enum limit limits[VIEW__END][2] = {
		[VIEW_LIGHT] = { LIMIT_LIGHT, LIMIT_LIGHT_FAIL },
		[VIEW_DROP] = { LIMIT_DROP, LIMIT_DROP_FAIL },
		[VIEW_EVENNESS] = { LIMIT_EVENNESS, LIMIT_EVENNESS },
	};
	enum view view = run->decides;
	enum severity severity = (enum severity)run->severity[view];
	size_t strip = run->worst[view];
	const struct strip_result *r = &runs->in->solution->strips[strip];
	enum limit limit = limits[view][severity == SEVERITY_FAIL];
	struct finding *f = finding_add(out, check, severity, ref_to(KIND_STRIP, strip), NULL);

	f->value = view == VIEW_LIGHT ? r->light_min
	         : view == VIEW_DROP ? r->drop : evenness(runs, run);
	f->limit = job_limit(runs->in->job, limit);
	finding_limit(out, f, runs->in->job, limit);
	if (view == VIEW_EVENNESS)
		describe_uneven(runs, out, run, f);
	else
		describe_loss(runs, out, f);
	f->todo = severity == SEVERITY_NOTE
		? "nothing now; it has little left for more strip or longer cable"
		: "feed it from both ends, use thicker or shorter cable, or split it into shorter runs";
}

/* The other strips of the run that are outside too. */
static void add_others(const struct runs *runs, struct findings *out, size_t *slots)
{
	for (size_t i = 0; i < runs->in->job->strip_count; i++) {
		const struct run *run = &runs->by_first[runs->of[i]];
		if (slots[runs->of[i]] == NO_INDEX || !strip_judged(runs->in, i))
			continue;
		struct finding *f = &out->items[slots[runs->of[i]]];
		int least = (int)f->severity > SEVERITY_NOTE ? SEVERITY_CAUTION : SEVERITY_NOTE;
		bool outside = run->decides == VIEW_EVENNESS
			? i == run->brightest
			: light_severity(runs->in, i) >= least || drop_severity(runs->in, i) >= least;
		if (outside && i != f->item.index)
			finding_concerns(out, f, ref_to(KIND_STRIP, i));
	}
}

static void check_view(const struct check *check, const struct check_input *in,
                       struct findings *out, enum view view)
{
	struct arena *scratch = arena_child(out->arena);
	struct runs runs = { .in = in };
	size_t *slots = empty_slots(scratch, in->job->strip_count);

	judge_runs(&runs, scratch);
	for (size_t i = 0; i < in->job->strip_count; i++) {
		const struct run *run = &runs.by_first[i];
		if (run->decides != view || run->severity[view] == FINE)
			continue;
		slots[i] = out->count;
		raise_run(&runs, check, out, run);
	}
	add_others(&runs, out, slots);
	arena_free(scratch);
}

void check_far_end_drop(const struct check *check, const struct check_input *in,
                        struct findings *out)
{
	check_view(check, in, out, VIEW_DROP);
}

void check_far_end_dim(const struct check *check, const struct check_input *in,
                       struct findings *out)
{
	check_view(check, in, out, VIEW_LIGHT);
}

void check_uneven(const struct check *check, const struct check_input *in, struct findings *out)
{
	check_view(check, in, out, VIEW_EVENNESS);
}

bool check_is_far_end(const struct check *check)
{
	return check->run == check_far_end_drop || check->run == check_far_end_dim ||
	       check->run == check_uneven;
}
