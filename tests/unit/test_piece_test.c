/* Piece tests: the knee and the watts that two readings give, and what wins over what. The line through two
 * points is worked out by hand; tests/oracle/test_reel_test.c has pieces that ngspice made. */
#include "load_support.h"

#define TYPE "  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm"
#define JOB(type, item) \
	"strip_types:\n" TYPE type "}\n" "strips:\n  L1: {type: warm, length: 850 mm" item "}\n"

/* 50 mm, one unit between half sections of 0.25 ohm in all (r = 10 ohm/m): 22 V and 24 V at the pads are
 * 15 mA and 20 mA. 2 V / 5 mA = 400 ohm in all, so the knee is 22 V - 15 mA 400 ohm = 16 V; the unit alone
 * is 400 - 0.25 ohm; at 24 V it takes 8 V / 399.75 ohm = 20.0125 mA; 24 V times that over 50 mm is
 * 9.606 W/m. */
#define PIECE ", piece_test: {length: 50 mm, low: 22 V, low_current: 15 mA, high: 24 V, high_current: 20 mA}"
#define REEL ", reel_test: {length: 5 m, feed: 24.0 V, far: 22.1 V, current: 1.82 A}"

static struct strip strip_of(const char *text)
{
	struct job_reading r = read_text(text);
	if (r.status != LOAD_OK)
		fail_msg("%s", r.diags.items[0].message);
	struct strip strip = r.job->strips[0];
	done(&r);
	return strip;
}

static void test_one_unit(void **state)
{
	(void)state;
	struct strip s = strip_of(JOB(PIECE ", loop_resistance: 10 ohm/m", ""));
	assert_true(s.knee_measured && s.power_measured && !s.loop_measured);
	assert_near(s.law.v_knee, 16, 1e-12, 0);
	assert_near(s.power_w_per_m, 24 * (8 / 399.75) / 0.05, 1e-12, 0);
	assert_near(s.law.amps, 8 / 399.75, 1e-12, 0);
	assert_int_equal(s.led_knee.origin, ORIGIN_TYPE);
	assert_near(s.power.num, 9.6, 1e-12, 0);                     /* the label stays what it is */
}

/* The current at which a constant-current strip holds is read off the line, at regulates_above. */
static void test_constant_current(void **state)
{
	(void)state;
	struct strip s = strip_of(JOB(PIECE ", ballast: constant-current, regulates_above: 24 V, "
	                              "loop_resistance: 10 ohm/m", ", voltage: 28 V"));
	assert_near(s.law.v_knee, 16, 1e-12, 0);
	assert_near(s.power_w_per_m, 28 * (8 / 399.75) / 0.05, 1e-12, 0);
}

/* Over the rails of a short piece hardly anything is lost: an assumed resistance is good enough. */
static void test_rails_hardly_matter(void **state)
{
	(void)state;
	double low = strip_of(JOB(PIECE ", loop_resistance: 0.1 ohm/m", "")).power_w_per_m;
	double high = strip_of(JOB(PIECE ", loop_resistance: 0.4 ohm/m", "")).power_w_per_m;
	assert_near(low, high, 1e-4, 0);
	assert_true(high > low);
}

static void test_nearest_statement_wins(void **state)
{
	(void)state;
	struct strip s = strip_of(JOB(PIECE, ", led_knee: 15 V"));
	assert_false(s.knee_measured || s.power_measured);
	assert_near(s.law.v_knee, 15, 1e-12, 0);
	s = strip_of(JOB(", led_knee: 15 V", PIECE));
	assert_true(s.knee_measured && s.power_measured);
	assert_near(s.law.v_knee, 16, 1e-12, 0);
	s = strip_of(JOB(PIECE, ", power: 14.4 W/m"));
	assert_true(s.knee_measured && !s.power_measured);
	assert_near(s.power_w_per_m, 14.4, 1e-12, 0);
	s = strip_of(JOB(REEL, ", power: 14.4 W/m"));
	assert_true(s.loop_measured && !s.power_measured);
	assert_near(s.power_w_per_m, 14.4, 1e-12, 0);
}

/* The knee from the piece, the rest from the reel: as if the knee had been said. */
static void test_both(void **state)
{
	(void)state;
	struct strip both = strip_of(JOB(PIECE REEL, "")), said = strip_of(JOB(", led_knee: 16 V" REEL, ""));
	assert_true(both.knee_measured && both.loop_measured && both.power_measured);
	assert_near(both.law.v_knee, 16, 1e-12, 0);
	assert_near(both.loop_ohm_per_m, said.loop_ohm_per_m, 1e-12, 0);
	assert_near(both.power_w_per_m, said.power_w_per_m, 1e-12, 0);
	struct strip assumed = strip_of(JOB(REEL, ""));              /* 16.5 V: it does matter */
	assert_true(fabs(assumed.power_w_per_m - both.power_w_per_m) > 0.01);
}

static void test_deriving_again_changes_nothing(void **state)
{
	(void)state;
	struct job_reading r = read_text(JOB(PIECE REEL, ""));
	struct strip once = r.job->strips[0];
	job_derive(r.job);
	struct strip *twice = &r.job->strips[0];
	assert_true(twice->knee_measured && twice->loop_measured && twice->power_measured);
	assert_near(twice->law.v_knee, once.law.v_knee, 0, 0);
	assert_near(twice->loop_ohm_per_m, once.loop_ohm_per_m, 0, 0);
	assert_near(twice->law.amps, once.law.amps, 0, 0);
	done(&r);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_one_unit),
		cmocka_unit_test(test_constant_current),
		cmocka_unit_test(test_rails_hardly_matter),
		cmocka_unit_test(test_nearest_statement_wins),
		cmocka_unit_test(test_both),
		cmocka_unit_test(test_deriving_again_changes_nothing),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
