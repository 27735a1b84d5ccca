/* One core of a loop: volts alone, and currents too. */
#include "diagnose_support.h"

#define LOOP COOL UNIT "strips: {L1: {type: r, length: 4 m}}\n" \
             "cables: {C1: {size: 0.5 mm2, from: D1, to: L1.start, length: 3 m}, " \
             "C2: {size: 0.5 mm2, from: D1, to: L1.end, length: 5 m}}\n"

/* What a meter finds with 2 ohm in the plus core of C2. */
static void read_loop(struct bench *b, bool currents)
{
	const struct core_extra extra = { item(b, KIND_CABLE, "C2"), 2, 0 };
	struct state_solution *s = solve_state(b->job, NULL, &extra, 1, NO_INDEX, b->arena);
	volts(b, "D1", 24);
	volts(b, "L1.start", s->terminal_v[terminal(b, "L1.start")]);
	volts(b, "L1.end", s->terminal_v[terminal(b, "L1.end")]);
	if (!currents)
		return;
	amps(b, "C1", s->cable_a[item(b, KIND_CABLE, "C1")]);
	amps(b, "C2", s->cable_a[item(b, KIND_CABLE, "C2")]);
}

static const struct suspect *core(const struct bench *b, enum core which)
{
	for (size_t i = 0; i < b->d.suspect_count; i++)
		if (b->d.suspects[i].core == which && b->d.suspects[i].item.index == item(b, KIND_CABLE, "C2"))
			return &b->d.suspects[i];
	return NULL;
}

/* Plus and minus may be exchanged without changing any voltage between them. */
static void volts_alone_cannot_tell_the_cores_apart(void **state)
{
	(void)state;
	struct bench b = bench_of(LOOP);
	read_loop(&b, false);
	ask(&b);
	const struct suspect *plus = core(&b, CORE_PLUS), *minus = core(&b, CORE_MINUS);
	assert_non_null(plus);
	assert_non_null(minus);
	assert_int_equal(plus->group, minus->group);
	assert_true(plus < minus);   /* which of two alike comes first is not left to rounding */
	assert_near(plus->extra_ohm, 2, 0.02, 0);
	assert_near(minus->extra_ohm, 2, 0.02, 0);
	assert_true(b.d.next.is_worth);
	close_bench(&b);
}

static void currents_tell_which_core(void **state)
{
	(void)state;
	struct bench b = bench_of(LOOP);
	read_loop(&b, true);
	ask(&b);
	const struct suspect *plus = core(&b, CORE_PLUS);
	assert_ptr_equal(plus, &b.d.suspects[0]);
	assert_near(plus->extra_ohm, 2, 0.01, 0);
	assert_true(plus->uncertainty > 0 && plus->uncertainty < 0.5);
	for (size_t i = 1; i < b.d.suspect_count; i++)
		assert_true(b.d.suspects[i].group > 0);
	close_bench(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(volts_alone_cannot_tell_the_cores_apart),
		cmocka_unit_test(currents_tell_which_core),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
