/* Sizing a job, circuit by circuit: feeds first (with every cable at its thickest), then the driver, then
 * fuses where no size is safe without, then the cables jointly. What was decided is put in place in a copy of
 * the whole job, solved and checked again. */
#include "advise/size.h"

#include "advise/remedy.h"
#include "advise/size_feed.h"
#include "advise/size_group.h"
#include "advise/size_longest.h"
#include "reference/reference.h"

#include <math.h>
#include <string.h>

struct sizer {
	const struct job *job;
	const struct solution *solution;
	struct arena *arena;         /* of the result */
	struct size_plan *plan;
	struct job *sized;
};

/* One circuit at work. `job` begins as a copy of the bench's, so its first items have the bench's indices. */
struct work {
	struct bench bench;
	struct job *job;
	size_t *runs;                /* of each strip that is split */
	enum feed *feed;             /* of each strip */
};

static void resize(struct job *job, size_t cable, size_t wire)
{
	cable_resize(&job->cables[cable], wire, job->ambient.num);
}

static void thicken_all(struct job *job)
{
	for (size_t i = 0; i < job->cable_count; i++)
		if (job->cables[i].supplied.num == 0)
			resize(job, i, size_thickest(job, i));
}

/* Tries one feed on a copy of `from`; fills the option. False where the strip cannot be fed so. */
static bool try_feed(struct work *w, const struct job *from, size_t strip, enum feed feed, size_t runs,
                     struct feed_option *option)
{
	struct bench *bench = &w->bench;
	arena_reset(bench->scratch);
	struct job *job = job_copy(from, bench->scratch);
	const struct solution *now = solve_job(job, bench->scratch);
	struct present_feed present = present_feed_of(job, now, strip, bench->scratch);
	size_t parts = job->strip_count;
	if (feed_needs_port(feed) && !present_feed_find_room(job, now, &present, bench->scratch))
		return false;
	if (!feed_apply(job, &present, feed, runs, NULL))
		return false;
	struct findings findings;
	const struct solution *solution = solve_job(job, bench->scratch);
	check_job(job, solution, bench->scratch, &findings);
	*option = (struct feed_option){ .feed = feed, .runs = runs };
	feed_judge(job, solution, &findings, strip, parts, option);
	return true;
}

static bool try_split(struct work *w, const struct job *from, size_t strip, struct feed_option *option)
{
	for (size_t runs = 2; runs <= FEED_MOST_RUNS; runs++) {
		if (!try_feed(w, from, strip, FEED_SPLIT, runs, option))
			return false;
		if (option->passes)
			return true;
	}
	return true;
}

/* What each feed would give with the cables as they are now. */
static void list_options(struct work *w, size_t strip, struct strip_plan *plan)
{
	for (enum feed feed = 0; feed < FEED__END; feed++) {
		struct feed_option option;
		bool possible = feed == FEED_SPLIT ? try_split(w, w->bench.circuit.job, strip, &option)
		                                   : try_feed(w, w->bench.circuit.job, strip, feed, 0, &option);
		if (possible)
			plan->options[plan->option_count++] = option;
	}
}

/* The simplest feed that passes in the job under work, whose cables are at their thickest. */
static void choose_feed(struct work *w, size_t strip, struct strip_plan *plan)
{
	struct feed_option option;
	if (!try_feed(w, w->job, strip, FEED_AS_DRAWN, 0, &option) || option.passes)
		return;
	for (enum feed feed = FEED_OTHER_END; feed < FEED__END; feed++) {
		bool possible = feed == FEED_SPLIT ? try_split(w, w->job, strip, &option)
		                                   : try_feed(w, w->job, strip, feed, 0, &option);
		if (!possible || !option.passes)
			continue;
		const struct solution *now = solve_job(w->job, w->bench.scratch);
		struct present_feed present = present_feed_of(w->job, now, strip, w->bench.scratch);
		if (feed_needs_port(feed))
			present_feed_find_room(w->job, now, &present, w->bench.scratch);
		feed_apply(w->job, &present, feed, option.runs, NULL);
		plan->proposed = w->feed[strip] = feed;
		w->runs[strip] = option.runs;
		plan->why = "the thickest cables alone would not do";
		return;
	}
}

static void choose_feeds(struct sizer *z, struct work *w)
{
	size_t count = w->bench.circuit.job->strip_count;
	for (size_t i = 0; i < count; i++) {
		struct strip_plan *plan = &z->plan->strips[w->bench.circuit.whole[KIND_STRIP][i]];
		list_options(w, i, plan);
		choose_feed(w, i, plan);
	}
}

