/* Protecting cables, and parts that are too small. A fuse In guards a cable when Ib / 0.8 <= In <= Iz, and
 * is worth fitting when a fault can draw 2 In (IEC 60364-4-43 433.1; blade fuses clear 2 In within 5 s,
 * ISO 8820-3). Where no fuse fits a thicker cable does, else a smaller driver. */
#include "advise/remedy.h"

#include "reference/reference.h"

#include <math.h>
#include <string.h>

#define FUSE_LOAD 0.8

static const struct driver *bench_driver(const struct bench *bench)
{
	return &bench->circuit.job->drivers[0];
}

/* What is told of a driver's cables: those that the finding lists, as indices of the bench. */
struct exposed {
	size_t *cables;
	size_t count;
};

static struct exposed exposed_cables(const struct bench *bench, const struct finding *finding)
{
	struct exposed e = { arena_array(bench->arena, size_t, finding->item_count + 1), 0 };
	for (size_t i = 0; i < finding->item_count; i++)
		if (finding->items[i].kind == KIND_CABLE)
			e.cables[e.count++] = bench_item(bench, finding->items[i]).index;
	return e;
}

static bool listed(const struct exposed *e, size_t cable)
{
	for (size_t i = 0; i < e->count; i++)
		if (e->cables[i] == cable)
			return true;
	return false;
}

/* Is `guard` the cable itself or one that lies before it on the way to the driver? */
static bool guards(const struct bench *bench, size_t guard, size_t cable)
{
	if (guard == cable)
		return !bench->now->cables[cable].in_loop;
	for (size_t up = bench->now->upstream[cable]; up != NO_INDEX; up = bench->now->upstream[up])
		if (up == guard)
			return true;
	return false;
}

/* No listed cable could guard it from further up. */
static bool is_first(const struct bench *bench, const struct exposed *e, size_t cable)
{
	for (size_t up = bench->now->upstream[cable]; up != NO_INDEX; up = bench->now->upstream[up])
		if (listed(e, up))
			return false;
	return true;
}

/* Smallest standard fuse at `cable` with Ib / 0.8 <= In <= most and 2 In <= `fault`; 0 when none fits. */
static double choose_fuse(const struct bench *bench, size_t cable, double most, double fault)
{
	double least = bench->now->cables[cable].worst_a / FUSE_LOAD;
	for (size_t i = 0; i < fuse_rating_count; i++) {
		double in = fuse_ratings[i];
		if (in >= least && in <= most && FUSE_CLEARS_FACTOR * in <= fault)
			return in;
	}
	return 0;
}

static double fault_of(const struct bench *bench, size_t cable)
{
	return fmin(bench->now->cables[cable].fault_a, bench_driver(bench)->trip_a);
}

/* One fuse for `cable` and all exposed cables behind it, else for the cable alone. */
static double fuse_for(const struct bench *bench, const struct exposed *e, size_t cable, bool *all)
{
	const struct job *job = bench->circuit.job;
	double most = job->cables[cable].iz, fault = fault_of(bench, cable);
	double own = bench->now->cables[cable].in_loop ? 0 : choose_fuse(bench, cable, most, fault);
	for (size_t i = 0; i < e->count; i++)
		if (guards(bench, cable, e->cables[i])) {
			most = fmin(most, job->cables[e->cables[i]].iz);
			fault = fmin(fault, fault_of(bench, e->cables[i]));
		}
	double shared = bench->now->cables[cable].in_loop ? 0 : choose_fuse(bench, cable, most, fault);
	*all = shared > 0;
	return shared > 0 ? shared : own;
}

static const char *near_end(const struct bench *bench, size_t cable)
{
	const struct cable *c = &bench->circuit.job->cables[cable];
	return bench->circuit.job->terminals[bench->now->cables[cable].from_nearer ? c->a : c->b].name;
}

/* Thinnest size that the driver alone protects, or that no fault can overload. */
static size_t size_for(const struct bench *bench, size_t cable)
{
	const struct driver *driver = bench_driver(bench);
	struct cable c = bench->circuit.job->cables[cable];
	size_t wire = (size_t)c.size.num;
	if (c.supplied.num > 0)
		return WIRE_NONE;
	while ((wire = next_wire(bench->circuit.job, wire)) != WIRE_NONE) {
		cable_resize(&c, wire, bench->circuit.job->ambient.num);
		if (driver->rated_a <= c.iz && driver->trip_a <= OVERLOAD_FACTOR * c.iz)
			return wire;
	}
	return WIRE_NONE;
}

/* Largest driver of the ladder that carries the load with headroom and protects every listed cable. */
static double smaller_driver(const struct bench *bench, const struct exposed *e)
{
	const struct driver *driver = bench_driver(bench);
	double iz = INFINITY, best = 0;
	double load = bench->now->drivers[0].load_w / (1 - job_limit(bench->circuit.job, LIMIT_HEADROOM));
	for (size_t i = 0; i < e->count; i++)
		iz = fmin(iz, bench->circuit.job->cables[e->cables[i]].iz);
	for (size_t i = 0; i < driver_step_count; i++) {
		const struct driver_step *step = &driver_steps[i];
		if (step->volts == driver->voltage.num && step->watts < driver->power.num &&
		    step->watts * driver->derate >= load && step->watts / step->volts <= iz &&
		    TRIP_FACTOR * step->watts / step->volts <= OVERLOAD_FACTOR * iz)
			best = fmax(best, step->watts);
	}
	return best;
}

