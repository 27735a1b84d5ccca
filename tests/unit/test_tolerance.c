/* Spreads against exact ones, corners against every corner. */
#include "tests/support.h"

#include "advise/draw.h"
#include "advise/quantile.h"
#include "advise/tolerance.h"
#include "model/subset.h"
#include "tests/job_builder.h"

#include <stdlib.h>

/* Hypercube: every slice once, the same numbers for the same name, others for another. */
static void every_slice_once(void **state)
{
	enum { SAMPLES = 500 };
	const char *name[] = { "power", "L1" }, *other[] = { "power", "L2" };
	uint32_t order[SAMPLES];
	float a[SAMPLES], b[SAMPLES], c[SAMPLES];
	bool seen[SAMPLES] = { false };
	size_t alike = 0;
	(void)state;

	draw_hypercube(1, name, 2, SAMPLES, order, a);
	draw_hypercube(1, name, 2, SAMPLES, order, b);
	draw_hypercube(1, other, 2, SAMPLES, order, c);
	assert_memory_equal(a, b, sizeof(a));
	for (size_t i = 0; i < SAMPLES; i++) {
		size_t slice = (size_t)floor(((double)a[i] + 1) / 2 * SAMPLES);
		slice = slice == SAMPLES ? SAMPLES - 1 : slice;      /* single precision may round up */
		alike += a[i] == c[i];
		seen[slice] = true;
	}
	size_t count = 0;
	for (size_t i = 0; i < SAMPLES; i++)
		count += seen[i];
	assert_true(count >= SAMPLES - 2);
	assert_int_equal(alike, 0);
}

static int by_size(const void *a, const void *b)
{
	float x = *(const float *)a, y = *(const float *)b;
	return (x > y) - (x < y);
}

static void quantile_is_the_sorted_one(void **state)
{
	enum { MOST = 400 };
	(void)state;
	for (size_t count = 1; count <= MOST; count += count < 12 ? 1 : 97) {
		float list[MOST], sorted[MOST];
		for (size_t i = 0; i < count; i++)
			list[i] = sorted[i] = (float)((i * 7919) % (count > 40 ? 31 : 1009));
		qsort(sorted, count, sizeof(float), by_size);
		for (double p = 0; p <= 1; p += 0.05) {
			size_t at = (size_t)(p * (double)(count - 1) + 0.5);
			float got = quantile(list, count, p);
			assert_true(got == sorted[at]);
		}
	}
}

/* Every input known exactly, but for what a test gives a tolerance afterwards. */
static void exactly(struct attr *attr)
{
	attr->has_tolerance = true;
	attr->tolerance = 0;
}

static void know_everything(struct job *job)
{
	exactly(&job->ambient);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		for (size_t i = 0; i < job_count(job, kind); i++)
			for (size_t r = 0; r < tolerance_rule_count; r++)
				if (tolerance_rules[r].kind == kind)
					exactly(attribute_slot(attribute_find(kind, tolerance_rules[r].key),
					                       job_item(job, kind, i)));
}

static void give_tolerance(struct attr *attr, double half)
{
	attr->has_tolerance = true;
	attr->tolerance = half;
}

/* One cut unit of 50 mm behind a cable. */
static struct job *one_unit(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 12, 60);
	add_strip(job, "L1", 12, 9.6, 0.05);
	add_cable(job, "C1", "0.14 mm2", 40, "D1", "L1.start");
	job_builder_finish(job);
	know_everything(job);
	return job;
}

/* The unit's light with a set voltage of `volts`: i = g (v - knee), v = V - R i. */
static double light_at(const struct job *job, double volts)
{
	const struct unit_law *law = &job->strips[0].law;
	double g = law->amps / (law->v_full - law->v_knee);
	double ohm = job->cables[0].ohm + job->strips[0].loop_ohm_per_m * job->strips[0].pitch / 2;
	return g * (volts - law->v_knee) / (1 + ohm * g) / law->amps;
}

static const struct checked_spread *figure(const struct tolerance *t, const char *check)
{
	for (size_t i = 0; i < t->check_count; i++)
		if (strcmp(t->checks[i].check->name, check) == 0)
			return &t->checks[i];
	fail_msg("no figure of %s", check);
	return NULL;
}

static struct tolerance spread_of(struct job *job, size_t samples, uint64_t seed)
{
	struct tolerance_plan plan = { .samples = samples, .seed = seed };
	struct tolerance t;
	const struct solution *solution = solve_job(job, job->arena);
	assert_true(tolerance_of(job, solution, &plan, job->arena, &t));
	return t;
}

