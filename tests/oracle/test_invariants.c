/* What must stay the same, or may only move one way, when a job is written or built differently.
 * Each changes a generated job and compares Farend with itself, so no other solver is needed. */
#include "farend.h"
#include "oracle/answer.h"
#include "oracle/generate.h"
#include "oracle/oracle.h"

#include <glob.h>
#include <stdlib.h>
#include <string.h>

#define JOBS 60                  /* per invariant */
#define FEEDS 100
#define SAME 1e-9

static const char *const strip_keys[] = {
	"cut_units", "current_a", "power_w", "v_min", "v_max", "drop_v", "light_min", "light_max",
	"light_mean", "evenness", "dip",
};
static const char *const cable_keys[] = {
	"resistance_ohm", "current_a", "v_from", "v_to", "loss_w", "rating_a", "fault_a",
};
static const char *const switch_keys[] = { "current_a", "drop_v" };
static const char *const block_keys[] = { "current_a", "ports_used", "v" };
static const char *const driver_keys[] = { "set_v", "output_v", "output_a", "output_w", "load_w" };

static const struct group { const char *name; const char *const *keys; size_t count; } groups[] = {
	{ "drivers", driver_keys, COUNT_OF(driver_keys) },
	{ "switches", switch_keys, COUNT_OF(switch_keys) },
	{ "blocks", block_keys, COUNT_OF(block_keys) },
	{ "strips", strip_keys, COUNT_OF(strip_keys) },
	{ "cables", cable_keys, COUNT_OF(cable_keys) },
};

static bool differ(double got, double want, double tolerance)
{
	return isnan(got) != isnan(want) || fabs(got - want) > tolerance * fmax(1, fabs(want));
}

/* Every figure of every item that `before` has; `except` is left out ("C3"). */
static void assert_same(const json_t *before, const json_t *after, double tolerance,
                        const char *except)
{
	for (size_t g = 0; g < COUNT_OF(groups); g++) {
		const char *id;
		json_t *item;
		json_object_foreach(json_object_get(before, groups[g].name), id, item) {
			if (strcmp(id, except) == 0)
				continue;
			for (size_t k = 0; k < groups[g].count; k++) {
				double want = answer_by_id(before, groups[g].name, id, groups[g].keys[k]);
				double got = answer_by_id(after, groups[g].name, id, groups[g].keys[k]);
				if (differ(got, want, tolerance))
					fail_msg("%s.%s.%s: %.15g became %.15g", groups[g].name, id,
					         groups[g].keys[k], want, got);
			}
		}
	}
}

/* A plan and Farend's answer to it, before a change. */
struct before { struct plan plan; json_t *answer; struct arena *arena; struct chance chance; };

static struct before start(uint64_t seed)
{
	struct before b = { .arena = arena_new(), .chance = { seed } };
	generate_plan(&b.plan, b.arena, seed);
	b.answer = answer_to_plan(&b.plan, 0);
	return b;
}

static void finish(struct before *b, json_t *after)
{
	json_decref(b->answer);
	json_decref(after);
	arena_free(b->arena);
}

static void turn_end(struct plan_end *end, size_t strip, size_t units)
{
	if (end->kind != AT_STRIP || end->item != strip)
		return;
	end->mark = units - end->mark;
	end->off_mark = -end->off_mark;
}

static void a_strip_may_lie_the_other_way_round(void **state)
{
	(void)state;
	for (uint64_t seed = 1; seed <= JOBS; seed++) {
		struct before b = start(seed);
		size_t strip = chance_below(&b.chance, b.plan.strip_count);
		for (size_t i = 0; i < b.plan.cable_count; i++) {
			turn_end(&b.plan.cables[i].from, strip, b.plan.strips[strip].units);
			turn_end(&b.plan.cables[i].to, strip, b.plan.strips[strip].units);
		}
		json_t *after = answer_to_plan(&b.plan, 0);
		assert_same(b.answer, after, SAME, "");
		finish(&b, after);
	}
}

static void the_order_of_the_file_does_not_matter(void **state)
{
	(void)state;
	for (uint64_t seed = 101; seed <= 100 + JOBS; seed++) {
		struct before b = start(seed);
		json_t *after = answer_to_plan(&b.plan, chance_next(&b.chance) | 1);
		assert_same(b.answer, after, SAME, "");
		finish(&b, after);
	}
}

