/* The solver's search on random networks, against two small solvers written here: plain Newton on a
 * ladder, which shows why the line search of docs/model.md is there, and a dense Newton with
 * Gaussian elimination and bisection, which knows nothing of chains. */
#include "solve/network.h"

#include "oracle/oracle.h"

#include <stdio.h>
#include <string.h>

#define LADDERS 3000
#define MOST_UNITS 60
#define NETWORKS 400
#define MOST_UNKNOWNS 120

/* A source behind `feed_ohm`, then units one section apart. */
struct ladder { double set_v, feed_ohm, section_ohm; size_t units; struct unit_law law; };

static struct ladder random_ladder(struct chance *c)
{
	struct ladder l = { .set_v = chance_between(c, 5, 48), .units = 1 + chance_below(c, MOST_UNITS) };
	double knee = chance_between(c, 0.3, 0.9) * l.set_v;
	double full = knee + chance_between(c, 0.01, 1) * (l.set_v - knee);
	/* what all units at full current would drop in the feed and along the rails, in set
	 * voltages */
	double feed_share = chance_decades(c, 0.01, 10), rail_share = chance_decades(c, 0.01, 10);
	double amps = chance_decades(c, 0.1, 20);

	l.law = (struct unit_law){ amps / (double)l.units, knee, full, true };
	l.feed_ohm = feed_share * l.set_v / amps;
	l.section_ohm = rail_share * l.set_v / amps / (double)l.units;
	return l;
}

/* Kirchhoff's law at drop u[0] before the units and u[1 + k] at unit k, with the slopes of the
 * units. */
static double ladder_residual(const struct ladder *l, const double *u, double *f, double *slope)
{
	double in = u[0] / l->feed_ohm, most = 0;
	slope[0] = 0;
	for (size_t k = 0; k <= l->units; k++) {
		double ohm = k == 0 ? l->section_ohm / 2 : l->section_ohm;
		double out = k < l->units ? (u[k + 1] - u[k]) / ohm : 0;
		double unit = k == 0 ? 0 : unit_amps(&l->law, l->set_v - u[k], &slope[k]);
		f[k] = in - out - unit;
		most = fmax(most, fabs(f[k]));
		in = out;
	}
	return most;
}

/* Full Newton steps from zero drop. True when they end. */
static bool plain_newton(const struct ladder *l, double *u)
{
	double f[MOST_UNITS + 1], slope[MOST_UNITS + 1], diagonal[MOST_UNITS + 1];
	double tolerance = 1e-12 * l->law.amps * (double)l->units;

	memset(u, 0, (l->units + 1) * sizeof *u);
	for (int step = 0; step < 1000; step++) {
		if (ladder_residual(l, u, f, slope) <= fmax(tolerance, 1e-13 * l->set_v / l->section_ohm))
			return true;
		/* Thomas: downwards, then up */
		double before = 1 / l->feed_ohm, carried = 0, last = 0;
		for (size_t k = 0; k <= l->units; k++) {
			double next = k == l->units ? 0 : (k == 0 ? 2 : 1) / l->section_ohm;
			diagonal[k] = before + next + slope[k] - last * carried;
			f[k] = -f[k] + (k > 0 ? carried * f[k - 1] : 0);
			carried = next / diagonal[k];
			last = before = next;
		}
		double delta = 0;
		for (size_t k = l->units + 1; k-- > 0;) {
			double next = k == l->units ? 0 : (k == 0 ? 2 : 1) / l->section_ohm;
			delta = (f[k] + next * delta) / diagonal[k];
			u[k] += delta;
		}
	}
	return false;
}

static void solve_ladder(const struct ladder *l, struct arena *arena, struct net_solution *out)
{
	struct network net;
	network_init(&net, arena, l->set_v);
	uint32_t source = network_add_node(&net);
	uint32_t near = network_add_node(&net), far = network_add_node(&net);
	network_fix(&net, source, 0);
	network_add_branch(&net, source, near, l->feed_ohm);
	network_add_chain(&net, near, far, l->units, l->section_ohm, l->law);
	network_solve(&net, arena, out);
}

