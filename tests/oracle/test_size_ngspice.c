/* Sized jobs, judged from outside: the sizes that `size` proposes are put into the plan of the network,
 * and ngspice says whether every strip keeps the limits of voltage and light. One size thinner anywhere on
 * the way to the strips must not have been enough as well, or the copper was not the least: that too is
 * ngspice's to say, for one cable at a time. Limits: 5 % drop and 80 % light, the program's defaults. */
#include "oracle/answer.h"
#include "oracle/chance.h"
#include "oracle/oracle.h"
#include "oracle/spice.h"

#include "farend.h"

#define JOBS 8
#define BAYS 3
#define MOST_DROP 0.05
#define LEAST_LIGHT 0.80
#define ROUNDING 1e-6

static struct said metres(double value)
{
	return said("m", 1, value);
}

static void add_cable(struct plan *plan, struct plan_end from, struct plan_end to, double length)
{
	plan_add_cable(plan, (struct plan_cable){ .from = from, .to = to, .length = metres(length), .size = 4,
	                                          .joint = "screw", .driver = 0 });
}

/* One driver, three switched bays with two strips each, all in 0.5 mm2: far too thin for their lengths. */
static void draw(struct plan *plan, struct arena *arena, uint64_t seed)
{
	struct chance chance = { seed };
	plan_init(plan, arena, said("C", 1, 25));
	size_t driver = plan_add_driver(plan, (struct plan_driver){ .voltage = said("V", 1, 12),
	                                                            .power = said("W", 1, 60) });
	size_t type = plan_add_type(plan, (struct plan_type){
		.voltage = said("V", 1, 12), .power = said("W/m", 1, 7.2), .cut_length = said("mm", 1e-3, 50),
		.reel = metres(5), .loop = said("ohm/m", 1, 0.1), .series_leds = said("", 1, 3) });
	for (size_t bay = 0; bay < BAYS; bay++) {
		size_t s = plan_add_switch(plan, (struct plan_switch){ .max_current = said("A", 1, 5),
			.on_resistance = said("mohm", 1e-3, 30), .above = PLAN_NONE });
		size_t block = plan_add_block(plan);
		add_cable(plan, (struct plan_end){ .kind = AT_DRIVER, .item = driver },
		          (struct plan_end){ .kind = AT_IN, .item = s }, (double)chance_below(&chance, 100) / 10 + 4);
		add_cable(plan, (struct plan_end){ .kind = AT_OUT, .item = s },
		          (struct plan_end){ .kind = AT_BLOCK, .item = block }, 0.3);
		for (int k = 0; k < 2; k++) {
			size_t strip = plan_add_strip(plan, (struct plan_strip){ .type = type, .driver = driver,
				.fed_by = s, .length = said("mm", 1e-3, 50 * (double)(chance_below(&chance, 14) + 8)) });
			add_cable(plan, (struct plan_end){ .kind = AT_BLOCK, .item = block },
			          (struct plan_end){ .kind = AT_STRIP, .item = strip }, 0.5 + 0.3 * k);
		}
	}
	plan_derive(plan);
}

static size_t size_named(const char *name)
{
	for (size_t i = 0; i < plan_size_count; i++)
		if (strcmp(plan_sizes[i], name) == 0)
			return i;
	fail_msg("no size '%s'", name);
	return 0;
}

/* What `size` proposes, as JSON. */
static json_t *size_plan(const struct plan *plan)
{
	char *text;
	size_t length;
	FILE *out = open_memstream(&text, &length);
	plan_write_yaml(plan, 0, out);
	fclose(out);
	struct farend_job *job;
	struct farend_text json;
	assert_int_equal(farend_read_text("sized.yaml", text, length, &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_size(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_SIZE, FAREND_JSON, NULL, &json), FAREND_OK);
	json_t *answer = json_loadb(json.bytes, json.size, 0, NULL);
	assert_non_null(answer);
	farend_free(job);
	free(text);
	return answer;
}

static void take_sizes(struct plan *plan, const json_t *answer)
{
	const json_t *cables = json_object_get(answer, "cables");
	for (size_t i = 0; i < plan->cable_count; i++) {
		char id[32];
		snprintf(id, sizeof(id), "C%zu", i + 1);
		const json_t *proposed = json_object_get(json_object_get(cables, id), "proposed");
		plan->cables[i].size = size_named(json_string_value(proposed));
	}
	plan_derive(plan);
}

/* Does every strip keep its voltage and light in what ngspice found? */
static bool keeps_limits(const struct plan *plan, const double *volts, double slack)
{
	for (size_t i = 0; i < plan->strip_count; i++) {
		const struct plan_strip *s = &plan->strips[i];
		for (size_t k = 0; k < s->units; k++) {
			double v = volts[s->first_unit + k];
			double light = (v - s->v_knee) / (s->v_full - s->v_knee);
			if ((12 - v) / 12 > MOST_DROP + slack || light < LEAST_LIGHT - slack)
				return false;
		}
	}
	return true;
}

static double rating(const char *size)
{
	static const struct { const char *name; double amps; } table[] = {     /* BS 7671 Table 4F3A */
		{ "0.5 mm2", 3 }, { "0.75 mm2", 6 }, { "1 mm2", 10 }, { "1.5 mm2", 16 }, { "2.5 mm2", 25 },
		{ "4 mm2", 32 }, { "6 mm2", 40 },
	};
	for (size_t i = 0; i < sizeof(table) / sizeof(*table); i++)
		if (strcmp(table[i].name, size) == 0)
			return table[i].amps;
	return 0;
}

/* The driver goes on to 1.5 x 5 A: only 0.75 mm2 and thicker stand that (7.5 A <= 1.45 Iz). */
static bool may_be_thinner(size_t size)
{
	return size > 0 && rating(plan_sizes[size - 1]) >= 6;
}

static void solve(struct plan *plan, struct arena *arena, double **volts)
{
	struct spice_run run = { .plan = plan, .alone = PLAN_NONE };
	assert_true(spice_solve(&run, 1, arena));
	*volts = run.volts;
}

static void sized_jobs_pass_in_ngspice(void **state)
{
	(void)state;
	size_t thicker = 0, tight = 0;
	for (uint64_t seed = 1; seed <= JOBS; seed++) {
		struct arena *arena = arena_new();
		struct plan plan;
		double *volts;
		draw(&plan, arena, seed);
		json_t *answer = size_plan(&plan);
		assert_string_equal(json_string_value(json_object_get(answer, "verdict")), "ok");
		assert_int_equal(json_array_size(json_object_get(answer, "added")), 0);
		take_sizes(&plan, answer);
		solve(&plan, arena, &volts);
		assert_true(keeps_limits(&plan, volts, ROUNDING));
		for (size_t i = 0; i < plan.cable_count; i++) {
			thicker += plan.cables[i].size > size_named("0.75 mm2");
			if (!may_be_thinner(plan.cables[i].size))
				continue;
			plan.cables[i].size--;
			plan_derive(&plan);
			solve(&plan, arena, &volts);
			assert_false(keeps_limits(&plan, volts, -ROUNDING));
			tight++;
			plan.cables[i].size++;
			plan_derive(&plan);
		}
		json_decref(answer);
		arena_free(arena);
	}
	assert_true(thicker > 0);        /* the jobs were such that it mattered */
	assert_true(tight > 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(sized_jobs_pass_in_ngspice),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
