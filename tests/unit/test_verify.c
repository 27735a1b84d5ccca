/* Plan against built: what changed, what a fault does, what is missing, and how all of it is written. One
 * cut unit behind one cable has closed forms; the demo is read back by jansson and libcsv. */
#include "farend.h"

#include "advise/advise.h"
#include "advise/verify.h"
#include "base/text.h"
#include "load/load.h"
#include "report/verify.h"

#include "support.h"

#include <csv.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define DEMO_JOB "fixtures/jobs/boot-room-clips.yaml"
#define DEMO_BUILT "fixtures/built/boot-room.csv"

/* ------- judged jobs */

struct site {
	struct arena *arena;
	struct judged plan, built;
	struct as_built as_built;
	struct reading readings[8];
	struct switch_state all_on;
	struct verification out;
};

static struct judged judge(struct arena *arena, const char *text)
{
	struct diags diags;
	struct job *job;
	struct findings *findings = arena_one(arena, struct findings);
	diags_init(&diags, arena);
	struct load_text input = { "test.yaml", text, strlen(text) };
	assert_int_equal(load_job(arena, &input, &diags, &job), LOAD_OK);
	struct solution *solution = solve_job(job, arena);
	check_job(job, solution, arena, findings);
	advise_job(job, solution, arena, findings);
	return (struct judged){ job, solution, findings };
}

static struct site *open_site(const char *plan, const char *built)
{
	struct arena *arena = arena_new();
	struct site *s = arena_one(arena, struct site);
	s->arena = arena;
	s->plan = judge(arena, plan);
	s->built = judge(arena, built);
	bool *on = arena_array(arena, bool, 8);
	memset(on, true, 8 * sizeof(*on));
	s->all_on = (struct switch_state){ on, "" };
	s->as_built = (struct as_built){ .file = "test.csv", .readings = s->readings, .states = &s->all_on,
	                                 .state_count = 1 };
	return s;
}

static void add_volts(struct site *s, const char *at, double volts)
{
	const struct job *job = s->built.job;
	size_t t = 0;
	while (strcmp(job->terminals[t].name, at) != 0)
		t++;
	s->readings[s->as_built.reading_count++] = (struct reading){
		.range = METER_VOLTS, .at = at, .terminal = t, .value = volts,
		.item = { job->terminals[t].kind, job->terminals[t].item },
	};
}

static void verify(struct site *s)
{
	verify_job(&s->plan, &s->built, &s->as_built, &usual_meter, s->arena, &s->out);
}

static const struct verdict_change *change_of(const struct verdict_changes *changes, const char *check)
{
	for (size_t i = 0; i < changes->count; i++)
		if (strcmp(changes->items[i].check->name, check) == 0)
			return &changes->items[i];
	return NULL;
}

/* ------- one cut unit: 24 V, i = (v - 12 V) / 12 ohm, 0.1 ohm of rail before it, a cable of
 * 2 x 19.5 mohm/m (IEC 60228, 1 mm2, class 5) x 1 m at 25 C and 40 mohm of joints */

#define ONE(extra) \
	"drivers: {D1: {voltage: 24 V, power: 60 W}}\n" \
	"strips: {L1: {voltage: 24 V, power: 24 W/m, cut_length: 1 m, length: 1 m, loop_resistance: 0.2 ohm/m, " \
	"led_knee: 12 V, mount: aluminium}}\n" \
	"cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 1 m, joint_resistance: 40 mohm, joint: screw}}\n" \
	extra

static double cable_ohm(void)
{
	return 2 * 0.0195 * (1 + 0.00393 * 5) + 0.040;
}

/* What flows with `extra` ohm more: 12 V over the cable, the half section and the unit's 12 ohm. */
static double amps(double extra)
{
	return 12 / (cable_ohm() + extra + 0.1 + 12);
}

static struct site *one_unit_with(double extra)
{
	struct site *s = open_site(ONE(""), ONE(""));
	double i = amps(extra);
	add_volts(s, "D1", 24);
	add_volts(s, "L1.start", 24 - i * (cable_ohm() + extra));
	add_volts(s, "L1.end", 12 + 12 * i);         /* nothing flows beyond the unit */
	verify(s);
	return s;
}