static void every_constant_current_ladder_converges(void **state)
{
	(void)state;
	struct chance chance = { 1 };
	size_t cycles = 0, most_steps = 0;

	for (int i = 0; i < LADDERS; i++) {
		struct arena *arena = arena_new();
		struct ladder l = random_ladder(&chance);
		struct net_solution s;
		double plain[MOST_UNITS + 1], u[MOST_UNITS + 1], f[MOST_UNITS + 1], slope[MOST_UNITS + 1];

		solve_ladder(&l, arena, &s);
		assert_true(s.converged);
		u[0] = s.node_drop[1];
		memcpy(u + 1, s.unit_drop, l.units * sizeof *u);
		assert_within("residual", ladder_residual(&l, u, f, slope), 0, 1e-10);
		assert_within("reported residual", s.residual_a, 0, 1e-10);
		assert_within("power balance", s.balance_w, 0, 1e-9);
		if ((size_t)s.iterations > most_steps)
			most_steps = (size_t)s.iterations;

		if (!plain_newton(&l, plain))
			cycles++;
		else
			for (size_t k = 0; k <= l.units; k++)
				assert_within("plain Newton", u[k], plain[k], 1e-8);
		arena_free(arena);
	}
	print_message("plain Newton never ends on %zu of %d; the search needs %zu steps at most\n", cycles,
	              LADDERS, most_steps);
	assert_true(cycles >= 10 && cycles < LADDERS);
	assert_true(most_steps < 100);
}

/* The whole network as unknowns joined by conductances: first the nodes, then the units. */
struct dense {
	double set_v;
	size_t count;
	double g[MOST_UNKNOWNS][MOST_UNKNOWNS];
	double load[MOST_UNKNOWNS];
	struct unit_law law[MOST_UNKNOWNS];          /* amps 0 where there is no unit */
	bool fixed[MOST_UNKNOWNS];
	double u[MOST_UNKNOWNS];
};

static double dense_residual(const struct dense *d, const double *u, double *f, double *slope)
{
	double most = 0;
	for (size_t i = 0; i < d->count; i++) {
		slope[i] = 0;
		f[i] = -d->load[i] - (d->law[i].amps > 0 ? unit_amps(&d->law[i], d->set_v - u[i], &slope[i]) : 0);
		for (size_t j = 0; j < d->count; j++)
			f[i] += d->g[i][j] * (u[i] - u[j]);
		if (d->fixed[i])
			f[i] = 0;
		most = fmax(most, fabs(f[i]));
	}
	return most;
}

/* Gaussian elimination, largest pivot first. Destroys m. */
static void eliminate(double m[][MOST_UNKNOWNS + 1], size_t n)
{
	for (size_t k = 0; k < n; k++) {
		size_t best = k;
		for (size_t i = k + 1; i < n; i++)
			if (fabs(m[i][k]) > fabs(m[best][k]))
				best = i;
		for (size_t j = 0; j <= n; j++) {
			double swap = m[k][j];
			m[k][j] = m[best][j];
			m[best][j] = swap;
		}
		for (size_t i = 0; i < n; i++) {
			double factor = i == k ? 0 : m[i][k] / m[k][k];
			for (size_t j = k; factor != 0 && j <= n; j++)
				m[i][j] -= factor * m[k][j];
		}
	}
	for (size_t k = 0; k < n; k++)
		m[k][n] /= m[k][k];
}

static double dense_slope(const struct dense *d, const double *u, const double *step, double s)
{
	double at[MOST_UNKNOWNS] = { 0 }, f[MOST_UNKNOWNS], slope[MOST_UNKNOWNS], sum = 0;
	for (size_t i = 0; i < d->count; i++)
		at[i] = u[i] + s * step[i];
	dense_residual(d, at, f, slope);
	for (size_t i = 0; i < d->count; i++)
		sum += f[i] * step[i];
	return sum;
}

