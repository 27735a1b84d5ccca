/* The as-built file: what is read from it, and how it is laid over a job. */
#include "built_support.h"

#include "base/arena_faults.h"

static void test_lengths_are_laid_over(void **state)
{
	(void)state;
	struct overlay o = sound("item,length,note\nL1,800 mm,trimmed\nL2,2.1 m,\nC5,3100 mm,detour\n");
	assert_int_equal(o.loaded.plan->strips[0].units, 17);
	assert_int_equal(o.loaded.job->strips[0].units, 16);
	assert_int_equal(o.loaded.plan->strips[1].units, 48);
	assert_int_equal(o.loaded.job->strips[1].units, 42);        /* the channel no longer counts */
	assert_int_equal(o.loaded.job->strips[1].length.origin, ORIGIN_BUILT);
	assert_int_equal(o.loaded.job->strips[2].units, 20);
	assert_near(o.loaded.job->cables[4].length.num, 3.1, 1e-12, 0);
	assert_near(o.loaded.plan->cables[4].length.num, 2.9, 1e-12, 0);
	assert_true(o.loaded.job->cables[4].ohm > o.loaded.plan->cables[4].ohm);
	const struct as_built *built = o.loaded.built;
	assert_int_equal(built->length_count, 3);
	assert_int_equal(built->lengths[2].item.kind, KIND_CABLE);
	assert_int_equal(built->lengths[2].item.index, 4);
	assert_int_equal(built->lengths[2].length.place.line, 4);
	assert_string_equal(built->lengths[0].note, "trimmed");
	assert_null(built->lengths[1].note);
	assert_int_equal(built->reading_count, 0);
	assert_int_equal(built->state_count, 1);
	arena_free(o.arena);
}

static void test_readings(void **state)
{
	(void)state;
	struct overlay o = sound("item,volts,amps,note\n"
	                         "L2.end,22.31 V,,far end\n"
	                         "B1,23540 mV,,\n"
	                         "D1,24.02,2.1,\n"
	                         "C5,,-410 mA,\n"
	                         "L2,22.9,0.5,\n"
	                         "L2@620mm,22.8,,\n"
	                         "S1.in,24,1.2,\n");
	assert_int_equal(o.loaded.built->reading_count, 10);
	const struct reading *r = reading_of(&o, 0);
	assert_int_equal(r->range, METER_VOLTS);
	assert_string_equal(r->at, "L2.end");
	assert_int_equal(r->terminal, o.loaded.job->strips[1].terminal + 1);
	assert_int_equal(r->item.kind, KIND_STRIP);
	assert_int_equal(r->item.index, 1);
	assert_near(r->value, 22.31, 1e-12, 0);
	assert_string_equal(r->note, "far end");
	assert_int_equal(r->place.line, 2);
	assert_int_equal(r->place.column, 8);
	assert_int_equal(r->state, 0);
	assert_near(reading_of(&o, 1)->value, 23.54, 1e-12, 0);
	r = reading_of(&o, 3);
	assert_int_equal(r->range, METER_AMPS);
	assert_int_equal(r->terminal, NO_INDEX);
	assert_int_equal(r->item.kind, KIND_DRIVER);
	assert_near(r->value, 2.1, 1e-12, 0);
	assert_near(reading_of(&o, 4)->value, -0.41, 1e-12, 0);
	assert_string_equal(reading_of(&o, 4)->at, "C5");
	assert_string_equal(reading_of(&o, 5)->at, "L2.start");
	assert_string_equal(reading_of(&o, 6)->at, "L2");
	/* 620 mm is nearest to the mark at 600 mm; nothing else of the job is there */
	r = reading_of(&o, 7);
	assert_string_equal(r->at, "L2@0.6m");
	assert_int_equal(o.loaded.job->terminals[r->terminal].mark, 12);
	assert_int_equal(o.loaded.plan->strips[1].tap_count, 0);
	assert_string_equal(reading_of(&o, 9)->at, "S1");
	arena_free(o.arena);
}

/* A heading's unit is that of bare numbers; a cell's own unit wins. */
static void test_units_in_headings(void **state)
{
	(void)state;
	struct overlay o = sound("Amps (mA), Length [mm] ,ITEM,volts(mV)\n"
	                         "410,850,C5,\n"
	                         ",0.8 m,L1,22310\n"
	                         "1.5 A,5 1/2 in,C3,\n"
	                         ",1e3,C4,\n");
	const struct built_length *lengths = o.loaded.built->lengths;
	assert_near(reading_of(&o, 0)->value, 0.41, 1e-12, 0);
	assert_near(reading_of(&o, 1)->value, 22.31, 1e-12, 0);
	assert_near(reading_of(&o, 2)->value, 1.5, 1e-12, 0);
	assert_near(lengths[0].length.num, 0.85, 1e-12, 0);
	assert_near(lengths[1].length.num, 0.8, 1e-12, 0);
	assert_near(lengths[2].length.num, 5.5 * 0.0254, 1e-12, 0);
	assert_near(lengths[3].length.num, 1.0, 1e-12, 0);
	arena_free(o.arena);
}

/* Byte order mark, CRLF, quotation marks, semicolons, blank lines, blank cells, a note alone, and a form of
 * which most is still to be filled in. */
