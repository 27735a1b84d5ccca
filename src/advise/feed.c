/* Feeding a strip better: from both ends, through thicker cables, or in several runs. docs/checks.md,
 * feed-both-ends and split-run: the second feed has the size and joints of the present one, starts at
 * the same block or source, and is as long as the present feed and the strip together. */
#include "advise/remedy.h"

#include "advise/size_feed.h"
#include "base/text.h"

#include "reference/reference.h"

#include <math.h>

struct item_ref bench_item(const struct bench *bench, struct item_ref whole)
{
	return (struct item_ref){ whole.kind, bench->circuit.local[whole.kind][whole.index] };
}

static double second_feed_metres(const struct present_feed *feed)
{
	return feed->metres + feed->run_metres;
}

static bool try_both_ends(struct bench *bench, struct trial *trial, const struct present_feed *feed,
                          const char *const *names)
{
	trial_begin(bench, trial);
	trial_add_feed(trial, feed->cable, feed->source, feed->far, second_feed_metres(feed));
	trial_run(bench, trial);
	return trial_clears(trial, names, (struct item_ref){ KIND_STRIP, feed->strip });
}

static struct present_feed find_feed(const struct bench *bench, size_t strip)
{
	return present_feed_of(bench->circuit.job, bench->now, strip, bench->arena);
}

static const char *ports_of(const struct bench *bench, size_t terminal, struct arena *keep)
{
	const struct job *job = bench->circuit.job;
	const struct terminal *t = &job->terminals[terminal];
	if (t->kind != KIND_BLOCK)
		return "";
	size_t used = bench->now->first_at[terminal + 1] - bench->now->first_at[terminal];
	const char *id = job->blocks[t->item].item.id;
	if ((double)used < job->blocks[t->item].ports.num)
		return arena_printf(keep, " (%s has a free port)", id);
	return arena_printf(keep, " (%s has no free port: take one with %zu)", id, used + 1);
}

/* "its dimmest point rises from 71 % to 93 %", or the voltage where light cannot show it. */
static const char *gain(const struct bench *bench, const struct trial *trial, size_t strip,
                        struct arena *keep)
{
	const struct strip_result *was = &bench->now->strips[strip], *is = &trial->solution->strips[strip];
	const char *from = quantity_percent(keep, was->light_min), *to = quantity_percent(keep, is->light_min);
	if (text_equal(from, to) || is->light_min < was->light_min)
		return arena_printf(keep, "its far end then gets %s", quantity_volts(keep, is->v_min));
	return arena_printf(keep, "its dimmest point rises from %s to %s", from, to);
}

static const char *tell_both_ends(const struct bench *bench, const struct trial *trial,
                                  const struct present_feed *feed, struct arena *keep)
{
	const struct job *job = bench->circuit.job;
	const struct cable *like = &job->cables[feed->cable];
	return arena_printf(keep, "feed %s from both ends: a second %s cable of about %s from %s to %s%s; %s",
		job->strips[feed->strip].item.id, wire_sizes[(size_t)like->size.num].name,
		quantity_length_in(keep, second_feed_metres(feed), job_lengths(bench->whole), LENGTH_CABLE, 2),
		job->terminals[feed->source].name, job->terminals[feed->far].name,
		ports_of(bench, feed->source, keep), gain(bench, trial, feed->strip, keep));
}

static void raise_as(struct finding *finding, const char *check)
{
	finding->check = check_find(check);
}

/* The longest run in whole units that passes, by bisection: a shorter strip never fares worse. */
static size_t longest_run(struct bench *bench, struct trial *trial, const struct present_feed *feed,
                          bool both)
{
	size_t good = 0, bad = bench->circuit.job->strips[feed->strip].units + 1;
	while (bad - good > 1) {
		size_t units = good + (bad - good) / 2;
		trial_begin(bench, trial);
		trial_set_units(trial, feed->strip, units);
		if (both && !feed->both_now)
			trial_add_feed(trial, feed->cable, feed->source, feed->far,
			               feed->metres + trial->job->strips[feed->strip].metres);
		trial_run(bench, trial);
		if (trial_clears(trial, far_end_family, (struct item_ref){ KIND_STRIP, feed->strip }))
			good = units;
		else
			bad = units;
	}
	return good;
}