static bool driver_passes(struct work *w, double watts, const char *part)
{
	static const char *const names[] = { "driver-headroom", NULL };
	arena_reset(w->bench.scratch);
	struct trial trial = { .job = job_copy(w->job, w->bench.scratch) };
	trial_set_driver(&trial, 0, watts, part);
	trial.solution = solve_job(trial.job, w->bench.scratch);
	check_job(trial.job, trial.solution, w->bench.scratch, &trial.findings);
	return trial_clears(&trial, names, (struct item_ref){ KIND_DRIVER, 0 });
}

/* What share of the branches each of several smaller drivers could take: first fit, largest first, by
 * label watts, into drivers that stay inside limited power. */
static const char *share_out(struct sizer *z, struct work *w)
{
	const struct job *job = w->job;
	size_t *group_of, count = size_branches(job, false, w->bench.arena, &group_of);
	double volts = job->drivers[0].voltage.num, step = 0;
	for (size_t i = 0; i < driver_step_count; i++)
		if (driver_steps[i].volts == volts &&
		    limited_power(volts, driver_steps[i].watts, driver_steps[i].watts / volts))
			step = fmax(step, driver_steps[i].watts);
	double room = step * job->drivers[0].derate * (1 - job_limit(job, LIMIT_HEADROOM));
	double *watts = arena_array(w->bench.arena, double, count);
	const char **name = arena_array(w->bench.arena, const char *, count);
	for (size_t i = 0; i < job->strip_count; i++) {
		size_t g = group_of[job->strips[i].terminal];
		watts[g] += job->strips[i].power_w_per_m * job->strips[i].metres;
		name[g] = job->strips[i].item.id;
	}
	for (size_t i = 0; i < job->block_count; i++)
		name[group_of[job->blocks[i].terminal]] = job->blocks[i].item.id;
	struct buf text;
	buf_init(&text, z->arena);
	size_t drivers = 0, left = 0;
	for (size_t g = 0; g < count; g++)
		left += watts[g] > 0;
	while (left > 0) {
		double used = 0;
		buf_addf(&text, "%sdriver %zu of %s:", drivers ? "; " : "", drivers + 1,
		         quantity_text(z->arena, step, DIM_WATT, 3));
		drivers++;
		for (;;) {
			size_t best = NO_INDEX;
			for (size_t g = 0; g < count; g++)
				if (watts[g] > 0 && used + watts[g] <= room && (best == NO_INDEX || watts[g] > watts[best]))
					best = g;
			if (best == NO_INDEX)
				break;
			buf_addf(&text, "%s what hangs on %s (%s)", used > 0 ? "," : "", name[best],
			         quantity_text(z->arena, watts[best], DIM_WATT, 3));
			used += watts[best];
			watts[best] = 0;
			left--;
		}
		if (used == 0)
			return "no split of the branches as drawn fits: divide the largest branch first";
	}
	return text.data;
}

static void choose_driver(struct sizer *z, struct work *w)
{
	size_t index = w->bench.circuit.whole[KIND_DRIVER][0];
	struct driver_plan *plan = &z->plan->drivers[index];
	double volts = w->job->drivers[0].voltage.num, now = w->job->drivers[0].power.num;
	const char *part = NULL;
	double watts = 0;
	while ((watts = next_driver(&w->bench, watts, &part)) > 0)
		if (driver_passes(w, watts, part))
			break;
	plan->now_w = now;
	plan->proposed_w = watts > 0 ? watts : now;
	plan->part = watts > 0 ? part : NULL;
	if (plan->proposed_w != now)
		trial_set_driver(&(struct trial){ .job = w->job }, 0, watts, plan->part);
	if (watts == 0)
		plan->why = "no single driver of the list carries this load with its headroom";
	else if (watts > now)
		plan->why = "the load with its headroom needs it";
	else if (watts < now)
		plan->why = "carries the load with its headroom; a larger one only asks more of the cables";
	if (watts > 0 && watts != now && !plan->part && attr_said(&w->bench.circuit.job->drivers[0].trip_current))
		plan->why = arena_printf(z->arena, "%s. Its trip_current is taken as 1.5 x its rated current: put in "
		                         "that of the one you buy, and check again", plan->why);
	if (watts == 0 || !limited_power(volts, watts, watts / volts))
		plan->split = share_out(z, w);
}