/* Half the length and half the joint resistance on either side of a new block. */
static void a_cable_may_be_cut_in_two(void **state)
{
	(void)state;
	for (uint64_t seed = 201; seed <= 200 + JOBS; seed++) {
		struct before b = start(seed);
		struct plan *p = &b.plan;
		size_t cut = chance_below(&b.chance, p->cable_count);
		struct plan_end middle = { .kind = AT_BLOCK, .item = plan_add_block(p) };
		struct plan_cable half = p->cables[cut];
		half.length = said("mm", 1, half.length.si * 500);
		half.length.si /= 1000;
		half.joint = NULL;
		half.joint_resistance = said("mohm", 1e-3, half.joint_ohm * 500);
		p->cables[cut] = half;
		p->cables[cut].to = middle;
		half.from = middle;
		plan_add_cable(p, half);
		plan_derive(p);

		json_t *after = answer_to_plan(p, 0);
		char id[24];
		snprintf(id, sizeof id, "C%zu", cut + 1);
		assert_same(b.answer, after, 2e-9, id);
		double amps = answer_by_id(b.answer, "cables", id, "current_a");
		assert_within("near half", answer_by_id(after, "cables", id, "current_a"), amps, 2e-8);
		assert_within("far half", answer_number(after, "cables", 'C', p->cable_count - 1, "current_a"),
		              amps, 2e-8);
		finish(&b, after);
	}
}

/* The only cable at a strip, or NULL when it has more. */
static struct plan_cable *only_feed(struct plan *p, size_t strip)
{
	struct plan_cable *only = NULL;
	for (size_t i = 0; i < p->cable_count; i++) {
		struct plan_cable *c = &p->cables[i];
		for (int side = 0; side < 2; side++) {
			struct plan_end *end = side ? &c->to : &c->from;
			if (end->kind != AT_STRIP || end->item != strip)
				continue;
			if (only)
				return NULL;
			only = c;
		}
	}
	return only;
}

/* All current of a strip with one feed comes from the feed's far end; what is added there cannot be
 * lost on the way to it that is already there. */
static void a_second_feed_never_dims_its_strip(void **state)
{
	(void)state;
	size_t tried = 0, brighter = 0;
	for (uint64_t seed = 301; tried < FEEDS; seed++) {
		struct before b = start(seed);
		struct plan *p = &b.plan;
		size_t strip = chance_below(&b.chance, p->strip_count);
		struct plan_cable *feed = only_feed(p, strip);
		json_t *after = NULL;
		if (feed) {
			struct plan_cable second = *feed;
			bool at_from = feed->from.kind == AT_STRIP && feed->from.item == strip;
			struct plan_end *end = at_from ? &second.from : &second.to;
			end->mark = end->mark > p->strips[strip].units / 2 ? 0 : p->strips[strip].units;
			plan_add_cable(p, second);
			plan_derive(p);
			after = answer_to_plan(p, 0);
			double was = answer_number(b.answer, "strips", 'L', strip, "light_min");
			double is = answer_number(after, "strips", 'L', strip, "light_min");
			assert_true(is >= was - SAME);
			brighter += is > was + 1e-6;
			tried++;
		}
		finish(&b, after);
	}
	assert_true(brighter > FEEDS / 2);
}

static void more_load_never_raises_a_voltage(void **state)
{
	(void)state;
	for (uint64_t seed = 601; seed <= 600 + JOBS; seed++) {
		struct before b = start(seed);
		struct plan *p = &b.plan;
		size_t strip = chance_below(&b.chance, p->strip_count);
		struct plan_strip *s = &p->strips[strip];
		double watts = *s->power.text ? s->power.si : p->types[s->type].power.si;
		s->power = said("W/m", 1, floor(watts * 150) / 100);
		json_t *after = answer_to_plan(p, 0);
		for (size_t i = 0; i < p->strip_count; i++) {
			double low = answer_number(b.answer, "strips", 'L', i, "v_min");
			double high = answer_number(b.answer, "strips", 'L', i, "v_max");
			assert_true(answer_number(after, "strips", 'L', i, "v_min") <= low + SAME);
			assert_true(answer_number(after, "strips", 'L', i, "v_max") <= high + SAME);
		}
		assert_true(answer_number(after, "strips", 'L', strip, "current_a") >=
		            answer_number(b.answer, "strips", 'L', strip, "current_a") - SAME);
		finish(&b, after);
	}
}

static void scale(struct said *s, const char *unit, double unsaid, double by)
{
	*s = said(unit, 1, (*s->text ? s->si : unsaid) * by);
}

