#include "oracle/answer.h"

#include "farend.h"
#include "oracle/oracle.h"

#include <stdlib.h>

json_t *answer_to_text(const char *name, const char *text, size_t size)
{
	struct farend_job *job = NULL;
	struct farend_text out = { NULL, 0 };
	json_error_t error;
	if (farend_read_text(name, text, size, &job) != FAREND_OK) {
		farend_diagnostics(job, NULL, &out);
		print_error("%s\n%s", text, out.bytes ? out.bytes : "");
		farend_free(job);
		fail_msg("%s is not taken", name);
	}
	if (farend_check(job) != FAREND_OK ||
	    farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &out) != FAREND_OK) {
		farend_free(job);
		fail_msg("%s is not solved", name);
	}
	json_t *answer = json_loadb(out.bytes, out.size, JSON_REJECT_DUPLICATES, &error);
	farend_free(job);
	if (!answer)
		fail_msg("%s: line %d: %s", name, error.line, error.text);
	return answer;
}

json_t *answer_to_plan(const struct plan *plan, uint64_t shuffle)
{
	char *text = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&text, &size);
	assert_non_null(out);
	plan_write_yaml(plan, shuffle, out);
	assert_int_equal(fclose(out), 0);
	json_t *answer = answer_to_text("generated.yaml", text, size);
	free(text);
	return answer;
}

double answer_by_id(const json_t *answer, const char *group, const char *id, const char *key)
{
	const json_t *value = json_object_get(json_object_get(json_object_get(answer, group), id), key);
	if (!value || (!json_is_number(value) && !json_is_null(value)))
		fail_msg("no figure %s.%s.%s", group, id, key);
	return json_is_null(value) ? NAN : json_number_value(value);
}

double answer_number(const json_t *answer, const char *group, char letter, size_t index,
                     const char *key)
{
	char id[24];
	snprintf(id, sizeof id, "%c%zu", letter, index + 1);
	return answer_by_id(answer, group, id, key);
}
