/* Both rails against the loop model: where the cores are alike, where a core is worse in a tree, and where
 * one is worse in a loop, for which there is a closed form. */
#include "support.h"

#include "oracle/chance.h"
#include "solve/two_rail.h"

/* A rail of a strip: 24 V, 50 mm, 14.4 W/m; the second one a constant-current law. */
static const struct unit_law resistor = { .amps = 0.03, .v_knee = 16.5, .v_full = 24 };
static const struct unit_law constant = { .amps = 0.03, .v_knee = 16.5, .v_full = 20, .regulated = true };

static struct arena *arena;

static int open_arena(void **state)
{
	(void)state;
	arena = arena_new();
	return arena ? 0 : -1;
}

static int close_arena(void **state)
{
	(void)state;
	arena_free(arena);
	return 0;
}

/* A source of 24 V with one node fixed. */
static struct network new_network(void)
{
	struct network net;
	network_init(&net, arena, 24);
	network_fix(&net, network_add_node(&net), 0);
	return net;
}

static struct two_rail_solution rails(const struct network *net, const struct rail_extra *extras,
                                      size_t count)
{
	struct two_rail_solution s;
	two_rail_solve(net, extras, count, arena, &s);
	assert_true(s.converged);
	assert_near(s.residual_a, 0, 0, 1e-10);
	assert_near(s.balance_w, 0, 0, 1e-8);
	return s;
}

/* Every voltage between cores, every current and every unit's current. */
static void assert_loop(const struct network *net, const struct two_rail_solution *s, double tolerance)
{
	struct net_solution loop;
	network_solve(net, arena, &loop);
	assert_true(loop.converged);
	for (size_t i = 0; i < net->node_count; i++)
		assert_near(s->node_v[i], net->set_v - loop.node_drop[i], 0, tolerance);
	for (size_t i = 0; i < net->branch_count; i++) {
		assert_near(s->plus_a[i], loop.branch_a[i], 0, tolerance);
		assert_near(s->minus_a[i], loop.branch_a[i], 0, tolerance);
	}
	for (size_t k = 0; k < net->unit_count; k++)
		assert_near(s->unit_amps[k], loop.unit_amps[k], 0, tolerance);
	assert_near(s->source_a, loop.source_a, 0, tolerance);
}

/* A tree of cables and strips; with `loops` as many further cables between any two nodes, and strips that
 * join nodes which are joined already. */
static struct network random_network(struct chance *c, size_t loops)
{
	struct network net = new_network();
	size_t nodes = 2 + chance_below(c, 8);
	while (net.node_count < nodes) {
		uint32_t from = (uint32_t)chance_below(c, net.node_count), to = network_add_node(&net);
		struct unit_law law = chance_below(c, 2) ? resistor : constant;
		law.amps *= chance_decades(c, 0.3, 3);
		if (net.node_count > 2 && chance_below(c, 2))
			network_add_chain(&net, from, to, 1 + chance_below(c, 60), chance_decades(c, 1e-3, 0.03), law);
		else
			network_add_branch(&net, from, to, chance_decades(c, 0.01, 1));
	}
	for (size_t i = 0; i < loops; i++) {
		uint32_t a = (uint32_t)chance_below(c, nodes), b = (uint32_t)chance_below(c, nodes);
		if (a == b)
			continue;
		if (chance_below(c, 2))
			network_add_chain(&net, a, b, 1 + chance_below(c, 60), 0.01, resistor);
		else
			network_add_branch(&net, a, b, chance_decades(c, 0.01, 1));
	}
	return net;
}

static void test_alike_cores_are_the_loop_model(void **state)
{
	(void)state;
	struct chance c = { 1 };
	size_t units = 0;
	for (int i = 0; i < 200; i++) {
		struct network net = random_network(&c, chance_below(&c, 5));
		struct two_rail_solution s = rails(&net, NULL, 0);
		assert_loop(&net, &s, 1e-9);
		units += net.unit_count;
	}
	assert_true(units > 5000);
}

/* What both cores of a cable have in excess, half in each, is a loop resistance, in loops too. */
static void test_the_same_extra_in_both_cores_is_a_loop_resistance(void **state)
{
	(void)state;
	struct chance c = { 2 };
	for (int i = 0; i < 100; i++) {
		struct network net = random_network(&c, 3);
		if (net.branch_count == 0)
			continue;
		struct rail_extra extra = { chance_below(&c, net.branch_count), 0, 0 };
		extra.plus_ohm = extra.minus_ohm = chance_decades(&c, 0.01, 2);
		struct two_rail_solution s = rails(&net, &extra, 1);
		net.branches[extra.branch].ohm += 2 * extra.plus_ohm;
		assert_loop(&net, &s, 1e-9);
	}
}

