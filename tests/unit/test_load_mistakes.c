/* What a wrong file is told. The words of each mistake are in fixtures/bad; here it is which, where
 * and how many, and that neither size nor lack of memory matters. */
#include "load_support.h"

#include "base/arena_faults.h"
#include "load/mistake.h"

#include <time.h>

/* Seven mistakes of seven kinds, each once, in the order of the file. */
static void all_mistakes_come_in_one_run(void **state)
{
	(void)state;
	struct job_reading r = read_text(
		"strip_types:\n"
		"  warm: {voltage: 24 V, powr: 9.6 W/m, cut_length: 50}\n"
		"drivers:\n"
		"  D1: {voltage: 24 V, power: 60 W, selv: maybe}\n"
		"strips:\n"
		"  L1: {type: warm, length: 850 mm}\n"
		"  L2: {type: wram, length: 850 mm}\n"
		"cables:\n"
		"  C1: {size: 0.7 mm2, from: D1, to: L3, length: 3.2 m}\n"
		"  C2: {size: 0.75 mm2, from: D1, to: L1@2 m}\n");
	assert_int_equal(r.status, LOAD_WRONG);
	assert_null(r.job);
	assert_int_equal(r.diags.count, 7);
	assert_mistake(&r, 0, "unknown-key", 2, 25);           /* and 'power' is not missing too */
	assert_mistake(&r, 1, "no-unit", 2, 52);
	assert_mistake(&r, 2, "not-yes-or-no", 4, 42);
	assert_mistake(&r, 3, "unknown-type", 7, 14);
	assert_mistake(&r, 4, "unknown-size", 9, 14);
	assert_mistake(&r, 5, "unknown-id", 9, 37);
	assert_mistake(&r, 6, "missing-key", 10, 3);
	done(&r);
}

static void the_nearest_names_are_offered(void **state)
{
	(void)state;
	struct job_reading r = read_text(WARM DRIVER STRIP
		"cables:\n  C1: {size: 0.75 mm2, from: d1, to: L11, length: 3.2 m}\n");
	assert_int_equal(r.diags.count, 2);
	assert_non_null(strstr(r.diags.items[0].hint, "'D1'"));
	assert_non_null(strstr(r.diags.items[0].hint, "capital"));
	assert_non_null(strstr(r.diags.items[1].hint, "'L1'"));
	done(&r);
}

static void one_mistake_each(void **state)
{
	(void)state;
	static const struct { const char *text, *kind; unsigned line, column; } rows[] = {
		{ RIGHT "cable:\n", "unknown-group", 9, 1 },
		{ RIGHT "drivers:\n  D2: {voltage: 24 V, power: 9 W}\n", "duplicate-key", 9, 1 },
		{ RIGHT "drivers2: 1\n", "unknown-group", 9, 1 },
		{ RIGHT "blocks: {L1: {ports: 2, max_current: 3 A}}\n", "duplicate-id", 9, 10 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1@0 mm, length: 1 m}\n"
		  "  C3: {size: 0.75 mm2, from: L1.start, to: L1@20 mm, length: 1 m}\n", "self-loop", 10,
		  44 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: C1, length: 1 m}\n",
		  "cable-as-terminal", 9, 38 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1@860 mm, length: 1 m}\n",
		  "bad-tap", 9, 41 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1.middle, length: 1 m}\n",
		  "unknown-terminal", 9, 41 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1, length: 1001 m}\n",
		  "out-of-range", 9, 50 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1, length: 1,5 m}\n",
		  "decimal-comma", 9, 50 },
		{ RIGHT "limits: {drop: 11 %}\n", "contradiction", 9, 16 },
		{ "job: {}\n", "nothing-to-check", 0, 0 },
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct job_reading r = read_text(rows[i].text);
		assert_int_equal(r.diags.count, 1);
		assert_mistake(&r, 0, rows[i].kind, rows[i].line, rows[i].column);
		done(&r);
	}
}

#define CC "cut_length: 50 mm, length: 1 m, ballast: constant-current"

/* Boundaries: the value that just passes and the one that just does not. */
static void limits_are_where_they_say(void **state)
{
	(void)state;
	static const struct { const char *strip; bool right; } rows[] = {
		{ "cut_length: 50 mm, length: 100 m", true },
		{ "cut_length: 50 mm, length: 100.001 m", false },
		{ "cut_length: 50 mm, length: 50 mm", true },
		{ "cut_length: 50 mm, length: 49 mm", true },      /* 2 % short of a unit */
		{ "cut_length: 50 mm, length: 48.9 mm", false },
		{ "cut_length: 5 m, length: 5 m", true },              /* a reel of 5 m is assumed */
		{ "cut_length: 50 mm, channel: 1 m", true },
		{ "cut_length: 50 mm, length: 1 m, led_knee: 23.9 V", true },
		{ "cut_length: 50 mm, length: 1 m, led_knee: 24 V", false },
		{ "cut_length: 50 mm, length: 1 m, series_leds: 8", true },    /* 8 x 2.75 = 22 V */
		{ "cut_length: 50 mm, length: 1 m, series_leds: 9", false },   /* 24.75 V */
		{ "cut_length: 50 mm, length: 1 m, loop_resistance: 1 mohm/m", true },
		{ "cut_length: 50 mm, length: 1 m, loop_resistance: 0.99 mohm/m", false },
		{ CC ", regulates_above: 24 V", true },
		{ CC ", regulates_above: 24.1 V", false },
		{ CC ", regulates_above: 16.5 V", false },
		{ CC ", regulates_above: 16.6 V", true },
		{ CC, false },
		{ "cut_length: 50 mm, length: 1 m, copper: 70 um", false },
		{ "cut_length: 50 mm, length: 1 m, copper: 70 um, rail_width: 3 mm", true },
		{ "cut_length: 50 mm, length: 1 m, copper: 70 um, rail_width: 3 mm, loop_resistance: "
		  "0.1 ohm/m", false },
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		char text[512];
		snprintf(text, sizeof text, "strips:\n  L1: {voltage: 24 V, power: 9.6 W/m, %s}\n",
		         rows[i].strip);
		struct job_reading r = read_text(text);
		if ((r.status == LOAD_OK) != rows[i].right)
			print_error("%s\n", rows[i].strip);
		assert_int_equal(r.status == LOAD_OK, rows[i].right);
		assert_int_equal(r.diags.count, rows[i].right ? 0 : 1);
		done(&r);
	}
}