/* The strip cut into `runs` of like length, each with a cable of its own from the same source. */
static bool try_split(struct bench *bench, struct trial *trial, const struct present_feed *feed, size_t runs,
                      struct feed_option *option)
{
	size_t parts = bench->circuit.job->strip_count;
	trial_begin(bench, trial);
	if (!feed_apply(trial->job, feed, FEED_SPLIT, runs, NULL))
		return false;
	trial_run(bench, trial);
	feed_judge(trial->job, trial->solution, &trial->findings, feed->strip, parts, option);
	return option->passes;
}

/* "2750 mm", "108 1/4 in" */
static const char *run_text(const struct bench *bench, const struct strip *strip, size_t units, struct arena *keep)
{
	return quantity_length_in(keep, (double)units * strip->pitch, job_lengths(bench->whole), LENGTH_TAPE, 0);
}

/* Runs of whole cut units differ by one at the most: "2750 mm", "1700 mm and 1650 mm". */
static const char *run_lengths(const struct bench *bench, const struct strip *strip, size_t runs,
                               struct arena *keep)
{
	size_t least = strip->units / runs;
	const char *shorter = run_text(bench, strip, least, keep);
	if (strip->units % runs == 0)
		return shorter;
	return arena_printf(keep, "%s and %s", run_text(bench, strip, least + 1, keep), shorter);
}

static const char *tell_split(struct bench *bench, struct trial *trial, const struct present_feed *feed,
                              struct arena *keep)
{
	const struct strip *strip = &bench->circuit.job->strips[feed->strip];
	struct feed_option option;
	for (size_t runs = 2; runs <= FEED_MOST_RUNS; runs++)
		if (try_split(bench, trial, feed, runs, &option))
			return arena_printf(keep, "split %s into %zu runs of %s, each with its own %s cable "
				"from %s; the dimmest point then gives %s",
				strip->item.id, runs, run_lengths(bench, strip, runs, keep),
				wire_sizes[(size_t)bench->circuit.job->cables[feed->cable].size.num].name,
				bench->circuit.job->terminals[feed->source].name,
				quantity_percent(keep, option.light_min));
	return NULL;
}

/* Nothing that can be tried here cures it: say at least which cables take the most. */
static const char *where_it_is_lost(const struct bench *bench, size_t strip, struct arena *keep)
{
	const struct job *job = bench->circuit.job;
	struct path path;
	const char *told[3];
	size_t count = 0;
	path_find(&path, job, bench->now, strip, bench->arena);
	bool *done = arena_array(bench->arena, bool, path.count + 1);
	while (count < 3 && count < path.count) {
		size_t most = NO_INDEX;
		for (size_t i = 0; i < path.count; i++) {
			const struct cable_result *r = &bench->now->cables[path.cables[i]];
			if (!done[i] && (most == NO_INDEX || fabs(r->v_from - r->v_to) >
			    fabs(bench->now->cables[path.cables[most]].v_from - bench->now->cables[path.cables[most]].v_to)))
				most = i;
		}
		const struct cable_result *r = &bench->now->cables[path.cables[most]];
		done[most] = true;
		told[count++] = arena_printf(keep, "%s in %s", quantity_volts(keep, fabs(r->v_from - r->v_to)),
		                             job->cables[path.cables[most]].item.id);
	}
	return arena_printf(keep, "no second feed, split or cable size that may be used cures it as drawn; before the "
		"strip %s are lost: shorten these, or move the driver nearer", list_names(keep, told, count));
}

