/* Chains of cut units against closed forms.
 *
 * Resistor ballast, units short against the strip: the strip is a line with loop resistance r per
 * metre and leakage g per metre from a source V0. With k = sqrt(r g), fed at x = 0, open at x = L,
 *   V(x) - V0 = (Vs - V0) cosh(k (L - x)) / cosh(k L),   I = (Vs - V0) sqrt(g / r) tanh(k L)
 * (the telegrapher's equations at 0 Hz; any book on transmission lines). Fed at both ends: L / 2
 * twice.
 *
 * Constant current: the uniformly loaded distributor of V. K. Mehta, Principles of Power System,
 * ch. 13: drop I R / 2 fed at one end, I R / 8 at the middle fed at both. With the units in the
 * middle of their sections these two are exact for every number of units, even numbers for the
 * second. */
#include "solve/network.h"

#include "oracle/oracle.h"

#define METRES 5.0
#define GROUPS_PER_METRE 20.0
#define FEED 0u
#define FAR 1u

/* A strip of METRES between node FEED, held at set_v, and node FAR, held too where `both`. */
static struct net_solution solve_strip(struct arena *arena, double set_v, struct unit_law law,
                                       size_t units, double ohm, bool both)
{
	struct network net;
	struct net_solution solution;

	network_init(&net, arena, set_v);
	network_add_node(&net);
	network_add_node(&net);
	network_fix(&net, FEED, 0);
	if (both)
		network_fix(&net, FAR, 0);
	network_add_chain(&net, FEED, FAR, units, ohm / (double)units, law);
	network_solve(&net, arena, &solution);
	assert_true(solution.converged);
	return solution;
}

/* Reference cases, five metres of 20 groups each: group resistor, loop ohm/m; then what the closed
 * form gives, and the total current of a ladder of 100 groups worked out by other means. */
static const struct reference {
	const char *name;
	double vs, v0, ohm, r, kl;
	double one_ratio, one_vmin, one_i, both_ratio, both_vmin, both_i;
	double ladder_one_i, ladder_both_i;
} references[] = {
	{ "A", 12, 9.3, 50, 0.143, 1.1958, 0.5542, 10.7964,
	    3.7588, 0.8445, 11.5801, 4.8369, 3.7587, 4.8368 },
	{ "B", 12, 9.3, 50, 0.286, 1.6912, 0.3565, 10.2626,
	    2.9833, 0.7250, 11.2575, 4.3985, 2.9832, 4.3983 },
	{ "C", 12, 9.3, 150, 0.286, 0.9764, 0.6597, 11.0813,
	    1.3854, 0.8916, 11.7074, 1.6694, 1.3854, 1.6694 },
	{ "D", 24, 18.6, 300, 0.143, 0.4882, 0.8916, 23.4148,
	    1.6694, 0.9709, 23.8430, 1.7651, 1.6694, 1.7651 },
	{ "E", 24, 21.7, 120, 0.143, 0.7719, 0.7616, 23.4517,
	    1.6091, 0.9299, 23.8387, 1.8268, 1.6091, 1.8268 },
};

/* The reference's line cut into `units`. */
static struct unit_law cut_law(const struct reference *ref, size_t units)
{
	double g = GROUPS_PER_METRE / ref->ohm;
	double pitch = METRES / (double)units;
	return (struct unit_law){ .amps = (ref->vs - ref->v0) * g * pitch, .v_knee = ref->v0,
	                          .v_full = ref->vs };
}

/* V(x) - V0 as a share of Vs - V0, `reach` metres being fed from one end. */
static double line_share(double k, double reach, double x)
{
	return cosh(k * (reach - x)) / cosh(k * reach);
}

static double line_amps(const struct reference *ref, double k, double reach)
{
	double g = GROUPS_PER_METRE / ref->ohm;
	return (ref->vs - ref->v0) * sqrt(g / ref->r) * tanh(k * reach);
}

struct line_error { double volts, amps; };

/* Largest error over all units, and that of the current from the source. */
static struct line_error line_error(const struct reference *ref, size_t units, bool both)
{
	struct arena *arena = arena_new();
	struct net_solution s = solve_strip(arena, ref->vs, cut_law(ref, units), units, ref->r * METRES,
	                                    both);
	double k = sqrt(ref->r * GROUPS_PER_METRE / ref->ohm);
	double reach = both ? METRES / 2 : METRES;
	double amps = line_amps(ref, k, reach) * (both ? 2 : 1);
	struct line_error error = { 0, fabs(s.source_a - amps) };

	for (size_t i = 0; i < units; i++) {
		double x = ((double)i + 0.5) * METRES / (double)units;
		double share = line_share(k, reach, x > reach ? METRES - x : x);
		double volts = ref->v0 + (ref->vs - ref->v0) * share;
		error.volts = fmax(error.volts, fabs(ref->vs - s.unit_drop[i] - volts));
	}
	arena_free(arena);
	return error;
}

