/* One state of the switches: against the design case, against the smaller job that a state amounts to, and
 * worse cores against worse joints. */
#include "load_support.h"

#include "solve/solution.h"
#include "solve/state.h"

#define TYPES "strip_types: {w: {voltage: 24 V, power: 14.4 W/m, cut_length: 50 mm, " \
              "loop_resistance: 0.2 ohm/m}}\n"
#define SWITCH "{max_current: 5 A, on_resistance: 50 mohm}"
#define PORTS "{ports: 4, max_current: 10 A}"

static size_t find(const struct job *job, enum kind kind, const char *id)
{
	for (size_t i = 0; i < job_count(job, kind); i++)
		if (strcmp(job_item(job, kind, i)->id, id) == 0)
			return i;
	fail_msg("no item '%s'", id);
	return NO_INDEX;
}

static size_t terminal(const struct job *job, const char *name)
{
	for (size_t t = 0; t < job->terminal_count; t++)
		if (strcmp(job->terminals[t].name, name) == 0)
			return t;
	fail_msg("no terminal '%s'", name);
	return NO_INDEX;
}

/* A job with some of its switches off. */
struct lit {
	struct job_reading read;
	const struct job *job;
	bool on[8];
	struct state_solution *state;
};

static struct lit open_job(const char *text)
{
	struct lit l = { .read = read_text(text) };
	for (size_t i = 0; i < l.read.diags.count; i++)
		print_error("%u: %s\n", l.read.diags.items[i].place.line, l.read.diags.items[i].message);
	assert_int_equal(l.read.status, LOAD_OK);
	l.job = l.read.job;
	for (size_t i = 0; i < 8; i++)
		l.on[i] = true;
	return l;
}

/* `off`: ids between blanks */
static void light_up(struct lit *l, const char *off)
{
	for (size_t i = 0; i < l->job->switch_count; i++)
		l->on[i] = !strstr(off, l->job->switches[i].item.id);
	l->state = solve_state(l->job, l->on, NULL, 0, NO_INDEX, l->read.arena);
	assert_true(l->state->converged);
	assert_near(l->state->residual_a, 0, 0, 1e-9);
}

static struct lit lit_job(const char *text, const char *off)
{
	struct lit l = open_job(text);
	light_up(&l, off);
	return l;
}

static double volts(const struct lit *l, const char *name)
{
	return l->state->terminal_v[terminal(l->job, name)];
}

static double amps(const struct lit *l, const char *id)
{
	return l->state->cable_a[find(l->job, KIND_CABLE, id)];
}

static double strip_amps(const struct lit *l, const char *id)
{
	return l->state->strip_a[find(l->job, KIND_STRIP, id)];
}

/* Every terminal that both jobs have: the same voltage, or none in both. */
static void assert_same_volts(const struct lit *got, const struct lit *want)
{
	size_t compared = 0;
	for (size_t t = 0; t < want->job->terminal_count; t++)
		for (size_t g = 0; g < got->job->terminal_count; g++) {
			if (strcmp(want->job->terminals[t].name, got->job->terminals[g].name) != 0)
				continue;
			double a = got->state->terminal_v[g], b = want->state->terminal_v[t];
			assert_int_equal(isnan(a), isnan(b));
			if (!isnan(a))
				assert_near(a, b, 0, 1e-9);
			compared++;
		}
	assert_true(compared >= 4);
}

/* Two circuits; taps, a strip fed from both ends, a ring, a switch within a switch. */
#define HOUSE TYPES \
	"drivers: {D1: {voltage: 24 V, power: 150 W, output_resistance: 30 mohm}, " \
	          "D2: {voltage: 24 V, power: 60 W, set_voltage: 23 V}}\n" \
	"switches: {S1: " SWITCH ", S2: " SWITCH ", S3: " SWITCH "}\n" \
	"blocks: {B1: " PORTS ", B2: " PORTS ", B3: " PORTS "}\n" \
	"strips:\n  L1: {type: w, length: 2 m}\n  L2: {type: w, length: 3 m}\n" \
	"  L3: {type: w, length: 1 m}\n  L4: {type: w, length: 1.5 m}\n" \
	"cables:\n" \
	"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 4 m}\n" \
	"  C2: {size: 0.75 mm2, from: S1, to: B1, length: 1 m}\n" \
	"  C3: {size: 0.75 mm2, from: B1, to: L1@0.6m, length: 1 m}\n" \
	"  C4: {size: 0.75 mm2, from: L2.start, to: B1, length: 1 m}\n" \
	"  C5: {size: 0.75 mm2, from: B1, to: L2.end, length: 4 m}\n" \
	"  C6: {size: 0.75 mm2, from: B1, to: S2, length: 1 m}\n" \
	"  C7: {size: 0.75 mm2, from: S2, to: L3, length: 1 m}\n" \
	"  C8: {size: 0.75 mm2, from: D2, to: B2, length: 1 m}\n" \
	"  C9: {size: 0.75 mm2, from: D2, to: B3, length: 2 m}\n" \
	"  C10: {size: 0.75 mm2, from: B2, to: B3, length: 2 m}\n" \
	"  C11: {size: 0.75 mm2, from: B3, to: S3, length: 1 m}\n" \
	"  C12: {size: 0.75 mm2, from: S3, to: L4, length: 1 m}\n"

