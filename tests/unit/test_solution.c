/* Operating cases, fault currents and what guards what, on small jobs with answers worked out by hand or
 * by solving the smaller job that a case amounts to. */
#include "support.h"

#include "load/load.h"
#include "solve/solution.h"
#include "solve/state.h"

#include <stdio.h>

struct solved {
	struct arena *arena;
	struct job *job;
	struct solution *solution;
};

static struct solved solve_text(const char *text)
{
	struct solved s = { .arena = arena_new() };
	struct diags diags;
	diags_init(&diags, s.arena);
	struct load_text input = { "test.yaml", text, strlen(text) };
	enum load_status status = load_job(s.arena, &input, &diags, &s.job);
	for (size_t i = 0; i < diags.count; i++)
		print_error("%u: %s\n", diags.items[i].place.line, diags.items[i].message);
	assert_int_equal(status, LOAD_OK);
	s.solution = solve_job(s.job, s.arena);
	return s;
}

static size_t find(const struct solved *s, enum kind kind, const char *id)
{
	for (size_t i = 0; i < job_count(s->job, kind); i++)
		if (strcmp(job_item(s->job, kind, i)->id, id) == 0)
			return i;
	fail_msg("no item '%s'", id);
	return NO_INDEX;
}

static const struct strip_result *strip(const struct solved *s, const char *id)
{
	return &s->solution->strips[find(s, KIND_STRIP, id)];
}

static const struct cable_result *cable(const struct solved *s, const char *id)
{
	return &s->solution->cables[find(s, KIND_CABLE, id)];
}

#define TYPES "strip_types: {w: {voltage: 24 V, power: 14.4 W/m, cut_length: 50 mm, " \
              "loop_resistance: 0.2 ohm/m}}\n"
#define DRIVER "drivers: {D1: {voltage: 24 V, power: 150 W}}\n"
#define SWITCH "{max_current: 5 A, on_resistance: 50 mohm}"

/* Two bays behind one shared cable. What S1 lights alone is the job without the other bay. */
#define BAY1 "  L1: {type: w, length: 2 m}\n"
#define BAY2 "  L2: {type: w, length: 3 m}\n"
#define SHARED "cables:\n  C0: {size: 0.75 mm2, from: D1, to: B0, length: 4 m}\n"
#define TO1 "  C1: {size: 0.75 mm2, from: B0, to: S1, length: 1 m}\n" \
            "  C2: {size: 0.75 mm2, from: S1, to: L1, length: 1 m}\n"
#define TO2 "  C3: {size: 0.75 mm2, from: B0, to: S2, length: 1 m}\n" \
            "  C4: {size: 0.75 mm2, from: S2, to: L2, length: 1 m}\n"
#define BLOCK "blocks: {B0: {ports: 4, max_current: 10 A}}\n"

/* Label watts count in amperes too, at the driver's voltage: 14.4 W/m x 2 m / 24 V = 1.2 A, though behind a long
 * thin cable less flows. */
static void test_load_in_amperes_is_at_least_the_label(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES DRIVER "strips:\n" BAY1
		"cables:\n  C1: {size: 0.5 mm2, from: D1, to: L1, length: 10 m}\n");
	const struct driver_result *d = &s.solution->drivers[0];
	assert_true(d->output_a < 1.19);
	assert_near(d->worst_a, 14.4 * 2 / 24, 1e-12, 0);
	assert_near(d->worst_w, 14.4 * 2, 1e-12, 0);
	arena_free(s.arena);
}

static void test_dip_is_against_the_case_alone(void **state)
{
	(void)state;
	struct solved both = solve_text(TYPES DRIVER BLOCK "switches: {S1: " SWITCH ", S2: " SWITCH "}\n"
		"strips:\n" BAY1 BAY2 SHARED TO1 TO2);
	struct solved one = solve_text(TYPES DRIVER BLOCK "switches: {S1: " SWITCH "}\n"
		"strips:\n" BAY1 SHARED TO1);
	double alone = strip(&one, "L1")->light_mean, all = strip(&both, "L1")->light_mean;
	assert_true(strip(&both, "L1")->has_dip);
	assert_true(alone > all + 0.01);
	assert_near(strip(&both, "L1")->dip, (alone - all) / alone, 1e-9, 0);
	assert_near(both.solution->strips[0].v_max_worst, strip(&one, "L1")->v_max, 1e-9, 0);
	assert_int_equal(strip(&both, "L1")->dip_switch, find(&both, KIND_SWITCH, "S1"));

	const struct cable_result *shared = cable(&both, "C0"), *own = cable(&both, "C1");
	assert_near(shared->worst_a, fabs(shared->amps), 1e-12, 0);       /* heaviest with all on */
	assert_near(own->worst_a, fabs(cable(&one, "C1")->amps), 1e-9, 0); /* heaviest alone */
	assert_near(both.solution->switches[0].least_a, fabs(own->amps), 1e-9, 0);
	assert_near(strip(&one, "L1")->dip, 0, 0, 1e-12);
	arena_free(both.arena);
	arena_free(one.arena);
}

