/* Mistakes in the as-built file: each has a place and the right words, and none is told twice. */
#include "built_support.h"

/* One mistake, in that cell. */
static void assert_wrong_on(const char *job, const char *csv, const char *kind, unsigned line,
                            unsigned column)
{
	struct overlay o = overlay_on(job, csv);
	assert_int_equal(o.status, LOAD_WRONG);
	assert_null(o.loaded.job);
	if (o.diags.count != 1 || strcmp(o.diags.items[0].kind, kind) != 0 ||
	    o.diags.items[0].place.line != line || o.diags.items[0].place.column != column)
		print_all(&o.diags);
	assert_int_equal(o.diags.count, 1);
	assert_string_equal(o.diags.items[0].kind, kind);
	assert_int_equal(o.diags.items[0].place.line, line);
	assert_int_equal(o.diags.items[0].place.column, column);
	assert_true(strncmp(o.diags.items[0].place.source->name, "/tmp/", 5) == 0);
	arena_free(o.arena);
}

static void assert_wrong(const char *csv, const char *kind, unsigned line, unsigned column)
{
	assert_wrong_on(JOB, csv, kind, line, column);
}

static void test_wrong_headings(void **state)
{
	(void)state;
	assert_wrong("item,lenght\nL1,1 m\n", "unknown-column", 1, 6);
	assert_wrong("item,length,date\nL1,800 mm,today\n", "unknown-column", 1, 13);
	assert_wrong("item,volts,Volts (mV)\nL1,23,\n", "duplicate-column", 1, 12);
	assert_wrong("length\n800 mm\n", "missing-key", 1, 1);
	assert_wrong("item,note\nL1,hm\n", "missing-key", 1, 1);
	assert_wrong("item,length (V)\nL1,800\n", "wrong-unit", 1, 14);
	assert_wrong("item,length (mms)\nL1,800\n", "unknown-unit", 1, 14);
	assert_wrong("item,length,volts\nL1,800 mm,,22\n", "row-length", 2, 12);
	assert_wrong("item,length\nL1,\"800 mm\n", "csv-syntax", 2, 4);
	assert_wrong("\n\n", "empty-file", 0, 0);
}

static void test_wrong_lengths(void **state)
{
	(void)state;
	assert_wrong("item,length\nL1,800\n", "no-unit", 2, 4);
	assert_wrong("item,length (m)\nL1,\"0,8\"\n", "decimal-comma", 2, 5);
	assert_wrong("item,length\nL1,0 m\n", "out-of-range", 2, 4);
	assert_wrong("item,length\nL1,-800 mm\n", "out-of-range", 2, 4);
	assert_wrong("item,length\nL1,101 m\n", "out-of-range", 2, 4);
	assert_wrong("item,length\nC1,1001 m\n", "out-of-range", 2, 4);
	assert_wrong("item,length\nC1,inf m\n", "bad-number", 2, 4);
	assert_wrong("item,length\nL1,1e999 m\n", "out-of-range", 2, 4);
	assert_wrong("item,length\nL1,24 V\n", "wrong-unit", 2, 7);
	assert_wrong("item,length\nL1.end,800 mm\n", "wrong-place", 2, 8);
	assert_wrong("item,length\nS1,800 mm\n", "wrong-place", 2, 4);
	assert_wrong("item,length\nB1,800 mm\n", "wrong-place", 2, 4);
	assert_wrong("item,length\nL1,800 mm\nL1,800 mm\n", "repeated-reading", 3, 4);
	assert_wrong("item,length\n,800 mm\n", "missing-key", 2, 1);
	assert_wrong("item,length\nL1,40 mm\n", "too-short", 2, 4);
	assert_wrong("item,length\nL3,650 mm\n", "bad-tap", 2, 4);
	assert_wrong("item,length\nL9,800 mm\n", "unknown-id", 2, 1);
	assert_wrong("item,length\nl1,800 mm\n", "unknown-id", 2, 1);
}

