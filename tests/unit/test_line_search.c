/* Where the search goes on slopes whose trials can be worked out by hand: regula falsi,
 *     s = a - f(a) (b - a) / (f(b) - f(a)),
 * with the Illinois rule (Dowell and Jarratt 1971): the end of the bracket that stays a second time has its
 * value halved; and no trial nearer to an end than a fiftieth of the bracket. */
#include "support.h"

#include "solve/line_search.h"

#define MOST_TRIALS 8

/* A slope that is straight from -1 at 0, or from where it leaves -1, up to `most`. */
struct curve { double flat_until, rise, most; };

struct search { struct curve curve; double at[MOST_TRIALS]; size_t count; };

static double slope_of(void *data, double s)
{
	struct search *search = data;
	const struct curve *c = &search->curve;
	assert_true(search->count < MOST_TRIALS);
	search->at[search->count++] = s;
	return fmin(fmax(-1 + c->rise * (s - c->flat_until), -1), c->most);
}

static void assert_trials(struct curve curve, bool full, size_t count, const double *at)
{
	struct search search = { .curve = curve };
	assert_int_equal(line_search(slope_of, &search, -1), full);
	assert_int_equal(search.count, count);
	for (size_t i = 0; i < count; i++)
		assert_near(search.at[i], at[i], 1e-12, 0);
}

/* At most a tenth of the first slope is left: 1/8 is too much, and the root is 8/9 on. */
static void the_whole_step_is_taken_where_little_is_left(void **state)
{
	(void)state;
	const double whole[] = { 1 }, not_whole[] = { 1, 8.0 / 9 };
	assert_trials((struct curve){ 0, 0.5, INFINITY }, true, 1, whole);
	assert_trials((struct curve){ 0, 1 + 1.0 / 16, INFINITY }, true, 1, whole);
	assert_trials((struct curve){ 0, 1 + 1.0 / 8, INFINITY }, false, 2, not_whole);
}

/* A direction that leads uphill from the start leaves nothing to bracket. */
static void no_bracket_where_the_slope_does_not_fall(void **state)
{
	(void)state;
	for (int slope = 0; slope <= 1; slope++) {
		struct search search = { .curve = { 0, 9, INFINITY } };
		assert_true(line_search(slope_of, &search, slope));
		assert_int_equal(search.count, 1);
	}
}

static void a_straight_slope_takes_one_trial(void **state)
{
	(void)state;
	const double at[] = { 1, 0.25 };
	assert_trials((struct curve){ 0, 4, INFINITY }, false, 2, at);
}

/* The root lies at 0.001: the first trial is held back at a fiftieth, the second finds it. */
static void trials_keep_off_the_ends(void **state)
{
	(void)state;
	const double at[] = { 1, 0.02, 0.001 };
	assert_trials((struct curve){ 0, 1000, INFINITY }, false, 3, at);
}

/* -1 up to 0.5, then 8 to 1, 3 at the end:
 *     0 + 1 / (1 + 3)                                   = 0.25      where it is -1
 *     0.25 + 0.75 / 4                                   = 0.4375    -1 again: 3 counts as 1.5
 *     0.4375 + 0.5625 / 2.5                             = 0.6625    0.3
 *     0.4375 + 0.225 / 1.3                              = 0.61057.. -0.11538..
 *     and from there to 0.6625 it is straight           = 0.625 */
static void an_upper_end_that_stays_is_halved(void **state)
{
	(void)state;
	const double at[] = { 1, 0.25, 0.4375, 0.6625, 0.4375 + 0.225 / 1.3, 0.625 };
	assert_trials((struct curve){ 0.5, 8, INFINITY }, false, 6, at);
}

/* 80 to 1 from the start, then 3:
 *     1 / 4                                             = 0.25      where it is 3
 *     0.25 / 4                                          = 0.0625    3 again: -1 counts as -0.5
 *     0.0625 / 7                                        = 0.00892.. -1 + 5 / 7
 *     0.0625 / 7 + 2 / 7 (0.0625 6 / 7) / (3 + 2 / 7)   = 0.01358.. 2 / 23, less than a tenth */
static void a_lower_end_that_stays_is_halved(void **state)
{
	(void)state;
	const double third = 0.0625 / 7;
	const double at[] = { 1, 0.25, 0.0625, third, third + 2.0 / 7 * (0.0625 - third) / (3 + 2.0 / 7) };
	assert_trials((struct curve){ 0, 80, 3 }, false, 5, at);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_whole_step_is_taken_where_little_is_left),
		cmocka_unit_test(no_bracket_where_the_slope_does_not_fall),
		cmocka_unit_test(a_straight_slope_takes_one_trial),
		cmocka_unit_test(trials_keep_off_the_ends),
		cmocka_unit_test(an_upper_end_that_stays_is_halved),
		cmocka_unit_test(a_lower_end_that_stays_is_halved),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
