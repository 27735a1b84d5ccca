/* `check --format json` against docs/json.md: every key there, of the right type, in the stated
 * order; read back by jansson. */
#include "farend.h"

#include "support.h"

#include <glob.h>
#include <jansson.h>

enum type { NUMBER, NUMBER_OR_NULL, TEXT, TEXT_OR_NULL, TEXTS, OBJECT, OBJECTS };

struct key { const char *name; enum type type; };

static const struct key head_keys[] = {
	{ "farend", TEXT }, { "format", NUMBER }, { "command", TEXT }, { "verdict", TEXT },
	{ "job", OBJECT }, { "solution", OBJECT }, { "drivers", OBJECT }, { "strips", OBJECT },
	{ "cables", OBJECT }, { "switches", OBJECT }, { "blocks", OBJECT }, { "assumed", OBJECTS },
	{ "findings", OBJECTS }, { "cautions", TEXTS }, { NULL, TEXT },
};
static const struct key job_keys[] = { { "name", TEXT_OR_NULL }, { "ambient_c", NUMBER }, { NULL, TEXT } };
static const struct key solution_keys[] = {
	{ "iterations", NUMBER }, { "residual_a", NUMBER }, { "power_balance_w", NUMBER },
	{ "cut_units", NUMBER }, { NULL, TEXT },
};
static const struct key driver_keys[] = {
	{ "set_v", NUMBER }, { "output_v", NUMBER_OR_NULL }, { "output_a", NUMBER_OR_NULL },
	{ "output_w", NUMBER_OR_NULL }, { "nameplate_w", NUMBER_OR_NULL }, { "load_w", NUMBER_OR_NULL },
	{ "rated_w", NUMBER }, { "derated_w", NUMBER }, { "headroom", NUMBER_OR_NULL }, { NULL, TEXT },
};
static const struct key strip_keys[] = {
	{ "length_m", NUMBER }, { "cut_units", NUMBER }, { "nameplate_w", NUMBER },
	{ "current_a", NUMBER_OR_NULL }, { "power_w", NUMBER_OR_NULL }, { "v_min", NUMBER_OR_NULL },
	{ "v_max", NUMBER_OR_NULL }, { "drop_v", NUMBER_OR_NULL }, { "drop", NUMBER_OR_NULL },
	{ "light_min", NUMBER_OR_NULL }, { "light_max", NUMBER_OR_NULL }, { "light_mean", NUMBER_OR_NULL },
	{ "evenness", NUMBER_OR_NULL }, { "dip", NUMBER_OR_NULL }, { "feeds", TEXTS }, { NULL, TEXT },
};
static const struct key cable_keys[] = {
	{ "from", TEXT }, { "to", TEXT }, { "length_m", NUMBER }, { "resistance_ohm", NUMBER },
	{ "current_a", NUMBER_OR_NULL }, { "drop_v", NUMBER_OR_NULL }, { "loss_w", NUMBER_OR_NULL },
	{ "v_from", NUMBER_OR_NULL }, { "v_to", NUMBER_OR_NULL }, { "rating_a", NUMBER },
	{ "fault_a", NUMBER_OR_NULL }, { NULL, TEXT },
};
static const struct key switch_keys[] = {
	{ "current_a", NUMBER_OR_NULL }, { "drop_v", NUMBER_OR_NULL }, { NULL, TEXT },
};
static const struct key block_keys[] = {
	{ "current_a", NUMBER_OR_NULL }, { "ports_used", NUMBER }, { "v", NUMBER_OR_NULL }, { NULL, TEXT },
};
static const struct key assumed_keys[] = {
	{ "items", TEXTS }, { "attribute", TEXT }, { "value", TEXT }, { "why", TEXT_OR_NULL },
	{ "effect", TEXT_OR_NULL }, { NULL, TEXT },
};
static const struct key finding_keys[] = {
	{ "check", TEXT }, { "severity", TEXT }, { "item", TEXT }, { "items", TEXTS }, { "message", TEXT },
	{ "do", TEXT }, { "value", NUMBER_OR_NULL }, { "limit", NUMBER_OR_NULL }, { "source", TEXT },
	{ "line", NUMBER_OR_NULL }, { "column", NUMBER_OR_NULL }, { NULL, TEXT },
};

static bool all_are(const json_t *array, bool texts)
{
	size_t i;
	json_t *entry;
	json_array_foreach(array, i, entry)
		if (texts ? !json_is_string(entry) : !json_is_object(entry))
			return false;
	return json_is_array(array);
}

static bool has_type(const json_t *value, enum type type)
{
	switch (type) {
	case NUMBER:         return json_is_number(value);
	case NUMBER_OR_NULL: return json_is_number(value) || json_is_null(value);
	case TEXT:           return json_is_string(value);
	case TEXT_OR_NULL:   return json_is_string(value) || json_is_null(value);
	case TEXTS:          return all_are(value, true);
	case OBJECTS:        return all_are(value, false);
	case OBJECT:         return json_is_object(value);
	}
	return false;
}

