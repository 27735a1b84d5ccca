/* `cut` and `order` as JSON, read back by jansson and counted again from the JSON of `check`; and their
 * CSV and text, for every job in fixtures/jobs. */
#include "farend.h"

#include "base/text.h"

#include "support.h"

#include <glob.h>
#include <jansson.h>

static void each_job(void (*body)(struct farend_job *job))
{
	glob_t found;
	assert_int_equal(glob("fixtures/jobs/*.yaml", 0, NULL, &found), 0);
	assert_true(found.gl_pathc > 0);
	for (size_t i = 0; i < found.gl_pathc; i++) {
		struct farend_job *job;
		assert_int_equal(farend_read(found.gl_pathv[i], &job), FAREND_OK);
		assert_int_equal(farend_check(job), FAREND_OK);
		assert_int_equal(farend_cut(job, NULL), FAREND_OK);
		assert_int_equal(farend_order(job, NULL, FAREND_SPARE_USUAL), FAREND_OK);
		body(job);
		farend_free(job);
	}
	globfree(&found);
}

static const char *rendered(struct farend_job *job, enum farend_result result, enum farend_format format)
{
	struct farend_text text;
	assert_int_equal(farend_render(job, result, format, NULL, &text), FAREND_OK);
	assert_int_equal(text.size, strlen(text.bytes));
	return text.bytes;
}

static json_t *parsed(struct farend_job *job, enum farend_result result)
{
	json_error_t error;
	json_t *json = json_loads(rendered(job, result, FAREND_JSON), JSON_REJECT_DUPLICATES, &error);
	if (json == NULL)
		fail_msg("line %d: %s", error.line, error.text);
	return json;
}

static double number(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);
	if (!json_is_number(value))
		fail_msg("'%s' is not a number", key);
	return json_number_value(value);
}

static const char *word(json_t *object, const char *key)
{
	json_t *value = json_object_get(object, key);
	if (!json_is_string(value))
		fail_msg("'%s' is not a text", key);
	return json_string_value(value);
}

/* jansson keeps the order in which members were read. */
static void assert_starts(json_t *object, const char *const *keys)
{
	const char *key;
	json_t *value;
	json_object_foreach(object, key, value) {
		if (*keys == NULL)
			return;
		assert_string_equal(key, *keys);
		keys++;
	}
	assert_null(*keys);
}

static void assert_head(json_t *json, const char *command, const struct farend_job *job)
{
	static const char *const verdicts[] = { "ok", "caution", "fail" };
	assert_string_equal(word(json, "farend"), farend_version());
	assert_int_equal(number(json, "format"), 1);
	assert_string_equal(word(json, "command"), command);
	assert_string_equal(word(json, "verdict"), verdicts[farend_verdict(job)]);
	assert_true(json_is_object(json_object_get(json, "job")));
	assert_true(json_array_size(json_object_get(json, "cautions")) > 0);
}

/* Every strip of `check` is cut once, whole; reels are counted as listed. */
static void check_cut(struct farend_job *job)
{
	static const char *const keys[] = { "farend", "format", "command", "verdict", "job", "reels",
	                                    "reels_used", "lower_bound", "optimal", NULL };
	json_t *cut = parsed(job, FAREND_CUT), *check = parsed(job, FAREND_CHECK);
	json_t *strips = json_object_get(check, "strips"), *reel, *piece, *strip;
	size_t i, k, new_reels = 0;
	const char *id;
	assert_head(cut, "cut", job);
	assert_starts(cut, keys);
	json_array_foreach(json_object_get(cut, "reels"), i, reel) {
		double at = 0;
		bool fresh = strcmp(word(reel, "from"), "reel") == 0;
		assert_true(fresh || strcmp(word(reel, "from"), "offcut") == 0);
		assert_non_null(word(reel, "strip_type"));
		json_array_foreach(json_object_get(reel, "pieces"), k, piece) {
			assert_near(number(piece, "from_m"), at, 0, 1e-9);
			at = number(piece, "to_m");
			assert_near(at - number(piece, "from_m"), number(piece, "length_m"), 0, 1e-9);
			strip = json_object_get(strips, word(piece, "item"));
			json_object_set_new(strip, "length_m", json_real(number(strip, "length_m") -
			                                                 number(piece, "length_m")));
		}
		assert_near(at + number(reel, "left_m"), number(reel, "length_m"), 0, 1e-9);
		new_reels += fresh;
	}
	json_object_foreach(strips, id, strip)
		assert_near(number(strip, "length_m"), 0, 0, 1e-9);
	assert_int_equal(number(cut, "reels_used"), new_reels);
	assert_true(number(cut, "lower_bound") <= number(cut, "reels_used"));
	assert_true(json_is_true(json_object_get(cut, "optimal")) ==
	            (number(cut, "lower_bound") == number(cut, "reels_used")));
	json_decref(cut);
	json_decref(check);
}

static void test_cut(void **state)
{
	(void)state;
	each_job(check_cut);
}

