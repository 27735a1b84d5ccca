/* Samples side by side against the same networks solved one at a time. Nothing here is a figure
 * from outside: network_solve() is held against other solvers in tests/oracle. */
#include "support.h"

#include "oracle/chance.h"
#include "solve/batch.h"

#include <float.h>
#include <string.h>

#define NETWORKS 300
#define SAMPLES 3
#define SAME 1e-12               /* relative, or of 1 V, A or W where they are smaller */

enum kind_of_law { RESISTOR, CONSTANT_CURRENT, MIXED_LAWS };

static struct unit_law random_law(struct chance *c, double set_v, bool regulated, double amps)
{
	double knee = chance_between(c, 0.4, 0.8) * set_v;
	double full = knee + chance_between(c, 0.3, 0.95) * (set_v - knee);
	return (struct unit_law){ amps, knee, full, regulated };
}

/* A tree of branches and chains with some of them in rings. `heavy` times the current that is
 * usual. */
static void random_network(struct chance *c, struct network *net, struct arena *arena,
                           enum kind_of_law kind, double heavy)
{
	uint32_t nodes = (uint32_t)(2 + chance_below(c, 9));
	size_t more = chance_below(c, nodes);
	network_init(net, arena, chance_between(c, 10, 30));
	for (uint32_t i = 0; i < nodes; i++)
		network_add_node(net);
	network_fix(net, 0, 0);
	if (nodes > 4 && chance_below(c, 3) == 0)
		network_fix(net, 1, chance_between(c, -1, 1));
	for (uint32_t i = 1; i < nodes + more; i++) {
		uint32_t a = (uint32_t)chance_below(c, i < nodes ? i : nodes);
		uint32_t b = i < nodes ? i : (uint32_t)chance_below(c, nodes);
		size_t most = chance_below(c, 4) > 0 ? 20 : kind == RESISTOR && heavy <= 1 ? 3000 : 300;
		size_t units = 1 + chance_below(c, most);
		if (a == b)
			continue;
		if (chance_below(c, 2) == 0) {
			network_add_branch(net, a, b, chance_decades(c, 0.01, 1));
			continue;
		}
		bool regulated = kind == MIXED_LAWS ? chance_below(c, 2) == 0 : kind == CONSTANT_CURRENT;
		double amps = heavy * chance_decades(c, 0.1, 1) / (double)units;
		network_add_chain(net, a, b, units, chance_decades(c, 0.05, 0.5) / (double)units,
		                  random_law(c, net->set_v, regulated, amps));
	}
	if (chance_below(c, 3) == 0)
		network_add_load(net, nodes - 1, chance_between(c, 0, 0.5));
}

static double near_to(struct chance *c, double x)
{
	return x * chance_between(c, 0.9, 1.1);
}

/* Other values for every lane; `sample` is a network of its own with those of one lane. */
static void draw_values(struct chance *c, struct batch *b)
{
	EACH_LANE (l) {
		b->values.set_v[l] = b->net->set_v * chance_between(c, 0.97, 1.03);
		for (size_t i = 0; i < b->net->branch_count; i++)
			b->values.branch_ohm[i][l] = near_to(c, b->net->branches[i].ohm);
		for (size_t i = 0; i < b->net->load_count; i++)
			b->values.load_a[i][l] = near_to(c, b->net->loads[i].amps);
		for (size_t i = 0; i < b->net->fixed_count; i++)
			b->values.fixed_drop[i][l] = near_to(c, b->net->fixed[i].drop);
		for (size_t i = 0; i < b->net->chain_count; i++) {
			const struct net_chain *chain = &b->net->chains[i];
			b->values.section_ohm[i][l] = near_to(c, chain->section_ohm);
			b->values.amps[i][l] = near_to(c, chain->law.amps);
			b->values.v_knee[i][l] = chain->law.v_knee * chance_between(c, 0.98, 1.02);
			b->values.v_full[i][l] = chain->law.v_full * chance_between(c, 0.98, 1.02);
			if (b->values.v_full[i][l] < b->values.v_knee[i][l] + 0.1)
				b->values.v_full[i][l] = b->values.v_knee[i][l] + 0.1;
		}
	}
}

static struct network lane_network(const struct batch *b, int l, struct arena *arena)
{
	struct network net;
	network_init(&net, arena, b->values.set_v[l]);
	for (size_t i = 0; i < b->net->node_count; i++)
		network_add_node(&net);
	for (size_t i = 0; i < b->net->fixed_count; i++)
		network_fix(&net, b->net->fixed[i].node, b->values.fixed_drop[i][l]);
	for (size_t i = 0; i < b->net->load_count; i++)
		network_add_load(&net, b->net->loads[i].node, b->values.load_a[i][l]);
	for (size_t i = 0; i < b->net->branch_count; i++)
		network_add_branch(&net, b->net->branches[i].a, b->net->branches[i].b,
		                   b->values.branch_ohm[i][l]);
	for (size_t i = 0; i < b->net->chain_count; i++) {
		const struct net_chain *c = &b->net->chains[i];
		struct unit_law law = { b->values.amps[i][l], b->values.v_knee[i][l], b->values.v_full[i][l],
		                        c->law.regulated };
		network_add_chain(&net, c->a, c->b, c->units, b->values.section_ohm[i][l], law);
	}
	return net;
}

