/* Cutting plans against GLPK, a general solver, on the plain assignment model: x[i][b] = 1 when
 * piece i is cut from stock b, every piece once, no more on a stock than it holds. Reel b is the
 * one whose first piece is b, so that x[b][b] = 1 when it is begun and only pieces i >= b can be on
 * it: reels are alike, and the model needs none of their permutations.
 *     minimise (1 + all units) sum over reels of x[b][b] - sum over offcuts of units[i] x[i][b]
 * puts fewest reels first and most units from offcuts second. */
#include "support.h"

#include "cutting_check.h"
#include "oracle/chance.h"

#include <glpk.h>

#define PIECES_MOST  12
#define OFFCUTS_MOST 3
#define TERMS_MOST   (PIECES_MOST * (PIECES_MOST + OFFCUTS_MOST) * 2)

struct instance {
	size_t reel, offcut_count, piece_count, total;
	size_t offcuts[OFFCUTS_MOST], pieces[PIECES_MOST];
};

/* Rows: a piece each, then a stock each. */
struct model {
	glp_prob *problem;
	int row[TERMS_MOST + 1], column[TERMS_MOST + 1];
	double value[TERMS_MOST + 1];
	int terms;
};

static void term(struct model *m, int row, int column, double value)
{
	m->terms++;
	m->row[m->terms] = row;
	m->column[m->terms] = column;
	m->value[m->terms] = value;
}

/* Column x[piece][stock] of a stock in row `row`. */
static void assign(struct model *m, size_t piece, int row, double units, double cost)
{
	int column = glp_add_cols(m->problem, 1);
	glp_set_col_kind(m->problem, column, GLP_BV);
	glp_set_obj_coef(m->problem, column, cost);
	term(m, (int)piece + 1, column, 1);
	term(m, row, column, units);
}

static void add_offcut(struct model *m, const struct instance *in, size_t b)
{
	int row = glp_add_rows(m->problem, 1);
	glp_set_row_bnds(m->problem, row, GLP_UP, 0, (double)in->offcuts[b]);
	for (size_t i = 0; i < in->piece_count; i++)
		assign(m, i, row, (double)in->pieces[i], -(double)in->pieces[i]);
}

static void add_reel(struct model *m, const struct instance *in, size_t b)
{
	int row = glp_add_rows(m->problem, 1);
	glp_set_row_bnds(m->problem, row, GLP_UP, 0, 0);
	assign(m, b, row, (double)in->pieces[b] - (double)in->reel, 1 + (double)in->total);
	for (size_t i = b + 1; i < in->piece_count; i++)
		assign(m, i, row, (double)in->pieces[i], 0);
}

/* The optimal value; fails the test when GLPK does not prove one. */
static double glpk_optimum(const struct instance *in)
{
	static struct model m;
	m = (struct model){ .problem = glp_create_prob() };
	glp_set_obj_dir(m.problem, GLP_MIN);
	glp_add_rows(m.problem, (int)in->piece_count);
	for (size_t i = 0; i < in->piece_count; i++)
		glp_set_row_bnds(m.problem, (int)i + 1, GLP_FX, 1, 1);
	for (size_t b = 0; b < in->offcut_count; b++)
		add_offcut(&m, in, b);
	for (size_t b = 0; b < in->piece_count; b++)
		add_reel(&m, in, b);
	glp_load_matrix(m.problem, m.terms, m.row, m.column, m.value);
	glp_iocp options;
	glp_init_iocp(&options);
	options.presolve = GLP_ON;
	options.msg_lev = GLP_MSG_ERR;
	int fault = glp_intopt(m.problem, &options);
	int status = glp_mip_status(m.problem);
	double value = glp_mip_obj_val(m.problem);
	glp_delete_prob(m.problem);
	assert_int_equal(fault, 0);
	assert_int_equal(status, GLP_OPT);
	return value;
}

static void compare(const struct instance *in)
{
	struct arena *arena = arena_new();
	struct cut_order order = cutting_order(arena, in->reel, in->offcuts, in->offcut_count,
	                                       in->pieces, in->piece_count);
	struct cut_plan plan;
	cut_plan_make(&order, arena, &plan);
	cutting_check(&order, &plan);
	assert_int_equal(plan.too_long_count, 0);
	assert_true(plan.optimal && plan.offcuts_proved);
	double mine = (1 + (double)in->total) * (double)plan.reels_used - (double)plan.offcut_units;
	assert_near(mine, glpk_optimum(in), 0, 1e-4);
	arena_free(arena);
}

/* `count` orders of pieces between `low` and `high` percent of a reel. */
static void compare_many(uint64_t seed, size_t count, size_t low, size_t high, size_t pieces_most)
{
	struct chance chance = { seed };
	for (size_t n = 0; n < count; n++) {
		struct instance in = { .reel = 40 + chance_below(&chance, 61) };
		in.offcut_count = chance_below(&chance, OFFCUTS_MOST + 1);
		in.piece_count = 3 + chance_below(&chance, pieces_most - 2);
		for (size_t i = 0; i < in.offcut_count; i++)
			in.offcuts[i] = 1 + chance_below(&chance, in.reel - 1);
		for (size_t i = 0; i < in.piece_count; i++) {
			in.pieces[i] = 1 + in.reel * low / 100
				+ chance_below(&chance, in.reel * (high - low) / 100);
			in.total += in.pieces[i];
		}
		compare(&in);
	}
}

static void pieces_of_all_lengths(void **state)
{
	(void)state;
	compare_many(11, 40, 0, 99, 12);
}

static void two_to_four_per_reel(void **state)
{
	(void)state;
	compare_many(12, 30, 20, 50, 11);
}

static void short_pieces(void **state)
{
	(void)state;
	compare_many(13, 30, 5, 35, 12);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(pieces_of_all_lengths),
		cmocka_unit_test(two_to_four_per_reel),
		cmocka_unit_test(short_pieces),
	};
	int failed = cmocka_run_group_tests_name("cutting against GLPK", tests, NULL, NULL);
	glp_free_env();
	return failed;
}