static void check_order(struct farend_job *job)
{
	static const char *const keys[] = { "farend", "format", "command", "verdict", "job", "lines", "total",
	                                    "currency", NULL };
	static const char *const line_keys[] = { "kind", "part", "quantity", "unit", "for", "price", "total",
	                                         NULL };
	json_t *order = parsed(job, FAREND_ORDER), *check = parsed(job, FAREND_CHECK);
	json_t *cut = parsed(job, FAREND_CUT), *line;
	double total = 0, reels = 0, drivers = 0, switches = 0, blocks = 0;
	size_t i, priced = 0;
	assert_head(order, "order", job);
	assert_starts(order, keys);
	json_array_foreach(json_object_get(order, "lines"), i, line) {
		const char *kind = word(line, "kind");
		double needed = number(line, "needed");
		assert_starts(line, line_keys);
		assert_true(json_array_size(json_object_get(line, "for")) > 0);
		reels += strcmp(kind, "strip") == 0 ? needed : 0;
		drivers += strcmp(kind, "driver") == 0 ? needed : 0;
		switches += strcmp(kind, "switch") == 0 ? needed : 0;
		blocks += strcmp(kind, "block") == 0 ? needed : 0;
		assert_true(number(line, "quantity") >= 1);
		if (json_is_null(json_object_get(line, "price"))) {
			assert_true(json_is_null(json_object_get(line, "total")));
			continue;
		}
		priced++;
		assert_near(number(line, "quantity") * number(line, "price"), number(line, "total"), 0, 0.005);
		total += number(line, "total");
	}
	if (priced > 0)
		assert_near(number(order, "total"), total, 1e-9, 1e-9);
	else
		assert_true(json_is_null(json_object_get(order, "total")));
	assert_near(reels, number(cut, "reels_used"), 0, 1e-9);
	assert_int_equal(drivers, json_object_size(json_object_get(check, "drivers")));
	assert_int_equal(switches, json_object_size(json_object_get(check, "switches")));
	assert_int_equal(blocks, json_object_size(json_object_get(check, "blocks")));
	json_decref(order);
	json_decref(check);
	json_decref(cut);
}

static void test_order(void **state)
{
	(void)state;
	each_job(check_order);
}

/* No line of a page is wider than 80 columns, nor ends in blanks. */
static void check_pages(struct farend_job *job)
{
	static const enum farend_result results[] = { FAREND_CUT, FAREND_ORDER };
	for (size_t i = 0; i < 2; i++) {
		const char *page = rendered(job, results[i], FAREND_TEXT);
		assert_non_null(strstr(page, "Before you build"));
		for (const char *at = page; *at != '\0';) {
			size_t length = strcspn(at, "\n");
			assert_true(text_width(at, length) <= 80);
			assert_true(length == 0 || at[length - 1] != ' ');
			at += length + 1;
		}
	}
}

static void test_pages(void **state)
{
	(void)state;
	each_job(check_pages);
}

/* Texts of the user that a spreadsheet would run are kept as texts; quotes are doubled. */
static void test_csv_is_harmless(void **state)
{
	(void)state;
	static const char text[] =
		"job: {currency: '=1+1'}\n"
		"strip_types: {warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, part: '+31,50', price: 2}}\n"
		"strips: {-L1: {type: warm, length: 1 m, place: '@bay, \"left\"'}}\n"
		"drivers: {D1: {voltage: 24 V, power: 60 W, part: '-2+3'}}\n";
	struct farend_job *job;
	assert_int_equal(farend_read_text("x.yaml", text, sizeof(text) - 1, &job), FAREND_OK);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_cut(job, NULL), FAREND_OK);
	assert_int_equal(farend_order(job, NULL, 0), FAREND_OK);
	const char *order = rendered(job, FAREND_ORDER, FAREND_CSV);
	assert_non_null(strstr(order, "\nstrip,\"'+31,50\","));
	assert_non_null(strstr(order, ",'=1+1,'-L1,1,reel\n"));
	assert_non_null(strstr(order, "\ndriver,'-2+3,"));
	assert_non_null(strstr(rendered(job, FAREND_CUT, FAREND_CSV), ",'-L1,\"'@bay, \"\"left\"\"\","));
	farend_free(job);
}

static void test_order_of_calls(void **state)
{
	(void)state;
	struct farend_text starter = farend_starter(), text;
	struct farend_job *job;
	assert_int_equal(farend_read_text("x.yaml", starter.bytes, starter.size, &job), FAREND_OK);
	assert_int_equal(farend_cut(job, NULL), FAREND_WRONG_CALL);
	assert_int_equal(farend_order(job, NULL, 0.1), FAREND_WRONG_CALL);
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CUT, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, FAREND_ORDER, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_render(job, (enum farend_result)99, FAREND_TEXT, NULL, &text),
	                 FAREND_WRONG_CALL);
	assert_int_equal(farend_order(job, NULL, 1.5), FAREND_WRONG_CALL);
	assert_int_equal(farend_order(job, NULL, NAN), FAREND_WRONG_CALL);
	assert_int_equal(farend_cut(job, NULL), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CUT, (enum farend_format)99, NULL, &text),
	                 FAREND_WRONG_CALL);
	assert_int_equal(farend_cut(job, "fixtures/no-such-list.csv"), FAREND_WRONG_INPUT);
	assert_int_equal(farend_render(job, FAREND_CUT, FAREND_TEXT, NULL, &text), FAREND_WRONG_CALL);
	assert_int_equal(farend_diagnostics(job, NULL, &text), FAREND_OK);
	assert_non_null(strstr(text.bytes, "fixtures/no-such-list.csv"));
	assert_int_equal(farend_cut(job, "fixtures/parts/offcuts.csv"), FAREND_OK);
	assert_int_equal(farend_order(job, "fixtures/parts/offcuts.csv", 0.1), FAREND_OK);
	assert_int_equal(farend_verdict(job), FAREND_VERDICT_OK);
	farend_free(job);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_cut),
		cmocka_unit_test(test_order),
		cmocka_unit_test(test_pages),
		cmocka_unit_test(test_csv_is_harmless),
		cmocka_unit_test(test_order_of_calls),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
