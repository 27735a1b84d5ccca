/* Generated jobs: the figures of `check --format json` against ngspice on the same network. ngspice
 * gets the network from the plan, never from Farend. Every cut unit and rail section is an element
 * of its own there, and its solver is plain Newton with gmin and source stepping. */
#include "oracle/answer.h"
#include "oracle/generate.h"
#include "oracle/oracle.h"
#include "oracle/spice.h"

#include <stdlib.h>

#define NETWORKS 300
#define SWITCHED 60              /* of them, whose operating cases are solved too */
#define FAULTY 30                /* of them, whose fault currents are solved too */
#define BATCH 20                 /* networks in one ngspice process */
#define NEAR 1e-6
#define DARK 1e-8                /* A or W that rounding leaves where nothing flows at all */

static const char *current_name;     /* figure under comparison, for the message */
static uint64_t current_seed;

static void same(double got, double want, double tolerance)
{
	char what[80];
	snprintf(what, sizeof what, "seed %llu, %s", (unsigned long long)current_seed, current_name);
	assert_within(what, got, want, tolerance);
}

/* One figure of one item: name the message, read, compare. */
static void figure(const json_t *a, const char *group, char letter, size_t i, const char *key,
                   double want, double tolerance)
{
	char name[64];
	snprintf(name, sizeof name, "%s.%c%zu.%s", group, letter, i + 1, key);
	current_name = name;
	same(answer_number(a, group, letter, i, key), want, tolerance);
}

/* The law of section 3, from the plan's own numbers. */
static double unit_current(const struct plan_strip *s, double v)
{
	if (v <= s->v_knee)
		return 0;
	double amps = s->amps * (v - s->v_knee) / (s->v_full - s->v_knee);
	return s->regulated ? fmin(amps, s->amps) : amps;
}

static double mean_light(const struct plan_strip *s, const double *volts)
{
	double sum = 0;
	for (size_t k = 0; k < s->units; k++)
		sum += unit_current(s, volts[s->first_unit + k]);
	return sum / s->amps / (double)s->units;
}

static void compare_strip(const json_t *a, const struct plan *p, const double *volts, size_t i)
{
	const struct plan_strip *s = &p->strips[i];
	double nominal = p->types[s->type].voltage.si, set_v = p->drivers[s->driver].set_v;
	double amps = 0, watts = 0, low = INFINITY, high = 0, dim = INFINITY, bright = 0;
	/* near the knee a voltage right to 1e-6 is a light right to 1e-6 V / (V - knee) */
	double light = NEAR * nominal / (s->v_full - s->v_knee);

	for (size_t k = 0; k < s->units; k++) {
		double v = volts[s->first_unit + k], current = unit_current(s, v);
		amps += current;
		watts += v * current;
		low = fmin(low, v);
		high = fmax(high, v);
		dim = fmin(dim, current / s->amps);
		bright = fmax(bright, current / s->amps);
	}
	figure(a, "strips", 'L', i, "cut_units", (double)s->units, 0);
	figure(a, "strips", 'L', i, "length_m", (double)s->units * s->pitch, 1e-9);
	figure(a, "strips", 'L', i, "nameplate_w", (double)s->units * s->amps * nominal, 1e-7);
	figure(a, "strips", 'L', i, "v_min", low, NEAR * low);
	figure(a, "strips", 'L', i, "v_max", high, NEAR * high);
	figure(a, "strips", 'L', i, "drop_v", set_v - low, NEAR * low);
	figure(a, "strips", 'L', i, "drop", (set_v - low) / nominal, NEAR);
	figure(a, "strips", 'L', i, "light_min", dim, light);
	figure(a, "strips", 'L', i, "light_max", bright, light);
	figure(a, "strips", 'L', i, "light_mean", amps / s->amps / (double)s->units, light);
	figure(a, "strips", 'L', i, "current_a", amps, light * s->amps * (double)s->units);
	figure(a, "strips", 'L', i, "power_w", watts, light * s->amps * (double)s->units * nominal);
}

