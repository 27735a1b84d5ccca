/* The rows of the schedule: order, ends, lengths, protection, ports, what each switch lights, mains
 * current. Jobs are small enough to read their wiring off the page. */
#include "farend.h"

#include "api/job.h"
#include "report/schedule.h"

#include "support.h"

#define PARTS \
	"strip_types:\n" \
	"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, reel: 5 m, loop_resistance: 0.11 ohm/m}\n" \
	"cable_types:\n" \
	"  run: {size: 0.75 mm2, length: 2 m}\n"
#define DRIVER "drivers: {D1: {voltage: 24 V, power: 60 W, place: plinth}}\n"

struct built {
	struct farend_job *owner;
	struct schedule schedule;
};

static struct built build(struct farend_job *owner)
{
	struct built built = { .owner = owner };
	assert_int_equal(farend_check(owner), FAREND_OK);
	schedule_build(&built.schedule, &owner->result, owner->arena);
	return built;
}

static struct built built_text(const char *text)
{
	struct farend_job *owner;
	struct farend_text problems;
	enum farend_status status = farend_read_text("job.yaml", text, strlen(text), &owner);
	if (status != FAREND_OK && farend_diagnostics(owner, NULL, &problems) == FAREND_OK)
		print_error("%s", problems.bytes);
	assert_int_equal(status, FAREND_OK);
	return build(owner);
}

static struct built built_file(const char *path)
{
	struct farend_job *owner;
	assert_int_equal(farend_read(path, &owner), FAREND_OK);
	return build(owner);
}

static const char *cable_id(const struct schedule *s, size_t row)
{
	return s->check->job->cables[s->cables[row].cable].item.id;
}

static const struct schedule_cable *the_cable(const struct schedule *s, const char *id)
{
	for (size_t i = 0; i < s->check->job->cable_count; i++)
		if (strcmp(cable_id(s, i), id) == 0)
			return &s->cables[i];
	fail_msg("no cable %s", id);
	return NULL;
}

static void assert_order(const struct schedule *s, const char *const *ids, size_t count)
{
	assert_int_equal(s->check->job->cable_count, count);
	for (size_t i = 0; i < count; i++)
		assert_string_equal(cable_id(s, i), ids[i]);
}

/* Read off the job file: the runs from the plinth first, then bay by bay. */
static void test_demo_is_pulled_from_the_driver_outward(void **state)
{
	static const char *const order[] = { "C1", "C5", "C9", "C2", "C3", "C4", "C6", "C7", "C8", "C10",
	                                     "C11", "C12", "C13" };
	(void)state;
	struct built b = built_file("fixtures/jobs/boot-room.yaml");
	assert_order(&b.schedule, order, 13);
	assert_string_equal(schedule_place(&b.schedule.cables[0]), "pantry plinth");
	assert_string_equal(schedule_place(&b.schedule.cables[3]), "bay 1");
	assert_string_equal(schedule_place(&b.schedule.cables[12]), "pantry");
	farend_free(b.owner);
}

/* Written in any order and either direction: the near end is the driver's side. What no driver reaches
 * comes last, whatever its place. */
static void test_order_and_ends_do_not_depend_on_how_the_job_is_written(void **state)
{
	static const char *const order[] = { "first", "own", "tail", "lost" };
	(void)state;
	struct built b = built_text(
		PARTS DRIVER
		"blocks: {B1: {ports: 4, max_current: 6 A, place: bay}, B9: {ports: 2, max_current: 6 A, place: bay}}\n"
		"strips: {L1: {type: warm, length: 1 m, place: top}, L2: {type: warm, length: 1 m}}\n"
		"cables:\n"
		"  lost: {type: run, from: L2, to: B9}\n"
		"  tail: {type: run, from: L1.start, to: B1}\n"
		"  own: {type: run, from: B1, to: L1.end, place: plinth}\n"
		"  first: {type: run, from: B1, to: D1}\n");
	const struct schedule *s = &b.schedule;
	assert_order(s, order, 4);
	assert_string_equal(schedule_end(s, s->cables[0].near), "D1");
	assert_string_equal(schedule_end(s, s->cables[0].far), "B1");
	assert_string_equal(schedule_end(s, s->cables[2].near), "B1");
	assert_string_equal(schedule_end(s, s->cables[2].far), "L1.start");
	assert_true(s->cables[2].reached);
	assert_false(s->cables[3].reached);
	assert_string_equal(schedule_place(&s->cables[3]), "Not joined to a driver");
	assert_true(isnan(s->cables[3].amps) && isnan(s->cables[3].drop_v));
	farend_free(b.owner);
}