/* In a tree there is no other way back: each cable carries the same current in both cores. */
static void test_one_core_of_a_tree_is_a_loop_resistance(void **state)
{
	(void)state;
	struct chance c = { 3 };
	for (int i = 0; i < 100; i++) {
		struct network net = random_network(&c, 0);
		if (net.branch_count == 0)
			continue;
		struct rail_extra extra = { chance_below(&c, net.branch_count), 0, 0 };
		*(chance_below(&c, 2) ? &extra.plus_ohm : &extra.minus_ohm) = chance_decades(&c, 0.01, 2);
		struct two_rail_solution s = rails(&net, &extra, 1);
		net.branches[extra.branch].ohm += extra.plus_ohm + extra.minus_ohm;
		assert_loop(&net, &s, 1e-9);
	}
}

/* Plus and minus exchanged: the same voltages between cores, the currents of the cores exchanged. */
static void test_the_mirror_image(void **state)
{
	(void)state;
	struct chance c = { 4 };
	double unlike = 0;
	for (int i = 0; i < 100; i++) {
		struct network net = random_network(&c, 4);
		if (net.branch_count < 2)
			continue;
		struct rail_extra extras[2] = { { 0, 0.4, 0 }, { net.branch_count - 1, 0.1, 0.7 } };
		struct rail_extra mirrored[2] = { { 0, 0, 0.4 }, { net.branch_count - 1, 0.7, 0.1 } };
		struct two_rail_solution s = rails(&net, extras, 2), m = rails(&net, mirrored, 2);
		for (size_t n = 0; n < net.node_count; n++)
			assert_near(s.node_v[n], m.node_v[n], 0, 1e-10);
		for (size_t b = 0; b < net.branch_count; b++) {
			assert_near(s.plus_a[b], m.minus_a[b], 0, 1e-10);
			assert_near(s.minus_a[b], m.plus_a[b], 0, 1e-10);
			unlike = fmax(unlike, fabs(s.plus_a[b] - s.minus_a[b]));
		}
	}
	assert_true(unlike > 0.1);
}

/* D - C0 - B - C1 - start of a strip, end of it - C2 - B. With p + q the voltage lost on both rails and p - q
 * their difference, units draw from p + q only, and p - q obeys the loop's resistances alone: with I + J in
 * the plus core of C1 and I - J in its minus core, e more in the plus core and R once round the loop (J has
 * no other way),
 *     R J + e (I + J) = 0,    lost in C1: R1 I + e (I + J) = (R1 + e R / (R + e)) I.
 * So for voltages between cores e in one core is e parallel to R in the loop. */
static void test_one_core_in_a_loop_has_a_closed_form(void **state)
{
	(void)state;
	static const double e[] = { 0.01, 0.3, 5, 1000 };
	for (size_t i = 0; i < COUNT_OF(e); i++)
		for (int law = 0; law < 2; law++) {
			struct network net = new_network();
			uint32_t b = network_add_node(&net), start = network_add_node(&net);
			uint32_t end = network_add_node(&net);
			network_add_branch(&net, 0, b, 0.2);
			network_add_branch(&net, b, start, 0.05);
			network_add_branch(&net, end, b, 0.17);
			network_add_chain(&net, start, end, 60, 0.01, law ? constant : resistor);
			double loop = 0.05 + 0.17 + 60 * 0.01;
			struct rail_extra extra = { 1, e[i], 0 };
			struct two_rail_solution s = rails(&net, &extra, 1);
			net.branches[1].ohm += e[i] * loop / (e[i] + loop);
			struct net_solution same;
			network_solve(&net, arena, &same);
			for (size_t n = 0; n < net.node_count; n++)
				assert_near(s.node_v[n], 24 - same.node_drop[n], 0, 1e-9);
			double amps = same.branch_a[1], round = -e[i] * amps / (loop + e[i]);
			assert_near(s.plus_a[1], amps + round, 0, 1e-9);
			assert_near(s.minus_a[1], amps - round, 0, 1e-9);
			/* the other way round in C2, and none of it before the loop */
			assert_near(s.plus_a[2], same.branch_a[2] + round, 0, 1e-9);
			assert_near(s.minus_a[2], same.branch_a[2] - round, 0, 1e-9);
			assert_near(s.plus_a[0], s.minus_a[0], 0, 1e-10);
			assert_true(fabs(round) > 0.01);
		}
}

/* Both cores, both unlike, checked by Kirchhoff's voltage law once round each rail: the drops along the
 * plus cores of a ring of three blocks add up to nothing, and those along the minus cores. */
static void test_voltages_add_up_round_a_ring(void **state)
{
	(void)state;
	struct network net = new_network();
	uint32_t x = network_add_node(&net), y = network_add_node(&net);
	network_add_branch(&net, 0, x, 0.3);
	network_add_branch(&net, x, y, 0.2);
	network_add_branch(&net, y, 0, 0.5);
	network_add_load(&net, x, 1);
	network_add_load(&net, y, 2);
	struct rail_extra extras[2] = { { 0, 0.4, 0 }, { 2, 0, 0.15 } };
	struct two_rail_solution s = rails(&net, extras, 2);
	/* plus: 0.55 i0 + 0.10 i1 + 0.25 i2 = 0 with i1 = i0 - 1, i2 = i1 - 2 */
	double i0 = (0.10 * 1 + 0.25 * 3) / 0.90;
	/* minus: 0.15, 0.10 and 0.40 */
	double j0 = (0.10 * 1 + 0.40 * 3) / 0.65;
	assert_near(s.plus_a[0], i0, 1e-12, 0);
	assert_near(s.plus_a[2], i0 - 3, 1e-12, 0);
	assert_near(s.minus_a[0], j0, 1e-12, 0);
	assert_near(s.minus_a[1], j0 - 1, 1e-12, 0);
	assert_near(s.node_v[x], 24 - 0.55 * i0 - 0.15 * j0, 1e-12, 0);
	assert_near(s.source_a, 3, 1e-12, 0);
}

