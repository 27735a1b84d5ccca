/* What size_job() proposes, against every other choice: on small networks all combinations of sizes are tried
 * with the same solver and checks, and none that passes has less copper, or as little with fewer different
 * sizes. Driver steps are those of the trade's ladder (from memory, reference data section 8). */
#include "size_support.h"

#include "solve/solution.h"

#include <stdio.h>

/* ------- copper */

#define MOST_CABLES 4
#define MOST_SIZES 16

static void set_sizes(struct job *job, const size_t *wire, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		struct cable *cable = &job->cables[i];
		cable_resize(cable, wire[i], job->ambient.num);
	}
}

static bool passes(const struct job *job, struct arena *scratch)
{
	struct findings findings;
	arena_reset(scratch);
	check_job(job, solve_job(job, scratch), scratch, &findings);
	return findings_verdict(&findings) == VERDICT_OK;
}

/* Sum of length times area, m mm2. */
static double copper(const struct job *job)
{
	double sum = 0;
	for (size_t i = 0; i < job->cable_count; i++)
		sum += job->cables[i].length.num * wire_sizes[(size_t)job->cables[i].size.num].area_mm2;
	return sum;
}

static size_t different(const struct job *job)
{
	size_t count = 0;
	for (size_t i = 0; i < job->cable_count; i++) {
		size_t k = 0;
		while (k < i && job->cables[k].size.num != job->cables[i].size.num)
			k++;
		count += k == i;
	}
	return count;
}

struct best { double copper; size_t different, tried, good; };

/* Every combination of the sizes for the cables from `i` on. */
static void try_all(struct job *job, size_t i, size_t *wire, const size_t *sizes, size_t size_count,
                    struct arena *scratch, struct best *best)
{
	if (i < job->cable_count) {
		for (size_t k = 0; k < size_count; k++) {
			wire[i] = sizes[k];
			try_all(job, i + 1, wire, sizes, size_count, scratch, best);
		}
		return;
	}
	set_sizes(job, wire, job->cable_count);
	best->tried++;
	if (!passes(job, scratch))
		return;
	best->good++;
	double mass = copper(job);
	size_t count = different(job);
	if (mass < best->copper * (1 - 1e-9)) {
		best->copper = mass;
		best->different = count;
	} else if (mass < best->copper * (1 + 1e-9) && count < best->different) {
		best->different = count;
	}
}

/* Metric sizes from 0.5 mm2 (the default min_size) on, or what is on the shelf. */
static size_t list_sizes(const struct job *job, size_t *sizes)
{
	const struct attr *shelf = &job->limits[LIMIT_SIZES];
	size_t count = 0;
	for (size_t k = 0; attr_said(shelf) && k < shelf->point_count; k++)
		sizes[count++] = (size_t)shelf->points[k].x;
	for (size_t w = 0; w < wire_size_count && !attr_said(shelf); w++)
		if (wire_sizes[w].gauge == 0 && wire_sizes[w].area_mm2 >= 0.5)
			sizes[count++] = w;
	assert_in_range(count, 2, MOST_SIZES);
	return count;
}

static void assert_least(const char *text)
{
	struct sizing s;
	size_t sizes[MOST_SIZES], wire[MOST_CABLES];
	sizing_open(&s, text);
	size_job(s.job, s.solution, s.arena, &s.plan);
	if (s.plan.verdict != VERDICT_OK)
		fail_msg("does not pass: %s\n%s", s.plan.stuck[0], text);
	struct arena *scratch = arena_child(s.arena);
	struct job *job = job_copy(s.plan.sized, s.arena);
	struct best best = { .copper = INFINITY };
	assert_in_range(job->cable_count, 3, MOST_CABLES);
	try_all(job, 0, wire, sizes, list_sizes(job, sizes), scratch, &best);
	if (best.good == 0 || best.good == best.tried)
		fail_msg("%zu of %zu pass, which decides nothing\n%s", best.good, best.tried, text);
	if (fabs(copper(s.plan.sized) - best.copper) > 1e-9 * best.copper)
		fail_msg("%g m mm2 where %g would do\n%s", copper(s.plan.sized), best.copper, text);
	assert_int_equal(different(s.plan.sized), best.different);
	assert_true(s.plan.optimal);
	sizing_close(&s);
}