static void assert_design_case(const struct lit *l, const struct solution *s)
{
	const struct job *job = l->job;
	for (size_t i = 0; i < job->cable_count; i++) {
		assert_near(l->state->cable_a[i], s->cables[i].amps, 0, 1e-9);
		assert_near(l->state->cable_minus_a[i], s->cables[i].amps, 0, 1e-9);
		assert_near(l->state->terminal_v[job->cables[i].a], s->cables[i].v_from, 0, 1e-9);
		assert_near(l->state->terminal_v[job->cables[i].b], s->cables[i].v_to, 0, 1e-9);
	}
	for (size_t i = 0; i < job->switch_count; i++)
		assert_near(l->state->switch_a[i], s->switches[i].amps, 0, 1e-9);
	for (size_t i = 0; i < job->driver_count; i++)
		assert_near(l->state->driver_a[i], s->drivers[i].output_a, 0, 1e-9);
	for (size_t i = 0; i < job->strip_count; i++)
		assert_near(l->state->strip_a[i], s->strips[i].current_a, 0, 1e-9);
	for (size_t t = 0; t < job->terminal_count; t++)
		assert_near(l->state->terminal_v[t], s->terminals[t].volts, 0, 1e-9);
}

static void test_all_on_is_the_design_case(void **state)
{
	(void)state;
	struct lit l = lit_job(HOUSE, "");
	struct solution *s = solve_job(l.job, l.read.arena);
	assert_design_case(&l, s);
	assert_true(l.state->driver_a[0] > 2);
	l.state = solve_state(l.job, NULL, NULL, 0, NO_INDEX, l.read.arena);
	assert_design_case(&l, s);
	done(&l.read);
}

/* One circuit of several, named by any of its terminals: the same figures, and the other is dead. */
static void test_only_one_circuit(void **state)
{
	(void)state;
	struct lit all = lit_job(HOUSE, "S2"), one = all;
	static const char *const names[] = { "D1", "L1@0.6m", "L3.end", "S2.out" };
	for (size_t i = 0; i < 4; i++) {
		one.state = solve_state(all.job, all.on, NULL, 0, terminal(all.job, names[i]), all.read.arena);
		assert_true(one.state->converged);
		assert_near(volts(&one, "L2.end"), volts(&all, "L2.end"), 0, 0);
		assert_near(amps(&one, "C4"), amps(&all, "C4"), 0, 0);
		assert_near(one.state->switch_a[0], all.state->switch_a[0], 0, 0);
		assert_near(strip_amps(&one, "L1"), strip_amps(&all, "L1"), 0, 0);
		assert_near(one.state->driver_a[0], all.state->driver_a[0], 0, 0);
		assert_true(isnan(volts(&one, "B2")) && isnan(volts(&one, "D2")) && isnan(volts(&one, "L3.start")));
		assert_true(amps(&one, "C8") == 0 && strip_amps(&one, "L4") == 0 && one.state->driver_a[1] == 0);
	}
	done(&all.read);
}

