/* The report and its drawing as text: every item is there and named, hostile texts stay text, print is
 * large enough to read, and the light that is drawn for a proposed feed is what a job with that feed gets. */
#include "farend.h"

#include "base/arena_faults.h"
#include "report/svg.h"

#include "support.h"

#include <stdio.h>
#include <stdlib.h>

static struct farend_job *reported(const char *path, bool lists)
{
	struct farend_job *job;
	assert_int_equal(farend_read(path, &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_report(job, NULL, lists), FAREND_OK);
	return job;
}

static const char *rendered(struct farend_job *job, enum farend_format format)
{
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_REPORT, format, NULL, &text), FAREND_OK);
	assert_int_equal(strlen(text.bytes), text.size);
	return text.bytes;
}

static size_t times(const char *text, const char *what)
{
	size_t count = 0;
	for (const char *at = text; (at = strstr(at, what)) != NULL; at++)
		count++;
	return count;
}

/* The text from behind `start` to before `end`, which must be there. */
static char *between(const char *text, const char *start, const char *end)
{
	const char *at = strstr(text, start);
	assert_non_null(at);
	at += strlen(start);
	const char *stop = strstr(at, end);
	assert_non_null(stop);
	char *found = calloc(1, (size_t)(stop - at) + 1);
	assert_non_null(found);
	memcpy(found, at, (size_t)(stop - at));
	return found;
}

static const char *const boot_room_titles[] = {
	"<title>driver D1, pantry plinth</title>", "<title>switch S1, bay 1</title>",
	"<title>switch S2, bay 2</title>", "<title>switch S3, pantry</title>",
	"<title>block B1, bay 1</title>", "<title>block B2, bay 2</title>", "<title>block B3, pantry</title>",
	"<title>strip L1, bay 1 top</title>", "<title>strip L5, pantry back</title>",
	"<title>strip L7, pantry drawer</title>", "<title>cable C1 from D1 to S1.in</title>",
	"<title>cable C11 from B3 to L5.start</title>", "<title>cable C13 from B3 to L7.start</title>",
};

static void test_every_item(void **state)
{
	(void)state;
	struct farend_job *job = reported("fixtures/jobs/boot-room.yaml", true);
	const enum farend_format formats[] = { FAREND_HTML, FAREND_SVG };
	for (size_t f = 0; f < 2; f++) {
		const char *text = rendered(job, formats[f]);
		for (size_t i = 0; i < sizeof(boot_room_titles) / sizeof(boot_room_titles[0]); i++)
			assert_int_equal(times(text, boot_room_titles[i]), 1);
		/* 1 driver, 3 switches, 3 blocks, 7 strips, each one box; 13 cables */
		assert_int_equal(times(text, "<rect class=\"part"), 14);
		assert_int_equal(times(text, "<title>cable "), 13);
		assert_int_equal(times(text, "<rect class=\"bar\""), 7);
	}
	farend_free(job);
}

/* L5 is the longest, 3600 mm; L1 has 500 mm: the bars are to each other as the lengths are. */
static void test_bars_to_scale(void **state)
{
	(void)state;
	struct farend_job *job = reported("fixtures/jobs/boot-room.yaml", false);
	const char *text = rendered(job, FAREND_SVG);
	char *first = between(strstr(text, "<title>strip L1"), "\"bar\"", "/>");
	char *longest = between(strstr(text, "<title>strip L5"), "\"bar\"", "/>");
	double width = strtod(strstr(first, "width=\"") + 7, NULL);
	double most = strtod(strstr(longest, "width=\"") + 7, NULL);
	assert_near(width / most, 500.0 / 3600.0, 0, 0.1 / most);
	free(first);
	free(longest);
	farend_free(job);
}