#define WARM "strip_types: {warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, loop_resistance: 0.11 ohm/m, " \
	"led_knee: 16.5 V, mount: aluminium}}\n"
#define COOL "strip_types: {warm: {voltage: 12 V, power: 7.2 W/m, cut_length: 50 mm, loop_resistance: 0.12 ohm/m, " \
	"led_knee: 8.25 V}}\n"
#define PSU(volts, watts) "drivers: {D1: {voltage: " volts ", power: " watts ", selv: yes}}\n"
#define BLOCK "blocks: {B1: {ports: 6, max_current: 10 A}}\n"

static void test_least_copper_by_exhaustion(void **state)
{
	(void)state;
	/* a trunk and two branches of unlike length */
	assert_least(WARM PSU("24 V", "75 W") BLOCK
	             "strips: {L1: {type: warm, length: 3 m}, L2: {type: warm, length: 2.5 m}}\n"
	             "cables:\n  C1: {size: 4 mm2, from: D1, to: B1, length: 9 m}\n"
	             "  C2: {size: 1 mm2, from: B1, to: L1, length: 4 m}\n"
	             "  C3: {size: 1 mm2, from: B1, to: L2, length: 7 m}\n");
	/* a chain through a switch */
	assert_least(COOL PSU("12 V", "30 W") BLOCK
	             "switches: {S1: {max_current: 5 A, on_resistance: 35 mohm}}\n"
	             "strips: {L1: {type: warm, length: 2 m}}\n"
	             "cables:\n  C1: {size: 1 mm2, from: D1, to: S1, length: 4 m, joint: screw}\n"
	             "  C2: {size: 1 mm2, from: S1, to: B1, length: 1.5 m, joint: screw}\n"
	             "  C3: {size: 1 mm2, from: B1, to: L1, length: 3 m, joint: solder}\n");
	/* equal lengths: many choices cost the same, the fewest sizes win */
	assert_least(COOL PSU("12 V", "30 W") BLOCK
	             "strips: {L1: {type: warm, length: 2 m}}\n"
	             "switches: {S1: {max_current: 5 A, on_resistance: 35 mohm}}\n"
	             "cables:\n  C1: {size: 1 mm2, from: D1, to: S1, length: 3 m}\n"
	             "  C2: {size: 1 mm2, from: S1, to: B1, length: 3 m}\n"
	             "  C3: {size: 1 mm2, from: B1, to: L1, length: 3 m}\n");
	/* the same strip fed from both ends, and one beside it in view */
	assert_least(WARM PSU("24 V", "100 W") BLOCK
	             "strips: {L1: {type: warm, length: 6 m, view: shelf}, L2: {type: warm, length: 1 m, view: shelf}}\n"
	             "cables:\n  C1: {size: 1 mm2, from: D1, to: B1, length: 6 m}\n"
	             "  C2: {size: 1 mm2, from: B1, to: L1.start, length: 1 m}\n"
	             "  C3: {size: 1 mm2, from: B1, to: L1.end, length: 7 m}\n"
	             "  C4: {size: 1 mm2, from: B1, to: L2, length: 2 m}\n");
	/* a driver that gives way, so that its branches hang together */
	assert_least(WARM "drivers: {D1: {voltage: 24 V, power: 100 W, output_resistance: 0.1 ohm, selv: yes}}\n"
	             "strips: {L1: {type: warm, length: 3 m}, L2: {type: warm, length: 2 m}, "
	             "L3: {type: warm, length: 1.5 m}}\n"
	             "cables:\n  C1: {size: 1 mm2, from: D1, to: L1, length: 12 m}\n"
	             "  C2: {size: 1 mm2, from: D1, to: L2, length: 14 m}\n"
	             "  C3: {size: 1 mm2, from: D1, to: L3, length: 25 m}\n");
	/* strips chained on, behind a cable of its own each */
	assert_least(WARM PSU("24 V", "60 W")
	             "strips: {L1: {type: warm, length: 1.5 m}, L2: {type: warm, length: 1.5 m}, "
	             "L3: {type: warm, length: 1 m}}\n"
	             "cables:\n  C1: {size: 1 mm2, from: D1, to: L1, length: 8 m}\n"
	             "  C2: {size: 1 mm2, from: L1.end, to: L2, length: 2 m}\n"
	             "  C3: {size: 1 mm2, from: L2.end, to: L3, length: 3 m}\n");
	/* what is on the shelf */
	assert_least(WARM PSU("24 V", "75 W") BLOCK "limits: {sizes: [0.75 mm2, 1.5 mm2, 2.5 mm2]}\n"
	             "strips: {L1: {type: warm, length: 3 m}, L2: {type: warm, length: 2.5 m}}\n"
	             "cables:\n  C1: {size: 1.5 mm2, from: D1, to: B1, length: 11 m}\n"
	             "  C2: {size: 1.5 mm2, from: B1, to: L1, length: 4 m}\n"
	             "  C3: {size: 1.5 mm2, from: B1, to: L2, length: 7 m}\n");
	/* a fuse upstream */
	assert_least(COOL "drivers: {D1: {voltage: 12 V, power: 60 W, trip_current: 20 A, selv: yes}}\n" BLOCK
	             "strips: {L1: {type: warm, length: 2 m}, L2: {type: warm, length: 2 m}, "
	             "L3: {type: warm, length: 2 m}}\n"
	             "cables:\n  C1: {size: 1.5 mm2, from: D1, to: B1, length: 1 m, fuse: 5 A}\n"
	             "  C2: {size: 1.5 mm2, from: B1, to: L1, length: 1 m}\n"
	             "  C3: {size: 1.5 mm2, from: B1, to: L2, length: 2 m}\n"
	             "  C4: {size: 1.5 mm2, from: B1, to: L3, length: 500 mm}\n");
}

