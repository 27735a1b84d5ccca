/* One row per figure: which items have it, its limits, how it is read off a solution. */
#include "check/measure.h"

#include "base/hash.h"
#include "check/judge.h"

struct limits { double caution, fail; };

struct row {
	const char *check;
	enum kind kind;
	bool least;
	/* its limits for an item; NAN as `caution` where it has no such figure */
	struct limits (*limits)(const struct check_input *in, size_t index);
	measure_take *take;
};

static const struct limits no_figure = { NAN, NAN };

static struct limits pair_of(const struct check_input *in, enum limit caution, enum limit fail)
{
	return (struct limits){ job_limit(in->job, caution), job_limit(in->job, fail) };
}

static struct limits only_fail(double limit)
{
	return (struct limits){ limit, limit };
}

/* Drivers. In watts or in amperes, whichever is nearer to its rating. */
static double rated_w(const struct driver *driver)
{
	return driver->power.num * driver->derate;
}

static double rated_a(const struct driver *driver)
{
	return driver->rated_a * driver->derate;
}

static bool by_amps(const struct check_input *in, size_t index)
{
	const struct driver_result *r = &in->solution->drivers[index];
	const struct driver *driver = &in->job->drivers[index];
	return r->worst_a / rated_a(driver) > r->worst_w / rated_w(driver);
}

static struct limits headroom_limits(const struct check_input *in, size_t index, bool amps)
{
	const struct driver *driver = &in->job->drivers[index];
	double rated = amps ? rated_a(driver) : rated_w(driver);
	if (!in->solution->drivers[index].live || by_amps(in, index) != amps)
		return no_figure;
	return (struct limits){ (1 - job_limit(in->job, LIMIT_HEADROOM)) * rated, rated };
}

static struct limits headroom_w(const struct check_input *in, size_t index)
{
	return headroom_limits(in, index, false);
}

static struct limits headroom_a(const struct check_input *in, size_t index)
{
	return headroom_limits(in, index, true);
}

static struct limits driver_least(const struct check_input *in, size_t index)
{
	const struct driver *driver = &in->job->drivers[index];
	const struct driver_result *r = &in->solution->drivers[index];
	if (!r->live || !attr_has(&driver->min_load) || !(r->nameplate_w > 0))
		return no_figure;
	return (struct limits){ driver_least_w(driver), NAN };
}

static double take_driver_w(const struct measure *m, const struct check_input *in)
{
	return in->solution->drivers[m->item.index].worst_w;
}

static double take_driver_a(const struct measure *m, const struct check_input *in)
{
	return in->solution->drivers[m->item.index].worst_a;
}

static double take_driver_least(const struct measure *m, const struct check_input *in)
{
	return in->solution->drivers[m->item.index].least_w;
}

/* Strips */
static struct limits strip_drop(const struct check_input *in, size_t index)
{
	/* of constant-current units the light decides */
	bool has = strip_judged(in, index) && !in->job->strips[index].law.regulated;
	return has ? pair_of(in, LIMIT_DROP, LIMIT_DROP_FAIL) : no_figure;
}

static struct limits strip_light(const struct check_input *in, size_t index)
{
	return strip_judged(in, index) ? pair_of(in, LIMIT_LIGHT, LIMIT_LIGHT_FAIL) : no_figure;
}

static struct limits strip_overvoltage(const struct check_input *in, size_t index)
{
	return strip_judged(in, index) ? pair_of(in, LIMIT_OVERVOLTAGE, LIMIT_OVERVOLTAGE_FAIL)
	                               : no_figure;
}

static struct limits strip_heat(const struct check_input *in, size_t index)
{
	bool warms = in->solution->strips[index].live && in->job->strips[index].mount.num == MOUNT_TIMBER;
	return warms ? (struct limits){ job_limit(in->job, LIMIT_TIMBER_POWER), NAN } : no_figure;
}

static struct limits strip_dip(const struct check_input *in, size_t index)
{
	bool has = strip_judged(in, index) && in->solution->strips[index].has_dip;
	return has ? (struct limits){ job_limit(in->job, LIMIT_DIP), NAN } : no_figure;
}

static struct limits strip_feed(const struct check_input *in, size_t index)
{
	const struct strip *strip = &in->job->strips[index];
	bool has = in->solution->strips[index].live && attr_has(&strip->max_current);
	return has ? only_fail(strip->max_current.num) : no_figure;
}

static double take_drop(const struct measure *m, const struct check_input *in)
{
	return in->solution->strips[m->item.index].drop;
}

static double take_light(const struct measure *m, const struct check_input *in)
{
	return in->solution->strips[m->item.index].light_min;
}

