/* Lengths in a job's own system. The inch is 25.4 mm and the foot 0.3048 m, exactly: international yard and pound
 * agreement of 1959, as in NIST SP 811 (2008), B.6 and B.8. */
#include "support.h"

#include "base/arena.h"
#include "model/job.h"

#define INCH 0.0254
#define FOOT 0.3048

#define TAPE(metres) quantity_length_in(*state, metres, LENGTHS_INCH, LENGTH_TAPE, 0)
#define CABLE(metres) quantity_length_in(*state, metres, LENGTHS_INCH, LENGTH_CABLE, 0)
#define MARK(metres) quantity_mark(*state, metres, LENGTHS_INCH, 0)

static void tape_shows_sixteenths_in_lowest_terms(void **state)
{
	assert_string_equal(TAPE(33.5 * INCH), "33 1/2 in");
	assert_string_equal(TAPE(1 * INCH), "1 in");
	assert_string_equal(TAPE(INCH / 16), "1/16 in");
	assert_string_equal(TAPE(2.75 * INCH), "2 3/4 in");
	assert_string_equal(TAPE(2.625 * INCH), "2 5/8 in");
	assert_string_equal(TAPE(0.9375 * INCH), "15/16 in");
	assert_string_equal(TAPE(12 * FOOT), "144 in");            /* a tape goes on counting inches */
	assert_string_equal(TAPE(0.850), "33 7/16 in");            /* 850 / 25.4 = 33.4646, 16 x 0.4646 = 7.43 */
	assert_string_equal(TAPE(0.050), "1 15/16 in");            /* 1.9685, 15.50 sixteenths: 15.496 */
	assert_string_equal(MARK(33.5 * INCH), "33 1/2");
	assert_string_equal(MARK(0), "0");
}

static void sixteenths_are_rounded_to_the_nearest(void **state)
{
	assert_string_equal(TAPE((12 + 15.4 / 16) * INCH), "12 15/16 in");
	assert_string_equal(TAPE((12 + 15.6 / 16) * INCH), "13 in");         /* not 12 16/16 */
	assert_string_equal(TAPE(15.6 / 16 * INCH), "1 in");
	assert_string_equal(TAPE(0.4 / 16 * INCH), "0 in");
	assert_string_equal(TAPE(0.6 / 16 * INCH), "1/16 in");
	assert_string_equal(TAPE(0), "0 in");
}

static void below_zero_without_end_and_not_at_all(void **state)
{
	assert_string_equal(TAPE(-33.5 * INCH), "-33 1/2 in");
	assert_string_equal(TAPE(-0.25 * INCH), "-1/4 in");
	assert_string_equal(TAPE(-0.4 / 16 * INCH), "0 in");
	assert_string_equal(CABLE(-13.5 * FOOT), "-13.5 ft");
	assert_string_equal(TAPE(INCH * 1099511627776.0), "1099511627776 in");      /* 2^40 */
	assert_string_equal(CABLE(FOOT * 1099511627776.0), "1099511627776 ft");
	assert_string_equal(TAPE(NAN), "-");
	assert_string_equal(CABLE(INFINITY), "-");
	assert_string_equal(MARK(NAN), "-");
	assert_string_equal(MARK(1e308), "-");
	assert_true(strlen(TAPE(1e300)) > 300);
}

static void cables_go_by_the_foot_from_two_on(void **state)
{
	assert_string_equal(CABLE(13.5 * FOOT), "13.5 ft");
	assert_string_equal(CABLE(2 * FOOT), "2 ft");
	assert_string_equal(CABLE(23.5 * INCH), "23 1/2 in");
	assert_string_equal(CABLE(23.99 * INCH), "2 ft");          /* not 24 in */
	assert_string_equal(CABLE(40 * INCH), "3.33 ft");
	assert_string_equal(CABLE(4.12), "13.52 ft");              /* 4.12 / 0.3048 = 13.517 */
	assert_string_equal(CABLE(6 * INCH), "6 in");
	assert_string_equal(quantity_length_in(*state, 4.12, LENGTHS_INCH, LENGTH_CABLE, 3), "13.5 ft");
	assert_string_equal(quantity_length_in(*state, 4.12, LENGTHS_INCH, LENGTH_CABLE, 2), "14 ft");
	assert_string_equal(quantity_length_in(*state, 5, LENGTHS_INCH, LENGTH_CABLE, 6), "16.4 ft");   /* 16.404 */
	assert_string_equal(quantity_length_in(*state, 0.45, LENGTHS_INCH, LENGTH_CABLE, 2), "17 11/16 in");
}