/* With a price for every size it is money that counts: 1.5 mm2 at nearly the price of 0.75 mm2 makes another mix
 * the best one. The prices rise with the size. */
static void test_least_price(void **state)
{
	(void)state;
	static const char parts[] =
		"cable_types:\n"
		"  a: {size: 0.5 mm2, price: 0.50}\n  b: {size: 0.75 mm2, price: 1.20}\n  c: {size: 1 mm2, price: 1.25}\n"
		"  d: {size: 1.5 mm2, price: 1.30}\n  e: {size: 2.5 mm2, price: 30, pack: 10 m}\n"
		"  f: {size: 4 mm2, price: 5}\n  g: {size: 6 mm2, price: 9}\n";
	static const char job[] =
		COOL PSU("12 V", "30 W") BLOCK
		"switches: {S1: {max_current: 5 A, on_resistance: 35 mohm}}\n"
		"strips: {L1: {type: warm, length: 2 m}}\n"
		"cables:\n  C1: {size: 1 mm2, from: D1, to: S1, length: 4 m}\n"
		"  C2: {size: 1 mm2, from: S1, to: B1, length: 1.5 m}\n"
		"  C3: {size: 1 mm2, from: B1, to: L1, length: 3 m}\n";
	struct sizing s;
	char text[4096];
	snprintf(text, sizeof(text), "%s%s", parts, job);
	sizing_open(&s, text);
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_int_equal(s.plan.verdict, VERDICT_OK);
	static const double price[] = { 0.50, 1.20, 1.25, 1.30, 3.00, 5, 9 };    /* from 0.5 mm2 up */
	size_t first = wire_named("0.5 mm2"), wire[3];
	struct arena *scratch = arena_child(s.arena);
	struct job *trial = job_copy(s.plan.sized, s.arena);
	double least = INFINITY, got = 0;
	for (size_t i = 0; i < 3; i++)
		got += trial->cables[i].length.num * price[(size_t)s.plan.sized->cables[i].size.num - first];
	for (size_t k = 0; k < 7 * 7 * 7; k++) {
		double sum = 0;
		wire[0] = first + k % 7;
		wire[1] = first + k / 7 % 7;
		wire[2] = first + k / 49;
		for (size_t i = 0; i < 3; i++)
			sum += trial->cables[i].length.num * price[wire[i] - first];
		set_sizes(trial, wire, 3);
		if (sum < least && passes(trial, scratch))
			least = sum;
	}
	assert_near(got, least, 1e-9, 0);
	sizing_close(&s);

	double by_copper = 0;
	sizing_open(&s, job);
	size_job(s.job, s.solution, s.arena, &s.plan);
	for (size_t i = 0; i < 3; i++)
		by_copper += s.job->cables[i].length.num * price[(size_t)s.plan.sized->cables[i].size.num - first];
	assert_true(by_copper > got * 1.01);
	sizing_close(&s);
}