/* jansson keeps the order in which members were read: the stated keys come in the stated order, and
 * whatever was added comes after or between them. */
static void assert_keys(json_t *object, const struct key *keys)
{
	const char *name;
	json_t *value;
	const struct key *next = keys;
	assert_true(json_is_object(object));
	json_object_foreach(object, name, value)
		if (next->name != NULL && strcmp(name, next->name) == 0)
			next++;
	if (next->name != NULL)
		fail_msg("key '%s' is missing or out of order", next->name);
	for (; keys->name != NULL; keys++)
		if (!has_type(json_object_get(object, keys->name), keys->type))
			fail_msg("key '%s' has the wrong type", keys->name);
}

static void assert_each(json_t *items, const struct key *keys)
{
	const char *name;
	size_t i;
	json_t *item;
	if (json_is_array(items)) {
		json_array_foreach(items, i, item)
			assert_keys(item, keys);
		return;
	}
	json_object_foreach(items, name, item)
		assert_keys(item, keys);
}

static void assert_conforms(json_t *result)
{
	assert_keys(result, head_keys);
	assert_string_equal(json_string_value(json_object_get(result, "farend")), farend_version());
	assert_int_equal(json_integer_value(json_object_get(result, "format")), 1);
	assert_string_equal(json_string_value(json_object_get(result, "command")), "check");
	assert_keys(json_object_get(result, "job"), job_keys);
	assert_keys(json_object_get(result, "solution"), solution_keys);
	assert_each(json_object_get(result, "drivers"), driver_keys);
	assert_each(json_object_get(result, "strips"), strip_keys);
	assert_each(json_object_get(result, "cables"), cable_keys);
	assert_each(json_object_get(result, "switches"), switch_keys);
	assert_each(json_object_get(result, "blocks"), block_keys);
	assert_each(json_object_get(result, "assumed"), assumed_keys);
	assert_each(json_object_get(result, "findings"), finding_keys);
	assert_true(json_array_size(json_object_get(result, "cautions")) > 0);
}

/* The result of a job that can be read, as JSON. */
static json_t *checked(struct farend_job *job)
{
	struct farend_text text;
	assert_int_equal(farend_check(job), FAREND_OK);
	assert_int_equal(farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text), FAREND_OK);
	json_t *result = json_loads(text.bytes, JSON_REJECT_DUPLICATES, NULL);
	assert_non_null(result);
	farend_free(job);
	return result;
}

static json_t *checked_text(const char *bytes)
{
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", bytes, strlen(bytes), &job), FAREND_OK);
	json_t *result = checked(job);
	assert_conforms(result);
	return result;
}

static json_t *item(json_t *result, const char *group, const char *id, const char *key)
{
	json_t *object = json_object_get(json_object_get(result, group), id);
	assert_non_null(object);
	json_t *value = json_object_get(object, key);
	assert_non_null(value);
	return value;
}

#define TYPES "strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm, " \
	"loop_resistance: 0.1 ohm/m, led_knee: 12 V}}\n"

static void test_starter(void **state)
{
	(void)state;
	json_t *result = checked_text(farend_starter().bytes);
	assert_string_equal(json_string_value(json_object_get(result, "verdict")), "ok");
	assert_string_equal(json_string_value(item(result, "cables", "C5", "from")), "S1.out");
	assert_string_equal(json_string_value(json_array_get(item(result, "strips", "L1", "feeds"), 0)),
	                    "L1.start");
	assert_int_equal(json_array_size(item(result, "strips", "L1", "feeds")), 1);
	assert_int_equal(json_integer_value(item(result, "blocks", "B1", "ports_used")), 4);
	json_decref(result);
}

static void test_every_fixture(void **state)
{
	(void)state;
	glob_t found;
	assert_int_equal(glob("fixtures/jobs/*.yaml", 0, NULL, &found), 0);
	for (size_t i = 0; i < found.gl_pathc; i++) {
		struct farend_job *job;
		assert_int_equal(farend_read(found.gl_pathv[i], &job), FAREND_OK);
		json_t *result = checked(job);
		assert_conforms(result);
		json_decref(result);
	}
	globfree(&found);
}