/* Where even the thickest cables would be at the mercy of the driver, or a fuse that is there does not suit. */
static void choose_fuses(struct work *w)
{
	struct findings findings;
	struct bench view = w->bench;
	arena_reset(w->bench.scratch);
	view.circuit.job = w->job;
	view.now = solve_job(w->job, w->bench.scratch);
	check_job(w->job, view.now, w->bench.scratch, &findings);
	for (enum kind k = 0; k < KIND__END; k++) {
		view.circuit.local[k] = arena_array(w->bench.arena, size_t, job_count(w->job, k));
		for (size_t i = 0; i < job_count(w->job, k); i++)
			view.circuit.local[k][i] = i;
	}
	for (size_t i = 0; i < findings.count; i++) {
		const struct finding *f = &findings.items[i];
		if (f->severity == SEVERITY_NOTE)
			continue;
		if (strcmp(f->check->name, "cable-unprotected") == 0)
			protect_with_fuses(&view, f, w->job);
		else if (strcmp(f->check->name, "fuse-overload") == 0 ||
		         strcmp(f->check->name, "fault-may-not-trip") == 0)
			change_fuse(&view, f, w->job);
	}
}

static const char *cable_reason(const struct job *job, size_t cable, const struct cable_plan *plan)
{
	if (plan->proposed == plan->now)
		return plan->fuse_proposed != plan->fuse_now ? "the driver alone does not protect it" : NULL;
	if (!size_may_be(job, cable, plan->now))
		return "today's size may not be used, by the job's limits";
	return plan->proposed > plan->now ? "thinner ones fail a check" : "thinner passes every check";
}

/* Puts one circuit's decisions into the copy of the whole job, and tells them. */
static void put_in_place(struct sizer *z, struct work *w)
{
	const struct subset *c = &w->bench.circuit;
	struct feed_change change = { .arena = z->arena };
	size_t added = c->job->cable_count;
	for (size_t i = 0; i < c->job->strip_count; i++) {
		size_t strip = c->whole[KIND_STRIP][i], first = z->sized->cable_count;
		if (w->feed[i] == FEED_AS_DRAWN)
			continue;
		arena_reset(w->bench.scratch);
		const struct solution *now = solve_design_case(z->sized, w->bench.scratch);
		struct present_feed present = present_feed_of(z->sized, now, strip, w->bench.scratch);
		if (feed_needs_port(w->feed[i]))
			present_feed_find_room(z->sized, now, &present, w->bench.scratch);
		feed_apply(z->sized, &present, w->feed[i], w->runs[i], &change);
		for (size_t k = first; k < z->sized->cable_count; k++, added++) {
			size_t wire = (size_t)w->job->cables[added].size.num;
			resize(z->sized, k, wire);
			change.added[change.added_count - (z->sized->cable_count - k)].wire = wire;
		}
	}
	for (size_t i = 0; i < c->job->cable_count; i++) {
		size_t whole = c->whole[KIND_CABLE][i];
		struct cable_plan *plan = &z->plan->cables[whole];
		const struct cable *from = &w->job->cables[i];
		plan->proposed = (size_t)from->size.num;
		plan->fuse_proposed = attr_said(&from->fuse) ? from->fuse.num : 0;
		plan->why = cable_reason(z->job, whole, plan);
		if (plan->proposed != plan->now)
			resize(z->sized, whole, plan->proposed);
		z->sized->cables[whole].fuse = from->fuse;
	}
	size_t driver = c->whole[KIND_DRIVER][0];
	if (z->plan->drivers[driver].proposed_w != z->plan->drivers[driver].now_w)
		trial_set_driver(&(struct trial){ .job = z->sized }, driver, z->plan->drivers[driver].proposed_w,
		                 z->plan->drivers[driver].part);
	for (size_t i = 0; i < change.added_count; i++) {
		z->plan->added = arena_grow(z->arena, z->plan->added, z->plan->added_count,
		                            &z->plan->added_capacity, sizeof(*change.added));
		z->plan->added[z->plan->added_count++] = change.added[i];
	}
	for (size_t i = 0; i < change.moved_count; i++) {
		z->plan->moved = arena_grow(z->arena, z->plan->moved, z->plan->moved_count,
		                            &z->plan->moved_capacity, sizeof(*change.moved));
		z->plan->moved[z->plan->moved_count++] = change.moved[i];
	}
}