static void dense_newton(struct dense *d)
{
	static double m[MOST_UNKNOWNS][MOST_UNKNOWNS + 1];
	double f[MOST_UNKNOWNS], slope[MOST_UNKNOWNS], step[MOST_UNKNOWNS];
	size_t n = d->count;

	for (int round = 0; round < 300; round++) {
		if (dense_residual(d, d->u, f, slope) < 1e-11)
			return;
		for (size_t i = 0; i < n; i++) {
			double sum = slope[i];
			for (size_t j = 0; j < n; j++) {
				m[i][j] = d->fixed[i] ? 0 : -d->g[i][j];
				sum += d->g[i][j];
			}
			m[i][i] = d->fixed[i] ? 1 : sum;
			m[i][n] = -f[i];
		}
		eliminate(m, n);
		for (size_t i = 0; i < n; i++)
			step[i] = m[i][n];
		double low = 0, high = 1;
		while (dense_slope(d, d->u, step, high) > 0 && high - low > 1e-3) {
			double middle = (low + high) / 2;
			if (dense_slope(d, d->u, step, middle) > 0)
				high = middle;
			else
				low = middle;
			if (low > 0 && high - low < 0.1 * low)
				break;
		}
		double s = dense_slope(d, d->u, step, 1) > 0 && low > 0 ? low : high;
		for (size_t i = 0; i < n; i++)
			d->u[i] += s * step[i];
	}
	fail_msg("the dense Newton did not end");
}

static void join(struct dense *d, size_t i, size_t j, double ohm)
{
	d->g[i][j] += 1 / ohm;
	d->g[j][i] += 1 / ohm;
}

static struct unit_law random_law(struct chance *c, double set_v)
{
	double knee = chance_between(c, 0.4, 0.9) * set_v;
	double full = knee + chance_between(c, 0.05, 1) * (set_v - knee);
	return (struct unit_law){ chance_decades(c, 0.01, 1), knee, full, chance_below(c, 2) == 0 };
}

/* The same two-terminal into both: a branch, or a chain whose units become unknowns. */
static void add_random_part(struct chance *c, struct network *net, struct dense *d, uint32_t a,
                            uint32_t b)
{
	double ohm = chance_decades(c, 1e-3, 3);
	size_t units = 1 + chance_below(c, 12);
	if (chance_below(c, 3) == 0 || d->count + units > MOST_UNKNOWNS) {
		network_add_branch(net, a, b, ohm);
		join(d, a, b, ohm);
		return;
	}
	struct unit_law law = random_law(c, net->set_v);
	network_add_chain(net, a, b, units, ohm, law);
	size_t before = a;
	for (size_t k = 0; k < units; k++) {
		d->law[d->count] = law;
		join(d, before, d->count, k == 0 ? ohm / 2 : ohm);
		before = d->count++;
	}
	join(d, before, b, ohm / 2);
}

static void random_network(struct chance *c, struct network *net, struct arena *arena,
                           struct dense *d)
{
	uint32_t nodes = (uint32_t)(2 + chance_below(c, 9));
	*d = (struct dense){ .set_v = chance_between(c, 10, 30), .count = nodes };
	network_init(net, arena, d->set_v);
	for (uint32_t i = 0; i < nodes; i++)
		network_add_node(net);
	network_fix(net, 0, 0);
	d->fixed[0] = true;
	if (nodes > 3 && chance_below(c, 3) == 0) {
		d->u[1] = chance_between(c, -1, 1);
		d->fixed[1] = true;
		network_fix(net, 1, d->u[1]);
	}
	for (uint32_t i = 1; i < nodes; i++)
		add_random_part(c, net, d, (uint32_t)chance_below(c, i), i);
	for (size_t more = chance_below(c, nodes); more > 0; more--) {
		uint32_t a = (uint32_t)chance_below(c, nodes), b = (uint32_t)chance_below(c, nodes);
		if (a != b)
			add_random_part(c, net, d, a, b);
	}
	if (chance_below(c, 3) == 0) {
		uint32_t at = (uint32_t)chance_below(c, nodes);
		d->load[at] = chance_between(c, 0, 0.5);
		network_add_load(net, at, d->load[at]);
	}
}