/* S2 lies behind S1: its case has both on, so that nothing else comes on and L2 does not dip; in the case
 * of S1 L2 is dark. A strip without a switch has no dip. */
static void test_nested_and_unswitched(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES DRIVER BLOCK "switches: {S1: " SWITCH ", S2: " SWITCH "}\n"
		"strips:\n" BAY1 BAY2 "  L3: {type: w, length: 1 m}\n"
		"cables:\n"
		"  C0: {size: 0.75 mm2, from: D1, to: S1, length: 4 m}\n"
		"  C1: {size: 0.75 mm2, from: S1, to: B0, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: B0, to: L1, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: B0, to: S2, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: S2, to: L2, length: 1 m}\n"
		"  C5: {size: 0.75 mm2, from: D1, to: L3, length: 1 m}\n");
	assert_near(strip(&s, "L2")->dip, 0, 0, 1e-12);
	assert_true(strip(&s, "L2")->has_dip);
	assert_true(strip(&s, "L1")->dip > 0.01);
	assert_false(strip(&s, "L3")->has_dip);
	size_t s2 = find(&s, KIND_SWITCH, "S2");
	assert_near(s.solution->switches[s2].least_a, s.solution->switches[s2].worst_a, 1e-9, 0);
	arena_free(s.arena);
}

/* Three switches in a row, a strip of 2 m behind each. Each is lit alone with those before its switch: what the
 * job without the others gives. In what order they are declared and which way round they are joined is all
 * the same. */
static void test_switches_in_a_row(void **state)
{
	(void)state;
	static const char *const switches[] = {
		"switches: {S1: " SWITCH ", S2: " SWITCH ", S3: " SWITCH "}\n",
		"switches: {S3: " SWITCH ", S2: " SWITCH ", S1: " SWITCH "}\n",
	};
	static const char *const cables[] = {
		"  C1: {size: 0.75 mm2, from: D1, to: S1.in, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: S1.out, to: L1, length: 1 m}\n",
		"  C3: {size: 0.75 mm2, from: L1, to: S2.out, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: S2.in, to: L2, length: 1 m}\n",
		"  C5: {size: 0.75 mm2, from: L2, to: S3.in, length: 1 m}\n"
		"  C6: {size: 0.75 mm2, from: S3.out, to: L3, length: 1 m}\n",
	};
	for (size_t order = 0; order < 2; order++) {
		struct solved s[3];
		for (size_t k = 0; k < 3; k++) {
			char text[2048];
			snprintf(text, sizeof(text), TYPES DRIVER "%sstrips: {L1: {type: w, length: 2 m}, "
			         "L2: {type: w, length: 2 m}, L3: {type: w, length: 2 m}}\ncables:\n%s%s%s",
			         switches[order], cables[0], k > 0 ? cables[1] : "", k > 1 ? cables[2] : "");
			s[k] = solve_text(text);
		}
		for (size_t k = 0; k < 3; k++) {
			const char *id = (const char *[]){ "L1", "L2", "L3" }[k];
			const char *by = (const char *[]){ "S1", "S2", "S3" }[k];
			double alone = strip(&s[k], id)->light_mean, all = strip(&s[2], id)->light_mean;
			assert_true(strip(&s[2], id)->has_dip);
			assert_near(strip(&s[2], id)->dip, (alone - all) / alone, 1e-9, 1e-12);
			assert_int_equal(strip(&s[2], id)->dip_switch, find(&s[2], KIND_SWITCH, by));
			assert_near(s[2].solution->switches[find(&s[2], KIND_SWITCH, "S1")].least_a,
			            strip(&s[0], "L1")->current_a, 1e-9, 0);
		}
		assert_true(strip(&s[2], "L1")->dip > strip(&s[2], "L2")->dip);
		for (size_t k = 0; k < 3; k++)
			arena_free(s[k].arena);
	}
}

/* Where a driver has one switch only nothing else can come on: its strips do not dip, which is a figure; that of
 * a strip without a switch is none. On each driver alike. */
