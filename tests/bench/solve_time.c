/* Times the solver alone, and KLU on the same network with every cut unit an unknown of its own:
 *     solve_time CHAINS UNITS
 * prints: units, Newton steps, then seconds of network_solve(), of a net_solver_run() with changed
 * values, of one sample in a batch, of KLU to analyse, factor and solve, and of KLU to refactor
 * and solve, and last the largest difference of the two answers in V. */
#include "solve/batch.h"

#include <suitesparse/klu.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define RUNS 9
#define SET_V 24.0
#define BAY 20

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

static double median(double *seconds)
{
	qsort(seconds, RUNS, sizeof *seconds, by_size);
	return seconds[RUNS / 2];
}

/* Node 0 is the driver. Each bay has a block behind a cable, and its strips hang on that, both
 * ends. The units are so small a load that no unit comes near its knee: one Newton step is exact.
 */
static void build(struct network *net, struct arena *arena, size_t chains, size_t units)
{
	struct unit_law law = { .amps = 0.5 / (double)units, .v_knee = 16.5, .v_full = SET_V };
	network_init(net, arena, SET_V);
	network_add_node(net);
	network_fix(net, 0, 0);
	uint32_t block = 0;
	for (size_t i = 0; i < chains; i++) {
		if (i % BAY == 0) {
			block = network_add_node(net);
			network_add_branch(net, 0, block, 0.02);
		}
		uint32_t start = network_add_node(net), end = network_add_node(net);
		network_add_branch(net, block, start, 0.05);
		network_add_branch(net, block, end, 0.06);
		network_add_chain(net, start, end, units, 0.5 / (double)units, law);
	}
}

/* The full matrix by columns: unknowns are nodes 1 .., then units. */
struct full { int n; int *first, *row; double *value, *right; size_t count; };
struct entry { int column, row; double value; };

static int by_place(const void *a, const void *b)
{
	const struct entry *x = a, *y = b;
	if (x->column != y->column)
		return (x->column > y->column) - (x->column < y->column);
	return (x->row > y->row) - (x->row < y->row);
}

struct entries { struct entry *list; size_t count; };

static void stamp(struct entries *e, int a, int b, double g)
{
	const int at[2] = { a, b };
	for (int i = 0; i < 2; i++)
		for (int j = 0; j < 2; j++)
			if (at[i] >= 0 && at[j] >= 0)
				e->list[e->count++] = (struct entry){ at[i], at[j], i == j ? g : -g };
}

static struct full assemble(const struct network *net)
{
	size_t most = 4 * (net->branch_count + 2 * net->chain_count + 2 * net->unit_count);
	struct entries e = { malloc(most * sizeof(struct entry)), 0 };
	size_t n = net->node_count - 1 + net->unit_count;
	struct full f = { .n = (int)n, .first = calloc(n + 1, sizeof(int)),
	                  .right = calloc(n, sizeof(double)) };
	for (size_t i = 0; i < net->branch_count; i++)
		stamp(&e, (int)net->branches[i].a - 1, (int)net->branches[i].b - 1, 1 / net->branches[i].ohm);
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *c = &net->chains[i];
		int before = (int)c->a - 1, unit = (int)(net->node_count - 1 + c->first);
		double slope = c->law.amps / (c->law.v_full - c->law.v_knee);
		for (uint32_t k = 0; k < c->units; k++, unit++) {
			stamp(&e, before, unit, (k == 0 ? 2 : 1) / c->section_ohm);
			stamp(&e, unit, -1, slope);
			f.right[unit] = c->law.amps;   /* at no drop */
			before = unit;
		}
		stamp(&e, before, (int)c->b - 1, 2 / c->section_ohm);
	}
	qsort(e.list, e.count, sizeof *e.list, by_place);
	f.row = malloc(e.count * sizeof *f.row);
	f.value = malloc(e.count * sizeof *f.value);
	for (size_t i = 0; i < e.count; i++) {
		if (i > 0 && e.list[i].column == e.list[i - 1].column && e.list[i].row == e.list[i - 1].row) {
			f.value[f.count - 1] += e.list[i].value;
			continue;
		}
		f.row[f.count] = e.list[i].row;
		f.value[f.count++] = e.list[i].value;
		f.first[e.list[i].column + 1] = (int)f.count;
	}
	free(e.list);
	return f;
}