static void a_file_that_is_not_there_is_a_mistake(void **state)
{
	(void)state;
	struct job_reading r = read_named("/nowhere/at/all.yaml", NULL);
	assert_int_equal(r.status, LOAD_WRONG);
	assert_mistake(&r, 0, "unreadable-file", 0, 0);
	assert_string_equal(r.diags.items[0].place.source->name, "/nowhere/at/all.yaml");
	done(&r);
}

static char *large_job(size_t strips, bool wrong)
{
	size_t room = 400 + strips * 280, used = 0;
	char *text = malloc(room);
	assert_non_null(text);
	used += (size_t)snprintf(text + used, room - used, WARM DRIVER "strips:\n");
	for (size_t i = 0; i < strips; i++)
		used += (size_t)snprintf(text + used, room - used,
		                         "  L%zu: {type: %s, length: 850 mm}\n", i,
		                         wrong ? "wram" : "warm");
	used += (size_t)snprintf(text + used, room - used, "cables:\n");
	for (size_t i = 0; i < 2 * strips; i++)
		used += (size_t)snprintf(text + used, room - used, "  C%zu: {size: 0.75 mm2, from: %s, "
		                         "to: L%zu%s, length: 3 m}\n", i, wrong ? "Q1" : "D1", i / 2,
		                         i % 2 ? ".end" : "@200 mm");
	assert_true(used < room);
	return text;
}

/* A second of processor time is ten times what this takes; a loop over all pairs of 30 000 items
 * would take many. Sanitizers and valgrind are slower, so it is five. */
static void thousands_of_items_are_read_in_no_time(void **state)
{
	(void)state;
	for (int wrong = 0; wrong < 2; wrong++) {
		char *text = large_job(wrong ? 3000 : 10000, wrong);
		clock_t start = clock();
		struct job_reading r = read_text(text);
		double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
		assert_int_equal(r.status, wrong ? LOAD_WRONG : LOAD_OK);
		if (wrong)
			assert_int_equal(r.diags.count, 3000 + 6000);
		else
			assert_int_equal(r.job->terminal_count, 1 + 3 * 10000);
		done(&r);
		free(text);
		if (!getenv("RUNNER"))
			assert_true(seconds < 5);
	}
}

/* Fuller than RIGHT: libyaml, a catalogue with libcsv, curves, mistakes with hints. */
static const char memory_job[] =
	"catalogue: parts.csv\n" WARM
	"drivers:\n  D1: {type: good, derating: [[40 C, 100 %], [60 C, 70 %]]}\n"
	"strips:\n  L1: {type: warm, length: 850 mm}\n  L2: {type: wram, lenght: 1 m}\n" CABLE;

static void lack_of_memory_is_survived_anywhere(void **state)
{
	(void)state;
#ifdef FAREND_FAULTS
	char folder[64], job_name[128];
	make_file(folder, sizeof folder, "parts.csv", "kind,id,voltage,power\ndriver,good,24 V,60 W\n");
	snprintf(job_name, sizeof job_name, "%s/job.yaml", folder);
	long failures = 0;
	for (long limit = 0;; limit++) {
		struct job_reading r = { .arena = arena_new() };
		r.text = (struct load_text){ job_name, memory_job, sizeof memory_job - 1 };
		arena_fail_after(limit);
		bool finished = arena_guard(r.arena, read_job, &r);
		arena_fail_after(-1);
		if (finished)
			assert_int_equal(r.diags.count, 2);
		done(&r);
		if (finished)
			break;
		failures++;
	}
	assert_true(failures > 100);
	remove_file(folder, "parts.csv");
#else
	skip();
#endif
}

/* Names are what scripts and the manual hold on to. */
static void kinds_of_mistakes_have_names_of_their_own(void **state)
{
	(void)state;
	for (enum mistake a = 0; a < MISTAKE__END; a++) {
		const char *name = mistake_name(a);
		assert_int_equal(strspn(name, "abcdefghijklmnopqrstuvwxyz-"), strlen(name));
		assert_true(strlen(mistake_row(a)->meaning) > 0 && strlen(mistake_row(a)->cure) > 0);
		for (enum mistake b = 0; b < a; b++)
			assert_string_not_equal(name, mistake_name(b));
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(all_mistakes_come_in_one_run),
		cmocka_unit_test(the_nearest_names_are_offered),
		cmocka_unit_test(one_mistake_each),
		cmocka_unit_test(limits_are_where_they_say),
		cmocka_unit_test(a_file_that_is_not_there_is_a_mistake),
		cmocka_unit_test(thousands_of_items_are_read_in_no_time),
		cmocka_unit_test(lack_of_memory_is_survived_anywhere),
		cmocka_unit_test(kinds_of_mistakes_have_names_of_their_own),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