/* 2 m with 10 % is 2.2 m, with 150 mm 2.15 m; the drop is for 2 m. Ohm's law: U = I R. */
static void test_slack_is_cut_but_drops_nothing(void **state)
{
	(void)state;
	struct built b = built_text(
		PARTS DRIVER
		"strips: {L1: {type: warm, length: 1 m}, L2: {type: warm, length: 1 m}, L3: {type: warm, length: 1 m}}\n"
		"cables:\n"
		"  share: {type: run, from: D1, to: L1, slack: 10 %}\n"
		"  fixed: {type: run, from: D1, to: L2, slack: 150 mm, colour: red/black}\n"
		"  plain: {type: run, from: D1, to: L3}\n");
	const struct schedule *s = &b.schedule;
	const struct schedule_cable *share = the_cable(s, "share"), *fixed = the_cable(s, "fixed");
	const struct schedule_cable *plain = the_cable(s, "plain");
	assert_near(share->cut_m, 2.2, 1e-12, 0);
	assert_near(fixed->cut_m, 2.15, 1e-12, 0);
	assert_near(plain->cut_m, 2.0, 1e-12, 0);
	assert_near(share->drop_v, plain->drop_v, 1e-12, 0);
	assert_near(plain->drop_v, plain->amps * s->check->job->cables[plain->cable].ohm, 1e-9, 0);
	assert_near(plain->drop, plain->drop_v / 24, 1e-12, 0);
	assert_string_equal(schedule_polarity(b.owner->arena, s, plain), "+ to +, - to -");
	assert_string_equal(schedule_polarity(b.owner->arena, s, fixed), "+ to +, - to - (red/black)");
	farend_free(b.owner);
}

/* The fuse of a cable guards what lies behind it; inside a loop it guards nothing, because current has
 * another way round (docs/checks.md, cable-unprotected). */
static void test_protection_is_the_next_fuse_towards_the_driver(void **state)
{
	(void)state;
	struct built b = built_text(
		PARTS "drivers: {D1: {voltage: 24 V, power: 60 W, trip_current: 4 A}}\n"
		"blocks: {B1: {ports: 4, max_current: 6 A}, B2: {ports: 4, max_current: 6 A}}\n"
		"strips: {L1: {type: warm, length: 1 m}, L2: {type: warm, length: 1 m}}\n"
		"cables:\n"
		"  bare: {type: run, from: D1, to: B1}\n"
		"  fused: {type: run, from: B2, to: B1, fuse: 2 A}\n"
		"  behind: {type: run, from: B2, to: L1}\n"
		"  loop1: {type: run, from: B2, to: L2.start, fuse: 1 A}\n"
		"  loop2: {type: run, from: B2, to: L2.end}\n");
	const struct schedule *s = &b.schedule;
	struct arena *arena = b.owner->arena;
	assert_string_equal(schedule_protection(arena, s, the_cable(s, "bare")), "driver D1, at most 4 A");
	assert_string_equal(schedule_protection(arena, s, the_cable(s, "fused")), "own fuse 2 A at B1");
	assert_string_equal(schedule_protection(arena, s, the_cable(s, "behind")), "fuse 2 A of fused");
	assert_string_equal(schedule_protection(arena, s, the_cable(s, "loop1")), "fuse 2 A of fused");
	farend_free(b.owner);

	/* 0.14 mm2 takes 1 A, the driver goes on to 4 A: the caution of the check is repeated */
	b = built_text(PARTS "drivers: {D1: {voltage: 24 V, power: 60 W, trip_current: 4 A}}\n"
	               "strips: {L1: {type: warm, length: 1 m}}\n"
	               "cables: {C1: {size: 0.14 mm2, from: D1, to: L1, length: 1 m}}\n");
	assert_string_equal(schedule_protection(b.owner->arena, &b.schedule, the_cable(&b.schedule, "C1")),
	                    "driver D1, at most 4 A: not enough");
	farend_free(b.owner);
}

static const char *feeds(const struct built *b, const char *cable)
{
	return schedule_feeds_text(b->owner->arena, &b->schedule, &the_cable(&b->schedule, cable)->feeds);
}