struct plan {
	struct trial trial;
	struct buf text;
	bool complete;               /* every exposed cable is dealt with */
};

static void plan_add(struct plan *plan, const char *text)
{
	if (plan->text.length > 0)
		buf_add(&plan->text, "; ");
	buf_add(&plan->text, text);
}

/* Deals with one exposed cable: a fuse at its near end, else a thicker size. */
static void plan_cable(struct plan *plan, struct bench *bench, const struct exposed *e, size_t cable,
                       bool *done, struct arena *keep)
{
	const char *id = bench->circuit.job->cables[cable].item.id;
	bool all;
	double fuse = fuse_for(bench, e, cable, &all);
	if (fuse > 0) {
		struct cable *c = &plan->trial.job->cables[cable];
		c->fuse.origin = ORIGIN_GIVEN;
		c->fuse.num = fuse;
		plan_add(plan, arena_printf(keep, "put a %s fuse in %s at its %s end",
		                            quantity_text(keep, fuse, DIM_AMP, 3), id, near_end(bench, cable)));
		for (size_t i = 0; i < e->count; i++)
			if (e->cables[i] == cable || (all && guards(bench, cable, e->cables[i])))
				done[i] = true;
		return;
	}
	size_t wire = size_for(bench, cable);
	if (wire == WIRE_NONE) {
		plan->complete = false;
		return;
	}
	trial_resize_cable(&plan->trial, cable, wire);
	plan_add(plan, arena_printf(keep, "put %s in %s", id, wire_sizes[wire].name));
	for (size_t i = 0; i < e->count; i++)
		if (e->cables[i] == cable)
			done[i] = true;
}

/* Fills plan->trial.job with fuses and sizes for every exposed cable. */
static void make_plan(struct plan *plan, struct bench *bench, const struct finding *finding,
                      struct arena *keep)
{
	struct exposed e = exposed_cables(bench, finding);
	bool *done = arena_array(bench->arena, bool, e.count + 1);
	plan->complete = true;
	buf_init(&plan->text, keep);
	for (int pass = 0; pass < 2; pass++)      /* first those nearest the driver, then what they leave */
		for (size_t i = 0; i < e.count; i++)
			if (!done[i] && (pass > 0 || is_first(bench, &e, e.cables[i])))
				plan_cable(plan, bench, &e, e.cables[i], done, keep);
}

void protect_with_fuses(struct bench *bench, const struct finding *finding, struct job *into)
{
	struct plan plan = { .trial.job = into };
	make_plan(&plan, bench, finding, bench->arena);
}

void remedy_protection(struct bench *bench, struct finding *finding, struct arena *keep)
{
	struct exposed e = exposed_cables(bench, finding);
	struct plan plan;
	if (finding->severity == SEVERITY_NOTE)
		return;
	trial_begin(bench, &plan.trial);
	make_plan(&plan, bench, finding, keep);
	trial_run(bench, &plan.trial);
	if (plan.complete && !trial_has(&plan.trial, finding->check->name)) {
		finding->todo = plan.text.data;
		return;
	}
	double watts = smaller_driver(bench, &e);
	if (watts == 0)
		return;
	trial_begin(bench, &plan.trial);
	trial_set_driver(&plan.trial, 0, watts, NULL);
	trial_run(bench, &plan.trial);
	if (!trial_has(&plan.trial, finding->check->name))
		finding->todo = arena_printf(keep, "take a %s driver for %s: it cannot overload these cables and "
			"still carries the load", quantity_text(keep, watts, DIM_WATT, 4),
			bench_driver(bench)->item.id);
}

void change_fuse(struct bench *bench, const struct finding *finding, struct job *into)
{
	size_t cable = bench_item(bench, finding->item).index;
	if (finding->item.kind != KIND_CABLE)
		return;
	double fuse = choose_fuse(bench, cable, into->cables[cable].iz, fault_of(bench, cable));
	if (fuse > 0)
		into->cables[cable].fuse.num = fuse;
}

/* With the cable in `wire`: a fuse that suits it, such that no finding about fuses concerns it. */
static double try_fuse(struct bench *bench, struct trial *trial, size_t cable, size_t wire)
{
	static const char *const names[] = { "fuse-overload", "fault-may-not-trip", "cable-unprotected",
	                                     "cable-overload", NULL };
	trial_begin(bench, trial);
	struct cable *c = &trial->job->cables[cable];
	if ((size_t)c->size.num != wire)
		trial_resize_cable(trial, cable, wire);
	double fuse = choose_fuse(bench, cable, c->iz, fault_of(bench, cable));
	if (fuse == 0)
		return 0;
	c->fuse.num = fuse;
	trial_run(bench, trial);
	return trial_clears(trial, names, (struct item_ref){ KIND_CABLE, cable }) ? fuse : 0;
}

