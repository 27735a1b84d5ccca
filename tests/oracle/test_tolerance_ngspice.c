/* The spread of builds against a Monte Carlo of ngspice: one job, every input drawn here once more, by
 * another generator and plain sampling, from the tolerances that docs/tolerance.md states.
 *
 * Which of N sorted ngspice values is the 5 % point is itself uncertain: the rank of the true one is binomial,
 * N p +- sqrt(N p (1 - p)). Farend's quantile has to lie between the values at 3.5 of those either way. */
#include "oracle/answer.h"
#include "oracle/oracle.h"
#include "oracle/spice.h"

#include "farend.h"

#include <stdlib.h>

#define BUILDS 600
#define STRIPS 3
#define RANKS_OFF 3.5

static void make_plan(struct plan *p, struct arena *arena)
{
	plan_init(p, arena, said("C", 1, 30));
	size_t warm = plan_add_type(p, (struct plan_type){
		.voltage = said("V", 1, 12), .power = said("W/m", 1, 9.6), .cut_length = said("mm", 1e-3, 50),
		.loop = said("ohm/m", 1, 0.15), .series_leds = said("", 1, 3), .knee = said("V", 1, 8.25) });
	size_t driver = plan_add_driver(p, (struct plan_driver){
		.voltage = said("V", 1, 12), .power = said("W", 1, 60), .set_voltage = said("V", 1, 12.2) });
	size_t door = plan_add_switch(p, (struct plan_switch){
		.max_current = said("A", 1, 5), .on_resistance = said("mohm", 1e-3, 40), .above = PLAN_NONE });
	size_t block = plan_add_block(p);
	const double mm[STRIPS] = { 600, 1500, 2400 };
	for (size_t i = 0; i < STRIPS; i++)
		plan_add_strip(p, (struct plan_strip){ .type = warm, .length = said("mm", 1e-3, mm[i]),
		                                       .driver = driver, .fed_by = door });
	size_t units = plan_units(p, &p->strips[2]);
	const struct { struct plan_end from, to; double metres; } ways[] = {
		{ { .kind = AT_DRIVER, .item = driver }, { .kind = AT_IN, .item = door }, 3 },
		{ { .kind = AT_OUT, .item = door }, { .kind = AT_BLOCK, .item = block }, 0.5 },
		{ { .kind = AT_BLOCK, .item = block }, { .kind = AT_STRIP, .item = 0 }, 1 },
		{ { .kind = AT_BLOCK, .item = block }, { .kind = AT_STRIP, .item = 1 }, 2 },
		{ { .kind = AT_BLOCK, .item = block }, { .kind = AT_STRIP, .item = 2 }, 1 },
		{ { .kind = AT_BLOCK, .item = block }, { .kind = AT_STRIP, .item = 2, .mark = units }, 4 },
	};
	for (size_t i = 0; i < COUNT_OF(ways); i++)
		plan_add_cable(p, (struct plan_cable){
			.from = ways[i].from, .to = ways[i].to, .length = said("m", 1, ways[i].metres), .size = 5,
			.joint_resistance = said("mohm", 1e-3, 20), .driver = driver });
	plan_derive(p);
}

/* Evenly within +- half. */
static double off(struct chance *c, double half)
{
	return chance_between(c, -half, half);
}