/* Strips lie behind cables, chained ones too; the second feed of a strip names that strip only. */
static void test_feeds_are_the_strips_behind_a_cable(void **state)
{
	(void)state;
	struct built b = built_text(
		PARTS DRIVER
		"blocks: {B1: {ports: 8, max_current: 6 A}}\n"
		"strips:\n"
		"  L6: {type: warm, length: 200 mm}\n"
		"  L5: {type: warm, length: 200 mm}\n"
		"  L4: {type: warm, length: 200 mm}\n"
		"  L3: {type: warm, length: 200 mm}\n"
		"  L2: {type: warm, length: 200 mm}\n"
		"  L1: {type: warm, length: 200 mm}\n"
		"cables:\n"
		"  all: {type: run, from: D1, to: B1}\n"
		"  one: {type: run, from: B1, to: L1}\n"
		"  chain: {type: run, from: L1.end, to: L2}\n"
		"  again: {type: run, from: B1, to: L2.end}\n"
		"  three: {type: run, from: B1, to: L3}\n"
		"  four: {type: run, from: B1, to: L4}\n"
		"  five: {type: run, from: B1, to: L5}\n"
		"  six: {type: run, from: B1, to: L6}\n");
	assert_string_equal(feeds(&b, "all"), "L6, L5, L4, L3, L2, L1");
	assert_string_equal(feeds(&b, "three"), "L3");
	assert_string_equal(feeds(&b, "one"), "L1");
	assert_string_equal(feeds(&b, "again"), "L2");
	farend_free(b.owner);

	b = built_text(
		PARTS DRIVER
		"switches: {S1: {max_current: 3 A}}\n"
		"strips:\n"
		"  L1: {type: warm, length: 200 mm}\n"
		"  L2: {type: warm, length: 200 mm}\n"
		"  L3: {type: warm, length: 200 mm}\n"
		"  L4: {type: warm, length: 200 mm}\n"
		"  L5: {type: warm, length: 200 mm}\n"
		"  L6: {type: warm, length: 200 mm}\n"
		"  L7: {type: warm, length: 200 mm}\n"
		"cables:\n"
		"  all: {type: run, from: D1, to: S1}\n"
		"  out: {type: run, from: S1, to: L7}\n"
		"  a: {type: run, from: L7.end, to: L6}\n"
		"  b: {type: run, from: L6.end, to: L5}\n"
		"  c: {type: run, from: L5.end, to: L4}\n"
		"  d: {type: run, from: L4.end, to: L3}\n"
		"  e: {type: run, from: L3.end, to: L2}\n"
		"  f: {type: run, from: L2.end, to: L1}\n");
	assert_string_equal(feeds(&b, "all"), "L1, L2, L3, L4, L5 and 2 more");
	assert_string_equal(feeds(&b, "c"), "L1, L2, L3, L4");
	farend_free(b.owner);
}

/* Of two switches in a row the second lights what lies behind it, the first what lies between. */
static void test_switches_control_their_own_strips(void **state)
{
	(void)state;
	struct built b = built_text(
		PARTS DRIVER
		"switches: {S1: {max_current: 3 A}, S2: {max_power: 48 W}}\n"
		"blocks: {B1: {ports: 4, max_current: 6 A}}\n"
		"strips: {L0: {type: warm, length: 1 m}, L1: {type: warm, length: 1 m}, L2: {type: warm, length: 1 m}}\n"
		"cables:\n"
		"  C0: {type: run, from: D1, to: L0}\n"
		"  C1: {type: run, from: D1, to: S1}\n"
		"  C2: {type: run, from: S1, to: B1}\n"
		"  C3: {type: run, from: B1, to: L1}\n"
		"  C4: {type: run, from: B1, to: S2}\n"
		"  C5: {type: run, from: S2, to: L2}\n");
	const struct schedule *s = &b.schedule;
	assert_int_equal(s->switches[0].strip_count, 1);
	assert_int_equal(s->switches[0].strips[0].index, 1);
	assert_int_equal(s->switches[1].strip_count, 1);
	assert_int_equal(s->switches[1].strips[0].index, 2);
	assert_near(s->switches[0].limit_a, 3, 1e-12, 0);
	assert_near(s->switches[1].limit_a, 2, 1e-12, 0);      /* 48 W / 24 V */
	farend_free(b.owner);
}

/* The incoming cable has the first port; what is left is free and one row, what is too much has none. */
static void test_ports_begin_with_the_incoming_cable(void **state)
{
	static const char *const cables[] = { "in", "a", "b", NULL, "a", "x" };
	static const size_t ports[] = { 1, 2, 3, 4, 1, 2 }, last[] = { 1, 2, 3, 9, 1, 2 };
	(void)state;
	struct built b = built_text(
		PARTS DRIVER
		"blocks: {B1: {ports: 9, max_current: 6 A}, B2: {ports: 1, max_current: 6 A}}\n"
		"strips: {L1: {type: warm, length: 1 m}, L2: {type: warm, length: 1 m}}\n"
		"cables:\n"
		"  a: {type: run, from: B1, to: B2}\n"
		"  b: {type: run, from: B1, to: L1}\n"
		"  in: {type: run, from: D1, to: B1}\n"
		"  x: {type: run, from: B2, to: L2}\n");
	const struct schedule *s = &b.schedule;
	assert_int_equal(s->port_count, 6);
	for (size_t i = 0; i < 6; i++) {
		assert_int_equal(s->ports[i].port, ports[i]);
		assert_int_equal(s->ports[i].last, last[i]);
		assert_int_equal(s->ports[i].missing, i == 5);
		if (cables[i] == NULL)
			assert_true(s->ports[i].cable == NO_INDEX);
		else
			assert_string_equal(cable_id(s, s->ports[i].cable), cables[i]);
	}
	farend_free(b.owner);
}