/* 3 A from the middle of 0.2 ohm and 0.4 ohm between two sources that lie 0.6 V apart: 1 A flows from one to the
 * other, and 3 A are shared 2 to 1. */
static void test_two_sources_share_a_load(void **state)
{
	(void)state;
	struct network net = new_network();
	uint32_t middle = network_add_node(&net), other = network_add_node(&net);
	network_fix(&net, other, 0.6);
	network_add_branch(&net, 0, middle, 0.2);
	network_add_branch(&net, other, middle, 0.4);
	network_add_load(&net, middle, 3);
	struct two_rail_solution s = rails(&net, NULL, 0);
	assert_near(s.node_v[other], 24 - 0.6, 1e-15, 0);
	assert_near(s.node_v[middle], 24 - 0.6, 1e-12, 0);
	assert_near(s.plus_a[0], 3, 1e-12, 0);
	assert_near(s.plus_a[1], 0, 0, 1e-12);
	assert_near(s.minus_a[0], 3, 1e-12, 0);
	assert_near(s.source_a, 3, 1e-12, 0);
}

/* A branch is no less than 1 microhm, half in each core, and what a reading takes off a core does not
 * change that: 2 A through it lose 2 uV. */
static void test_a_core_has_a_least_resistance(void **state)
{
	(void)state;
	struct network net = new_network();
	uint32_t x = network_add_node(&net);
	network_add_branch(&net, 0, x, 0.3);
	network_add_load(&net, x, 2);
	struct rail_extra none = { 0, -0.15, -0.15 }, less = { 0, -0.2, -0.2 };
	assert_near(24 - rails(&net, &none, 1).node_v[x], 2e-6, 1e-6, 0);
	assert_near(24 - rails(&net, &less, 1).node_v[x], 2e-6, 1e-6, 0);
}

/* Units on the straight part of their law make a linear network, and Newton's method solves one in one step;
 * on sections of a tenth of a milliohm too, where rounding alone leaves the largest g v eps. */
static void test_a_linear_network_takes_one_step(void **state)
{
	(void)state;
	for (double section = 1e-2; section > 5e-5; section /= 10) {
		struct network net = new_network();
		struct net_solution loop;
		uint32_t near = network_add_node(&net);
		network_add_branch(&net, 0, near, 1);
		network_add_chain(&net, near, network_add_node(&net), 100, section, resistor);
		struct two_rail_solution s = rails(&net, NULL, 0);
		network_solve(&net, arena, &loop);
		assert_int_equal(s.iterations, 1);
		assert_int_equal(loop.iterations, 1);
		assert_true(loop.converged);
		assert_near(s.source_a, loop.source_a, 1e-9, 0);
	}
}

/* Constant-current units behind so much resistance that they fall out of regulation: there plain Newton cycles,
 * and steps have to be cut short. */
static void test_heavy_loads_are_the_loop_model(void **state)
{
	(void)state;
	struct chance c = { 5 };
	int most = 0;
	for (int i = 0; i < 300; i++) {
		struct network net = new_network();
		struct unit_law law = constant;
		uint32_t near = network_add_node(&net), far = network_add_node(&net);
		uint32_t units = (uint32_t)(1 + chance_below(&c, 40));
		double amps = law.amps * units;
		law.v_full = law.v_knee + chance_between(&c, 0.01, 1) * (24 - law.v_knee);
		network_add_branch(&net, 0, near, chance_decades(&c, 0.03, 10) * 24 / amps);
		network_add_chain(&net, near, far, units, chance_decades(&c, 0.03, 10) * 24 / amps / units, law);
		struct two_rail_solution s = rails(&net, NULL, 0);
		assert_loop(&net, &s, 1e-9);
		most = s.iterations > most ? s.iterations : most;
	}
	assert_true(most > 2 && most < 30);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test_setup_teardown(test_alike_cores_are_the_loop_model, open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_the_same_extra_in_both_cores_is_a_loop_resistance,
		                                open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_one_core_of_a_tree_is_a_loop_resistance, open_arena,
		                                close_arena),
		cmocka_unit_test_setup_teardown(test_heavy_loads_are_the_loop_model, open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_the_mirror_image, open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_one_core_in_a_loop_has_a_closed_form, open_arena,
		                                close_arena),
		cmocka_unit_test_setup_teardown(test_voltages_add_up_round_a_ring, open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_two_sources_share_a_load, open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_a_core_has_a_least_resistance, open_arena, close_arena),
		cmocka_unit_test_setup_teardown(test_a_linear_network_takes_one_step, open_arena, close_arena),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
