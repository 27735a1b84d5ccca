/* The JSON writer against RFC 8259 and against jansson, which reads back what it wrote. */
#include "report/json_writer.h"

#include "support.h"

#include <jansson.h>

struct fixture {
	struct arena *arena;
	struct buf out;
	struct json json;
};

static struct fixture start(void)
{
	struct fixture f = { .arena = arena_new() };
	assert_non_null(f.arena);
	return f;
}

/* Runs `write` under a guard, as every caller does. */
static struct fixture written(void (*write)(void *))
{
	struct fixture f = start();
	assert_true(arena_guard(f.arena, write, &f));
	return f;
}

static void begin(struct fixture *f)
{
	buf_init(&f->out, f->arena);
	json_init(&f->json, &f->out);
}

static void write_layout(void *data)
{
	struct fixture *f = data;
	begin(f);
	json_open_object(&f->json);
	json_member_text(&f->json, "a", "x");
	json_key(&f->json, "b");
	json_open_object(&f->json);
	json_key(&f->json, "c");
	json_open_object(&f->json);
	json_member_count(&f->json, "d", 3);
	json_key(&f->json, "e");
	json_open_array(&f->json);
	json_add_text(&f->json, "y");
	json_add_null(&f->json);
	json_close(&f->json);
	json_close(&f->json);
	json_close(&f->json);
	json_key(&f->json, "none");
	json_open_array(&f->json);
	json_close(&f->json);
	json_close(&f->json);
}

/* The layout is our own; what it must be is valid and the same every time. */
static void test_layout(void **state)
{
	(void)state;
	struct fixture f = written(write_layout);
	assert_string_equal(f.out.data, "{\n  \"a\": \"x\",\n  \"b\": {\n    \"c\": {\"d\": 3, \"e\": [\"y\", null]}\n"
	                                "  },\n  \"none\": []\n}\n");
	json_t *read = json_loads(f.out.data, JSON_REJECT_DUPLICATES, NULL);
	assert_non_null(read);
	assert_int_equal(json_integer_value(json_object_get(json_object_get(json_object_get(read, "b"), "c"),
	                                                    "d")), 3);
	json_decref(read);
	arena_free(f.arena);
}

/* Every ASCII character but NUL. */
static const char *every_character(void)
{
	static char text[128];
	for (int c = 1; c < 128; c++)
		text[c - 1] = (char)c;
	return text;
}

static void write_escapes(void *data)
{
	struct fixture *f = data;
	begin(f);
	json_open_object(&f->json);
	json_member_text(&f->json, every_character(), every_character());
	json_member_text(&f->json, "wide", "\xC3\xA9 \xE6\xA3\x9A \xF0\x9F\x92\xA1");
	json_member_text(&f->json, "null", NULL);
	json_close(&f->json);
}

static void test_escapes(void **state)
{
	(void)state;
	struct fixture f = written(write_escapes);
	for (size_t i = 0; i < f.out.length; i++)
		assert_true((unsigned char)f.out.data[i] >= 0x20 || f.out.data[i] == '\n');
	json_t *read = json_loads(f.out.data, JSON_REJECT_DUPLICATES, NULL);
	assert_non_null(read);
	assert_string_equal(json_string_value(json_object_get(read, every_character())), every_character());
	assert_string_equal(json_string_value(json_object_get(read, "wide")),
	                    "\xC3\xA9 \xE6\xA3\x9A \xF0\x9F\x92\xA1");
	assert_true(json_is_null(json_object_get(read, "null")));
	json_decref(read);
	arena_free(f.arena);
}

/* Not UTF-8 by RFC 3629: a lone continuation, an overlong slash, a surrogate, a cut-off
 * sequence. */
static const char *const not_utf8[] = { "\x80", "\xC0\xAF", "\xED\xA0\x80", "\xE6\xA3", "a\xFFz" };

static void write_invalid(void *data)
{
	struct fixture *f = data;
	begin(f);
	json_open_array(&f->json);
	for (size_t i = 0; i < sizeof(not_utf8) / sizeof(not_utf8[0]); i++)
		json_add_text(&f->json, not_utf8[i]);
	json_close(&f->json);
}

static void test_invalid_utf8(void **state)
{
	(void)state;
	struct fixture f = written(write_invalid);
	json_t *read = json_loads(f.out.data, 0, NULL);
	assert_non_null(read);                  /* jansson refuses what is not UTF-8 */
	for (size_t i = 0; i < json_array_size(read); i++)
		assert_non_null(strstr(json_string_value(json_array_get(read, i)), "\xEF\xBF\xBD"));
	assert_string_equal(json_string_value(json_array_get(read, 4)), "a\xEF\xBF\xBDz");
	json_decref(read);
	arena_free(f.arena);
}

static void write_numbers(void *data)
{
	struct fixture *f = data;
	const double numbers[] = { 0.1, 1.0 / 3, -0.0, 24, 1e-13, NAN, INFINITY, -INFINITY, -2.5, 1e300 };
	begin(f);
	json_open_array(&f->json);
	for (size_t i = 0; i < sizeof(numbers) / sizeof(numbers[0]); i++)
		json_add_number(&f->json, numbers[i]);
	json_add_count(&f->json, SIZE_MAX);
	json_close(&f->json);
}

static void test_numbers(void **state)
{
	(void)state;
	struct fixture f = written(write_numbers);
	const char *expected = "[\n  0.1,\n  0.333333333333,\n  0,\n  24,\n  1e-13,\n  null,\n  null,\n  null,\n"
	                       "  -2.5,\n  1e+300,\n";
	assert_int_equal(strncmp(f.out.data, expected, strlen(expected)), 0);
	assert_non_null(strstr(f.out.data, "18446744073709551615"));
	arena_free(f.arena);
}

/* An object with a list in it, moved into the list of another: only blanks may differ. */
static void write_moved(void *data)
{
	struct fixture *f = data;
	struct fixture inner = { .arena = f->arena };
	begin(&inner);
	json_open_object(&inner.json);
	json_member_text(&inner.json, "text", "line\nline");
	json_key(&inner.json, "list");
	json_open_array(&inner.json);
	json_add_count(&inner.json, 1);
	json_close(&inner.json);
	json_close(&inner.json);
	begin(f);
	json_open_array(&f->json);
	json_add_null(&f->json);
	json_add_written(&f->json, inner.out.data, inner.out.length);
	json_close(&f->json);
}

static void test_moved(void **state)
{
	(void)state;
	struct fixture f = written(write_moved);
	assert_string_equal(f.out.data, "[\n  null,\n  {\n    \"text\": \"line\\nline\",\n    \"list\": [\n      1\n"
	                                "    ]\n  }\n]\n");
	json_t *read = json_loads(f.out.data, JSON_REJECT_DUPLICATES, NULL);
	json_t *object = json_array_get(read, 1);
	assert_string_equal(json_string_value(json_object_get(object, "text")), "line\nline");
	assert_int_equal(json_integer_value(json_array_get(json_object_get(object, "list"), 0)), 1);
	json_decref(read);
	arena_free(f.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_layout),
		cmocka_unit_test(test_escapes),
		cmocka_unit_test(test_invalid_utf8),
		cmocka_unit_test(test_numbers),
		cmocka_unit_test(test_moved),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