static void test_a_lone_switch_has_no_dip(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES "drivers: {D1: {voltage: 24 V, power: 150 W}, "
		"D2: {voltage: 24 V, power: 150 W}}\n"
		"switches: {S1: " SWITCH ", S2: " SWITCH "}\n"
		"strips:\n" BAY1 BAY2 "  L3: {type: w, length: 1 m}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: S1, to: L1, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: D2, to: S2, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: S2, to: L2, length: 1 m}\n"
		"  C5: {size: 0.75 mm2, from: D2, to: L3, length: 1 m}\n");
	const char *const lit[] = { "L1", "L2" }, *const by[] = { "S1", "S2" };
	for (size_t i = 0; i < 2; i++) {
		assert_true(strip(&s, lit[i])->has_dip);
		assert_near(strip(&s, lit[i])->dip, 0, 0, 0);
		assert_int_equal(strip(&s, lit[i])->dip_switch, find(&s, KIND_SWITCH, by[i]));
	}
	assert_false(strip(&s, "L3")->has_dip);
	arena_free(s.arena);
}

/* Two-way: either switch lights the strip, so each counts, and the larger dip is kept. */
static void test_parallel_switches(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES DRIVER BLOCK "switches: {S1: " SWITCH ", S2: " SWITCH "}\n"
		"strips:\n" BAY1
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: D1, to: S2, length: 9 m}\n"
		"  C3: {size: 0.75 mm2, from: S1, to: B0, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: S2, to: B0, length: 1 m}\n"
		"  C5: {size: 0.75 mm2, from: B0, to: L1, length: 1 m}\n");
	/* alone, either way in is worse than both together: light is gained when the other comes on */
	assert_true(strip(&s, "L1")->has_dip);
	assert_true(strip(&s, "L1")->dip < 0);
	assert_int_equal(strip(&s, "L1")->dip_switch, find(&s, KIND_SWITCH, "S1"));
	arena_free(s.arena);
}

/* 0.75 mm2 at 20 C: 52 mohm/m loop, and 20 mohm of joints in each cable. */
static double run_ohm(double metres)
{
	return 0.052 * metres + 0.020;
}

static void test_fault_current_of_a_tree(void **state)
{
	(void)state;
	struct solved s = solve_text("job: {ambient: 20 C}\n" TYPES
		"drivers: {D1: {voltage: 24 V, power: 150 W, output_resistance: 30 mohm}}\n"
		BLOCK "switches: {S1: " SWITCH "}\nstrips:\n" BAY1 SHARED TO1);
	double to_b0 = run_ohm(4), to_in = to_b0 + run_ohm(1), to_l1 = to_in + 0.050 + run_ohm(1);
	assert_near(cable(&s, "C0")->fault_a, 24 / (0.030 + to_b0), 1e-9, 0);
	assert_near(cable(&s, "C1")->fault_a, 24 / (0.030 + to_in), 1e-9, 0);
	assert_near(cable(&s, "C2")->fault_a, 24 / (0.030 + to_l1), 1e-9, 0);
	assert_false(cable(&s, "C2")->in_loop);
	assert_true(cable(&s, "C2")->from_nearer);
	assert_int_equal(s.solution->upstream[find(&s, KIND_CABLE, "C0")], NO_INDEX);
	assert_int_equal(s.solution->upstream[find(&s, KIND_CABLE, "C1")], find(&s, KIND_CABLE, "C0"));
	assert_int_equal(s.solution->upstream[find(&s, KIND_CABLE, "C2")], find(&s, KIND_CABLE, "C1"));
	arena_free(s.arena);
}

/* A cable to a block with nothing on it: no current in use, all the same a fault. */
static void test_fault_current_of_one_cable(void **state)
{
	(void)state;
	struct solved s = solve_text("job: {ambient: 20 C}\n" TYPES DRIVER BLOCK "strips:\n" BAY1 SHARED);
	assert_near(cable(&s, "C0")->fault_a, 24 / run_ohm(4), 1e-9, 0);
	assert_near(cable(&s, "C0")->amps, 0, 0, 0);
	arena_free(s.arena);
}