/* Light rises with the voltage alone, which is spread evenly over 12 V +- 3 %: its quantiles are the light
 * at the quantiles of the voltage. */
static void one_input_has_exact_quantiles(void **state)
{
	struct job *job = one_unit();
	(void)state;
	give_tolerance(&job->drivers[0].set_voltage, 0.36);
	struct tolerance t = spread_of(job, 2000, 1);
	const struct spread *s = &figure(&t, "far-end-dim")->spread;
	assert_near(s->p05, light_at(job, 12 - 0.9 * 0.36), 1e-3, 0);
	assert_near(s->p50, light_at(job, 12), 1e-3, 0);
	assert_near(s->p95, light_at(job, 12 + 0.9 * 0.36), 1e-3, 0);
	assert_near(t.strips[0].light_min_worst, light_at(job, 12 - 0.36), 1e-9, 0);
	assert_true(t.monotone);
	assert_int_equal(t.matter_count, 1);
	assert_near(t.matters[0].share, 1, 1e-12, 0);
	assert_string_equal(t.matters[0].rule->key, "set_voltage");
	job_builder_free(job);
}

/* Where the limit lies a quarter up the range, it is broken in a quarter of the builds. */
static void chance_is_the_share_of_the_range(void **state)
{
	struct job *job = one_unit();
	(void)state;
	give_tolerance(&job->drivers[0].set_voltage, 0.36);
	give(&job->limits[LIMIT_LIGHT], light_at(job, 12 - 0.18), DIM_RATIO);
	give(&job->limits[LIMIT_LIGHT_FAIL], light_at(job, 12 - 0.324), DIM_RATIO);
	give(&job->limits[LIMIT_DROP], 1, DIM_RATIO);
	give(&job->limits[LIMIT_DROP_FAIL], 1, DIM_RATIO);
	struct tolerance t = spread_of(job, 2000, 5);
	const struct checked_spread *c = figure(&t, "far-end-dim");
	assert_near(c->chance, 0.25, 0, 1e-3);
	assert_near(c->fail_chance, 0.05, 0, 1e-3);
	assert_near(t.passes, 0.75, 0, 1e-3);
	assert_near(t.sound, 0.95, 0, 1e-3);
	assert_ptr_equal(&t.checks[t.decides], c);
	job_builder_free(job);
}

/* A type's tolerance t is the sum of 3/4 t with the reel and 1/4 t with the item, each spread evenly: the
 * trapezoid, whose 5 % point is -t + sqrt(8 (3/4)(1/4) 0.05) t. Watts alone vary, so the load shows it. */
static void reel_and_item_make_a_trapezoid(void **state)
{
	struct job *job = one_unit();
	(void)state;
	job->strips[0].item.type_name = "warm";
	job->strips[0].power.origin = ORIGIN_TYPE;
	give_tolerance(&job->strips[0].power, 0.96);
	struct tolerance t = spread_of(job, 20000, 3);
	double rise = 0.1 * (1 - sqrt(8 * 0.75 * 0.25 * 0.05));
	assert_near(t.driver_load_p95[0], 9.6 * 0.05 * (1 + rise), 1e-3, 0);
	assert_int_equal(t.deviations, 2);
	assert_near(t.matters[0].share, 0.9, 0.01, 0);   /* 9 : 1 of the variance */
	assert_string_equal(t.matters[0].type_name, "warm");
	assert_null(t.matters[1].type_name);
	job_builder_free(job);
}

static void same_seed_same_answer(void **state)
{
	struct job *job = one_unit();
	(void)state;
	give_tolerance(&job->drivers[0].set_voltage, 0.36);
	give_tolerance(&job->strips[0].led_knee, 0.2);
	struct tolerance a = spread_of(job, 200, 9), b = spread_of(job, 200, 9), c = spread_of(job, 200, 10);
	assert_true(figure(&a, "far-end-dim")->spread.p05 == figure(&b, "far-end-dim")->spread.p05);
	assert_true(figure(&a, "far-end-dim")->spread.p05 != figure(&c, "far-end-dim")->spread.p05);
	job_builder_free(job);
}