static void test_nothing_wrong(void **state)
{
	(void)state;
	struct site *s = one_unit_with(0);
	assert_true(s->out.diagnosis.agree);
	assert_int_equal(s->out.verdict, VERDICT_OK);
	assert_int_equal(s->out.changes.count, 0);
	assert_null(s->out.effect);
	assert_int_equal(verify_outside(&s->out), 0);
	arena_free(s->arena);
}

static void test_what_a_fault_does(void **state)
{
	(void)state;
	const double extra = 2;
	struct site *s = one_unit_with(extra);
	const struct suspect *first = &s->out.diagnosis.suspects[0];
	const struct fault_effect *e = s->out.effect;
	assert_false(s->out.diagnosis.agree);
	assert_int_equal(first->item.kind, KIND_CABLE);
	assert_near(first->extra_ohm, extra, 0.01, 0);
	assert_non_null(e);
	assert_int_equal(e->strip, 0);
	assert_near(e->light_before, amps(0), 1e-6, 0);      /* i_nom is 1 A */
	assert_near(e->light_after, amps(extra), 0.002, 0);
	assert_near(e->volts, amps(extra) * first->value, 0.002, 0);
	assert_near(e->watts, amps(extra) * amps(extra) * first->value, 0.004, 0);
	assert_true(e->watts > WARM_JOINT_W);
	/* 24 V - 22.2 V is 7.7 % of 24 V: above 5 %, below 10 % */
	const struct verdict_change *change = change_of(&e->changes, "far-end-drop");
	assert_non_null(change);
	assert_null(change->before);
	assert_int_equal(change->after->severity, SEVERITY_CAUTION);
	assert_int_equal(findings_verdict(s->built.findings), VERDICT_OK);
	assert_int_equal(s->out.verdict, VERDICT_CAUTION);
	arena_free(s->arena);
}

/* 12 / 18.2 = 66 % of full light: below the 70 % at which far-end-dim fails. */
static void test_a_fault_that_fails(void **state)
{
	(void)state;
	struct site *s = one_unit_with(6);
	assert_int_equal(findings_verdict(s->built.findings), VERDICT_OK);
	assert_int_equal(s->out.verdict, VERDICT_FAIL);
	arena_free(s->arena);
}

/* ------- what changed verdict */

#define SIZED(metres, limits) \
	"drivers: {D1: {voltage: 24 V, power: 30 W}}\n" \
	"strips: {L1: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, length: " metres ", " \
	"loop_resistance: 0.02 ohm/m, mount: aluminium}}\n" \
	"cables: {C1: {size: 1 mm2, from: D1, to: L1, length: 1 m, joint: screw}}\n" limits

/* 20 W of 30 W leave 33 %; 27 W leave 10 %, less than 20 %; 34 W are more than the rating. */
static void test_changes_both_ways(void **state)
{
	static const struct {
		const char *plan, *built;
		bool before, after;
		enum severity severity;      /* after, or before where there is nothing after */
	} cases[] = {
		{ SIZED("2 m", ""), SIZED("2.7 m", ""), false, true, SEVERITY_CAUTION },
		{ SIZED("2.7 m", ""), SIZED("2 m", ""), true, false, SEVERITY_CAUTION },
		{ SIZED("2.7 m", ""), SIZED("3.4 m", ""), true, true, SEVERITY_FAIL },
	};
	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct site *s = open_site(cases[i].plan, cases[i].built);
		verify(s);
		const struct verdict_change *change = change_of(&s->out.changes, "driver-headroom");
		assert_non_null(change);
		assert_int_equal(change->item.kind, KIND_DRIVER);
		assert_int_equal(change->before != NULL, cases[i].before);
		assert_int_equal(change->after != NULL, cases[i].after);
		assert_int_equal((cases[i].after ? change->after : change->before)->severity, cases[i].severity);
		assert_int_equal(s->out.verdict, findings_verdict(s->built.findings));
		assert_true(s->out.diagnosis.agree);
		arena_free(s->arena);
	}
}