/* Of two drivers alike one has 0.2 ohm inside, the other a cable with 0.2 ohm more. */
static void test_output_resistance_is_more_cable(void **state)
{
	(void)state;
	struct solved s = solve_text("job: {ambient: 20 C}\n" TYPES
		"drivers: {D1: {voltage: 24 V, power: 150 W, output_resistance: 0.2 ohm}, "
		"D2: {voltage: 24 V, power: 150 W}}\n"
		"strips:\n" BAY1 "  L2: {type: w, length: 2 m}\ncables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m, joint_resistance: 20 mohm}\n"
		"  C2: {size: 0.75 mm2, from: D2, to: L2, length: 1 m, joint_resistance: 220 mohm}\n");
	assert_near(strip(&s, "L1")->v_min, strip(&s, "L2")->v_min, 1e-12, 0);
	assert_near(strip(&s, "L1")->current_a, strip(&s, "L2")->current_a, 1e-12, 0);
	assert_near(s.solution->drivers[0].output_v, 24 - 0.2 * s.solution->drivers[0].output_a, 1e-12, 0);
	assert_near(s.solution->drivers[1].output_v, 24, 0, 0);
	arena_free(s.arena);
}

/* A strip fed from both ends makes a loop B0 - C2 - rails - C3 - B0. With r2, r3 and rails of 0.4 ohm the
 * two ends lie at r2 || (r3 + 0.4) and r3 || (r2 + 0.4) from B0. A cable behind the loop adds to that. */
static void test_fault_current_of_a_loop(void **state)
{
	(void)state;
	struct solved s = solve_text("job: {ambient: 20 C}\n" TYPES DRIVER BLOCK "strips:\n" BAY1 BAY2 SHARED
		"  C2: {size: 0.75 mm2, from: B0, to: L1.start, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: L1.end, to: B0, length: 3 m}\n"
		"  C4: {size: 0.75 mm2, from: L1.end, to: L2, length: 2 m}\n");
	double r2 = run_ohm(1), r3 = run_ohm(3), rails = 0.2 * 2.0, r0 = run_ohm(4);
	double start = r2 * (r3 + rails) / (r2 + r3 + rails), end = r3 * (r2 + rails) / (r2 + r3 + rails);
	assert_near(cable(&s, "C2")->fault_a, 24 / (r0 + start), 1e-9, 0);
	assert_near(cable(&s, "C3")->fault_a, 24 / (r0 + end), 1e-9, 0);
	assert_near(cable(&s, "C4")->fault_a, 24 / (r0 + end + run_ohm(2)), 1e-9, 0);
	assert_true(cable(&s, "C2")->in_loop);
	assert_true(cable(&s, "C3")->in_loop);
	assert_false(cable(&s, "C3")->from_nearer);
	assert_false(cable(&s, "C4")->in_loop);
	/* in the loop and behind it only what lies before the loop guards */
	for (const char **id = (const char *[]){ "C2", "C3", "C4", NULL }; *id; id++)
		assert_int_equal(s.solution->upstream[find(&s, KIND_CABLE, *id)], find(&s, KIND_CABLE, "C0"));
	arena_free(s.arena);
}

static void test_unfed_and_double_fed_have_no_figures(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES "drivers: {D1: {voltage: 24 V, power: 60 W}, "
		"D2: {voltage: 24 V, power: 60 W}, D3: {voltage: 24 V, power: 60 W}}\n"
		BLOCK "strips:\n" BAY1 BAY2 "  L3: {type: w, length: 1 m}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: L1.start, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: D2, to: L1.end, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: B0, to: L2, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: D3, to: L3, length: 1 m}\n");
	assert_false(strip(&s, "L1")->live);
	assert_false(strip(&s, "L2")->live);
	assert_true(strip(&s, "L3")->live);
	assert_true(isnan(cable(&s, "C1")->fault_a));
	assert_true(isnan(cable(&s, "C3")->fault_a));
	/* D1, D2 and L1; D3 and L3; B0 and L2 */
	size_t items = 0, joined = 0;
	for (size_t c = 0; c < s.solution->circuit_count; c++) {
		items += s.solution->circuits[c].item_count;
		joined += s.solution->circuits[c].item_count > 1;
	}
	assert_int_equal(items, 3 + 1 + 3);
	assert_int_equal(joined, 3);
	assert_true(isnan(s.solution->terminals[s.job->strips[1].terminal].volts));
	assert_true(s.solution->converged);
	assert_int_equal(s.solution->cut_units, 20);
	arena_free(s.arena);
}

/* What flows in: L1 takes 1.2 A or so from a block that passes the rest on. */
static void test_block_current_is_its_inflow(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES DRIVER BLOCK "strips:\n" BAY1 BAY2 SHARED
		"  C1: {size: 0.75 mm2, from: B0, to: L1, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: L2, to: B0, length: 1 m}\n");
	assert_near(s.solution->blocks[0].amps, cable(&s, "C0")->amps, 1e-9, 0);
	assert_near(s.solution->blocks[0].amps, cable(&s, "C1")->amps - cable(&s, "C2")->amps, 1e-9, 0);
	assert_near(s.solution->drivers[0].output_a,
	            strip(&s, "L1")->current_a + strip(&s, "L2")->current_a, 1e-9, 0);
	arena_free(s.arena);
}