/* Twice every resistance and half of every current: the same voltages. */
static void voltages_depend_on_ohms_times_amperes_only(void **state)
{
	(void)state;
	for (uint64_t seed = 701; seed <= 700 + JOBS; seed++) {
		struct before b = start(seed);
		struct plan *p = &b.plan;
		for (size_t i = 0; i < p->driver_count; i++)
			scale(&p->drivers[i].output_resistance, "ohm", 0, 2);
		for (size_t i = 0; i < p->switch_count; i++) {
			p->switches[i].on_resistance = said("ohm", 1, p->switches[i].ohm * 2);
			p->switches[i].voltage_drop.text[0] = '\0';
		}
		for (size_t i = 0; i < p->type_count; i++) {
			struct plan_type *t = &p->types[i];
			if (*t->copper.text)
				scale(&t->copper, "m", 0, 0.5);
			else
				scale(&t->loop, "ohm/m", 0.20, 2);
			scale(&t->power, "W/m", 0, 0.5);
		}
		for (size_t i = 0; i < p->strip_count; i++)
			if (*p->strips[i].power.text)
				scale(&p->strips[i].power, "W/m", 0, 0.5);
		for (size_t i = 0; i < p->cable_count; i++) {
			scale(&p->cables[i].length, "m", 0, 2);
			p->cables[i].joint = NULL;
			p->cables[i].joint_resistance = said("ohm", 1, p->cables[i].joint_ohm * 2);
		}
		json_t *after = answer_to_plan(p, 0);
		for (size_t i = 0; i < p->strip_count; i++) {
			static const char *const same[] = { "v_min", "v_max", "light_min", "light_mean", "dip" };
			for (size_t k = 0; k < COUNT_OF(same); k++)
				assert_false(differ(answer_number(after, "strips", 'L', i, same[k]),
				                    answer_number(b.answer, "strips", 'L', i, same[k]), 1e-7));
		}
		for (size_t i = 0; i < p->cable_count; i++)
			assert_within("half the current", answer_number(after, "cables", 'C', i, "current_a"),
			              answer_number(b.answer, "cables", 'C', i, "current_a") / 2, 1e-6);
		finish(&b, after);
	}
}

/* What a driver delivers its strips draw, to the last electron. */
static void no_current_is_lost(void **state)
{
	(void)state;
	for (uint64_t seed = 801; seed <= 800 + JOBS; seed++) {
		struct before b = start(seed);
		for (size_t d = 0; d < b.plan.driver_count; d++) {
			double amps = 0;
			for (size_t i = 0; i < b.plan.strip_count; i++)
				if (b.plan.strips[i].driver == d)
					amps += answer_number(b.answer, "strips", 'L', i, "current_a");
			assert_within("drawn", amps, answer_number(b.answer, "drivers", 'D', d, "output_a"), SAME);
		}
		finish(&b, NULL);
	}
}

static void every_fixture_is_solved_to_the_last_digit(void **state)
{
	(void)state;
	glob_t jobs;
	assert_int_equal(glob("fixtures/jobs/*.yaml", 0, NULL, &jobs), 0);
	for (size_t i = 0; i < jobs.gl_pathc; i++) {
		struct farend_job *job;
		struct farend_text text;
		assert_int_equal(farend_read(jobs.gl_pathv[i], &job), FAREND_OK);
		assert_int_equal(farend_check(job), FAREND_OK);
		assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
		json_t *answer = json_loadb(text.bytes, text.size, 0, NULL);
		json_t *proof = json_object_get(answer, "solution");
		assert_true(json_is_object(proof));
		assert_within("residual", json_number_value(json_object_get(proof, "residual_a")), 0, 1e-9);
		assert_within("balance", json_number_value(json_object_get(proof, "power_balance_w")), 0, 1e-8);
		json_decref(answer);
		farend_free(job);
	}
	globfree(&jobs);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_strip_may_lie_the_other_way_round),
		cmocka_unit_test(the_order_of_the_file_does_not_matter),
		cmocka_unit_test(a_cable_may_be_cut_in_two),
		cmocka_unit_test(a_second_feed_never_dims_its_strip),
		cmocka_unit_test(more_load_never_raises_a_voltage),
		cmocka_unit_test(voltages_depend_on_ohms_times_amperes_only),
		cmocka_unit_test(no_current_is_lost),
		cmocka_unit_test(every_fixture_is_solved_to_the_last_digit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
