/* A chain is cut into blocks that come from doubling: held against the same units one by one, each
 * a chain of its own with nodes between them, which the mesh of nodes eliminates. */
#include "solve/network.h"

#include "oracle/oracle.h"

/* A source behind `feed_ohm`, then units one section apart, then `far_ohm` back to the source. */
struct ladder { double set_v, feed_ohm, section_ohm, far_ohm; size_t units; struct unit_law law; };

/* What all units at full current would drop in the feed and along the rails is a hundredth of the
 * set voltage to ten times it: bright on one piece of the law, dim on all three. */
static struct ladder random_ladder(struct chance *c, size_t units, bool regulated)
{
	struct ladder l = { .set_v = chance_between(c, 5, 48), .units = units };
	double knee = chance_between(c, 0.3, 0.9) * l.set_v, amps = chance_decades(c, 0.1, 20);
	double full = knee + chance_between(c, 0.01, 1) * (l.set_v - knee);

	l.law = (struct unit_law){ amps / (double)units, knee, full, regulated };
	l.feed_ohm = chance_decades(c, 0.01, 10) * l.set_v / amps;
	l.far_ohm = l.feed_ohm * chance_decades(c, 0.1, 100);
	l.section_ohm = chance_decades(c, 0.01, 10) * l.set_v / amps / (double)units;
	return l;
}

/* Whole, or as a row of chains of one unit each. */
static void build_row(struct network *net, struct arena *arena, const struct ladder *l, bool whole)
{
	network_init(net, arena, l->set_v);
	uint32_t source = network_add_node(net), end = network_add_node(net);
	network_fix(net, source, 0);
	network_add_branch(net, source, end, l->feed_ohm);
	for (size_t k = 0; k < (whole ? 1 : l->units); k++) {
		uint32_t next = network_add_node(net);
		network_add_chain(net, end, next, whole ? l->units : 1, l->section_ohm, l->law);
		end = next;
	}
	network_add_branch(net, end, source, l->far_ohm);
}

static void assert_same_units(const struct network *net, const struct net_solution *got,
                              const struct net_solution *want, double tolerance)
{
	for (size_t k = 0; k < net->unit_count; k++) {
		assert_within("drop", got->unit_drop[k], want->unit_drop[k], tolerance * net->set_v);
		assert_within("amps", got->unit_amps[k], want->unit_amps[k], tolerance * net->set_v);
	}
}

/* Every number of units, so that runs are cut into blocks in every way; dim and bright. */
static void a_chain_is_its_units_in_a_row(void **state)
{
	(void)state;
	struct chance chance = { 1 };
	size_t bent = 0;
	for (size_t i = 0; i < 1200; i++) {
		struct arena *arena = arena_new();
		struct ladder l = random_ladder(&chance, 1 + i % 300, i % 3 > 0);
		struct network whole, row;
		struct net_solution a, b;
		build_row(&whole, arena, &l, true);
		build_row(&row, arena, &l, false);
		network_solve(&whole, arena, &a);
		network_solve(&row, arena, &b);
		assert_true(a.converged && b.converged);
		assert_same_units(&whole, &a, &b, 1e-10);
		bent += a.iterations > 1;
		arena_free(arena);
	}
	assert_true(bent > 100 && bent < 1100);
}

/* No law: nothing to converge to, and no endless search. */
static void what_is_no_number_has_not_converged(void **state)
{
	(void)state;
	const struct unit_law law = { 0.02, 16, 22, true };
	double bad[][4] = { { NAN, 16, 22, 24 }, { 0.02, NAN, 22, 24 }, { 0.02, 16, NAN, 24 },
	                    { 0.02, 16, 22, NAN } };
	for (size_t i = 0; i < COUNT_OF(bad); i++) {
		struct arena *arena = arena_new();
		struct network net;
		struct net_solution s;
		network_init(&net, arena, bad[i][3]);
		uint32_t source = network_add_node(&net), near = network_add_node(&net);
		network_fix(&net, source, 0);
		network_add_branch(&net, source, near, 0.1);
		network_add_chain(&net, near, network_add_node(&net), 20, 0.1, law);
		net.chains[0].law.amps = bad[i][0];
		net.chains[0].law.v_knee = bad[i][1];
		net.chains[0].law.v_full = bad[i][2];
		network_solve(&net, arena, &s);
		assert_false(s.converged);
		arena_free(arena);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_chain_is_its_units_in_a_row),
		cmocka_unit_test(what_is_no_number_has_not_converged),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