static void compare_driver(const json_t *a, const struct plan *p, const struct spice_run *run,
                           size_t i)
{
	const struct plan_driver *d = &p->drivers[i];
	double volts = run->volts[d->node], amps = run->source_a[i], nameplate = 0;
	for (size_t k = 0; k < p->strip_count; k++) {
		const struct plan_strip *s = &p->strips[k];
		if (s->driver == i)
			nameplate += (double)s->units * s->amps * p->types[s->type].voltage.si;
	}
	figure(a, "drivers", 'D', i, "set_v", d->set_v, 1e-9);
	figure(a, "drivers", 'D', i, "output_v", volts, NEAR * volts);
	figure(a, "drivers", 'D', i, "output_a", amps, NEAR * amps + DARK);
	figure(a, "drivers", 'D', i, "output_w", volts * amps, 2 * NEAR * volts * amps + DARK);
	figure(a, "drivers", 'D', i, "nameplate_w", nameplate, 1e-7 * nameplate);
	figure(a, "drivers", 'D', i, "load_w", fmax(nameplate, volts * amps), NEAR * nameplate);
}

static void compare_cable(const json_t *a, const struct plan *p, const struct spice_run *run,
                          size_t i)
{
	const struct plan_cable *c = &p->cables[i];
	double from = run->volts[c->a], to = run->volts[c->b], amps = (from - to) / c->ohm;
	double total = run->source_a[c->driver];
	figure(a, "cables", 'C', i, "length_m", c->length.si, 1e-9 * c->length.si);
	figure(a, "cables", 'C', i, "resistance_ohm", c->ohm, 1e-8 * c->ohm);
	figure(a, "cables", 'C', i, "current_a", amps, NEAR * total + DARK);
	figure(a, "cables", 'C', i, "v_from", from, NEAR * from);
	figure(a, "cables", 'C', i, "v_to", to, NEAR * to);
	figure(a, "cables", 'C', i, "drop_v", from - to, NEAR * (total * c->ohm + 1e-3));
	figure(a, "cables", 'C', i, "loss_w", (from - to) * amps, NEAR * total * total * c->ohm + DARK);
}

/* What flows into a block: the sum of the positive inflows of its cables. */
static double block_inflow(const struct plan *p, const struct spice_run *run, size_t node,
                           double *largest)
{
	double sum = 0;
	*largest = 0;
	for (size_t i = 0; i < p->cable_count; i++) {
		const struct plan_cable *c = &p->cables[i];
		double amps = (run->volts[c->a] - run->volts[c->b]) / c->ohm;
		sum += c->b == node ? fmax(amps, 0) : c->a == node ? fmax(-amps, 0) : 0;
		*largest = fmax(*largest, c->a == node || c->b == node ? run->source_a[c->driver] : 0);
	}
	return sum;
}

static void compare(const json_t *a, const struct plan *p, const struct spice_run *run)
{
	for (size_t i = 0; i < p->driver_count; i++)
		compare_driver(a, p, run, i);
	for (size_t i = 0; i < p->strip_count; i++)
		compare_strip(a, p, run->volts, i);
	for (size_t i = 0; i < p->cable_count; i++)
		compare_cable(a, p, run, i);
	for (size_t i = 0; i < p->switch_count; i++) {
		const struct plan_switch *s = &p->switches[i];
		double drop = run->volts[s->in] - run->volts[s->out];
		figure(a, "switches", 'S', i, "drop_v", drop, NEAR);
		figure(a, "switches", 'S', i, "current_a", drop / s->ohm, NEAR * (1 + fabs(drop / s->ohm)));
	}
	for (size_t i = 0; i < p->block_count; i++) {
		double total, amps = block_inflow(p, run, p->blocks[i].node, &total);
		figure(a, "blocks", 'B', i, "v", run->volts[p->blocks[i].node], NEAR * 24);
		figure(a, "blocks", 'B', i, "current_a", amps, NEAR * total + DARK);
	}
}

struct network { struct plan plan; json_t *answer; uint64_t seed; size_t first_run; };

/* Some generated jobs with Farend's answers, and the runs of ngspice that each needs. */
struct batch {
	struct arena *arena;
	struct network networks[BATCH];
	size_t count;
	struct spice_run *runs;
	size_t run_count, run_capacity;
};

static void add_run(struct batch *b, const struct plan *plan, size_t alone, bool unloaded)
{
	b->runs = arena_grow(b->arena, b->runs, b->run_count, &b->run_capacity, sizeof *b->runs);
	b->runs[b->run_count++] = (struct spice_run){ .plan = plan, .alone = alone, .unloaded = unloaded };
}