/* P = U I: a driver that puts out P at an efficiency of 80 % takes P / 0.8 from the mains. */
static void test_mains_current_follows_from_efficiency(void **state)
{
	(void)state;
	struct built b = built_text(
		PARTS
		"drivers:\n"
		"  D1: {voltage: 24 V, power: 60 W, efficiency: 80 %, mains: 100-240 V}\n"
		"  D2: {voltage: 24 V, power: 60 W, efficiency: 80 %}\n"
		"strips: {L1: {type: warm, length: 1 m}, L2: {type: warm, length: 1 m}}\n"
		"cables: {C1: {type: run, from: D1, to: L1}, C2: {type: run, from: D2, to: L2}}\n");
	const struct schedule_driver *row = b.schedule.drivers;
	double input = b.owner->solution->drivers[0].output_w / 0.8;
	assert_near(row[0].input_w, input, 1e-12, 0);
	assert_near(row[0].input_high_a, input / 100, 1e-12, 0);
	assert_near(row[0].input_low_a, input / 240, 1e-12, 0);
	assert_near(row[1].input_w, input, 1e-9, 0);
	assert_true(isnan(row[1].input_high_a) && isnan(row[1].input_low_a));
	farend_free(b.owner);
}

/* Fed at one end the far end is the lowest; fed alike at both, the middle (by symmetry). */
static void test_lowest_point_of_a_strip(void **state)
{
	(void)state;
	struct built b = built_text(
		PARTS DRIVER
		"strips: {L1: {type: warm, length: 2 m}, L2: {type: warm, length: 2.05 m}}\n"
		"cables:\n"
		"  C1: {type: run, from: D1, to: L1}\n"
		"  C2: {type: run, from: D1, to: L2.start}\n"
		"  C3: {type: run, from: D1, to: L2.end}\n");
	const struct schedule_strip *row = b.schedule.strips;
	const struct solution *solution = b.owner->solution;
	size_t start = b.owner->job->strips[0].terminal;
	assert_near(row[0].near_v, solution->terminals[start].volts, 1e-12, 0);
	assert_near(row[0].far_v, solution->terminals[start + 1].volts, 1e-12, 0);
	assert_near(row[0].far_m, 2.0, 1e-12, 0);
	assert_near(row[1].far_m, 2.05 / 2, 1e-12, 0);         /* 41 units: the 21st is the middle */
	assert_near(row[1].far_v, solution->strips[1].v_min, 1e-12, 0);
	farend_free(b.owner);
}

/* Parts with the same demands are one row, and every item is in exactly one. */
static void test_replacement_parts_cover_every_item_once(void **state)
{
	(void)state;
	struct built b = built_file("fixtures/jobs/boot-room.yaml");
	const struct schedule *s = &b.schedule;
	size_t items = 0, expected = 0;
	for (size_t i = 0; i < s->part_count; i++)
		items += s->parts[i].item_count;
	for (enum kind kind = 0; kind < KIND__END; kind++)
		expected += job_count(b.owner->job, kind);
	assert_int_equal(items, expected);
	/* read off the file: driver, strip, 2 sorts of switch, of block and of cable */
	assert_int_equal(s->part_count, 8);
	farend_free(b.owner);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_demo_is_pulled_from_the_driver_outward),
		cmocka_unit_test(test_order_and_ends_do_not_depend_on_how_the_job_is_written),
		cmocka_unit_test(test_slack_is_cut_but_drops_nothing),
		cmocka_unit_test(test_protection_is_the_next_fuse_towards_the_driver),
		cmocka_unit_test(test_feeds_are_the_strips_behind_a_cable),
		cmocka_unit_test(test_switches_control_their_own_strips),
		cmocka_unit_test(test_ports_begin_with_the_incoming_cable),
		cmocka_unit_test(test_mains_current_follows_from_efficiency),
		cmocka_unit_test(test_lowest_point_of_a_strip),
		cmocka_unit_test(test_replacement_parts_cover_every_item_once),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