/* A strip entered at its end is drawn the other way round: its only feed is at the left of its bar. */
static void test_turned(void **state)
{
	(void)state;
	static const char text[] =
		"strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 50 mm,\n"
		"                     loop_resistance: 0.1 ohm/m}}\n"
		"drivers: {D1: {voltage: 24 V, power: 60 W}}\n"
		"strips: {L1: {type: warm, length: 2 m}, L2: {type: warm, length: 2 m}}\n"
		"cables:\n"
		"  C1: {from: L1.end, to: D1, size: 1 mm2, length: 1 m}\n"
		"  C2: {from: D1, to: L2.start, size: 1 mm2, length: 1 m}\n";
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", text, strlen(text), &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_report(job, NULL, false), FAREND_OK);
	const char *svg = rendered(job, FAREND_SVG);
	const char *turned = strstr(svg, "<title>strip L1"), *straight = strstr(svg, "<title>strip L2");
	char *mark = between(turned, "class=\"wire\" d=\"M", " ");
	char *other = between(straight, "class=\"wire\" d=\"M", " ");
	assert_string_equal(mark, other);
	/* the same light, seen from the feed: the outline starts at the strip's start */
	char *lit = between(turned, "class=\"lit\" d=\"M", " ");
	char *other_lit = between(straight, "class=\"lit\" d=\"M", " ");
	assert_true(strtod(lit, NULL) > strtod(other_lit, NULL) + 100);
	free(mark);
	free(other);
	free(lit);
	free(other_lit);
	farend_free(job);
}

/* boot-room-fixed.yaml has the second feed of L5 that boot-room.yaml is advised to have. */
static void test_proposed_light(void **state)
{
	(void)state;
	struct farend_job *drawn = reported("fixtures/jobs/boot-room.yaml", false);
	struct farend_job *fixed = reported("fixtures/jobs/boot-room-fixed.yaml", false);
	const char *page = rendered(drawn, FAREND_HTML);
	char *then = between(page, "of full light now, ", " with a second feed");
	char *is = between(rendered(fixed, FAREND_HTML), "<figcaption>L5, pantry back: ", " of full light");
	assert_string_equal(then, is);
	assert_int_equal(times(page, "<path class=\"then\""), 1);
	assert_int_equal(times(page, "<path class=\"now\""), 7);
	assert_int_equal(times(page, "<path class=\"limit\""), 7);
	assert_int_equal(times(rendered(fixed, FAREND_HTML), "<path class=\"then\""), 0);
	free(then);
	free(is);
	farend_free(drawn);
	farend_free(fixed);
}

static void test_hostile(void **state)
{
	(void)state;
	static const char *const never[] = {
		"<script", "<img", "\xE2\x80\xAE", "\xE2\x81\xA7", "<link", "alert('", "\"><svg onload",
	};
	struct farend_job *job = reported("fixtures/jobs/hostile.yaml", true);
	const enum farend_format formats[] = { FAREND_HTML, FAREND_SVG };
	for (size_t f = 0; f < 2; f++) {
		const char *text = rendered(job, formats[f]);
		for (size_t i = 0; i < sizeof(never) / sizeof(never[0]); i++)
			if (times(text, never[i]) != 0)
				fail_msg("%s in the report", never[i]);
		assert_true(times(text, "&lt;svg onload=alert(5)&gt;") > 0);
		assert_int_equal(times(text, "<style>"), f == 0 ? 2 : 1);
		assert_int_equal(times(text, "</style>"), f == 0 ? 2 : 1);
		/* the text of a colour stays text: no style asks for anything */
		for (const char *at = text; (at = strstr(at, "<style>")) != NULL; at++) {
			char *style = between(at, "<style>", "</style>");
			assert_int_equal(times(style, "url(") + times(style, "@import"), 0);
			free(style);
		}
	}
	/* a name of 64 characters is shortened in its box, and whole in its title */
	assert_true(times(rendered(job, FAREND_SVG), "<title>switch a-switch-whose-name-has-sixty-four-"
	                  "characters-xxxxxxxxxxxxxxxxxx, bay 2</title>") == 1);
	farend_free(job);
}