/* At the mark of a tap a strip may end; then the tap is its end. */
static void test_cut_at_a_tap(void **state)
{
	(void)state;
	struct overlay o = sound("item,length\nL3,700 mm\n");
	assert_int_equal(o.loaded.job->cables[7].b, o.loaded.job->strips[2].terminal + 1);
	arena_free(o.arena);
	static const char loop[] = JOB "  C9: {size: 0.75 mm2, from: L3@700mm, to: L3.end, length: 1 m}\n";
	assert_wrong_on(loop, "item,length\nL3,700 mm\n", "self-loop", 2, 4);
}

static void test_wrong_readings(void **state)
{
	(void)state;
	assert_wrong("item,volts\nL2.end,-22.3\n", "below-zero", 2, 8);
	assert_wrong("item,volts\nL2.end,121\n", "out-of-range", 2, 8);
	assert_wrong("item,volts\nL2.end,22 A\n", "wrong-unit", 2, 11);
	assert_wrong("item,volts\nL2.end,\"22,3\"\n", "decimal-comma", 2, 9);
	assert_wrong("item,volts\nL2.end,dark\n", "bad-number", 2, 8);
	assert_wrong("item,volts\nL2.far,22\n", "unknown-terminal", 2, 4);
	assert_wrong("item,volts\nL2@3m,22\n", "bad-tap", 2, 4);
	assert_wrong("item,volts\nL2@700,22\n", "bad-tap", 2, 4);
	assert_wrong("item,volts\nC3,22\n", "wrong-place", 2, 4);
	assert_wrong("item,volts\nC3.end,\n", "unknown-terminal", 2, 1);
	assert_wrong("item,volts\nS1,22\n", "wrong-place", 2, 4);
	assert_wrong("item,volts\nB1.in,22\n", "unknown-terminal", 2, 4);
	assert_wrong("item,volts\n,22\n", "missing-key", 2, 1);
	assert_wrong("item,volts\nL2.end,22\nL1,23\nL2@2390mm,22\n", "repeated-reading", 4, 11);
	assert_wrong("item,volts\nL2,22\nL2.start,22\n", "repeated-reading", 3, 10);
	assert_wrong("item,amps\nD1,-1\n", "below-zero", 2, 4);
	assert_wrong("item,amps\nC3,101\n", "out-of-range", 2, 4);
	assert_wrong("item,amps\nB1,1\n", "wrong-place", 2, 4);
	assert_wrong("item,amps\nL2.end,1\n", "wrong-place", 2, 8);
	assert_wrong("item,amps\nS1,1\nS1.in,1.1\n", "repeated-reading", 3, 7);
}

static void test_wrong_states(void **state)
{
	(void)state;
	assert_wrong("item,volts,switches\nL1,0,S9=off\n", "unknown-id", 2, 6);
	assert_wrong("item,volts,switches\nL1,0,S1\n", "switch-state", 2, 6);
	assert_wrong("item,volts,switches\nL1,0,S1=shut\n", "switch-state", 2, 9);
	assert_wrong("item,volts,switches\nL1,0,=off\n", "switch-state", 2, 7);
	assert_wrong("item,volts,switches\nL1,0,\"S1=off,S1=on\"\n", "switch-state", 2, 14);
	assert_wrong("item,volts,switches\nL1,0,S2=off\nL1,0,\"S2=off, S1=on\"\n", "repeated-reading", 3, 4);
}