static void test_the_same_finding_is_no_change(void **state)
{
	(void)state;
	struct site *s = open_site(SIZED("2.7 m", ""), SIZED("2.8 m", ""));
	verify(s);
	assert_int_equal(s->built.findings->count, 1);
	assert_int_equal(s->out.changes.count, 0);
	arena_free(s->arena);
}

/* ------- what is not measured */

#define FORK \
	"drivers: {D1: {voltage: 24 V, power: 60 W}}\n" \
	"blocks: {B1: {ports: 3, max_current: 6 A}}\n" \
	"strips:\n" \
	"  L1: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, channel: 1040 mm}\n" \
	"  L2: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, length: 1 m}\n" \
	"cables:\n" \
	"  C1: {size: 1 mm2, from: D1, to: B1, length: 1 m}\n" \
	"  C2: {size: 1 mm2, from: B1, to: L1, length: 1 m, supplied: yes}\n"

static void test_what_is_missing(void **state)
{
	(void)state;
	struct site *s = open_site(FORK, FORK);
	struct built_length length = {
		.item = { KIND_STRIP, 0 }, .length = { .origin = ORIGIN_BUILT, .num = 1.0 },
	};
	s->as_built.lengths = &length;
	s->as_built.length_count = 1;
	add_volts(s, "L1.end", s->built.solution->terminals[s->built.job->strips[0].terminal + 1].volts);
	verify(s);
	/* L1 is measured, C2 came with a part */
	assert_int_equal(s->out.uncut_count, 2);
	assert_int_equal(s->out.uncut[0].kind, KIND_STRIP);
	assert_int_equal(s->out.uncut[0].index, 1);
	assert_int_equal(s->out.uncut[1].kind, KIND_CABLE);
	assert_int_equal(s->out.uncut[1].index, 0);
	/* L1.end is read, no driver reaches L2 */
	assert_int_equal(s->out.unread_count, 2);
	for (size_t i = 0; i < 2; i++) {
		const char *name = s->built.job->terminals[s->out.unread[i]].name;
		assert_true(strcmp(name, "B1") == 0 || strcmp(name, "L1.start") == 0);
	}
	assert_near(verify_length(s->plan.job, (struct item_ref){ KIND_STRIP, 0 }), 1.0, 1e-12, 0);
	assert_near(verify_built_length(&s->out, (struct item_ref){ KIND_STRIP, 0 }), 1.0, 1e-12, 0);
	assert_true(isnan(verify_built_length(&s->out, (struct item_ref){ KIND_STRIP, 1 })));
	assert_true(isnan(verify_length(s->plan.job, (struct item_ref){ KIND_BLOCK, 0 })));
	arena_free(s->arena);
}

/* ------- as it is written */

static char *built_file(const char *text)
{
	static char path[64];
	snprintf(path, sizeof(path), "/tmp/farend-verify-XXXXXX");
	int file = mkstemp(path);
	assert_true(file >= 0);
	assert_true(write(file, text, strlen(text)) == (ssize_t)strlen(text));
	close(file);
	return path;
}

static struct farend_job *verified(const char *job_file, const char *built, const char *switches)
{
	struct farend_job *job;
	assert_int_equal(farend_read_built(job_file, built, &job), FAREND_OK);
	if (switches != NULL)
		assert_int_equal(farend_set_switches(job, switches), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_verify(job, NULL), FAREND_OK);
	return job;
}

static struct farend_text rendered(struct farend_job *job, enum farend_format format, size_t width)
{
	struct farend_style style = { .width = width };
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_VERIFY, format, &style, &text), FAREND_OK);
	assert_int_equal(strlen(text.bytes), text.size);
	return text;
}

static json_t *parsed(struct farend_job *job)
{
	json_error_t error;
	json_t *json = json_loads(rendered(job, FAREND_JSON, 80).bytes, JSON_REJECT_DUPLICATES, &error);
	if (json == NULL)
		fail_msg("line %d: %s", error.line, error.text);
	return json;
}