/* What was shown before there was a choice. */
static void metric_is_as_it_was(void **state)
{
	static const double metres[] = { 0, 0.016666, 0.85, 1.85, 9.99994, 9.99999, 12.345678, -0.5, 1234.5 };
	struct arena *a = *state;
	for (size_t i = 0; i < sizeof(metres) / sizeof(*metres); i++)
		for (int sort = LENGTH_TAPE; sort <= LENGTH_CABLE; sort++) {
			assert_string_equal(quantity_length_in(a, metres[i], LENGTHS_METRIC, (enum length_sort)sort, 0),
			                    quantity_length(a, metres[i]));
			assert_string_equal(quantity_length_in(a, metres[i], LENGTHS_METRIC, (enum length_sort)sort, 3),
			                    quantity_text(a, metres[i], DIM_LENGTH, 3));
		}
	assert_string_equal(quantity_mark(a, 0.85, LENGTHS_METRIC, 0), "850");
	assert_string_equal(quantity_mark(a, 0.0166666, LENGTHS_METRIC, 1), "16.7");
	assert_string_equal(quantity_mark(a, 0.85, LENGTHS_METRIC, 1), "850.0");
	assert_string_equal(quantity_mark(a, 2.99995, LENGTHS_METRIC, MARK_AS_IT_IS), "2999.95");
	assert_string_equal(quantity_mark_unit(LENGTHS_METRIC), "mm");
	assert_string_equal(quantity_mark_unit(LENGTHS_INCH), "in");
}

/* What is shown is a length that a job may say, within half a sixteenth or half a hundredth of a foot. */
static void shown_is_read_back(void **state)
{
	static const enum dim length[] = { DIM_LENGTH, DIM__END };
	for (int step = 0; step < 4000; step++) {
		double metres = 0.00137 * step;
		struct quantity tape = quantity_parse(*state, TAPE(metres), length);
		struct quantity cable = quantity_parse(*state, CABLE(metres), length);
		assert_int_equal(tape.fault, QUANTITY_OK);
		assert_int_equal(cable.fault, QUANTITY_OK);
		assert_near(tape.value, metres, 0, INCH / 32 + 1e-12);
		assert_near(cable.value, metres, 0, FOOT / 200 + 1e-12);
	}
}

/* docs/input.md, Quantities: every way to write each unit of length, and what is written around it. */
static void the_system_is_seen_in_the_text(void **state)
{
	(void)state;
	for (size_t i = 0; i < unit_count; i++) {
		if (unit_table[i].dim != DIM_LENGTH)
			continue;
		char text[32] = "1 1/2";
		bool inch = strcmp(unit_table[i].name, "inch") == 0 || strcmp(unit_table[i].name, "foot") == 0;
		strcat(text, unit_table[i].symbol);
		assert_int_equal(quantity_length_system(text), inch ? LENGTHS_INCH : LENGTHS_METRIC);
	}
	assert_int_equal(quantity_length_system("6 ft 3 1/2 in"), LENGTHS_INCH);
	assert_int_equal(quantity_length_system("6\xE2\x80\xB2 3\xC2\xBD\xE2\x80\xB3"), LENGTHS_INCH);   /* 6' 3 1/2" in print */
	assert_int_equal(quantity_length_system("33 in +- 2 mm"), LENGTHS_INCH);
	assert_int_equal(quantity_length_system("850 mm +- 1/16 in"), LENGTHS_METRIC);
	assert_int_equal(quantity_length_system("1e3mm"), LENGTHS_METRIC);
	assert_int_equal(quantity_length_system("1e1 in"), LENGTHS_INCH);
}

static struct attr written(const char *text)
{
	return (struct attr){ .origin = ORIGIN_GIVEN, .dim = DIM_LENGTH, .text = text };
}

static void a_job_is_shown_in_what_most_of_it_is_written_in(void **state)
{
	(void)state;
	struct strip strips[2] = { { .length = written("33 in") }, { .channel = written("850 mm") } };
	struct cable cables[2] = { { .length = written("4 ft") }, { .length = written("2 m") } };
	struct job job = { .strips = strips, .strip_count = 2, .cables = cables, .cable_count = 2 };
	assert_int_equal(job_lengths(&job), LENGTHS_METRIC);        /* two and two: as it always was */
	cables[1].length = written("2 in");
	assert_int_equal(job_lengths(&job), LENGTHS_INCH);
	strips[0].channel = written("900 mm");
	assert_int_equal(job_lengths(&job), LENGTHS_INCH);
	strips[1].length = written("0.8 m");
	assert_int_equal(job_lengths(&job), LENGTHS_METRIC);
	strips[1].length.origin = ORIGIN_ASSUMED;                   /* written by nobody */
	assert_int_equal(job_lengths(&job), LENGTHS_INCH);
	job.strip_count = 1;
	job.cable_count = 0;
	strips[0] = (struct strip){ .reel = written("16 ft"), .length = { .origin = ORIGIN_GIVEN, .num = 1 } };
	assert_int_equal(job_lengths(&job), LENGTHS_METRIC);        /* a label's length says nothing of the job */
	assert_int_equal(attr_lengths(&strips[0].reel), LENGTHS_INCH);
	assert_int_equal(attr_lengths(&strips[0].length), LENGTHS_METRIC);
}

static int make_arena(void **state)
{
	*state = arena_new();
	return *state ? 0 : -1;
}

static int free_arena(void **state)
{
	arena_free(*state);
	return 0;
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_arena, free_arena)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(tape_shows_sixteenths_in_lowest_terms),
		TEST(sixteenths_are_rounded_to_the_nearest),
		TEST(below_zero_without_end_and_not_at_all),
		TEST(cables_go_by_the_foot_from_two_on),
		TEST(metric_is_as_it_was),
		TEST(shown_is_read_back),
		TEST(the_system_is_seen_in_the_text),
		TEST(a_job_is_shown_in_what_most_of_it_is_written_in),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