/* A strip that nothing reaches is dark; it has no voltages. What the file says stays. */
static void test_unfed(void **state)
{
	(void)state;
	json_t *result = checked_text(TYPES
		"strips: {L1: {type: warm, length: 1 m}, L2: {type: warm, length: 500 mm}}\n"
		"drivers: {D1: {voltage: 24 V, power: 30 W}}\n"
		"cables: {C1: {from: D1, to: L1, size: 1 mm2, length: 1 m},\n"
		"         C2: {from: L2.end, to: L2.start, size: 1 mm2, length: 1 m}}\n");
	static const char *const without[] = { "current_a", "power_w", "v_min", "v_max", "drop_v", "drop",
	                                       "evenness", "dip" };
	for (size_t i = 0; i < sizeof(without) / sizeof(without[0]); i++)
		assert_true(json_is_null(item(result, "strips", "L2", without[i])));
	assert_near(json_number_value(item(result, "strips", "L2", "light_min")), 0, 0, 0);
	assert_near(json_number_value(item(result, "strips", "L2", "light_mean")), 0, 0, 0);
	assert_true(json_is_number(item(result, "strips", "L2", "light_max")));
	assert_near(json_number_value(item(result, "strips", "L2", "nameplate_w")), 5, 1e-9, 0);
	assert_int_equal(json_array_size(item(result, "strips", "L2", "feeds")), 0);
	assert_true(json_is_null(item(result, "cables", "C2", "current_a")));
	assert_true(json_is_null(item(result, "cables", "C2", "fault_a")));
	assert_true(json_is_number(item(result, "cables", "C2", "resistance_ohm")));
	assert_true(json_is_number(item(result, "strips", "L1", "current_a")));
	json_decref(result);
}

static void test_double_fed(void **state)
{
	(void)state;
	json_t *result = checked_text(TYPES
		"strips: {L1: {type: warm, length: 1 m}}\n"
		"drivers: {D1: {voltage: 24 V, power: 30 W}, D2: {voltage: 24 V, power: 30 W}}\n"
		"cables: {C1: {from: D1, to: L1, size: 1 mm2, length: 1 m},\n"
		"         C2: {from: D2, to: L1.end, size: 1 mm2, length: 1 m}}\n");
	assert_string_equal(json_string_value(json_object_get(result, "verdict")), "fail");
	assert_true(json_is_null(item(result, "strips", "L1", "light_min")));
	assert_true(json_is_null(item(result, "strips", "L1", "current_a")));
	assert_true(json_is_null(item(result, "drivers", "D1", "load_w")));
	assert_true(json_is_null(item(result, "drivers", "D1", "headroom")));
	assert_near(json_number_value(item(result, "drivers", "D1", "derated_w")), 30, 1e-12, 0);
	assert_near(json_number_value(item(result, "cables", "C1", "rating_a")), 10, 1e-12, 0);
	json_decref(result);
}

/* 24 V driver, 1 m of 10 W/m in 100 mm units on thick, short cable: the sign of a cable's current
 * and drop is that of from -> to, so a cable written the other way round has the negative of
 * both. */
static void test_direction(void **state)
{
	(void)state;
	json_t *forth = checked_text(TYPES
		"strips: {L1: {type: warm, length: 1 m}}\n"
		"drivers: {D1: {voltage: 24 V, power: 30 W}}\n"
		"cables: {C1: {from: D1, to: L1.end, size: 1 mm2, length: 1 m}}\n");
	json_t *back = checked_text(TYPES
		"strips: {L1: {type: warm, length: 1 m}}\n"
		"drivers: {D1: {voltage: 24 V, power: 30 W}}\n"
		"cables: {C1: {from: L1.end, to: D1, size: 1 mm2, length: 1 m}}\n");
	double amps = json_number_value(item(forth, "cables", "C1", "current_a"));
	double drop = json_number_value(item(forth, "cables", "C1", "drop_v"));
	assert_true(amps > 0.3 && drop > 0);
	assert_near(json_number_value(item(back, "cables", "C1", "current_a")), -amps, 1e-9, 0);
	assert_near(json_number_value(item(back, "cables", "C1", "drop_v")), -drop, 1e-9, 0);
	assert_string_equal(json_string_value(json_array_get(item(back, "strips", "L1", "feeds"), 0)),
	                    "L1.end");
	assert_near(json_number_value(item(forth, "drivers", "D1", "headroom")),
	            1 - json_number_value(item(forth, "drivers", "D1", "load_w")) / 30, 1e-9, 0);
	json_decref(forth);
	json_decref(back);
}

/* Names are the user's: quotes, control characters, markup and other scripts come back as they
 * were. */
static void test_hostile_texts(void **state)
{
	(void)state;
	json_t *result = checked_text(
		"job: {name: \"a \\\"b\\\" \\\\ \\t </script> \\u00e9\\u68da\"}\n" TYPES
		"strips: {L1: {type: warm, length: 1 m, place: \"=1+1\"}}\n"
		"drivers: {D1: {voltage: 24 V, power: 30 W}}\n"
		"cables: {C1: {from: D1, to: L1, size: 1 mm2, length: 1 m}}\n");
	json_t *name = json_object_get(json_object_get(result, "job"), "name");
	assert_string_equal(json_string_value(name), "a \"b\" \\ \t </script> \xC3\xA9\xE6\xA3\x9A");
	assert_string_equal(json_string_value(item(result, "strips", "L1", "place")), "=1+1");
	json_decref(result);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_starter),
		cmocka_unit_test(test_every_fixture),
		cmocka_unit_test(test_unfed),
		cmocka_unit_test(test_double_fed),
		cmocka_unit_test(test_direction),
		cmocka_unit_test(test_hostile_texts),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