/* One state as a whole solution: figures of what is lit only, as solve_state() finds them; no dip, and worst
 * figures are the state's. S2 lies behind S1 and is off, L3 has no switch. */
static void test_a_whole_solution_in_one_state(void **state)
{
	(void)state;
	struct solved s = solve_text(TYPES DRIVER BLOCK "switches: {S1: " SWITCH ", S2: " SWITCH "}\n"
		"strips:\n" BAY1 BAY2 "  L3: {type: w, length: 1 m}\n"
		"cables:\n"
		"  C0: {size: 0.75 mm2, from: D1, to: S1, length: 4 m}\n"
		"  C1: {size: 0.75 mm2, from: S1, to: B0, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: B0, to: L1, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: B0, to: S2, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: S2, to: L2, length: 1 m}\n"
		"  C5: {size: 0.75 mm2, from: D1, to: L3, length: 1 m}\n");
	const bool on[] = { true, false };
	const struct solution *one = solve_job_in_state(s.job, on, s.arena);
	const struct state_solution *meter = solve_state(s.job, on, NULL, 0, NO_INDEX, s.arena);
	assert_true(one->converged && one->circuits[0].solved);
	for (size_t t = 0; t < s.job->terminal_count; t++) {
		assert_int_equal(isnan(one->terminals[t].volts), isnan(meter->terminal_v[t]));
		if (!isnan(meter->terminal_v[t]))
			assert_near(one->terminals[t].volts, meter->terminal_v[t], 0, 1e-9);
	}
	for (size_t i = 0; i < s.job->cable_count; i++) {
		assert_near(one->cables[i].worst_a, fabs(meter->cable_a[i]), 0, 1e-9);
		assert_int_equal(one->cables[i].live, i != find(&s, KIND_CABLE, "C4"));
		assert_near(one->cables[i].fault_a, s.solution->cables[i].fault_a, 0, 0);
	}
	for (size_t i = 0; i < s.job->strip_count; i++) {
		assert_int_equal(one->strips[i].live, i != find(&s, KIND_STRIP, "L2"));
		assert_false(one->strips[i].has_dip);
	}
	assert_int_equal(one->cut_units, 40 + 20);
	assert_true(one->switches[0].live && !one->switches[1].live);
	assert_near(one->switches[0].worst_a, one->switches[0].amps, 0, 0);
	assert_near(one->switches[0].least_a, one->switches[0].amps, 0, 0);
	assert_near(one->drivers[0].output_a, meter->driver_a[0], 0, 1e-9);
	assert_near(one->drivers[0].nameplate_w, 14.4 * 3, 1e-12, 0);
	assert_near(one->drivers[0].worst_w, one->drivers[0].load_w, 0, 0);
	assert_near(one->drivers[0].least_w, one->drivers[0].output_w, 0, 0);
	assert_near(one->strips[0].v_max_worst, one->strips[0].v_max, 0, 0);
	/* the same with the second one on as with nothing said, but for the cases that there are then not */
	const bool both[] = { true, true };
	one = solve_job_in_state(s.job, both, s.arena);
	assert_near(one->strips[0].v_min, strip(&s, "L1")->v_min, 0, 1e-9);
	assert_true(strip(&s, "L1")->v_max_worst > one->strips[0].v_max_worst + 0.01);
	arena_free(s.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_load_in_amperes_is_at_least_the_label),
		cmocka_unit_test(test_dip_is_against_the_case_alone),
		cmocka_unit_test(test_nested_and_unswitched),
		cmocka_unit_test(test_switches_in_a_row),
		cmocka_unit_test(test_a_lone_switch_has_no_dip),
		cmocka_unit_test(test_parallel_switches),
		cmocka_unit_test(test_fault_current_of_a_tree),
		cmocka_unit_test(test_fault_current_of_one_cable),
		cmocka_unit_test(test_output_resistance_is_more_cable),
		cmocka_unit_test(test_fault_current_of_a_loop),
		cmocka_unit_test(test_unfed_and_double_fed_have_no_figures),
		cmocka_unit_test(test_block_current_is_its_inflow),
		cmocka_unit_test(test_a_whole_solution_in_one_state),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