/* A copy of the nominal plan with other values: docs/tolerance.md, "stated". */
static void vary(struct plan *v, const struct plan *p, struct arena *arena, struct chance *c)
{
	*v = *p;
	v->strips = arena_array(arena, struct plan_strip, p->strip_count);
	v->switches = arena_array(arena, struct plan_switch, p->switch_count);
	v->drivers = arena_array(arena, struct plan_driver, p->driver_count);
	v->cables = arena_array(arena, struct plan_cable, p->cable_count);
	double reel_watts = off(c, 0.075), reel_loop = off(c, 0.075), reel_knee = off(c, 0.0225);
	double warmth = (1 + 0.00393 * (10 + off(c, 5))) / (1 + 0.00393 * 10);

	for (size_t i = 0; i < p->strip_count; i++) {
		v->strips[i] = p->strips[i];
		v->strips[i].amps *= 1 + reel_watts + off(c, 0.025);
		v->strips[i].section_ohm *= 1 + reel_loop + off(c, 0.025);
		v->strips[i].v_knee *= 1 + reel_knee + off(c, 0.0075);
	}
	for (size_t i = 0; i < p->switch_count; i++) {
		v->switches[i] = p->switches[i];
		v->switches[i].ohm *= 1 + off(c, 0.2);
	}
	for (size_t i = 0; i < p->driver_count; i++) {
		v->drivers[i] = p->drivers[i];
		v->drivers[i].set_v *= 1 + off(c, 0.01);
	}
	for (size_t i = 0; i < p->cable_count; i++) {
		v->cables[i] = p->cables[i];
		double copper = (p->cables[i].ohm - p->cables[i].joint_ohm) * warmth;
		v->cables[i].ohm = copper * (1 + off(c, 0.05)) * (1 + off(c, 0.03)) +
		                   p->cables[i].joint_ohm * (1 + off(c, 0.5));
	}
}

static double dimmest(const struct spice_run *run, size_t strip)
{
	const struct plan_strip *s = &run->plan->strips[strip];
	double least = INFINITY;
	for (size_t k = 0; k < s->units; k++)
		least = fmin(least, run->volts[s->first_unit + k]);
	return (least - s->v_knee) / (s->v_full - s->v_knee);
}

static json_t *spread_of(const struct plan *plan)
{
	char *text = NULL;
	size_t size = 0;
	struct farend_job *job;
	struct farend_text out;
	json_error_t error;
	FILE *stream = open_memstream(&text, &size);
	assert_non_null(stream);
	plan_write_yaml(plan, 0, stream);
	assert_int_equal(fclose(stream), 0);
	assert_int_equal(farend_read_text("spread.yaml", text, size, &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	struct farend_tolerance how = { .samples = 20000, .seed = 1 };
	assert_int_equal(farend_tolerance(job, &how), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &out), FAREND_OK);
	json_t *answer = json_loadb(out.bytes, out.size, JSON_REJECT_DUPLICATES, &error);
	assert_non_null(answer);
	farend_free(job);
	free(text);
	return answer;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

static void assert_quantile(const char *what, double got, const double *sorted, double p)
{
	double centre = BUILDS * p, off_by = RANKS_OFF * sqrt(BUILDS * p * (1 - p));
	double low = sorted[(size_t)fmax(centre - off_by, 0)];
	double high = sorted[(size_t)fmin(centre + off_by, BUILDS - 1)];
	if (!(got >= low && got <= high))
		fail_msg("%s: %.6f is not between %.6f and %.6f", what, got, low, high);
}

static void quantiles_are_those_of_ngspice(void **state)
{
	struct arena *arena = arena_new();
	struct chance chance = { 20 };
	struct plan plan;
	struct plan *builds = arena_array(arena, struct plan, BUILDS);
	struct spice_run *runs = arena_array(arena, struct spice_run, BUILDS);
	double light[BUILDS];
	(void)state;

	make_plan(&plan, arena);
	for (size_t b = 0; b < BUILDS; b++) {
		vary(&builds[b], &plan, arena, &chance);
		runs[b] = (struct spice_run){ .plan = &builds[b], .alone = PLAN_NONE };
	}
	assert_true(spice_solve(runs, BUILDS, arena));
	json_t *answer = spread_of(&plan);
	for (size_t i = 0; i < STRIPS; i++) {
		for (size_t b = 0; b < BUILDS; b++)
			light[b] = dimmest(&runs[b], i);
		qsort(light, BUILDS, sizeof(double), by_size);
		assert_quantile("5 %", answer_number(answer, "strips", 'L', i, "light_min_p05"), light, 0.05);
		assert_quantile("50 %", answer_number(answer, "strips", 'L', i, "light_min_p50"), light, 0.50);
		assert_quantile("95 %", answer_number(answer, "strips", 'L', i, "light_min_p95"), light, 0.95);
		/* nothing that ngspice found lies beyond the worst corner */
		assert_true(light[0] >= answer_number(answer, "strips", 'L', i, "light_min_worst"));
	}
	json_decref(answer);
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(quantiles_are_those_of_ngspice),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