static const char *word(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);
	assert_true(json_is_string(value));
	return json_string_value(value);
}

static double number(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);
	if (!json_is_number(value))
		fail_msg("'%s' is not a number", key);
	return json_number_value(value);
}

/* The lengths are those of the file: 3450 mm of 7.2 W/m. */
static void assert_items(json_t *items)
{
	json_t *l5 = json_object_get(items, "L5"), *c14 = json_object_get(items, "C14");
	assert_int_equal(json_object_size(items), 1 + 7 + 14 + 3 + 3);
	assert_near(number(l5, "planned_m"), 3.6, 1e-9, 0);
	assert_near(number(l5, "built_m"), 3.45, 1e-9, 0);
	assert_near(number(l5, "nameplate_w"), 3.45 * 7.2, 1e-9, 0);
	assert_near(number(l5, "planned_nameplate_w"), 3.6 * 7.2, 1e-9, 0);
	assert_true(number(l5, "light_min") > number(l5, "planned_light_min"));
	assert_int_equal(json_array_size(json_object_get(l5, "changed")), 0);
	assert_near(number(c14, "built_m"), 4.3, 1e-9, 0);
	assert_true(json_is_null(json_object_get(c14, "light_min")));
	assert_true(json_is_null(json_object_get(json_object_get(items, "L2"), "built_m")));
	assert_true(json_is_null(json_object_get(json_object_get(items, "B1"), "planned_m")));
}

static void assert_readings(json_t *readings)
{
	size_t i, outside = 0;
	json_t *reading;
	assert_int_equal(json_array_size(readings), 16);
	json_array_foreach(readings, i, reading) {
		double difference = number(reading, "measured") - number(reading, "predicted");
		bool within = json_is_true(json_object_get(reading, "within"));
		assert_near(number(reading, "difference"), difference, 1e-9, 1e-9);
		assert_int_equal(within, fabs(difference) <= number(reading, "allowed"));
		assert_string_equal(word(reading, "quantity"), "volts");
		assert_int_equal((int)number(reading, "line"), 8 + (int)i);
		outside += !within;
	}
	assert_true(outside > 0);
}

/* The readings were made with 1.6 ohm more in the joint of C4 at L2.start. */
static void test_demo_json(void **state)
{
	(void)state;
	struct farend_job *job = verified(DEMO_JOB, DEMO_BUILT, NULL);
	json_t *json = parsed(job), *suspects = json_object_get(json, "suspects");
	assert_string_equal(word(json, "command"), "verify");
	assert_string_equal(word(json, "verdict"), "caution");
	assert_int_equal(farend_verify_verdict(job), FAREND_VERDICT_CAUTION);
	assert_items(json_object_get(json, "items"));
	assert_readings(json_object_get(json, "readings"));
	json_t *first = json_array_get(suspects, 0);
	assert_string_equal(word(first, "item"), "C4");
	assert_string_equal(word(first, "terminal"), "L2.start");
	assert_string_equal(word(first, "kind"), "joint");
	assert_true(json_is_null(json_object_get(first, "core")));
	assert_true(fabs(number(first, "extra_ohm") - 1.6) < number(first, "uncertainty"));
	double score = 0, last = INFINITY;
	size_t i, k;
	json_t *suspect, *tied;
	json_array_foreach(suspects, i, suspect) {
		score += number(suspect, "score");
		last = fmin(last, number(suspect, "score"));
		json_array_foreach(json_object_get(suspect, "tied_with"), k, tied)
			assert_string_not_equal(json_string_value(tied), word(suspect, "item"));
	}
	assert_true(score <= 1 + 1e-9 && last > 0);
	/* both joints of a cable and the cable lie in one line: no reading at a terminal tells them apart */
	assert_int_equal(json_array_size(suspects), 3);
	assert_true(json_is_null(json_object_get(json, "next_reading")));
	json_decref(json);
	farend_free(job);
}