static void test_spreadsheet_quirks(void **state)
{
	(void)state;
	struct overlay o = sound("\xEF\xBB\xBF" "item;length (mm);volts (V);note\r\n"
	                         "\r\n"
	                         "\"L1\";\"800\";;\"trimmed; twice\"\r\n"
	                         ";;;\r\n"
	                         ";;;all doors open\r\n"
	                         "L2;;;\r\n"
	                         "  L2.end ; ; 22.31 ;\r\n"
	                         "L3@700mm;;;joint looks poor\r\n");
	assert_int_equal(o.loaded.built->length_count, 1);
	assert_string_equal(o.loaded.built->lengths[0].note, "trimmed; twice");
	assert_int_equal(o.loaded.built->reading_count, 1);
	assert_near(reading_of(&o, 0)->value, 22.31, 1e-12, 0);
	assert_int_equal(o.diags.count, 1);
	assert_int_equal(o.diags.errors, 0);
	assert_int_equal(o.diags.items[0].level, DIAG_NOTE);
	assert_string_equal(o.diags.items[0].kind, "semicolons");
	assert_int_equal(o.diags.items[0].place.line, 1);
	arena_free(o.arena);
}

static void test_states(void **state)
{
	(void)state;
	struct overlay o = sound("item,volts,switches\n"
	                         "L2.end,22.3,\n"
	                         "L2.end,22.9,S2=off\n"
	                         "L3,0,\"S1=on, S2 = OFF\"\n"
	                         "L3,0,S2=off; S1=off\n"
	                         "B1,0,S1=off S2=off\n"
	                         "L1,23,\"S1=on,S2=on\"\n"
	                         "L1.end,23,S2=on\n"
	                         "L2.end,22.3,S1=on\n");
	const struct as_built *built = o.loaded.built;
	assert_int_equal(built->state_count, 4);
	assert_string_equal(built->states[0].text, "");
	assert_string_equal(built->states[1].text, "S2=off");
	assert_string_equal(built->states[2].text, "S1=off, S2=off");
	assert_true(built->states[0].on[0] && built->states[0].on[1]);
	assert_true(built->states[1].on[0] && !built->states[1].on[1]);
	/* What a cell says in so many words is not the state that --switches replaces. */
	assert_string_equal(built->states[3].text, "");
	assert_true(built->states[3].on[0] && built->states[3].on[1]);
	static const size_t states[] = { 0, 1, 1, 2, 2, 3, 3, 3 };
	for (size_t i = 0; i < sizeof states / sizeof *states; i++)
		assert_int_equal(reading_of(&o, i)->state, states[i]);
	arena_free(o.arena);
}

static void test_standard_input_once(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct diags diags;
	struct loaded loaded;
	diags_init(&diags, arena);
	assert_true(freopen("/dev/null", "r", stdin) != NULL);
	enum load_status status = load_job_as_built(arena, &(struct load_text){ .name = "-" }, "-", &diags,
	                                            &loaded);
	assert_int_equal(status, LOAD_WRONG);
	assert_int_equal(diags.count, 2);
	assert_string_equal(diags.items[1].kind, "unreadable-file");
	struct load_text text = { "job.yaml", JOB, strlen(JOB) };
	diags_init(&diags, arena);
	assert_int_equal(load_job_as_built(arena, &text, "/nowhere/built.csv", &diags, &loaded), LOAD_WRONG);
	assert_int_equal(diags.count, 1);
	assert_string_equal(diags.items[0].place.source->name, "/nowhere/built.csv");
	arena_free(arena);
}

static void test_state_of_an_option(void **state)
{
	(void)state;
	struct overlay o = sound("item,volts\n");
	struct switch_state found;
	struct diags diags;
	diags_init(&diags, o.arena);
	assert_true(load_switch_state(o.arena, o.loaded.job, "S2=off", &diags, &found));
	assert_true(found.on[0]);
	assert_false(found.on[1]);
	assert_string_equal(found.text, "S2=off");
	assert_true(load_switch_state(o.arena, o.loaded.job, "", &diags, &found));
	assert_true(found.on[0] && found.on[1]);
	assert_int_equal(diags.count, 0);
	assert_false(load_switch_state(o.arena, o.loaded.job, "S2=off,S3=on", &diags, &found));
	assert_int_equal(diags.count, 1);
	assert_int_equal(diags.items[0].place.column, 8);
	arena_free(o.arena);
}

/* Lack of memory comes back through the guard, at every allocation. */
static void test_no_memory(void **state)
{
	(void)state;
	struct overlay whole = sound("item,length (mm),volts,switches\nL1,800,22,S1=off\n");
	arena_free(whole.arena);
	for (long after = 0; after < 5000; after += 7) {
		struct overlay o = { .arena = arena_new(), .job = JOB,
		                     .csv = "item,length (mm),volts,switches\nL1,800,22,S1=off\n" };
		arena_fail_after(after);
		bool read_whole = arena_guard(o.arena, read_overlay, &o);
		arena_fail_after(-1);
		arena_free(o.arena);
		if (read_whole)
			return;
	}
	fail_msg("it always ran out of memory");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_lengths_are_laid_over),
		cmocka_unit_test(test_readings),
		cmocka_unit_test(test_units_in_headings),
		cmocka_unit_test(test_spreadsheet_quirks),
		cmocka_unit_test(test_states),
		cmocka_unit_test(test_standard_input_once),
		cmocka_unit_test(test_state_of_an_option),
		cmocka_unit_test(test_no_memory),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