static double take_overvoltage(const struct measure *m, const struct check_input *in)
{
	return strip_overvoltage_of(in, m->item.index);
}

static double take_heat(const struct measure *m, const struct check_input *in)
{
	return in->job->strips[m->item.index].power_w_per_m;
}

static double take_dip(const struct measure *m, const struct check_input *in)
{
	return in->solution->strips[m->item.index].dip;
}

static double take_feed(const struct measure *m, const struct check_input *in)
{
	const struct strip *strip = &in->job->strips[m->item.index];
	return in->solution->terminals[hottest_terminal(in, strip)].worst_in_a;
}

/* Cables */
static struct limits cable_rating(const struct check_input *in, size_t index)
{
	return in->solution->cables[index].live ? only_fail(in->job->cables[index].iz) : no_figure;
}

static struct limits joint_rating(const struct check_input *in, size_t index)
{
	const struct cable *cable = &in->job->cables[index];
	bool has = in->solution->cables[index].live && isfinite(cable->joint_a);
	return has ? only_fail(cable->joint_a) : no_figure;
}

static struct limits fuse_rating(const struct check_input *in, size_t index)
{
	const struct cable *cable = &in->job->cables[index];
	if (!in->solution->cables[index].live || !attr_has(&cable->fuse))
		return no_figure;
	return (struct limits){ FUSE_IN_USE * cable->fuse.num, cable->fuse.num };
}

static double take_cable(const struct measure *m, const struct check_input *in)
{
	return in->solution->cables[m->item.index].worst_a;
}

/* Switches and blocks */
static struct limits switch_rating(const struct check_input *in, size_t index)
{
	double limit = switch_limit(in, &in->job->switches[index]);
	return in->solution->switches[index].live && isfinite(limit) ? only_fail(limit) : no_figure;
}

static struct limits switch_least(const struct check_input *in, size_t index)
{
	const struct switch_item *s = &in->job->switches[index];
	const struct switch_result *r = &in->solution->switches[index];
	if (!r->live || !attr_has(&s->min_load) || !(r->worst_a > 0))
		return no_figure;
	return (struct limits){ switch_least_a(in, s), NAN };
}

static struct limits block_rating(const struct check_input *in, size_t index)
{
	const struct block *block = &in->job->blocks[index];
	return in->solution->blocks[index].live ? only_fail(block->max_current.num) : no_figure;
}

static struct limits port_rating(const struct check_input *in, size_t index)
{
	const struct block *block = &in->job->blocks[index];
	bool has = in->solution->blocks[index].live && attr_has(&block->port_current) &&
	           busiest_cable(in, block->terminal) != NO_INDEX;
	return has ? only_fail(block->port_current.num) : no_figure;
}

static double take_switch(const struct measure *m, const struct check_input *in)
{
	return in->solution->switches[m->item.index].worst_a;
}

static double take_switch_least(const struct measure *m, const struct check_input *in)
{
	return in->solution->switches[m->item.index].least_a;
}

static double take_block(const struct measure *m, const struct check_input *in)
{
	return in->solution->blocks[m->item.index].worst_a;
}

static double take_port(const struct measure *m, const struct check_input *in)
{
	size_t cable = busiest_cable(in, in->job->blocks[m->item.index].terminal);
	return in->solution->cables[cable].worst_a;
}

static const struct row rows[] = {
	{ "driver-headroom", KIND_DRIVER, false, headroom_w, take_driver_w },
	{ "driver-headroom", KIND_DRIVER, false, headroom_a, take_driver_a },
	{ "driver-light-load", KIND_DRIVER, true, driver_least, take_driver_least },
	{ "far-end-drop", KIND_STRIP, false, strip_drop, take_drop },
	{ "far-end-dim", KIND_STRIP, true, strip_light, take_light },
	{ "strip-overrun", KIND_STRIP, false, strip_feed, take_feed },
	{ "strip-overvoltage", KIND_STRIP, false, strip_overvoltage, take_overvoltage },
	{ "strip-heat", KIND_STRIP, false, strip_heat, take_heat },
	{ "dip", KIND_STRIP, false, strip_dip, take_dip },
	{ "cable-overload", KIND_CABLE, false, cable_rating, take_cable },
	{ "joint-overload", KIND_CABLE, false, joint_rating, take_cable },
	{ "fuse-overload", KIND_CABLE, false, fuse_rating, take_cable },
	{ "switch-overload", KIND_SWITCH, false, switch_rating, take_switch },
	{ "switch-light-load", KIND_SWITCH, true, switch_least, take_switch_least },
	{ "block-overload", KIND_BLOCK, false, block_rating, take_block },
	{ "block-overload", KIND_BLOCK, false, port_rating, take_port },
};

