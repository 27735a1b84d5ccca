/* Networks of few parts by Ohm's and Kirchhoff's laws, with what the solver says about its own answer. */
#include "support.h"

#include "solve/network.h"

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

static struct network new_network(double set_v)
{
	struct network net;
	network_init(&net, arena, set_v);
	network_fix(&net, network_add_node(&net), 0);
	return net;
}

/* A cable to a block with nothing on it: the first guess is the answer, to the last digit. */
static void nothing_drawn_is_nothing_lost(void **state)
{
	(void)state;
	struct network net = new_network(24);
	struct net_solution s;
	network_add_branch(&net, 0, network_add_node(&net), 0.1);
	network_solve(&net, arena, &s);
	assert_true(s.converged);
	assert_int_equal(s.iterations, 1);
	assert_near(s.node_drop[1], 0, 0, 0);
	assert_near(s.branch_a[0], 0, 0, 0);
	assert_near(s.source_a, 0, 0, 0);
	assert_near(s.residual_a, 0, 0, 0);
	assert_near(s.balance_w, 0, 0, 0);
}

/* 3 A from the middle of 0.2 ohm and 0.4 ohm between two sources that lie 0.6 V apart: 0.6 V / 0.6 ohm = 1 A
 * flows from one to the other, and 3 A are shared 2 to 1. */
static void two_sources_share_a_load(void **state)
{
	(void)state;
	struct network net = new_network(24);
	struct net_solution s;
	uint32_t middle = network_add_node(&net), other = network_add_node(&net);
	network_fix(&net, other, 0.6);
	network_add_branch(&net, 0, middle, 0.2);
	network_add_branch(&net, other, middle, 0.4);
	network_add_load(&net, middle, 3);
	network_solve(&net, arena, &s);
	assert_true(s.converged);
	assert_near(s.branch_a[0], 2 + 1, 1e-12, 0);
	assert_near(s.branch_a[1], 1 - 1, 0, 1e-12);
	assert_near(s.node_drop[middle], 0.6, 1e-12, 0);
	assert_near(s.source_a, 3, 1e-12, 0);
	assert_near(s.balance_w, 0, 0, 1e-12);
}

/* One unit in the middle of one section of 2 ohm, behind 3 ohm, far end open: 3 + 1 ohm. From 16 V on it takes
 * 1 A for 8 V, up to 1 A at 24 V: 26 V - 4 ohm i = 16 V + 8 ohm i, i = 10 / 12 A. */
static void one_unit_obeys_its_law(void **state)
{
	(void)state;
	for (int regulated = 0; regulated <= 1; regulated++) {
		struct network net = new_network(26);
		struct net_solution s;
		uint32_t near = network_add_node(&net), far = network_add_node(&net);
		network_add_branch(&net, 0, near, 3);
		network_add_chain(&net, near, far, 1, 2, (struct unit_law){ 1, 16, 24, regulated });
		network_solve(&net, arena, &s);
		assert_true(s.converged);
		assert_near(s.unit_amps[0], 10.0 / 12, 1e-12, 0);
		assert_near(s.unit_drop[0], 40.0 / 12, 1e-12, 0);
		assert_near(s.node_drop[near], 30.0 / 12, 1e-12, 0);
		assert_near(s.node_drop[far], 40.0 / 12, 1e-12, 0);
		assert_near(s.chain_a[0], 10.0 / 12, 1e-12, 0);
		assert_near(s.chain_b[0], 0, 0, 1e-12);
		assert_near(s.balance_w, 0, 0, 1e-10);
	}
}

/* A linear network is solved by the first guess. A microhm behind 1 ohm leaves an imbalance of 1 V eps / 1 uohm,
 * which is no reason to go on, wherever in the list it stands. */
static void rounding_is_no_imbalance(void **state)
{
	(void)state;
	for (int last = 0; last <= 1; last++) {
		struct network net = new_network(24);
		struct net_solution s;
		uint32_t near = network_add_node(&net), far = network_add_node(&net);
		if (last)
			network_add_branch(&net, 0, near, 1);
		network_add_branch(&net, near, far, 1e-6);
		if (!last)
			network_add_branch(&net, 0, near, 1);
		network_add_load(&net, far, 1.0 / 3);
		network_solve(&net, arena, &s);
		assert_true(s.converged);
		assert_int_equal(s.iterations, 1);
		assert_near(s.node_drop[far], (1 + 1e-6) / 3, 1e-12, 0);
	}
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(nothing_drawn_is_nothing_lost),
		TEST(two_sources_share_a_load),
		TEST(one_unit_obeys_its_law),
		TEST(rounding_is_no_imbalance),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