/* Off, and with it what lies behind it, closed switches too; the others draw as in the job without it. */
static void test_what_is_off_is_not_there(void **state)
{
	(void)state;
	struct lit l = lit_job(HOUSE, "S1");
	assert_near(volts(&l, "S1.in"), 24, 0, 1e-12);
	static const char *const dead[] = { "S1.out", "B1", "L1.start", "L1@0.6m", "L2.end", "S2.in", "S2.out",
	                                    "L3.end" };
	for (size_t i = 0; i < sizeof dead / sizeof *dead; i++)
		assert_true(isnan(volts(&l, dead[i])));
	for (size_t i = 0; i < 7; i++)
		assert_true(l.state->cable_a[i] == 0 && l.state->cable_minus_a[i] == 0);
	assert_true(l.state->driver_a[0] == 0 && l.state->switch_a[0] == 0 && l.state->switch_a[1] == 0);
	assert_true(l.state->driver_a[1] > 0.5);                 /* the other circuit has S3 on */
	light_up(&l, "S2 S3");
	assert_true(isnan(volts(&l, "L3.start")) && isnan(volts(&l, "L4.start")));
	assert_near(volts(&l, "B2"), 23, 0, 1e-12);
	assert_true(strip_amps(&l, "L2") > 1 && strip_amps(&l, "L3") == 0 && strip_amps(&l, "L4") == 0);
	struct lit less = lit_job(TYPES
		"drivers: {D1: {voltage: 24 V, power: 150 W, output_resistance: 30 mohm}}\n"
		"switches: {S1: " SWITCH "}\nblocks: {B1: " PORTS "}\n"
		"strips:\n  L1: {type: w, length: 2 m}\n  L2: {type: w, length: 3 m}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 4 m}\n"
		"  C2: {size: 0.75 mm2, from: S1, to: B1, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: B1, to: L1@0.6m, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: L2.start, to: B1, length: 1 m}\n"
		"  C5: {size: 0.75 mm2, from: B1, to: L2.end, length: 4 m}\n", "");
	assert_same_volts(&l, &less);
	assert_near(amps(&l, "C4"), amps(&less, "C4"), 0, 1e-9);
	assert_true(amps(&l, "C4") < -0.5);
	done(&l.read);
	done(&less.read);
}

/* Switches in series: D1 - S1 - S2 - S3 - L1. Any one of them off darkens what lies behind it. */
static void test_in_series(void **state)
{
	(void)state;
	struct lit l = lit_job(TYPES "drivers: {D1: {voltage: 24 V, power: 60 W}}\n"
		"switches: {S1: " SWITCH ", S2: " SWITCH ", S3: " SWITCH "}\n"
		"strips:\n  L1: {type: w, length: 2 m}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: S1, to: S2, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: S2, to: S3, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: S3, to: L1, length: 1 m}\n", "S2");
	assert_near(volts(&l, "S2.in"), 24, 0, 1e-12);
	assert_true(isnan(volts(&l, "S2.out")) && isnan(volts(&l, "S3.out")) && isnan(volts(&l, "L1.start")));
	light_up(&l, "S1 S3");
	assert_near(volts(&l, "S1.in"), 24, 0, 1e-12);
	assert_true(isnan(volts(&l, "S1.out")) && isnan(volts(&l, "S2.in")));
	light_up(&l, "S1 S2 S3");
	assert_true(l.state->driver_a[0] == 0 && strip_amps(&l, "L1") == 0);
	assert_near(volts(&l, "D1"), 24, 0, 0);
	done(&l.read);
}

/* A ring D1 - S1 - B1 - S2 - B2 - S3 - D1 with a strip at each block. Any one switch off leaves both lit, on
 * the long way round; two off leave one block, or none. */
#define RING_HEAD TYPES "drivers: {D1: {voltage: 24 V, power: 150 W}}\n" \
	"blocks: {B1: " PORTS ", B2: " PORTS "}\n" \
	"strips:\n  L1: {type: w, length: 2 m}\n  L2: {type: w, length: 3 m}\n"
#define RING_CABLES "cables:\n" \
	"  A: {size: 0.75 mm2, from: B1, to: L1, length: 1 m}\n" \
	"  B: {size: 0.75 mm2, from: B2, to: L2, length: 1 m}\n" \
	"  C: {size: 0.75 mm2, from: D1, to: S1, length: 1 m}\n" \
	"  D: {size: 0.75 mm2, from: S1, to: B1, length: 1 m}\n" \
	"  E: {size: 0.75 mm2, from: B1, to: S2, length: 2 m}\n" \
	"  F: {size: 0.75 mm2, from: S2, to: B2, length: 2 m}\n"