/* 184 mm lie between the margins of A4 (13 mm each); a point is 25.4 mm / 72. */
static void test_print_size(void **state)
{
	(void)state;
	assert_true(SVG_TEXT * 184 / SVG_WIDTH * 72 / 25.4 >= 6);
	struct farend_job *job = reported("fixtures/jobs/hostile.yaml", false);
	const char *text = rendered(job, FAREND_HTML);
	for (const char *at = text; (at = strstr(at, "viewBox=\"0 0 ")) != NULL; at++)
		assert_true(strtod(at + 13, NULL) <= SVG_WIDTH);
	/* the one size of all texts of pictures */
	assert_int_equal(times(text, ".pic text{font:10px"), 1);
	assert_int_equal(times(text, "font-size=\""), 0);
	farend_free(job);
}

static void test_lists(void **state)
{
	(void)state;
	struct farend_job *job = reported("fixtures/jobs/boot-room.yaml", true);
	const char *text = rendered(job, FAREND_HTML);
	static const char *const parts[] = {
		"<section id=\"verdict\">", "<section id=\"drawing\">", "<section id=\"light\">",
		"<div id=\"schedule\">", "<section id=\"cut\">", "<section id=\"order\">",
		"<section id=\"limits\">", "<section id=\"cautions\">",
	};
	const char *at = text;
	for (size_t i = 0; i < sizeof(parts) / sizeof(parts[0]); i++) {
		at = strstr(at, parts[i]);
		assert_non_null(at);
	}
	assert_int_equal(farend_report(job, NULL, false), FAREND_OK);
	text = rendered(job, FAREND_HTML);
	assert_int_equal(times(text, "<section id=\"cut\">") + times(text, "#cut"), 0);
	assert_int_equal(times(text, "<section id=\"order\">"), 0);
	assert_int_equal(times(text, "<section id=\"limits\">"), 1);
	farend_free(job);
}

static void test_calls(void **state)
{
	(void)state;
	struct farend_job *job;
	struct farend_text text;
	assert_int_equal(farend_read("fixtures/jobs/boot-room.yaml", &job), FAREND_OK);
	assert_int_equal(farend_report(job, NULL, true), FAREND_WRONG_CALL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_REPORT, FAREND_HTML, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_report(job, NULL, true), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_REPORT, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_REPORT, FAREND_SVG, NULL, &text), FAREND_OK);
	farend_free(job);
}

/* Memory may end anywhere; once there is enough again, so is the report. */
static void test_no_memory(void **state)
{
	(void)state;
	struct farend_job *job;
	struct farend_text text;
	long tried = 0;
	assert_int_equal(farend_read("fixtures/jobs/boot-room.yaml", &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	for (long n = 0;; n += 1 + n / 16, tried++) {
		arena_fail_after(n);
		enum farend_status status = farend_report(job, NULL, true);
		if (status == FAREND_OK)
			status = farend_render(job, FAREND_REPORT, FAREND_HTML, NULL, &text);
		arena_fail_after(-1);
		if (status == FAREND_OK)
			break;
		assert_int_equal(status, FAREND_NO_MEMORY);
	}
	assert_true(tried > 50);
	assert_non_null(strstr(text.bytes, "</html>"));
	farend_free(job);
}

/* Shortened in the middle, never in the middle of a character. */
static void test_fit(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	assert_string_equal(svg_fit(arena, "pantry back", 100), "pantry back");
	assert_string_equal(svg_fit(arena, "abcdefghknop", 4 * SVG_CHARACTER + 10), "ab\xE2\x80\xA6op");
	for (double width = 0; width < 90; width += 0.7) {
		const char *fit = svg_fit(arena, "\xC3\xA4\xE2\x82\xAC\xF0\x9F\x92\xA1WWWmmm\xC3\xB6\xC3\xBC-..", width);
		assert_true(width < 10 || svg_text_width(fit) <= width + 1e-9);
		assert_null(strstr(fit, "\xEF\xBF\xBD"));
	}
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_every_item),
		cmocka_unit_test(test_bars_to_scale),
		cmocka_unit_test(test_turned),
		cmocka_unit_test(test_proposed_light),
		cmocka_unit_test(test_hostile),
		cmocka_unit_test(test_print_size),
		cmocka_unit_test(test_lists),
		cmocka_unit_test(test_calls),
		cmocka_unit_test(test_no_memory),
		cmocka_unit_test(test_fit),
	};
	return cmocka_run_group_tests_name("drawing", tests, NULL, NULL);
}