/* The same on a row of bays, too many for exhaustion: none alone can be thinner. */
static void test_no_cable_can_be_thinner(void **state)
{
	(void)state;
	struct sizing s;
	sizing_open(&s, WARM PSU("24 V", "200 W")
	            "blocks: {B1: {ports: 5, max_current: 12 A}, B2: {ports: 5, max_current: 12 A}}\n"
	            "strips: {L1: {type: warm, length: 3 m}, L2: {type: warm, length: 2 m}, L3: {type: warm, length: "
	            "4 m}, L4: {type: warm, length: 1 m}}\n"
	            "cables:\n  C1: {size: 1 mm2, from: D1, to: B1, length: 9 m}\n"
	            "  C2: {size: 1 mm2, from: B1, to: B2, length: 6 m}\n"
	            "  C3: {size: 1 mm2, from: B1, to: L1, length: 5 m}\n"
	            "  C4: {size: 1 mm2, from: B1, to: L2, length: 3 m}\n"
	            "  C5: {size: 1 mm2, from: B2, to: L3, length: 2 m}\n"
	            "  C6: {size: 1 mm2, from: B2, to: L4, length: 8 m}\n");
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_int_equal(s.plan.verdict, VERDICT_OK);
	size_t sizes[MOST_SIZES], could = 0;
	list_sizes(s.job, sizes);
	size_t thinnest = sizes[0];
	struct arena *scratch = arena_child(s.arena);
	for (size_t i = 0; i < s.job->cable_count; i++) {
		size_t now = (size_t)s.plan.sized->cables[i].size.num;
		struct job *job = job_copy(s.plan.sized, s.arena);
		if (now == thinnest)
			continue;
		could++;
		size_t wire[6];
		for (size_t k = 0; k < 6; k++)
			wire[k] = (size_t)job->cables[k].size.num;
		wire[i] = now - 1;
		set_sizes(job, wire, 6);
		if (passes(job, scratch))
			fail_msg("%s could be %s", job->cables[i].item.id, wire_sizes[now - 1].name);
	}
	assert_true(could > 0);
	sizing_close(&s);
}

/* Came fixed to a part: stays, whatever it is. Nothing goes under min_size. */
static void test_supplied_and_least_sizes(void **state)
{
	(void)state;
	struct sizing s;
	sizing_open(&s, WARM PSU("24 V", "60 W") BLOCK "limits: {min_size: 1 mm2}\n"
	            "strips: {L1: {type: warm, length: 1 m}, L2: {type: warm, length: 1 m}}\n"
	            "cables:\n  C1: {size: 2.5 mm2, from: D1, to: B1, length: 1 m}\n"
	            "  C2: {size: 0.75 mm2, from: B1, to: L1, length: 200 mm, supplied: yes}\n"
	            "  C3: {size: 0.75 mm2, from: B1, to: L2, length: 1 m}\n");
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_string_equal(wire_sizes[s.plan.cables[0].proposed].name, "1 mm2");
	assert_string_equal(wire_sizes[s.plan.cables[1].proposed].name, "0.75 mm2");
	assert_string_equal(wire_sizes[s.plan.cables[2].proposed].name, "1 mm2");
	sizing_close(&s);
}

/* ------- drivers */