static void test_in_a_ring(void **state)
{
	(void)state;
	struct lit l = lit_job(RING_HEAD "switches: {S1: " SWITCH ", S2: " SWITCH ", S3: " SWITCH "}\n" RING_CABLES
		"  G: {size: 0.75 mm2, from: B2, to: S3, length: 3 m}\n"
		"  H: {size: 0.75 mm2, from: S3, to: D1, length: 3 m}\n", "S3");
	struct lit line = lit_job(RING_HEAD "switches: {S1: " SWITCH ", S2: " SWITCH "}\n" RING_CABLES, "");
	assert_same_volts(&l, &line);
	assert_near(volts(&l, "S3.out"), 24, 0, 1e-12);          /* no current, alive from either side */
	assert_near(volts(&l, "S3.in"), volts(&l, "B2"), 0, 1e-12);
	assert_true(amps(&l, "F") > 1);
	light_up(&l, "S1");
	assert_true(amps(&l, "F") < -0.5 && strip_amps(&l, "L1") > 0.5);
	assert_near(volts(&l, "S1.out"), volts(&l, "B1"), 0, 1e-12);
	light_up(&l, "S1 S2");
	assert_true(isnan(volts(&l, "L1.start")) && strip_amps(&l, "L2") > 1);
	assert_near(volts(&l, "S2.out"), volts(&l, "B2"), 0, 1e-12);
	assert_true(isnan(volts(&l, "S2.in")));
	light_up(&l, "S1 S3");
	assert_true(isnan(volts(&l, "L1.start")) && isnan(volts(&l, "L2.start")));
	done(&l.read);
	done(&line.read);
}

/* Without a driver, or with two, nothing is foreseen. */
static void test_only_one_driver_is_foreseen(void **state)
{
	(void)state;
	struct lit l = lit_job(TYPES
		"drivers: {D1: {voltage: 24 V, power: 60 W}, D2: {voltage: 24 V, power: 60 W}}\n"
		"switches: {S1: " SWITCH "}\nblocks: {B1: " PORTS "}\n"
		"strips:\n  L1: {type: w, length: 2 m}\n  L2: {type: w, length: 1 m}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: L1.start, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: D2, to: S1, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: S1, to: L1.end, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: B1, to: L2, length: 1 m}\n", "S1");
	for (size_t t = 0; t < l.job->terminal_count; t++)
		assert_true(isnan(l.state->terminal_v[t]));
	assert_true(l.state->driver_a[0] == 0 && strip_amps(&l, "L2") == 0);
	l.state = solve_state(l.job, NULL, NULL, 0, terminal(l.job, "L2.end"), l.read.arena);
	assert_true(l.state->converged && isnan(volts(&l, "L2.end")));
	done(&l.read);
}

static struct state_solution *with_extra(struct lit *l, const char *cable, double plus, double minus,
                                         const char *only)
{
	struct core_extra extra = { find(l->job, KIND_CABLE, cable), plus, minus };
	l->state = solve_state(l->job, l->on, &extra, 1, only ? terminal(l->job, only) : NO_INDEX, l->read.arena);
	assert_true(l->state->converged);
	return l->state;
}

/* C3 and C6 are no part of a loop: 0.3 ohm in one core is 0.3 ohm more in both together. */
static void test_a_core_outside_loops_is_a_loop_resistance(void **state)
{
	(void)state;
	static const char *const ids[] = { "C1", "C3", "C6" };
	struct lit l = open_job(HOUSE);
	for (size_t i = 0; i < 3; i++)
		for (int minus = 0; minus < 2; minus++) {
			struct state_solution *one = with_extra(&l, ids[i], minus ? 0 : 0.3, minus ? 0.3 : 0, NULL);
			double *ohm = &l.read.job->cables[find(l.job, KIND_CABLE, ids[i])].ohm, was = *ohm;
			*ohm += 0.3;
			struct state_solution *both = solve_state(l.job, NULL, NULL, 0, NO_INDEX, l.read.arena);
			*ohm = was;
			for (size_t t = 0; t < l.job->terminal_count; t++)
				assert_near(one->terminal_v[t], both->terminal_v[t], 0, 1e-12);
			for (size_t c = 0; c < l.job->cable_count; c++) {
				assert_near(one->cable_a[c], both->cable_a[c], 0, 1e-12);
				assert_near(one->cable_minus_a[c], both->cable_a[c], 0, 1e-12);
			}
		}
	done(&l.read);
}

/* C4, the strip's rails and C5 are a loop. With R once round it, e in one core of C4 loses what
 * e R / (R + e) in the loop would (test_two_rail.c), in the circuit of its own only. */
