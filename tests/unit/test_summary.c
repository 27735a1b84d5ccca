/* The picture of the wiring: every item once, every cable once, whatever they form. */
#include "farend.h"

#include "base/arena_faults.h"

#include "support.h"

#include <stdio.h>
#include <stdlib.h>

#define STRIP "voltage: 24 V, power: 4.8 W/m, cut_length: 50 mm, mount: aluminium"

static struct farend_job *checked(const char *text)
{
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", text, strlen(text), &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	return job;
}

static const char *summary(struct farend_job *job, size_t width)
{
	struct farend_style style = { .width = width };
	struct farend_text text;
	assert_int_equal(farend_render(job, FAREND_SUMMARY, FAREND_TEXT, &style, &text), FAREND_OK);
	return text.bytes;
}

static size_t times(const char *text, const char *part)
{
	size_t count = 0;
	for (const char *at = text; (at = strstr(at, part)) != NULL; at++)
		count++;
	return count;
}

static void fits(const char *text, size_t width)
{
	for (size_t length; *text != '\0'; text += length + 1) {
		length = strcspn(text, "\n");
		assert_true(length <= width);
	}
}

/* Light: 5.8 W take 0.24 A through about 0.3 ohm, so 0.07 V or 0.3 % are missing; with the tangent's knee at
 * 2.75 V for each of six LEDs light falls 24 / (24 - 16.5) = 3.2 times as much, by about 1 %. */
static void test_tree(void **state)
{
	(void)state;
	struct farend_job *job = checked(
		"job: {name: Two strips}\n"
		"drivers: {D1: {voltage: 24 V, power: 30 W, place: plinth}}\n"
		"switches: {S1: {max_current: 3 A}}\n"
		"blocks: {B1: {ports: 4, max_current: 6 A}}\n"
		"strips:\n"
		"  L1: {" STRIP ", length: 800 mm, place: top}\n"
		"  L2: {" STRIP ", length: 1 ft 3 3/4 in}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 1 m, fuse: 3 A}\n"
		"  C2: {size: 0.75 mm2, from: S1, to: B1, length: 200 mm}\n"
		"  C3: {size: 0.75 mm2, from: B1, to: L1, length: 300 mm}\n"
		"  C4: {size: 18 AWG, from: B1, to: L2, length: 5 in}\n"
		"  C5: {size: 0.75 mm2, from: L1.end, to: B1, length: 1 m}\n");
	const char *expected =
		"Two strips\n"
		"\n"
		"D1 driver, 24 V, 30 W, plinth\n"
		"+-- C1 1 m of 0.75 mm2, fuse 3 A --- S1 switch\n"
		"    +-- C2 200 mm of 0.75 mm2 --- B1 block\n"
		"        +-- C3 300 mm of 0.75 mm2 --- L1 [========] 800 mm, top, 99 %\n"
		"        +-- C4 5 in of 18 AWG --- L2 [====] 1 ft 3 3/4 in, 99 %\n"
		"        +-- C5 1 m of 0.75 mm2 --- also to L1.end\n";
	const char *text = summary(job, 80);
	assert_memory_equal(text, expected, strlen(expected));
	farend_free(job);
}

/* Two drivers on one circuit, a cable from a strip's start to its end, a driver of its own, a loose part. */
static void test_odd_wiring(void **state)
{
	(void)state;
	struct farend_job *job = checked(
		"drivers:\n"
		"  D1: {voltage: 24 V, power: 30 W}\n"
		"  D2: {voltage: 24 V, power: 30 W}\n"
		"  D3: {voltage: 24 V, power: 30 W}\n"
		"blocks: {B9: {ports: 4, max_current: 6 A}}\n"
		"strips:\n"
		"  L1: {" STRIP ", length: 1 m}\n"
		"  L2: {" STRIP ", length: 1 m}\n"
		"  L3: {" STRIP ", length: 1 m}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: D2, to: L1.end, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: D3, to: L2, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: L2, to: L2.end, length: 1 m}\n");
	const char *text = summary(job, 80);
	assert_int_equal(times(text, "\nD1 driver"), 1);
	assert_int_equal(times(text, "\nD2 driver"), 0);
	assert_int_equal(times(text, "C2 1 m of 0.75 mm2 --- D2 driver"), 1);
	assert_int_equal(times(text, "\nD3 driver"), 1);
	assert_int_equal(times(text, "C4 1 m of 0.75 mm2 --- also to L2.end"), 1);
	assert_int_equal(times(text, "\nNot joined to a driver: B9, L3\n"), 1);
	farend_free(job);
}

/* A chain as deep as it is long: no call stack, no page is too small for it. */
static void test_deep_chain(void **state)
{
	(void)state;
	enum { STRIPS = 3000 };
	char *text = malloc(STRIPS * 300), *at = text;
	assert_non_null(text);
	at += sprintf(at, "drivers: {D1: {voltage: 24 V, power: 5000 W}}\nstrips:\n");
	for (int i = 1; i <= STRIPS; i++)
		at += sprintf(at, "  L%d: {" STRIP ", length: 50 mm, place: a long name of a place}\n", i);
	at += sprintf(at, "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 1 m}\n");
	for (int i = 2; i <= STRIPS; i++)
		at += sprintf(at, "  C%d: {size: 0.75 mm2, from: L%d.end, to: L%d, length: 50 mm}\n", i, i - 1, i);
	struct farend_job *job = checked(text);
	for (size_t width = 40; width <= 120; width += 40) {
		const char *out = summary(job, width);
		fits(out, width);
		assert_int_equal(times(out, "+-- C"), STRIPS);
	}
	farend_free(job);
	free(text);
}

/* Twenty strips with one trouble are one entry. */
static void test_findings_in_short(void **state)
{
	(void)state;
	char text[4000], *at = text;
	at += sprintf(at, "drivers: {D1: {voltage: 12 V, power: 100 W}}\nstrips:\n");
	for (int i = 1; i <= 20; i++)
		at += sprintf(at, "  L%d: {" STRIP ", length: 500 mm}\n", i);
	at += sprintf(at, "cables:\n");
	for (int i = 1; i <= 20; i++)
		at += sprintf(at, "  C%d: {size: 0.75 mm2, from: D1, to: L%d, length: 1 m}\n", i, i);
	struct farend_job *job = checked(text);
	const char *out = summary(job, 80);
	assert_int_equal(times(out, "\nWhat to know\n"), 1);
	assert_int_equal(times(out, "- fail, "), 1);
	fits(out, 80);
	farend_free(job);
}

static void test_wrong_calls(void **state)
{
	(void)state;
	struct farend_text starter = farend_starter(), text;
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", starter.bytes, starter.size, &job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_SUMMARY, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_SUMMARY, FAREND_JSON, NULL, &text), FAREND_WRONG_CALL);
	arena_fail_after(1);
	assert_int_equal(farend_render(job, FAREND_SUMMARY, FAREND_TEXT, NULL, &text), FAREND_NO_MEMORY);
	arena_fail_after(-1);
	assert_int_equal(farend_render(job, FAREND_SUMMARY, FAREND_TEXT, NULL, &text), FAREND_OK);
	assert_null(strstr(text.bytes, "What to know"));
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_tree),
		cmocka_unit_test(test_odd_wiring),
		cmocka_unit_test(test_deep_chain),
		cmocka_unit_test(test_findings_in_short),
		cmocka_unit_test(test_wrong_calls),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