static void same(const char *what, double got, double want)
{
	if (!(fabs(got - want) <= SAME * fmax(1, fabs(want))))
		fail_msg("%s: %.17g is not %.17g, off by %.3g", what, got, want, fabs(got - want));
}

/* What network_solve() gives for the ends of chains is a small difference of drops times a large
 * conductance. */
static double rounding_a(const struct network *net, double section_ohm)
{
	return 16 * DBL_EPSILON * 2 / section_ohm * net->set_v;
}

/* Every figure of a chain from the units of the single solution. Light is i / i_nom, i_nom perhaps
 * small: compared as current. */
static void compare_chain(const struct batch *b, const struct network *net,
                          const struct net_solution *s, size_t i, int l)
{
	const struct net_chain *c = &net->chains[i];
	const struct batch_chain *got = &b->chains[i];
	const double *amps = s->unit_amps + c->first, *drop = s->unit_drop + c->first;
	double low = INFINITY, high = -INFINITY, least = INFINITY, most = -INFINITY, sum = 0, watts = 0;
	for (size_t k = 0; k < c->units; k++) {
		double volts = net->set_v - drop[k];
		low = fmin(low, volts);
		high = fmax(high, volts);
		least = fmin(least, amps[k]);
		most = fmax(most, amps[k]);
		sum += amps[k];
		watts += amps[k] * volts;
	}
	double rounding = rounding_a(net, c->section_ohm);
	assert_near(got->in_a[l], s->chain_a[i], SAME, SAME + rounding);
	assert_near(got->in_b[l], s->chain_b[i], SAME, SAME + rounding);
	same("v_low", got->v_low[l] / net->set_v, low / net->set_v);
	same("v_high", got->v_high[l] / net->set_v, high / net->set_v);
	same("amps", got->amps[l], sum);
	same("watts", got->watts[l] / net->set_v, watts / net->set_v);
	same("light_low", got->light_low[l] * c->law.amps, least);
	same("light_high", got->light_high[l] * c->law.amps, most);
	same("light_mean", got->light_mean[l] * c->law.amps * c->units, sum);
	for (size_t at = 0; at < 5; at++) {
		size_t unit = at * (c->units - 1) / 4;
		lanes light;
		batch_light(b, i, unit, light);
		same("light", light[l] * c->law.amps, amps[unit]);
	}
}

static void compare(const struct batch *b, int l, struct arena *arena)
{
	struct network net = lane_network(b, l, arena);
	struct net_solution s;
	network_solve(&net, arena, &s);
	assert_true(s.converged && b->converged[l]);
	assert_true(b->iterations[l] > 0);
	assert_true(b->residual_a[l] <= 1e-10);
	double least_ohm = INFINITY;
	for (size_t i = 0; i < net.chain_count; i++)
		least_ohm = fmin(least_ohm, net.chains[i].section_ohm);
	assert_near(b->source_a[l], s.source_a, SAME, SAME + rounding_a(&net, least_ohm));
	assert_true(b->residual_a[l] <= 1e-11 + rounding_a(&net, least_ohm));
	for (size_t i = 0; i < net.node_count; i++)
		same("node", b->node_drop[i][l] / net.set_v, s.node_drop[i] / net.set_v);
	for (size_t i = 0; i < net.branch_count; i++)
		same("branch", b->branch_a[i][l], s.branch_a[i]);
	for (size_t i = 0; i < net.chain_count; i++)
		compare_chain(b, &net, &s, i, l);
}

/* Returns in how many lanes the units were all on one piece. */
static size_t compare_many(uint64_t seed, enum kind_of_law kind, double heavy)
{
	struct chance c = { seed };
	size_t together = 0;
	for (int i = 0; i < NETWORKS; i++) {
		struct arena *arena = arena_new();
		struct network net;
		random_network(&c, &net, arena, kind, heavy);
		struct batch *b = batch_new(&net, arena);
		for (int sample = 0; sample < SAMPLES; sample++) {
			size_t count = 1 + chance_below(&c, BATCH_LANES);
			draw_values(&c, b);
			batch_solve(b, count);
			for (size_t l = 0; l < count; l++) {
				compare(b, (int)l, arena);
				together += b->iterations[l] == 1;
			}
		}
		arena_free(arena);
	}
	return together;
}

static void lanes_are_single_solutions(void **state)
{
	(void)state;
	size_t resistor = compare_many(1, RESISTOR, 1);
	assert_true(resistor > 3500 && resistor <= 7200);
	assert_true(compare_many(2, CONSTANT_CURRENT, 0.3) > 500);
	compare_many(3, MIXED_LAWS, 1);
}