static void test_a_core_in_a_loop(void **state)
{
	(void)state;
	struct lit l = open_job(HOUSE);
	struct cable *c4 = &l.read.job->cables[3], *c5 = &l.read.job->cables[4];
	double round = c4->ohm + c5->ohm + 3 * 0.2, e = 0.42;
	struct state_solution *plus = with_extra(&l, "C4", e, 0, NULL);
	struct state_solution *minus = with_extra(&l, "C4", 0, e, "L2.start");
	double was = c4->ohm;
	c4->ohm += e * round / (e + round);
	struct state_solution *loop = solve_state(l.job, NULL, NULL, 0, NO_INDEX, l.read.arena);
	c4->ohm = was;
	for (size_t t = 0; t < l.job->terminal_count; t++)
		assert_near(plus->terminal_v[t], loop->terminal_v[t], 0, 1e-9);
	double more = -e * loop->cable_a[3] / (e + round);       /* round by C4, C5 and the rail */
	assert_true(fabs(more) > 0.1);
	assert_near(plus->cable_a[3], loop->cable_a[3] + more, 0, 1e-9);
	assert_near(plus->cable_minus_a[3], loop->cable_a[3] - more, 0, 1e-9);
	assert_near(plus->cable_a[4], loop->cable_a[4] + more, 0, 1e-9);
	assert_near(plus->cable_a[1], plus->cable_minus_a[1], 0, 1e-9);
	assert_near(plus->strip_a[1], loop->strip_a[1], 0, 1e-9);
	assert_near(minus->terminal_v[terminal(l.job, "L2.end")], plus->terminal_v[terminal(l.job, "L2.end")], 0,
	            1e-10);
	assert_near(minus->cable_a[3], plus->cable_minus_a[3], 0, 1e-10);
	done(&l.read);
}

/* A loop that an open switch breaks is none: in the ring with S3 off, S2's cable is on the only way. */
static void test_a_broken_loop_is_none(void **state)
{
	(void)state;
	struct lit l = open_job(RING_HEAD "switches: {S1: " SWITCH ", S2: " SWITCH ", S3: " SWITCH "}\n" RING_CABLES
		"  G: {size: 0.75 mm2, from: B2, to: S3, length: 3 m}\n"
		"  H: {size: 0.75 mm2, from: S3, to: D1, length: 3 m}\n");
	struct state_solution *closed = with_extra(&l, "E", 0.5, 0, NULL);
	assert_true(fabs(closed->cable_a[4] - closed->cable_minus_a[4]) > 0.05);
	l.on[2] = false;
	struct state_solution *open = with_extra(&l, "E", 0.5, 0, NULL);
	assert_near(open->cable_a[4], open->cable_minus_a[4], 0, 0);
	assert_true(open->cable_a[4] > 1);
	assert_near(open->cable_a[6], 0, 0, 1e-9);               /* leads to the open switch */
	l.on[1] = false;                                         /* the cable itself is dead now */
	with_extra(&l, "F", 0.5, 0, NULL);
	assert_true(isnan(volts(&l, "B2")));
	done(&l.read);
}

/* One network without an answer is enough, be it the first or the last. */
static void test_no_answer_in_one_network(void **state)
{
	(void)state;
	for (size_t bad = 0; bad < 2; bad++) {
		struct lit l = open_job(TYPES
			"drivers: {D1: {voltage: 24 V, power: 60 W}, D2: {voltage: 24 V, power: 60 W}}\n"
			"strips: {L1: {type: w, length: 1 m}, L2: {type: w, length: 1 m}}\n"
			"cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}\n"
			"  C2: {size: 0.75 mm2, from: D2, to: L2, length: 1 m}\n");
		light_up(&l, " ");
		l.read.job->strips[bad].law.amps = NAN;
		assert_false(solve_state(l.job, l.on, NULL, 0, NO_INDEX, l.read.arena)->converged);
		assert_false(solve_job(l.job, l.read.arena)->converged);
		arena_free(l.read.arena);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_no_answer_in_one_network),
		cmocka_unit_test(test_all_on_is_the_design_case),
		cmocka_unit_test(test_only_one_circuit),
		cmocka_unit_test(test_what_is_off_is_not_there),
		cmocka_unit_test(test_in_series),
		cmocka_unit_test(test_in_a_ring),
		cmocka_unit_test(test_only_one_driver_is_foreseen),
		cmocka_unit_test(test_a_core_outside_loops_is_a_loop_resistance),
		cmocka_unit_test(test_a_core_in_a_loop),
		cmocka_unit_test(test_a_broken_loop_is_none),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