void remedy_fuse(struct bench *bench, struct finding *finding, struct arena *keep)
{
	if (finding->item.kind != KIND_CABLE)
		return;
	size_t cable = bench_item(bench, finding->item).index;
	const struct cable *c = &bench->circuit.job->cables[cable];
	size_t now = (size_t)c->size.num, wire = now;
	struct trial trial;
	do {
		double fuse = try_fuse(bench, &trial, cable, wire);
		if (fuse > 0) {
			finding->todo = arena_printf(keep, "take a %s fuse for %s%s%s: %s through it leaves a fifth free, "
				"and a fault still draws twice its rating", quantity_text(keep, fuse, DIM_AMP, 3),
				c->item.id, wire != now ? " and put it in " : "", wire != now ? wire_sizes[wire].name : "",
				quantity_text(keep, bench->now->cables[cable].worst_a, DIM_AMP, 2));
			return;
		}
	} while (c->supplied.num == 0 && (wire = next_wire(bench->circuit.job, wire)) != WIRE_NONE);
	finding->todo = arena_printf(keep, "no common fuse suits %s, between the %s that it carries and half of the "
		"%s that a fault can go on drawing: share its load out over more cables, or take a driver that "
		"protects it without a fuse", c->item.id,
		quantity_text(keep, bench->now->cables[cable].worst_a, DIM_AMP, 2),
		quantity_text(keep, fault_of(bench, cable), DIM_AMP, 2));
}

void remedy_cable_size(struct bench *bench, struct finding *finding, struct arena *keep)
{
	const char *names[] = { finding->check->name, NULL };
	struct item_ref item = bench_item(bench, finding->item);
	const struct cable *c = &bench->circuit.job->cables[item.index];
	size_t wire = (size_t)c->size.num;
	struct trial trial;
	if (c->iz == 0) {
		finding->todo = arena_printf(keep, "use a cable with insulation for more than the %s around it, "
			"say 90 C, and write it as its insulation", quantity_text(keep, bench->circuit.job->ambient.num,
			DIM_CELSIUS, 3));
		return;
	}
	while (c->supplied.num == 0 && (wire = next_wire(bench->circuit.job, wire)) != WIRE_NONE) {
		trial_begin(bench, &trial);
		trial_resize_cable(&trial, item.index, wire);
		trial_run(bench, &trial);
		if (!trial_clears(&trial, names, item))
			continue;
		finding->todo = arena_printf(keep, "put %s in %s, good for %s: it then carries %s",
			c->item.id, wire_sizes[wire].name,
			quantity_text(keep, trial.job->cables[item.index].iz, DIM_AMP, 3),
			quantity_text(keep, trial.solution->cables[item.index].worst_a, DIM_AMP, 2));
		return;
	}
}

/* Smallest driver that passes: of the catalogue and the file's types, else of the common ladder. */
double next_driver(const struct bench *bench, double above, const char **part)
{
	const struct job *job = bench->circuit.job;
	const struct driver *types = job->types[KIND_DRIVER];
	double volts = bench_driver(bench)->voltage.num, best = INFINITY;
	*part = NULL;
	for (size_t i = 0; i < job->type_count[KIND_DRIVER]; i++)
		if (attr_said(&types[i].voltage) && types[i].voltage.num == volts &&
		    attr_said(&types[i].power) && types[i].power.num > above && types[i].power.num < best) {
			best = types[i].power.num;
			*part = types[i].item.id;
		}
	for (size_t i = 0; i < driver_step_count && !*part; i++)
		if (driver_steps[i].volts == volts && driver_steps[i].watts > above &&
		    driver_steps[i].watts < best)
			best = driver_steps[i].watts;
	return isinf(best) ? 0 : best;
}

void remedy_driver_size(struct bench *bench, struct finding *finding, struct arena *keep)
{
	const char *names[] = { finding->check->name, NULL };
	struct item_ref item = { KIND_DRIVER, 0 };
	struct trial trial;
	const char *part;
	double watts = bench_driver(bench)->power.num;
	while ((watts = next_driver(bench, watts, &part)) > 0) {
		trial_begin(bench, &trial);
		trial_set_driver(&trial, 0, watts, part);
		trial_run(bench, &trial);
		if (!trial_clears(&trial, names, item))
			continue;
		const struct driver *driver = &trial.job->drivers[0];
		double room = 1 - trial.solution->drivers[0].load_w / (driver->power.num * driver->derate);
		bool exposes = trial_has(&trial, "cable-unprotected") && !strstr(finding->check->name, "cable");
		finding->todo = arena_printf(keep, "take a %s, %s driver%s%s for %s: %s of it then stays free%s",
			quantity_text(keep, driver->power.num, DIM_WATT, 4),
			quantity_text(keep, driver->rated_a, DIM_AMP, 3), part ? ", " : "", part ? part : "",
			bench_driver(bench)->item.id, quantity_percent(keep, room),
			exposes ? " (check the cables again: they may then need a fuse)" : "");
		return;
	}
	finding->todo = arena_printf(keep, "no driver of the list is large enough: share the strips of %s "
	                             "out over two drivers", bench_driver(bench)->item.id);
}