/* One reading behind a switch: before or behind it is what to read next. */
static void test_next_reading(void **state)
{
	(void)state;
	char *path = built_file("item,volts\nL1.end,11.3\n");
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	unlink(path);
	json_t *json = parsed(job), *next = json_object_get(json, "next_reading");
	json_t *first = json_array_get(json_object_get(json, "suspects"), 0);
	json_t *expected = json_object_get(next, "expected");
	assert_string_equal(word(next, "quantity"), "volts");
	assert_int_equal(json_object_size(expected), 2);
	assert_non_null(json_object_get(expected, word(first, "label")));
	assert_true(json_array_size(json_object_get(first, "tied_with")) > 0);
	assert_non_null(strstr(rendered(job, FAREND_TEXT, 80).bytes, "Next, read the voltage at "));
	json_decref(json);
	farend_free(job);
}

static void test_agreeing_json(void **state)
{
	(void)state;
	struct farend_job *job = verified(DEMO_JOB, "fixtures/built/boot-room-mended.csv", NULL);
	json_t *json = parsed(job);
	assert_string_equal(word(json, "verdict"), "ok");
	assert_true(json_is_true(json_object_get(json, "agree")));
	assert_int_equal(json_array_size(json_object_get(json, "suspects")), 0);
	assert_true(json_is_null(json_object_get(json, "next_reading")));
	assert_true(json_is_null(json_object_get(json, "effect")));
	json_decref(json);
	farend_free(job);
}

/* --switches says once what a column says row by row, and leaves the checks of the whole job alone. */
static void test_the_state_of_readings(void **state)
{
	(void)state;
	char *path = built_file("item,volts\nL5.end,11.5\nB1,11.8\n");
	struct farend_job *by_option = verified(DEMO_JOB, path, "S1=off");
	unlink(path);
	path = built_file("item,volts,switches\nL5.end,11.5,S1=off\nB1,11.8,S1=off\n");
	struct farend_job *by_column = verified(DEMO_JOB, path, NULL);
	unlink(path);
	json_t *a = parsed(by_option), *b = parsed(by_column);
	assert_true(json_equal(json_object_get(a, "items"), json_object_get(b, "items")));
	for (size_t i = 0; i < 2; i++) {
		json_t *at_a = json_array_get(json_object_get(a, "readings"), i);
		json_t *at_b = json_array_get(json_object_get(b, "readings"), i);
		assert_string_equal(word(at_a, "switches"), "S1=off");
		assert_true(json_equal(json_object_get(at_a, "predicted"), json_object_get(at_b, "predicted")));
		/* B1 lies behind S1 */
		assert_int_equal(json_is_null(json_object_get(at_a, "predicted")), i == 1);
	}
	json_decref(a);
	json_decref(b);
	farend_free(by_option);
	farend_free(by_column);
}

/* ------- pages */

static const char hostile[] =
	"item,length (mm),volts,note\n"
	"L5,3400,,\"=HYPERLINK(\"\"x\"\")\"\n"
	"L5.start,,11.1,\"\xE2\x80\xAE turned, and a note that is far too long for the few columns that a page "
	"has left beside the figures\"\n"
	"L5.end,,11.3,@x\nL6.end,,11.69,\n";

static void assert_lines_fit(const char *text, size_t width)
{
	while (*text != '\0') {
		size_t length = strcspn(text, "\n");
		if (text_width(text, length) > width)
			fail_msg("wider than %zu columns: %.*s", width, (int)length, text);
		if (length > 0)
			assert_int_not_equal(text[length - 1], ' ');
		text += length + (text[length] == '\n');
	}
}

static void test_text_fits_the_page(void **state)
{
	(void)state;
	char *path = built_file(hostile);
	struct farend_job *jobs[] = { verified(DEMO_JOB, DEMO_BUILT, NULL), verified(DEMO_JOB, path, NULL) };
	unlink(path);
	for (size_t i = 0; i < 2; i++) {
		for (size_t width = 80; width <= 120; width += 8) {
			const char *text = rendered(jobs[i], FAREND_TEXT, width).bytes;
			assert_lines_fit(text, width);
			assert_null(strstr(text, "\xE2\x80\xAE"));
		}
		farend_free(jobs[i]);
	}
}