static void chains_are_what_a_dense_solver_finds(void **state)
{
	(void)state;
	static struct dense d;
	struct chance chance = { 2 };
	size_t units = 0;

	for (int i = 0; i < NETWORKS; i++) {
		struct arena *arena = arena_new();
		struct network net;
		struct net_solution s;
		random_network(&chance, &net, arena, &d);
		network_solve(&net, arena, &s);
		dense_newton(&d);
		assert_true(s.converged);
		for (size_t k = 0; k < net.node_count; k++)
			assert_within("node", s.node_drop[k], d.u[k], 1e-8);
		for (size_t k = 0; k < net.unit_count; k++)
			assert_within("unit", s.unit_drop[k], d.u[net.node_count + k], 1e-8);
		for (size_t k = 0; k < net.branch_count; k++) {
			const struct net_branch *b = &net.branches[k];
			assert_within("branch", s.branch_a[k], (d.u[b->b] - d.u[b->a]) / b->ohm, 1e-5);
		}
		assert_within("residual", s.residual_a, 0, 1e-9);
		assert_within("power balance", s.balance_w, 0, 1e-8);
		units += net.unit_count;
		arena_free(arena);
	}
	assert_true(units > 10 * NETWORKS);
}

static void assert_same_units(const struct network *net, const struct net_solution *got,
                              const struct net_solution *want, double tolerance)
{
	for (size_t k = 0; k < net->unit_count; k++) {
		assert_within("drop", got->unit_drop[k], want->unit_drop[k], tolerance * net->set_v);
		assert_within("amps", got->unit_amps[k], want->unit_amps[k], tolerance * net->set_v);
	}
}

/* From the last answer, with other values of everything: what a new solver finds. */
static void a_solver_may_be_used_again(void **state)
{
	(void)state;
	static struct dense d;
	struct chance chance = { 4 };
	size_t at_once = 0;
	for (int i = 0; i < NETWORKS; i++) {
		struct arena *arena = arena_new();
		struct network net;
		struct net_solution again, anew;
		random_network(&chance, &net, arena, &d);
		struct net_solver *solver = net_solver_new(&net, arena);
		for (int run = 0; run < 4; run++) {
			net_solver_run(solver, &again);
			network_solve(&net, arena, &anew);
			assert_true(again.converged && anew.converged);
			assert_same_units(&net, &again, &anew, 1e-12);
			assert_within("residual", again.residual_a, 0, 1e-9);
			at_once += again.iterations == 1;
			net.set_v *= chance_between(&chance, 0.8, 1.2);
			for (size_t k = 0; k < net.fixed_count; k++)
				net.fixed[k].drop *= chance_between(&chance, 0.5, 1.5);
			for (size_t k = 0; k < net.load_count; k++)
				net.loads[k].amps *= chance_between(&chance, 0.5, 1.5);
			for (size_t k = 0; k < net.branch_count; k++)
				net.branches[k].ohm *= chance_between(&chance, 0.5, 1.5);
			for (size_t k = 0; k < net.chain_count; k++) {
				net.chains[k].section_ohm *= chance_between(&chance, 0.5, 1.5);
				net.chains[k].law.amps *= chance_between(&chance, 0.5, 1.5);
			}
		}
		arena_free(arena);
	}
	assert_true(at_once > NETWORKS);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_solver_may_be_used_again),
		cmocka_unit_test(every_constant_current_ladder_converges),
		cmocka_unit_test(chains_are_what_a_dense_solver_finds),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