static void size_circuit(struct sizer *z, size_t circuit)
{
	struct work w;
	struct arena *own = arena_child(z->arena);
	bench_open(&w.bench, z->job, z->solution, circuit, own);
	w.job = job_copy(w.bench.circuit.job, w.bench.arena);
	w.runs = arena_array(w.bench.arena, size_t, w.job->strip_count);
	w.feed = arena_array(w.bench.arena, enum feed, w.job->strip_count);
	thicken_all(w.job);
	choose_feeds(z, &w);
	choose_driver(z, &w);
	choose_fuses(&w);
	z->plan->optimal = size_cables(w.job, w.bench.arena) && z->plan->optimal;
	put_in_place(z, &w);
	bench_close(&w.bench);
	arena_free(own);
}

static void begin_plan(struct sizer *z)
{
	const struct job *job = z->job;
	struct size_plan *plan = z->plan;
	*plan = (struct size_plan){ .optimal = true, .sized = z->sized };
	plan->drivers = arena_array(z->arena, struct driver_plan, job->driver_count);
	plan->cables = arena_array(z->arena, struct cable_plan, job->cable_count);
	plan->strips = arena_array(z->arena, struct strip_plan, job->strip_count);
	for (size_t i = 0; i < job->driver_count; i++)
		plan->drivers[i].now_w = plan->drivers[i].proposed_w = job->drivers[i].power.num;
	for (size_t i = 0; i < job->cable_count; i++) {
		plan->cables[i].now = plan->cables[i].proposed = (size_t)job->cables[i].size.num;
		plan->cables[i].fuse_now = attr_said(&job->cables[i].fuse) ? job->cables[i].fuse.num : 0;
		plan->cables[i].fuse_proposed = plan->cables[i].fuse_now;
	}
}

/* Did the search try all that could be done about it? */
static bool was_searched(const struct finding *f)
{
	static const char *const searched[] = { "far-end-drop", "far-end-dim", "uneven", "mismatch", "dip", NULL };
	for (const char *const *name = searched; *name; name++)
		if (strcmp(*name, f->check->name) == 0)
			return true;
	return false;
}

size_t size_stuck(const struct findings *findings, struct arena *arena, const char ***out)
{
	size_t count = 0;
	*out = arena_array(arena, const char *, findings->count);
	for (size_t i = 0; i < findings->count; i++) {
		const struct finding *f = &findings->items[i];
		const char *todo = was_searched(f) ? "no feed and no cable size that may be used cures it" : f->todo;
		if (f->severity > SEVERITY_NOTE)
			(*out)[count++] = arena_printf(arena, "%s: %s", f->message, todo ? todo : "");
	}
	return count;
}

/* Cables for which the limits leave no size at all keep the one that they have; they are told. */
static void tell_unsizable(struct size_plan *plan, const struct job *job, struct arena *arena)
{
	struct buf names;
	buf_init(&names, arena);
	for (size_t i = 0; i < job->cable_count; i++)
		if (job->cables[i].supplied.num == 0 && !size_may_be(job, i, size_thickest(job, i)))
			buf_addf(&names, "%s%s", names.length > 0 ? ", " : "", job->cables[i].item.id);
	if (names.length == 0)
		return;
	const char **more = arena_array(arena, const char *, plan->stuck_count + 1);
	for (size_t i = 0; i < plan->stuck_count; i++)
		more[i] = plan->stuck[i];
	more[plan->stuck_count++] = arena_printf(arena, "%s: 'limits' leaves no size of that system (mm2 or AWG), "
	                                         "so it stays as drawn: name one under 'sizes', or lower 'min_size'",
	                                         names.data);
	plan->stuck = more;
}

void size_job(const struct job *job, const struct solution *solution, struct arena *arena,
              struct size_plan *out)
{
	struct sizer z = { job, solution, arena, out, job_copy(job, arena) };
	begin_plan(&z);
	for (size_t c = 0; c < solution->circuit_count; c++)
		if (solution->circuits[c].solved)
			size_circuit(&z, c);
	out->solution = solve_job(z.sized, arena);
	check_job(z.sized, out->solution, arena, &out->findings);
	advise_job(z.sized, out->solution, arena, &out->findings);
	out->verdict = findings_verdict(&out->findings);
	out->stuck_count = size_stuck(&out->findings, arena, &out->stuck);
	tell_unsizable(out, job, arena);
	longest_runs(job, solution, arena, out);
}