static void test_the_right_words(void **state)
{
	(void)state;
	static const struct { const char *csv, *expected, *hint; } rows[] = {
		{ "item,length\nL1,800\n", "800 mm, or a heading such as 'length (mm)'", NULL },
		{ "item,length\nL1,1.8\n", "1.8 m, or a heading such as 'length (mm)'", NULL },
		{ "item,volts\nC5,22\n", "the voltage at one of its ends: B1 or L2.end", NULL },
		{ "item,volts\nS1,22\n", "S1.in or S1.out", NULL },
		{ "item,amps\nB1,1\n", "the current in a cable there: C2, C3, C4 or C5", NULL },
		{ "item,amps\nL2.end,1\n", "L2, what the whole strip takes, or a cable there: C5", NULL },
		{ "item,length\nL1.end,800 mm\n", "the length at 'L1', the whole strip", NULL },
		{ "item,volts\nLL1,22\n", NULL, "did you mean 'L1'?" },
		{ "item,amps\nc5,1\n", NULL, "did you mean 'C5'? (capital and small letters differ)" },
		{ "item,volts,switches\nL1,22,SS2=off\n", "one of S1, S2", "did you mean 'S2'?" },
		{ "item,volts\nL1,-22\n", "22 V",
		  "swap the meter's leads; if they were right, the cores are the wrong way round" },
		{ "item,length (mm)\nL1,\"1,85\"\n", "a decimal point: 1.85 mm", NULL },
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct overlay o = overlay(rows[i].csv);
		assert_int_equal(o.diags.count, 1);
		if (rows[i].expected)
			assert_string_equal(o.diags.items[0].expected, rows[i].expected);
		if (rows[i].hint)
			assert_string_equal(o.diags.items[0].hint, rows[i].hint);
		arena_free(o.arena);
	}
}

/* Of both files, in one run, none twice. */
static void test_every_mistake_of_both(void **state)
{
	(void)state;
	static const char job[] =
		"strip_types:\n"
		"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, colour: {}}\n"
		"drivers:\n"
		"  D1: {voltage: 24, power: 60 W}\n"
		"strips:\n"
		"  L1: {type: warm, length: 850 mm}\n"
		"  L2: {type: wram, length: 850 mm}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: L1, length: 3.2 m}\n"
		"  C2: {size: 0.75 mm2, from: D2, to: L1@900mm, length: 1 m}\n";
	struct overlay o = overlay_on(job, "item,length,volts\nL1,800,\nL2.end,,23\nL3,,1\nL1,,-1\n");
	static const struct { const char *kind; unsigned line, column; } expected[] = {
		{ "wrong-shape", 2, 68 }, { "no-unit", 4, 17 }, { "unknown-type", 7, 14 },
		{ "unknown-id", 10, 30 }, { "bad-tap", 10, 41 },
		{ "no-unit", 2, 4 }, { "unknown-id", 4, 1 }, { "below-zero", 5, 5 },
	};
	assert_int_equal(o.status, LOAD_WRONG);
	if (o.diags.count != 8)
		print_all(&o.diags);
	assert_int_equal(o.diags.count, 8);
	for (size_t i = 0; i < 8; i++) {
		assert_string_equal(o.diags.items[i].kind, expected[i].kind);
		assert_int_equal(o.diags.items[i].place.line, expected[i].line);
		assert_int_equal(o.diags.items[i].place.column, expected[i].column);
	}
	arena_free(o.arena);
}

/* Where the job gives no names, the cells are judged by themselves. */
static void test_cells_beside_a_broken_job(void **state)
{
	(void)state;
	struct overlay o = overlay_on("strips: [\n", "item,length,volts,amps\nL1,800,,\nL2,,22 kg,\nL3,1 m,,x\n");
	assert_int_equal(o.status, LOAD_WRONG);
	assert_int_equal(o.diags.count, 4);
	assert_string_equal(o.diags.items[0].kind, "yaml-syntax");
	assert_string_equal(o.diags.items[1].kind, "no-unit");
	assert_string_equal(o.diags.items[2].kind, "unknown-unit");
	assert_string_equal(o.diags.items[3].kind, "bad-number");
	arena_free(o.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_wrong_headings),
		cmocka_unit_test(test_wrong_lengths),
		cmocka_unit_test(test_cut_at_a_tap),
		cmocka_unit_test(test_wrong_readings),
		cmocka_unit_test(test_wrong_states),
		cmocka_unit_test(test_the_right_words),
		cmocka_unit_test(test_every_mistake_of_both),
		cmocka_unit_test(test_cells_beside_a_broken_job),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