/* Which runs a kind of comparison wants of a plan (none: it is passed over), and the comparison. */
struct comparison {
	void (*want)(struct batch *b, const struct plan *plan);
	void (*compare)(const json_t *answer, const struct plan *plan, const struct spice_run *runs);
};

static void solve_batch(struct batch *b, const struct comparison *comparison)
{
	assert_true(spice_solve(b->runs, b->run_count, b->arena));
	for (size_t i = 0; i < b->count; i++) {
		const struct network *n = &b->networks[i];
		current_seed = n->seed;
		comparison->compare(n->answer, &n->plan, &b->runs[n->first_run]);
		json_decref(n->answer);
	}
}

/* Compares that many networks, from a seed on; returns how many cut units they have. */
static size_t compare_networks(uint64_t seed, size_t networks, const struct comparison *comparison)
{
	size_t units = 0;
	while (networks > 0) {
		struct arena *arena = arena_new();
		struct batch *b = arena_one(arena, struct batch);
		b->arena = arena;
		for (; b->count < BATCH && networks > 0; seed++) {
			struct network *n = &b->networks[b->count];
			*n = (struct network){ .seed = seed, .first_run = b->run_count };
			generate_plan(&n->plan, arena, seed);
			comparison->want(b, &n->plan);
			if (b->run_count == n->first_run)
				continue;
			n->answer = answer_to_plan(&n->plan, 0);
			units += n->plan.unit_count;
			networks--;
			b->count++;
		}
		solve_batch(b, comparison);
		arena_free(arena);
	}
	return units;
}

static void want_design_case(struct batch *b, const struct plan *plan)
{
	add_run(b, plan, PLAN_NONE, false);
}

static void the_design_case_is_what_ngspice_finds(void **state)
{
	(void)state;
	size_t units = compare_networks(1, NETWORKS, &(struct comparison){ want_design_case, compare });
	print_message("%d networks, %zu cut units\n", NETWORKS, units);
	assert_true(units > 50 * NETWORKS);
}

/* All on, then every switch alone. */
static void want_operating_cases(struct batch *b, const struct plan *plan)
{
	if (plan->bridged || plan->switch_count < 2)
		return;
	add_run(b, plan, PLAN_NONE, false);
	for (size_t i = 0; i < plan->switch_count; i++)
		add_run(b, plan, i, false);
}

/* dip = (light alone - light with all on) / light alone, alone being the case of the strip's
 * switch. */
static void compare_dips(const json_t *a, const struct plan *p, const struct spice_run *all)
{
	const struct spice_run *alone = all + 1;
	for (size_t i = 0; i < p->strip_count; i++) {
		const struct plan_strip *s = &p->strips[i];
		if (s->fed_by == PLAN_NONE) {
			assert_true(isnan(answer_number(a, "strips", 'L', i, "dip")));
			continue;
		}
		double one = mean_light(s, alone[s->fed_by].volts), with = mean_light(s, all->volts);
		if (one > 1e-3)
			figure(a, "strips", 'L', i, "dip", (one - with) / one, 1e-5);
	}
}

static void dips_are_what_ngspice_finds(void **state)
{
	(void)state;
	compare_networks(1001, SWITCHED, &(struct comparison){ want_operating_cases, compare_dips });
}

static void want_impedances(struct batch *b, const struct plan *plan)
{
	add_run(b, plan, PLAN_NONE, true);
}

/* fault_a = set voltage / what ngspice's transfer function sees from the farther end of the cable
 */
static void compare_faults(const json_t *a, const struct plan *p, const struct spice_run *run)
{
	for (size_t i = 0; i < p->cable_count; i++) {
		const struct plan_cable *c = &p->cables[i];
		double amps = p->drivers[c->driver].set_v / fmax(run->ohm[c->a], run->ohm[c->b]);
		figure(a, "cables", 'C', i, "fault_a", amps, NEAR * amps);
	}
}

static void fault_currents_are_what_ngspice_finds(void **state)
{
	(void)state;
	compare_networks(2001, FAULTY, &(struct comparison){ want_impedances, compare_faults });
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_design_case_is_what_ngspice_finds),
		cmocka_unit_test(dips_are_what_ngspice_finds),
		cmocka_unit_test(fault_currents_are_what_ngspice_finds),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