/* Not even both ends will do. Returns false when no run at all would pass. */
static bool split_run(struct bench *bench, struct finding *finding, const struct present_feed *feed,
                      struct arena *keep)
{
	struct trial trial;
	const struct strip *strip = &bench->circuit.job->strips[feed->strip];
	if (strip->tap_count > 0)
		return false;
	size_t both = longest_run(bench, &trial, feed, true);
	size_t one = feed->both_now ? 0 : longest_run(bench, &trial, feed, false);
	size_t longest = both > one ? both : one;
	if (longest == 0)
		return false;
	const char *split = tell_split(bench, &trial, feed, keep);
	const struct strip_result *r = &bench->now->strips[feed->strip];
	if (!split && r->v_max - r->v_min < bench->circuit.job->drivers[0].set_v - r->v_max)
		return false;            /* more is lost before the strip than along it */
	const char *runs = arena_printf(keep, "the longest run that passes is %s fed from both ends",
	                                run_text(bench, strip, longest, keep));
	if (one > 0)
		runs = arena_printf(keep, "%s, %s from one", runs, run_text(bench, strip, one, keep));
	raise_as(finding, "split-run");
	finding->value = strip->metres;
	finding->limit = (double)longest * strip->pitch;
	finding->todo = split ? arena_printf(keep, "%s (%s)", split, runs)
	                      : arena_printf(keep, "%s; taken alone, %s",
	                                     where_it_is_lost(bench, feed->strip, keep), runs);
	return true;
}

void remedy_far_end(struct bench *bench, struct finding *finding, struct arena *keep)
{
	struct item_ref item = bench_item(bench, finding->item);
	struct trial trial;
	struct present_feed feed = find_feed(bench, item.index);

	if (finding->severity == SEVERITY_NOTE)
		return;
	if (feed.known && !feed.both_now && try_both_ends(bench, &trial, &feed, far_end_family)) {
		raise_as(finding, "feed-both-ends");
		finding->todo = tell_both_ends(bench, &trial, &feed, keep);
		const char *cables = thicker_cables(bench, &trial, item.index, far_end_family, item, keep);
		if (cables)
			finding->todo = arena_printf(keep, "%s. Or put %s: %s", finding->todo, cables,
			                             gain(bench, &trial, item.index, keep));
		return;
	}
	const char *cables = thicker_cables(bench, &trial, item.index, far_end_family, item, keep);
	if (cables) {
		finding->todo = arena_printf(keep, "put %s: %s", cables, gain(bench, &trial, item.index, keep));
		return;
	}
	if (!feed.known || !split_run(bench, finding, &feed, keep))
		finding->todo = where_it_is_lost(bench, item.index, keep);
}

void remedy_overrun(struct bench *bench, struct finding *finding, struct arena *keep)
{
	static const char *const names[] = { "strip-overrun", NULL };
	struct trial trial;
	struct present_feed feed = find_feed(bench, bench_item(bench, finding->item).index);
	if (feed.known && !feed.both_now && try_both_ends(bench, &trial, &feed, names))
		finding->todo = tell_both_ends(bench, &trial, &feed, keep);
}

void remedy_strip(struct bench *bench, struct finding *finding, struct arena *keep)
{
	const char *names[] = { finding->check->name, NULL };
	struct item_ref item = bench_item(bench, finding->item);
	struct trial trial;
	const char *cables = thicker_cables(bench, &trial, item.index, names, item, keep);
	if (cables)
		finding->todo = arena_printf(keep, "put %s: the light of %s then goes from %s to %s on average",
			cables, bench->circuit.job->strips[item.index].item.id,
			quantity_percent(keep, bench->now->strips[item.index].light_mean),
			quantity_percent(keep, trial.solution->strips[item.index].light_mean));
}

void remedy_overvoltage(struct bench *bench, struct finding *finding, struct arena *keep)
{
	static const char *const names[] = { "strip-overvoltage", NULL };
	struct item_ref item = bench_item(bench, finding->item);
	struct trial trial;
	trial_begin(bench, &trial);
	struct driver *driver = &trial.job->drivers[0];
	double volts = driver->voltage.num;
	if (driver->set_v <= volts)
		return;
	driver->set_voltage.num = volts;
	driver_derive(driver, trial.job->ambient.num);
	trial_run(bench, &trial);
	if (trial_clears(&trial, names, item))
		finding->todo = arena_printf(keep, "trim %s down to %s: the highest voltage on %s is then %s",
			driver->item.id, quantity_volts(keep, volts), bench->circuit.job->strips[item.index].item.id,
			quantity_volts(keep, trial.solution->strips[item.index].v_max_worst));
}
