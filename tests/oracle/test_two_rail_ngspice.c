/* Both rails against ngspice: generated jobs with cables whose cores are not alike, every voltage between
 * cores and every current in either core of every cable. Strips fed from both ends, from one block or two,
 * rings, taps and chains come from generate.c; the extras sit in loops wherever a job has one, so that the
 * loop model would be wrong. */
#include "load_support.h"
#include "oracle/generate.h"
#include "oracle/oracle.h"
#include "oracle/spice.h"
#include "solve/state.h"

#define NETWORKS 200
#define BATCH 20                 /* networks in one ngspice process */
#define MOST_EXTRAS 3
#define NEAR 1e-6

struct network {
	uint64_t seed;
	struct plan plan;
	struct spice_extra extras[MOST_EXTRAS];
	size_t extra_count;
};

static size_t root(size_t *to, size_t i)
{
	while (to[i] != i)
		i = to[i] = to[to[i]];
	return i;
}

/* The ends of the cable stay joined without it. */
static bool in_loop(const struct plan *p, size_t cable, struct arena *arena)
{
	size_t *to = arena_array(arena, size_t, p->node_count);
	for (size_t i = 0; i < p->node_count; i++)
		to[i] = i;
	for (size_t i = 0; i < p->cable_count; i++)
		if (i != cable)
			to[root(to, p->cables[i].a)] = root(to, p->cables[i].b);
	for (size_t i = 0; i < p->switch_count; i++)
		to[root(to, p->switches[i].in)] = root(to, p->switches[i].out);
	for (size_t i = 0; i < p->strip_count; i++)
		for (size_t m = 1; m < p->strips[i].mark_count; m++)
			to[root(to, p->strips[i].nodes[m])] = root(to, p->strips[i].nodes[0]);
	return root(to, p->cables[cable].a) == root(to, p->cables[cable].b);
}

/* One core of one to three cables, in loops only; now and then what the other core has too. False where the
 * job has no loop. */
static bool plant_extras(struct network *n, struct arena *arena)
{
	struct chance c = { n->seed };
	size_t *loops = arena_array(arena, size_t, n->plan.cable_count), count = 0;
	for (size_t i = 0; i < n->plan.cable_count; i++)
		if (in_loop(&n->plan, i, arena))
			loops[count++] = i;
	if (count == 0)
		return false;
	n->extra_count = 1 + chance_below(&c, MOST_EXTRAS);
	for (size_t i = 0; i < n->extra_count; i++) {
		struct spice_extra *extra = &n->extras[i];
		extra->cable = loops[chance_below(&c, count)];
		double ohm = chance_decades(&c, 0.01, 5);
		*(chance_below(&c, 2) ? &extra->plus_ohm : &extra->minus_ohm) = ohm;
		if (chance_below(&c, 4) == 0)
			extra->plus_ohm += chance_decades(&c, 0.01, 1);
	}
	return true;
}

static struct job_reading read_plan(const struct plan *plan)
{
	char *text = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&text, &size);
	assert_non_null(out);
	plan_write_yaml(plan, 0, out);
	assert_int_equal(fclose(out), 0);
	struct job_reading r = read_text(text);
	if (r.status != LOAD_OK)
		fail_msg("%s\nis not taken", text);
	free(text);
	return r;
}

static void near(uint64_t seed, const char *kind, size_t i, double got, double want, double scale)
{
	char what[64];
	snprintf(what, sizeof what, "seed %llu, %s %zu", (unsigned long long)seed, kind, i + 1);
	assert_within(what, got, want, NEAR * fmax(1, scale));
}

static double pair_volts(const struct spice_run *run, size_t node)
{
	return run->volts[node] - run->volts[run->plan->node_count + node];
}

/* A plan's items and terminals have the job's indices; returns the largest difference between cores. */
static double compare(const struct network *n, const struct spice_run *run)
{
	const struct plan *p = &n->plan;
	struct job_reading r = read_plan(p);
	struct core_extra extras[MOST_EXTRAS];
	for (size_t i = 0; i < n->extra_count; i++)
		extras[i] = (struct core_extra){ n->extras[i].cable, n->extras[i].plus_ohm,
		                                 n->extras[i].minus_ohm };
	const struct state_solution *s = solve_state(r.job, NULL, extras, n->extra_count, NO_INDEX, r.arena);
	assert_true(s->converged);
	assert_within("residual", s->residual_a, 0, 1e-9);

	double unlike = 0;
	for (size_t i = 0; i < p->cable_count; i++) {
		const struct plan_cable *c = &p->cables[i];
		const double *v = run->volts;
		double plus, minus;
		spice_core_ohm(run, i, &plus, &minus);
		double plus_a = (v[c->a] - v[c->b]) / plus;
		double minus_a = (v[p->node_count + c->b] - v[p->node_count + c->a]) / minus;
		double total = run->source_a[c->driver];
		near(n->seed, "plus core of cable", i, s->cable_a[i], plus_a, total);
		near(n->seed, "minus core of cable", i, s->cable_minus_a[i], minus_a, total);
		near(n->seed, "from of cable", i, s->terminal_v[r.job->cables[i].a], pair_volts(run, c->a), 1);
		near(n->seed, "to of cable", i, s->terminal_v[r.job->cables[i].b], pair_volts(run, c->b), 1);
		unlike = fmax(unlike, fabs(plus_a - minus_a));
	}
	for (size_t i = 0; i < p->strip_count; i++) {
		const struct plan_strip *strip = &p->strips[i];
		size_t at = r.job->strips[i].terminal;
		near(n->seed, "start of strip", i, s->terminal_v[at], pair_volts(run, strip->nodes[0]), 1);
		near(n->seed, "end of strip", i, s->terminal_v[at + 1],
		     pair_volts(run, strip->nodes[strip->mark_count - 1]), 1);
	}
	for (size_t i = 0; i < p->driver_count; i++) {
		near(n->seed, "driver", i, s->driver_a[i], run->source_a[i], run->source_a[i]);
		near(n->seed, "terminal of driver", i, s->terminal_v[r.job->drivers[i].terminal],
		     pair_volts(run, p->drivers[i].node), 1);
	}
	done(&r);
	return unlike;
}

static void both_rails_are_what_ngspice_finds(void **state)
{
	(void)state;
	size_t networks = 0, units = 0, unlike = 0;
	for (uint64_t seed = 5001; networks < NETWORKS;) {
		struct arena *arena = arena_new();
		struct network *batch = arena_array(arena, struct network, BATCH);
		struct spice_run runs[BATCH];
		size_t count = 0;
		for (; count < BATCH; seed++) {
			struct network *n = &batch[count];
			*n = (struct network){ .seed = seed };
			generate_plan(&n->plan, arena, seed);
			if (!plant_extras(n, arena))
				continue;
			units += n->plan.unit_count;
			runs[count++] = (struct spice_run){ .plan = &n->plan, .alone = PLAN_NONE, .rails = true,
			                                    .extras = n->extras, .extra_count = n->extra_count };
		}
		assert_true(spice_solve(runs, count, arena));
		for (size_t i = 0; i < count; i++)
			unlike += compare(&batch[i], &runs[i]) > 0.01;
		networks += count;
		arena_free(arena);
	}
	print_message("%zu networks, %zu cut units; in %zu the cores of a cable differ by more than 10 mA\n",
	              networks, units, unlike);
	assert_true(unlike > NETWORKS / 2);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(both_rails_are_what_ngspice_finds) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