static void assert_says(const char *text, const char *words)
{
	if (strstr(text, words) == NULL)
		fail_msg("'%s' is not in:\n%s", words, text);
}

static void test_text_names_the_joint(void **state)
{
	(void)state;
	struct farend_job *job = verified(DEMO_JOB, DEMO_BUILT, NULL);
	const char *text = rendered(job, FAREND_TEXT, 1000).bytes;
	assert_says(text, "Most likely: the joint of C4 at L2.start, about 1.6");
	assert_says(text, " 1. The joint of C4 at L2.start: about 1.6");
	assert_says(text, " explains both readings that disagree within 0.0");
	assert_says(text, "These readings cannot tell it from the joint of C4 at B1; cable C4.");
	assert_says(text, "open the clip");
	assert_says(text, "With it, L2's dimmest point is ");
	assert_says(text, "outside");
	assert_says(text, "Before you build");
	farend_free(job);
}

/* Readings that no single fault gives are not said to be explained by one. */
static void test_words_for_what_is_left_open(void **state)
{
	(void)state;
	struct site *s = open_site(ONE(""), ONE(""));
	add_volts(s, "D1", 60);
	add_volts(s, "L1.start", 60);
	verify(s);
	assert_true(s->out.diagnosis.suspect_count > 0);
	struct buf text;
	buf_init(&text, s->arena);
	verify_text(&text, &s->out, &(struct style){ .width = 1000 });
	assert_says(text.data, "No one fault explains them all; nearest comes: ");
	assert_says(text.data, "explains none of the two readings that disagree");
	assert_null(strstr(text.data, "Most likely"));
	arena_free(s->arena);
}

struct table { size_t rows, cells, width; bool formula; };

static void on_cell(void *bytes, size_t size, void *data)
{
	struct table *table = data;
	const char *text = bytes;
	table->cells++;
	table->formula = table->formula || (size > 0 && strchr("=@", text[0]) != NULL);
}

static void on_row(int end, void *data)
{
	struct table *table = data;
	(void)end;
	if (table->rows++ == 0)
		table->width = table->cells;
	assert_int_equal(table->cells, table->width);
	table->cells = 0;
}

/* One table: as many cells in every row, and nothing that a spreadsheet would run. */
static void test_csv_is_one_table(void **state)
{
	(void)state;
	char *path = built_file(hostile);
	struct farend_job *job = verified(DEMO_JOB, path, NULL);
	unlink(path);
	struct farend_text text = rendered(job, FAREND_CSV, 80);
	struct csv_parser parser;
	struct table table = { .rows = 0 };
	assert_int_equal(csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI), 0);
	assert_int_equal(csv_parse(&parser, text.bytes, text.size, on_cell, on_row, &table), text.size);
	assert_int_equal(csv_fini(&parser, on_cell, on_row, &table), 0);
	csv_free(&parser);
	assert_int_equal(table.width, 12);
	/* header; 3 readings; D1 2, strips 4 each, cables 3 each, switches and blocks 2 each */
	assert_int_equal(table.rows, 1 + 3 + 2 + 7 * 4 + 14 * 3 + 3 * 2 + 3 * 2);
	assert_false(table.formula);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_nothing_wrong),
		cmocka_unit_test(test_what_a_fault_does),
		cmocka_unit_test(test_a_fault_that_fails),
		cmocka_unit_test(test_changes_both_ways),
		cmocka_unit_test(test_the_same_finding_is_no_change),
		cmocka_unit_test(test_what_is_missing),
		cmocka_unit_test(test_demo_json),
		cmocka_unit_test(test_next_reading),
		cmocka_unit_test(test_agreeing_json),
		cmocka_unit_test(test_the_state_of_readings),
		cmocka_unit_test(test_text_fits_the_page),
		cmocka_unit_test(test_text_names_the_joint),
		cmocka_unit_test(test_words_for_what_is_left_open),
		cmocka_unit_test(test_csv_is_one_table),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