/* Watts proposed for strips of 10 W/m on short cables, started from a driver that is too small. */
static double driver_for(const char *volts, double load)
{
	char text[4096];
	size_t strips = (size_t)(load / 5);
	size_t length = (size_t)snprintf(text, sizeof(text),
		"strip_types: {t: {voltage: %s, power: 10 W/m, cut_length: 50 mm, loop_resistance: 0.02 ohm/m, "
		"mount: aluminium, series_leds: 3}}\ndrivers: {D1: {voltage: %s, power: 6 W, selv: yes}}\nstrips:\n",
		volts, volts);
	for (size_t i = 0; i < strips; i++)
		length += (size_t)snprintf(text + length, sizeof(text) - length, "  L%zu: {type: t, length: 500 mm}\n", i);
	length += (size_t)snprintf(text + length, sizeof(text) - length, "cables:\n");
	for (size_t i = 0; i < strips; i++)
		length += (size_t)snprintf(text + length, sizeof(text) - length,
		                           "  C%zu: {size: 2.5 mm2, from: D1, to: L%zu, length: 300 mm}\n", i, i);
	struct sizing s;
	sizing_open(&s, text);
	size_job(s.job, s.solution, s.arena, &s.plan);
	if (s.plan.verdict != VERDICT_OK)
		fail_msg("%s", s.plan.stuck[0]);
	assert_null(s.plan.drivers[0].part);
	double watts = s.plan.drivers[0].proposed_w;
	sizing_close(&s);
	return watts;
}

/* Load / 0.8, then the next step: definition A of reference data section 8. Definition B (load x 1.2) would
 * give 30 W and 60 W for the first two. */
static void test_headroom_ladder(void **state)
{
	(void)state;
	static const struct { double load, watts; } cases[] = { { 25, 36 }, { 50, 75 }, { 80, 100 } };
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_near(driver_for("24 V", cases[i].load), cases[i].watts, 0, 0);
		assert_near(driver_for("12 V", cases[i].load), cases[i].watts, 0, 0);
	}
}

/* Drivers of the file's own types come before the ladder, the smallest that does. */
static void test_driver_of_the_file(void **state)
{
	(void)state;
	struct sizing s;
	sizing_open(&s, WARM "driver_types: {n40: {voltage: 24 V, power: 40 W}, n90: {voltage: 24 V, power: 90 W}, "
	            "n120: {voltage: 24 V, power: 120 W}, n60: {voltage: 12 V, power: 60 W}}\n"
	            "drivers: {D1: {type: n40}}\nstrips: {L1: {type: warm, length: 4.5 m}}\n"
	            "cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 500 mm}}\n");
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_near(s.plan.drivers[0].proposed_w, 90, 0, 0);     /* 43.2 W / 0.8 = 54 W */
	assert_string_equal(s.plan.drivers[0].part, "n90");
	sizing_close(&s);
}

/* Beyond the largest driver of the ladder nothing is made up: it stays, the reason is given, and how to share
 * the load out is told but not put in place. */
static void test_nothing_is_big_enough(void **state)
{
	(void)state;
	struct sizing s;
	char text[8192];
	size_t length = (size_t)snprintf(text, sizeof(text), WARM PSU("24 V", "320 W") "strips:\n");
	for (size_t i = 0; i < 10; i++)
		length += (size_t)snprintf(text + length, sizeof(text) - length, "  L%zu: {type: warm, length: 4 m}\n", i);
	length += (size_t)snprintf(text + length, sizeof(text) - length, "cables:\n");
	for (size_t i = 0; i < 10; i++)
		length += (size_t)snprintf(text + length, sizeof(text) - length,
		                           "  C%zu: {size: 4 mm2, from: D1, to: L%zu, length: 300 mm}\n", i, i);
	sizing_open(&s, text);
	size_job(s.job, s.solution, s.arena, &s.plan);
	assert_int_not_equal(s.plan.verdict, VERDICT_OK);        /* 384 W / 0.8 = 480 W */
	assert_near(s.plan.drivers[0].proposed_w, 320, 0, 0);
	assert_non_null(s.plan.drivers[0].split);
	assert_true(s.plan.stuck_count > 0);
	assert_int_equal(s.plan.sized->driver_count, 1);
	sizing_close(&s);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_least_copper_by_exhaustion),
		cmocka_unit_test(test_least_price),
		cmocka_unit_test(test_no_cable_can_be_thinner),
		cmocka_unit_test(test_supplied_and_least_sizes),
		cmocka_unit_test(test_headroom_ladder),
		cmocka_unit_test(test_driver_of_the_file),
		cmocka_unit_test(test_nothing_is_big_enough),
	};
	return cmocka_run_group_tests_name("size", tests, NULL, NULL);
}