static void time_klu(struct full *f, double *cold, double *warm, double *x)
{
	double colds[RUNS], warms[RUNS];
	for (int run = 0; run < RUNS; run++) {
		klu_common common;
		klu_defaults(&common);
		double start = now();
		klu_symbolic *symbolic = klu_analyze(f->n, f->first, f->row, &common);
		klu_numeric *numeric = klu_factor(f->first, f->row, f->value, symbolic, &common);
		memcpy(x, f->right, (size_t)f->n * sizeof *x);
		klu_solve(symbolic, numeric, f->n, 1, x, &common);
		colds[run] = now() - start;
		start = now();
		klu_refactor(f->first, f->row, f->value, symbolic, numeric, &common);
		memcpy(x, f->right, (size_t)f->n * sizeof *x);
		klu_solve(symbolic, numeric, f->n, 1, x, &common);
		warms[run] = now() - start;
		klu_free_numeric(&numeric, &common);
		klu_free_symbolic(&symbolic, &common);
	}
	*cold = median(colds);
	*warm = median(warms);
}

/* From nothing to the answer; leaves the last answer in `s`. False when there is none. The memory
 * is that of the run before, as it is KLU's: fresh memory costs page faults, which are the
 * system's. */
static bool time_cold(const struct network *net, struct arena *arena, double *cold,
                      struct net_solution *s)
{
	double seconds[RUNS];
	struct arena *own = arena_child(arena);
	for (int run = 0; run < RUNS; run++) {
		arena_reset(own);
		double start = now();
		network_solve(net, own, s);
		seconds[run] = now() - start;
		if (!s->converged)
			return false;
	}
	*cold = median(seconds);
	return true;
}

/* Every resistance and every law a little different in each run. */
static void change(struct network *net, double by)
{
	for (size_t i = 0; i < net->branch_count; i++)
		net->branches[i].ohm *= by;
	for (size_t i = 0; i < net->chain_count; i++) {
		net->chains[i].section_ohm *= by;
		net->chains[i].law.amps *= by;
	}
}

static bool time_warm(struct network *net, struct arena *arena, double *warm)
{
	double seconds[RUNS];
	struct net_solution s;
	struct net_solver *solver = net_solver_new(net, arena);
	net_solver_run(solver, &s);
	for (int run = 0; run < RUNS; run++) {
		change(net, run % 2 ? 1.01 : 1 / 1.01);
		double start = now();
		net_solver_run(solver, &s);
		seconds[run] = now() - start;
		if (!s.converged)
			return false;
	}
	*warm = median(seconds);
	return true;
}

/* Per sample, all figures of a batch_chain included. */
static bool time_batch(const struct network *net, struct arena *arena, double *sample)
{
	double seconds[RUNS];
	struct batch *batch = batch_new(net, arena);
	for (int run = 0; run < RUNS; run++) {
		EACH_LANE (l) {
			for (size_t i = 0; i < net->branch_count; i++)
				batch->values.branch_ohm[i][l] = net->branches[i].ohm * (1 + 0.01 * (l + run));
			for (size_t i = 0; i < net->chain_count; i++)
				batch->values.amps[i][l] = net->chains[i].law.amps * (1 - 0.01 * (l + run));
		}
		double start = now();
		batch_solve(batch, BATCH_LANES);
		seconds[run] = (now() - start) / BATCH_LANES;
		EACH_LANE (l)
			if (!batch->converged[l])
				return false;
	}
	*sample = median(seconds);
	return true;
}

int main(int argc, char **argv)
{
	if (argc != 3)
		return 2;
	struct arena *arena = arena_new();
	struct network net;
	struct net_solution s;
	double solve, again, sample, cold, warm, apart = 0;
	build(&net, arena, strtoul(argv[1], NULL, 10), strtoul(argv[2], NULL, 10));
	if (!time_cold(&net, arena, &solve, &s) || !time_batch(&net, arena, &sample))
		return 1;
	struct full f = assemble(&net);
	double *x = malloc((size_t)f.n * sizeof *x);
	time_klu(&f, &cold, &warm, x);
	for (size_t k = 0; k < net.unit_count; k++)
		apart = fmax(apart, fabs(x[net.node_count - 1 + k] - s.unit_drop[k]));
	if (!time_warm(&net, arena, &again))
		return 1;
	printf("%zu %d %.9f %.9f %.9f %.9f %.9f %.3g\n", net.unit_count, s.iterations, solve, again,
	       sample, cold, warm, apart);
	return apart < 1e-8 ? 0 : 1;
}