/* So heavy that units lie on all three pieces, and lanes are solved one by one. */
static void lanes_with_bent_chains_are_single_solutions(void **state)
{
	(void)state;
	assert_true(compare_many(4, MIXED_LAWS, 30) < 4000);
	compare_many(5, RESISTOR, 100);
}

static void the_own_values_give_the_own_solution(void **state)
{
	(void)state;
	struct chance c = { 6 };
	struct arena *arena = arena_new();
	struct network net;
	random_network(&c, &net, arena, RESISTOR, 1);
	struct batch *b = batch_new(&net, arena);
	batch_solve(b, BATCH_LANES);
	EACH_LANE (l) {
		compare(b, l, arena);
		assert_true(memcmp(&b->node_drop[0][l], &b->node_drop[0][0], sizeof(double)) == 0);
	}
	arena_free(arena);
}

/* What cannot be solved says so, and does not spoil its neighbours nor the next call. */
static void a_lane_that_is_no_number_has_not_converged(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct network net;
	network_init(&net, arena, 24);
	uint32_t a = network_add_node(&net), b = network_add_node(&net), c = network_add_node(&net);
	network_fix(&net, a, 0);
	network_add_branch(&net, a, b, 0.1);
	network_add_chain(&net, b, c, 37, 0.01, (struct unit_law){ 0.02, 16.5, 24, false });
	struct batch *batch = batch_new(&net, arena);
	batch->values.v_knee[0][3] = NAN;
	batch->values.set_v[5] = NAN;
	batch_solve(batch, BATCH_LANES);
	EACH_LANE (l)
		assert_true(batch->converged[l] == (l != 3 && l != 5));
	compare(batch, 4, arena);
	batch->values.set_v[5] = 23;
	batch->values.v_knee[0][3] = 16;
	batch_solve(batch, BATCH_LANES);
	EACH_LANE (l)
		compare(batch, l, arena);
	arena_free(arena);
}

/* What holds the network may lie below the set voltage, in every lane elsewhere: in those that lie on one piece
 * of the law and in those that are solved alone. */
static void each_lane_is_held_where_it_says(void **state)
{
	(void)state;
	size_t alone = 0;
	for (size_t units = 10; units <= 1000; units *= 10) {
		struct arena *arena = arena_new();
		struct network net;
		network_init(&net, arena, 24);
		uint32_t a = network_add_node(&net), b = network_add_node(&net), c = network_add_node(&net);
		network_fix(&net, a, 0);
		network_add_branch(&net, a, b, 0.1);
		network_add_chain(&net, b, c, units, 0.01, (struct unit_law){ 0.02, 16.5, 22, true });
		struct batch *batch = batch_new(&net, arena);
		EACH_LANE (l)
			batch->values.fixed_drop[0][l] = 0.25 * l;
		batch_solve(batch, BATCH_LANES);
		EACH_LANE (l) {
			compare(batch, l, arena);
			assert_near(batch->node_drop[a][l], 0.25 * l, 0, 0);
			alone += batch->iterations[l] > 3;
		}
		arena_free(arena);
	}
	assert_true(alone > 0 && alone < 3 * BATCH_LANES);
}

/* n constant-current units of 1 A on sections of 1/4 ohm, held alike at both ends: either end supplies half,
 * so that half a section carries n / 2, the next one 1 A less ..., and both units next to the middle lie
 *     1/4 ohm (n / 4 + (n / 2 - 1) + (n / 2 - 2) + ... + 1) = n^2 / 32 V
 * below them. All in powers of two: no digit is rounded, and no current at all flows in the middle. */
static void the_middle_is_lowest_between_two_equal_feeds(void **state)
{
	(void)state;
	for (size_t n = 2; n <= 64; n *= 2) {
		struct arena *arena = arena_new();
		struct network net;
		network_init(&net, arena, 256);
		uint32_t a = network_add_node(&net), b = network_add_node(&net);
		network_fix(&net, a, 0);
		network_fix(&net, b, 0);
		network_add_chain(&net, a, b, n, 0.25, (struct unit_law){ 1, 16, 32, true });
		struct batch *batch = batch_new(&net, arena);
		batch_solve(batch, BATCH_LANES);
		EACH_LANE (l) {
			assert_int_equal(batch->iterations[l], 1);
			assert_near(batch->chains[0].v_low[l], 256 - (double)(n * n) / 32, 0, 0);
			assert_near(batch->chains[0].v_high[l], 256 - 0.125 * (double)n / 2, 0, 0);
			assert_near(batch->chains[0].in_a[l], (double)n / 2, 0, 0);
		}
		arena_free(arena);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(lanes_are_single_solutions),
		cmocka_unit_test(lanes_with_bent_chains_are_single_solutions),
		cmocka_unit_test(the_own_values_give_the_own_solution),
		cmocka_unit_test(a_lane_that_is_no_number_has_not_converged),
		cmocka_unit_test(each_lane_is_held_where_it_says),
		cmocka_unit_test(the_middle_is_lowest_between_two_equal_feeds),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