/* Two bays on one cable: some figures fall with an input, others rise. */
static struct job *small_job(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 60);
	add_switch(job, "S1", 5);
	add_strip(job, "L1", 24, 9.6, 2.0);
	add_strip(job, "L2", 24, 14.4, 1.0);
	give_text(&job->strips[0].view, "back");
	give_text(&job->strips[1].view, "back");
	add_cable(job, "C1", "0.5 mm2", 6, "D1", "S1.in");
	add_cable(job, "C2", "0.5 mm2", 2, "S1.out", "L1.start");
	add_cable(job, "C3", "0.5 mm2", 4, "S1.out", "L2.start");
	job_builder_finish(job);
	know_everything(job);
	give_tolerance(&job->drivers[0].set_voltage, 0.72);
	give_tolerance(&job->strips[0].power, 0.96);
	give_tolerance(&job->strips[1].power, 1.44);
	give_tolerance(&job->strips[0].loop_resistance, 0.08);
	give_tolerance(&job->strips[1].led_knee, 0.5);
	give_tolerance(&job->cables[0].length, 0.3);
	give_tolerance(&job->cables[2].joint_resistance, 0.01);
	give_tolerance(&job->ambient, 10);
	return job;
}

static void corners_are_the_worst_of_all_corners(void **state)
{
	struct job *job = small_job();
	struct arena *arena = job->arena;
	struct inputs inputs;
	struct measures measures;
	(void)state;

	struct tolerance t = spread_of(job, 500, 1);
	const struct check_input nominal = { job, solve_job(job, arena) };
	measures_of(&nominal, arena, &measures);
	assert_int_equal(measures.count, t.check_count);
	inputs_of(job, arena, &inputs);
	assert_int_equal(inputs.deviation_count, 8);
	double *worst = arena_array(arena, double, measures.count);
	double deviations[8];
	for (unsigned corner = 0; corner < 256; corner++) {
		struct arena *scratch = arena_child(arena);
		struct job *variant = job_copy(job, scratch);
		for (unsigned d = 0; d < 8; d++)
			deviations[d] = corner >> d & 1 ? 1 : -1;
		inputs_apply(&inputs, job, deviations, variant);
		struct check_input in = { variant, solve_job(variant, scratch) };
		for (size_t i = 0; i < measures.count; i++) {
			const struct measure *m = &measures.items[i];
			double value = m->take(m, &in);
			bool worse = m->least ? value < worst[i] : value > worst[i];
			worst[i] = corner == 0 || worse ? value : worst[i];
		}
		arena_free(scratch);
	}
	size_t open = 0;
	for (size_t i = 0; i < measures.count; i++)
		if (isnan(t.checks[i].worst))
			open++;
		else
			assert_near(t.checks[i].worst, worst[i], 1e-9, 1e-12);
	assert_int_equal(open, 1);           /* the comparison of L1 with L2 */
	assert_true(t.monotone);
	job_builder_free(job);
}

/* Circuits are looked at one by one, and a type's reel is one reel in both: seen together or not, the
 * figures of one circuit are what they are alone. */
static void circuits_do_not_disturb_one_another(void **state)
{
	struct job *job[2];
	struct tolerance t[2];
	(void)state;
	for (int both = 0; both < 2; both++) {
		job[both] = job_builder_new();
		for (int i = 0; i <= both; i++) {
			add_driver(job[both], i ? "D2" : "D1", 24, 60);
			add_strip(job[both], i ? "L2" : "L1", 24, 9.6, 2.0 + i);
			add_cable(job[both], i ? "C2" : "C1", "0.5 mm2", 6, i ? "D2" : "D1", i ? "L2.start" : "L1.start");
		}
		job_builder_finish(job[both]);
		t[both] = spread_of(job[both], 300, 1);
	}
	const struct checked_spread *one = figure(&t[0], "far-end-dim"), *two = figure(&t[1], "far-end-dim");
	assert_true(one->spread.p05 == two->spread.p05 && one->spread.p95 == two->spread.p95);
	assert_near(one->worst, two->worst, 1e-12, 0);
	job_builder_free(job[0]);
	job_builder_free(job[1]);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_slice_once),
		cmocka_unit_test(quantile_is_the_sorted_one),
		cmocka_unit_test(one_input_has_exact_quantiles),
		cmocka_unit_test(chance_is_the_share_of_the_range),
		cmocka_unit_test(reel_and_item_make_a_trapezoid),
		cmocka_unit_test(same_seed_same_answer),
		cmocka_unit_test(corners_are_the_worst_of_all_corners),
		cmocka_unit_test(circuits_do_not_disturb_one_another),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
