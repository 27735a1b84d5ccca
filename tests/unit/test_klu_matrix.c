/* Small conductance matrices with answers by Ohm's and Kirchhoff's laws. */
#include "support.h"

#include "solve/klu_matrix.h"

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

/* Ground - 2 S - x0 - 3 S - x1 - 6 S - ground with 1 A into x0: behind x0 lie 3 S and 6 S in a row, 2 S, so
 * x0 = 1 / (2 + 2) V and x1 a third of it. As shunts the outer two do the same. */
static void conductances_in_a_row_divide_the_voltage(void **state)
{
	(void)state;
	const struct klu_pair pairs[] = { { KLU_GROUND, 0 }, { 0, 1 }, { 1, KLU_GROUND } };
	struct klu_matrix *m = klu_matrix_new(arena, 2, pairs, 3);
	double x[] = { 1, 0 };
	klu_matrix_add(m, 0, 2, 0, 0);
	klu_matrix_add(m, 1, 3, 0, 0);
	klu_matrix_add(m, 2, 6, 0, 0);
	assert_true(klu_matrix_solve(m, x));
	assert_near(x[0], 0.25, 1e-15, 0);
	assert_near(x[1], 0.25 / 3, 1e-15, 0);

	double y[] = { 0, 1 };       /* 2 S and 3 S in a row, 1.2 S, beside 6 S */
	klu_matrix_resolve(m, y);
	assert_near(y[1], 1 / 7.2, 1e-15, 0);
	assert_near(y[0], 0.6 / 7.2, 1e-15, 0);

	double z[] = { 1, 0 };
	klu_matrix_clear(m);
	klu_matrix_add(m, 1, 3, 2, 6);
	assert_true(klu_matrix_solve(m, z));
	assert_near(z[0], 0.25, 1e-15, 0);
	assert_near(z[1], 0.25 / 3, 1e-15, 0);
}

/* Three conductances of 1, 2 and 4 S side by side are 7 S, either way round. */
static void parallel_pairs_add_up(void **state)
{
	(void)state;
	const struct klu_pair pairs[] = { { 0, 1 }, { 1, 0 }, { 0, 1 }, { 1, KLU_GROUND } };
	struct klu_matrix *m = klu_matrix_new(arena, 2, pairs, 4);
	double x[] = { 1, 0 };
	for (size_t p = 0; p < 3; p++)
		klu_matrix_add(m, p, (double)(1 << p), 0, 0);
	klu_matrix_add(m, 3, 5, 0, 0);
	assert_true(klu_matrix_solve(m, x));
	assert_near(x[1], 1.0 / 5, 1e-15, 0);
	assert_near(x[0], 1.0 / 5 + 1.0 / 7, 1e-15, 0);
}

/* No voltage lies across it, so it carries nothing. */
static void a_conductance_to_itself_changes_nothing(void **state)
{
	(void)state;
	const struct klu_pair pairs[] = { { 0, 0 }, { 0, 1 }, { 1, KLU_GROUND } };
	struct klu_matrix *m = klu_matrix_new(arena, 2, pairs, 3);
	double x[] = { 1, 0 };
	klu_matrix_add(m, 0, 9, 0, 0);
	klu_matrix_add(m, 1, 4, 0, 0);
	klu_matrix_add(m, 2, 5, 0, 0);
	assert_true(klu_matrix_solve(m, x));
	assert_near(x[0], 0.25 + 0.2, 1e-15, 0);
	assert_near(x[1], 0.2, 1e-15, 0);
}

/* What hangs on nothing has no voltage, the first time and later; values that have an answer still get it. */
static void without_a_way_to_ground_there_is_no_answer(void **state)
{
	(void)state;
	const struct klu_pair pairs[] = { { 0, 1 }, { 1, KLU_GROUND } };
	for (int sound_first = 0; sound_first <= 1; sound_first++) {
		struct klu_matrix *m = klu_matrix_new(arena, 2, pairs, 2);
		for (int time = sound_first ? 0 : 1; time < 3; time++) {
			double x[] = { 1, 0 };
			bool sound = time != 1;
			klu_matrix_clear(m);
			klu_matrix_add(m, 0, 2, 0, 0);
			klu_matrix_add(m, 1, sound ? 4 : 0, 0, 0);
			assert_int_equal(klu_matrix_solve(m, x), sound);
			if (sound)
				assert_near(x[0], 0.75, 1e-15, 0);
		}
	}
}

static void no_unknowns_are_no_work(void **state)
{
	(void)state;
	const struct klu_pair pairs[] = { { KLU_GROUND, KLU_GROUND } };
	struct klu_matrix *m = klu_matrix_new(arena, 0, pairs, 1);
	klu_matrix_add(m, 0, 1, 0, 0);
	assert_true(klu_matrix_solve(m, NULL));
	klu_matrix_resolve(m, NULL);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(conductances_in_a_row_divide_the_voltage),
		TEST(parallel_pairs_add_up),
		TEST(a_conductance_to_itself_changes_nothing),
		TEST(without_a_way_to_ground_there_is_no_answer),
		TEST(no_unknowns_are_no_work),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