static struct measure *add(struct measures *out, struct arena *arena, const char *check,
                           struct item_ref item)
{
	out->items = arena_grow(arena, out->items, out->count, &out->capacity, sizeof(struct measure));
	struct measure *m = &out->items[out->count++];
	*m = (struct measure){ .check = check_find(check), .item = item, .fail = NAN };
	return m;
}

static void add_row(const struct check_input *in, const struct row *row, struct arena *arena,
                    struct measures *out)
{
	for (size_t i = 0; i < job_count(in->job, row->kind); i++) {
		struct limits limits = row->limits(in, i);
		if (isnan(limits.caution))
			continue;
		struct measure *m = add(out, arena, row->check, ref_to(row->kind, i));
		m->limit = limits.caution;
		m->fail = limits.fail;
		m->least = row->least;
		m->take = row->take;
	}
}

/* dimmest / brightest cut unit over strips joined end to end */
static double take_evenness(const struct measure *m, const struct check_input *in)
{
	double dimmest = INFINITY, brightest = 0;
	for (size_t k = 0; k < m->strip_count; k++) {
		const struct strip_result *r = &in->solution->strips[m->strips[k]];
		dimmest = fmin(dimmest, r->light_min);
		brightest = fmax(brightest, r->light_max);
	}
	return dimmest / brightest;
}

/* lowest / highest mean light of a view */
static double take_mismatch(const struct measure *m, const struct check_input *in)
{
	double lowest = INFINITY, highest = 0;
	for (size_t k = 0; k < m->strip_count; k++) {
		double light = in->solution->strips[m->strips[k]].light_mean;
		lowest = fmin(lowest, light);
		highest = fmax(highest, light);
	}
	return lowest / highest;
}

/* One figure for each group of at least `fewest` strips. group_of[strip]: the first of its group, or
 * NO_INDEX. */
static void add_groups(const struct check_input *in, struct arena *arena, struct measures *out,
                       const char *check, enum limit limit, const size_t *group_of, size_t fewest,
                       measure_take *take)
{
	size_t strips = in->job->strip_count;
	size_t *size = arena_array(arena, size_t, strips);
	size_t **members = arena_array(arena, size_t *, strips);

	for (size_t i = 0; i < strips; i++)
		if (group_of[i] != NO_INDEX)
			size[group_of[i]]++;
	for (size_t i = 0; i < strips; i++) {
		if (size[i] < fewest)
			continue;
		members[i] = arena_array(arena, size_t, size[i]);
		struct measure *m = add(out, arena, check, ref_to(KIND_STRIP, i));
		m->limit = job_limit(in->job, limit);
		m->least = true;
		m->strips = members[i];
		m->strip_count = size[i];
		m->take = take;
		size[i] = 0;
	}
	for (size_t i = 0; i < strips; i++)
		if (group_of[i] != NO_INDEX && members[group_of[i]])
			members[group_of[i]][size[group_of[i]]++] = i;
}

/* The first judged strip of each run of strips joined end to end. */
static void add_runs(const struct check_input *in, struct arena *arena, struct measures *out)
{
	const size_t *joined = strips_joined(in->job, arena);
	size_t *first = empty_slots(arena, in->job->strip_count);
	size_t *group = empty_slots(arena, in->job->strip_count);
	for (size_t i = 0; i < in->job->strip_count; i++) {
		if (!strip_judged(in, i))
			continue;
		if (first[joined[i]] == NO_INDEX)
			first[joined[i]] = i;
		group[i] = first[joined[i]];
	}
	add_groups(in, arena, out, "uneven", LIMIT_EVENNESS, group, 1, take_evenness);
}

static void add_views(const struct check_input *in, struct arena *arena, struct measures *out)
{
	size_t *group = empty_slots(arena, in->job->strip_count);
	struct hash known;
	hash_init(&known, arena);
	for (size_t i = 0; i < in->job->strip_count; i++) {
		const char *name = view_of(&in->job->strips[i]);
		if (name && strip_judged(in, i))
			group[i] = hash_put(&known, name, i);
	}
	add_groups(in, arena, out, "mismatch", LIMIT_MISMATCH, group, 2, take_mismatch);
}

void measures_of(const struct check_input *in, struct arena *arena, struct measures *out)
{
	*out = (struct measures){ .items = NULL };
	for (size_t r = 0; r < sizeof(rows) / sizeof(rows[0]); r++)
		add_row(in, &rows[r], arena, out);
	add_runs(in, arena, out);
	add_views(in, arena, out);
}

bool measure_breaks(const struct measure *measure, double value, double limit)
{
	return measure->least ? below(value, limit) : above(value, limit);
}