static void the_closed_form_is_the_published_one(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT_OF(references); i++) {
		const struct reference *ref = &references[i];
		double k = sqrt(ref->r * GROUPS_PER_METRE / ref->ohm), swing = ref->vs - ref->v0;
		double one = line_share(k, METRES, METRES), both = line_share(k, METRES / 2, METRES / 2);

		assert_within("kL", k * METRES, ref->kl, 5.1e-5);
		assert_within("one end, ratio", one, ref->one_ratio, 5.1e-5);
		assert_within("one end, Vmin", ref->v0 + swing * one, ref->one_vmin, 5.1e-5);
		assert_within("one end, I", line_amps(ref, k, METRES), ref->one_i, 5.1e-5);
		assert_within("both ends, ratio", both, ref->both_ratio, 5.1e-5);
		assert_within("both ends, Vmin", ref->v0 + swing * both, ref->both_vmin, 5.1e-5);
		assert_within("both ends, I", 2 * line_amps(ref, k, METRES / 2), ref->both_i, 5.1e-5);
	}
}

static void a_hundred_groups_draw_what_the_reference_ladder_draws(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT_OF(references); i++) {
		const struct reference *ref = &references[i];
		struct arena *arena = arena_new();
		struct unit_law law = cut_law(ref, 100);
		struct net_solution one = solve_strip(arena, ref->vs, law, 100, ref->r * METRES, false);
		struct net_solution both = solve_strip(arena, ref->vs, law, 100, ref->r * METRES, true);

		assert_within("one end, I", one.source_a, ref->ladder_one_i, 1e-4);
		assert_within("both ends, I", both.source_a, ref->ladder_both_i, 1e-4);
		assert_within("one end, Vmin", ref->vs - one.node_drop[FAR], ref->one_vmin, 2e-4);
		assert_within("both ends, Vmin", ref->vs - both.unit_drop[50], ref->both_vmin, 2e-4);
		arena_free(arena);
	}
}

/* The middle rule of integration: half the pitch, a quarter of the error. */
static void shorter_units_come_closer_by_the_square(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT_OF(references); i++)
		for (int both = 0; both < 2; both++) {
			struct line_error last = line_error(&references[i], 50, both);
			for (size_t units = 100; units <= 1600; units *= 2) {
				struct line_error next = line_error(&references[i], units, both);
				assert_within("order in volts", last.volts / next.volts, 4, 0.1);
				assert_within("order in amps", last.amps / next.amps, 4, 0.1);
				last = next;
			}
			assert_true(last.volts < 1e-6 && last.amps < 2e-6);
		}
}

static void uniform_load_drops_a_half_and_an_eighth(void **state)
{
	(void)state;
	/* total amps, loop ohm: 0.6 A/m on 5 m of 0.143 ohm/m is 1.0725 V and 0.2681 V; Mehta 13.14
	 * at a twentieth of its voltage and 13.17 likewise */
	static const struct { double amps, ohm, half, eighth; } cases[] = {
		{ 3, 0.715, 1.0725, 0.268125 }, { 25, 0.1, 1.25, 0.3125 }, { 62.5, 0.1, 3.125, 0.78125 },
	};
	static const size_t units[] = { 2, 4, 10, 100, 1000, 10000 };
	for (size_t i = 0; i < COUNT_OF(cases); i++)
		for (size_t j = 0; j < COUNT_OF(units); j++) {
			struct arena *arena = arena_new();
			struct unit_law law = { .amps = cases[i].amps / (double)units[j],
			                        .v_knee = 2, .v_full = 4, .regulated = true };
			struct net_solution one = solve_strip(arena, 24, law, units[j], cases[i].ohm, false);
			struct net_solution both = solve_strip(arena, 24, law, units[j], cases[i].ohm, true);

			assert_within("one end", one.node_drop[FAR], cases[i].half, 1e-10);
			assert_within("last unit", one.unit_drop[units[j] - 1], cases[i].half, 1e-10);
			assert_within("both ends", both.unit_drop[units[j] / 2], cases[i].eighth, 1e-10);
			assert_within("source", both.source_a, cases[i].amps, 1e-10);
			assert_within("half from each end", both.chain_a[0], cases[i].amps / 2, 1e-10);
			assert_within("half from each end", both.chain_b[0], cases[i].amps / 2, 1e-10);
			arena_free(arena);
		}
}

/* One unit of a resistor-ballast law is a resistor behind a voltage: a divider by hand. */
static void one_unit_is_a_divider(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	/* 0.5 A at 24 V above a knee of 16 V: 16 ohm; half of 2 ohm in front: I = 8 V / 17 ohm */
	struct unit_law law = { .amps = 0.5, .v_knee = 16, .v_full = 24 };
	struct net_solution s = solve_strip(arena, 24, law, 1, 2, false);
	assert_within("current", s.source_a, 8.0 / 17, 1e-14);
	assert_within("drop", s.unit_drop[0], 8.0 / 17, 1e-14);

	/* below the knee nothing flows, and regulated units hold their current above v_full */
	s = solve_strip(arena, 15, law, 1, 2, false);
	assert_within("dark", s.source_a, 0, 1e-15);
	law.regulated = true;
	law.v_full = 20;
	s = solve_strip(arena, 24, law, 1, 2, false);
	assert_within("held", s.source_a, 0.5, 1e-14);
	assert_within("held, drop", s.unit_drop[0], 0.5, 1e-14);
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_closed_form_is_the_published_one),
		cmocka_unit_test(a_hundred_groups_draw_what_the_reference_ladder_draws),
		cmocka_unit_test(shorter_units_come_closer_by_the_square),
		cmocka_unit_test(uniform_load_drops_a_half_and_an_eighth),
		cmocka_unit_test(one_unit_is_a_divider),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
