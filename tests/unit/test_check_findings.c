/* The table of checks, the list of findings, its order and its verdict. */
#include "tests/check_support.h"

static void every_row_is_complete_and_named_once(void **state)
{
	(void)state;
	for (size_t i = 0; i < check_count; i++) {
		const struct check *check = &checks[i];
		const char *const texts[] = { check->name, check->title, check->severities, check->formula,
		                              check->why, check->source };
		for (size_t k = 0; k < sizeof(texts) / sizeof(texts[0]); k++)
			assert_true(texts[k] && strlen(texts[k]) > 2);
		assert_ptr_equal(check_find(check->name), check);
		assert_true(check->dim < DIM__END);
		bool by_advice = strcmp(check->name, "feed-both-ends") == 0 ||
		                 strcmp(check->name, "split-run") == 0;
		assert_true((check->run == NULL) == by_advice);
	}
	assert_null(check_find("far-end"));
	assert_null(check_find(""));
}

/* docs/checks.md names them all, in this order. */
static void the_rows_are_those_of_the_design(void **state)
{
	(void)state;
	static const char *const names[] = {
		"driver-headroom", "driver-voltage", "driver-light-load", "driver-limited-power",
		"driver-selv", "driver-enclosed", "elv-limit", "far-end-drop", "far-end-dim", "uneven",
		"feed-both-ends", "split-run", "mismatch", "strip-overrun", "strip-overvoltage",
		"off-mark", "strip-heat", "dip", "cable-overload", "joint-overload", "cable-unprotected",
		"fault-may-not-trip", "fuse-overload", "switch-overload", "switch-voltage",
		"switch-light-load", "block-overload", "block-ports", "unfed", "double-fed", "loose-part",
	};
	assert_int_equal(check_count, sizeof(names) / sizeof(names[0]));
	for (size_t i = 0; i < check_count; i++)
		assert_string_equal(checks[i].name, names[i]);
}

static void words_are_those_of_the_json(void **state)
{
	(void)state;
	assert_string_equal(severity_word(SEVERITY_NOTE), "note");
	assert_string_equal(severity_word(SEVERITY_CAUTION), "caution");
	assert_string_equal(severity_word(SEVERITY_FAIL), "fail");
	assert_string_equal(verdict_word(VERDICT_OK), "ok");
	assert_string_equal(verdict_word(VERDICT_CAUTION), "caution");
	assert_string_equal(verdict_word(VERDICT_FAIL), "fail");
}

static const struct item_ref some = { KIND_STRIP, 0 };

static struct finding *add_at(struct findings *out, const char *check, enum severity severity,
                              uint32_t line, uint32_t column, double value)
{
	struct finding *f = finding_add(out, check_find(check), severity, some, NULL);
	f->place.line = line;
	f->place.column = column;
	f->value = value;
	return f;
}

/* Severity, then the order of the table, then the place in the file, then as added. */
static void findings_are_ordered(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct findings findings = { .arena = arena };
	add_at(&findings, "unfed", SEVERITY_NOTE, 1, 1, 7);
	add_at(&findings, "dip", SEVERITY_CAUTION, 9, 1, 5);
	add_at(&findings, "uneven", SEVERITY_CAUTION, 12, 3, 3);
	add_at(&findings, "uneven", SEVERITY_CAUTION, 4, 8, 2);
	add_at(&findings, "loose-part", SEVERITY_FAIL, 50, 1, 0);
	add_at(&findings, "uneven", SEVERITY_CAUTION, 4, 3, 1);
	add_at(&findings, "uneven", SEVERITY_CAUTION, 12, 3, 4);
	add_at(&findings, "dip", SEVERITY_CAUTION, 10, 1, 6);
	findings_sort(&findings);
	assert_int_equal(findings.count, 8);
	for (size_t i = 0; i < findings.count; i++)
		assert_near(findings.items[i].value, (double)i, 0, 0);
	arena_free(arena);
}

static void the_verdict_is_the_worst_severity_and_notes_are_fine(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct findings findings = { .arena = arena };
	findings_sort(&findings);
	assert_int_equal(findings_verdict(&findings), VERDICT_OK);
	finding_add(&findings, &checks[0], SEVERITY_NOTE, some, NULL);
	assert_int_equal(findings_verdict(&findings), VERDICT_OK);
	finding_add(&findings, &checks[0], SEVERITY_CAUTION, some, NULL);
	finding_add(&findings, &checks[0], SEVERITY_NOTE, some, NULL);
	assert_int_equal(findings_verdict(&findings), VERDICT_CAUTION);
	finding_add(&findings, &checks[0], SEVERITY_FAIL, some, NULL);
	finding_add(&findings, &checks[0], SEVERITY_CAUTION, some, NULL);
	assert_int_equal(findings_verdict(&findings), VERDICT_FAIL);
	arena_free(arena);
}

static void a_finding_keeps_all_that_it_concerns(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct findings findings = { .arena = arena };
	struct finding *f = finding_add(&findings, &checks[0], SEVERITY_NOTE, some, NULL);
	for (size_t i = 1; i < 1000; i++)
		finding_concerns(&findings, f, (struct item_ref){ KIND_CABLE, i });
	assert_int_equal(f->item_count, 1000);
	assert_int_equal(f->items[0].kind, KIND_STRIP);
	for (size_t i = 1; i < 1000; i++)
		assert_true(f->items[i].kind == KIND_CABLE && f->items[i].index == i);
	assert_true(isnan(f->value) && isnan(f->limit));
	assert_string_equal(f->source, checks[0].source);
	arena_free(arena);
}

/* The line is that of the attribute where it stands at the item itself, else that of the item: what
 * a type or a catalogue says stands elsewhere. */
static void a_finding_points_at_what_decides(void **state)
{
	(void)state;
	static const struct { enum origin origin; uint32_t line; } cases[] = {
		{ ORIGIN_GIVEN, 7 }, { ORIGIN_TYPE, 5 }, { ORIGIN_CATALOGUE, 5 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = job_builder_new();
		struct source *source = source_new(job->arena, "job.yaml", "\n\n\n\n\n\n\n", 7);
		add_driver(job, "D1", 24, 60);
		add_cable(job, "C1", "0.75 mm2", 1, "D1", "L1.start");
		add_strip(job, "L1", 24, 9.6, 1);
		job->drivers[0].item.at = (struct place){ source, 5, 3, 2 };
		give(&job->drivers[0].enclosed, 1, DIM__END);
		job->drivers[0].enclosed.origin = cases[i].origin;
		job->drivers[0].enclosed.place = (struct place){ source, 7, 20, 3 };
		job_builder_finish(job);
		struct findings findings = judge(job, blank_solution(job));
		assert_int_equal(findings.count, 1);
		assert_ptr_equal(findings.items[0].place.source, source);
		assert_int_equal(findings.items[0].place.line, cases[i].line);
		job_builder_free(job);
	}
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_row_is_complete_and_named_once),
		cmocka_unit_test(the_rows_are_those_of_the_design),
		cmocka_unit_test(words_are_those_of_the_json),
		cmocka_unit_test(findings_are_ordered),
		cmocka_unit_test(the_verdict_is_the_worst_severity_and_notes_are_fine),
		cmocka_unit_test(a_finding_keeps_all_that_it_concerns),
		cmocka_unit_test(a_finding_points_at_what_decides),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
