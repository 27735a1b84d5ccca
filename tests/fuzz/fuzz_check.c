/* Any bytes as a job file, from reading to all three renderings: never a crash, a leak, or an answer that
 * does not balance. One input in eight goes on to everything else that can be made of a job. */
#include "fuzz.h"

static void render(struct farend_job *job, enum farend_result result, enum farend_format last)
{
	struct farend_text text;
	for (int format = FAREND_TEXT; format <= (int)last; format++)
		must(farend_render(job, result, (enum farend_format)format, NULL, &text) == FAREND_OK);
	must(farend_render(job, result, FAREND_TEXT, NULL, &text) == FAREND_OK);
	must_be_safe(&text);
}

static void report(struct farend_job *job)
{
	struct farend_text text;
	must(farend_report(job, NULL, true) == FAREND_OK);
	must(farend_render(job, FAREND_REPORT, FAREND_HTML, NULL, &text) == FAREND_OK);
	must(farend_render(job, FAREND_REPORT, FAREND_SVG, NULL, &text) == FAREND_OK);
}

static void everything(struct farend_job *job)
{
	const struct farend_tolerance few = { .samples = 16, .seed = 1 };
	render(job, FAREND_SCHEDULE, FAREND_CSV);
	must(farend_cut(job, NULL) == FAREND_OK);
	render(job, FAREND_CUT, FAREND_CSV);
	must(farend_order(job, NULL, FAREND_SPARE_USUAL) == FAREND_OK);
	render(job, FAREND_ORDER, FAREND_CSV);
	must(farend_size(job) == FAREND_OK);
	render(job, FAREND_SIZE, FAREND_CSV);
	must(farend_tolerance(job, &few) == FAREND_OK);
	render(job, FAREND_CHECK, FAREND_CSV);
	report(job);
}

/* The same inputs in every run. */
static bool chosen(const uint8_t *data, size_t size)
{
	uint32_t hash = 2166136261u;
	for (size_t i = 0; i < size; i++)
		hash = (hash ^ data[i]) * 16777619u;
	return (hash >> 16) % 8 == 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct farend_job *job;
	struct farend_text text;
	if (farend_read_text("fuzz.yaml", (const char *)data, size, &job) == FAREND_OK) {
		must(farend_check(job) == FAREND_OK);
		render(job, FAREND_CHECK, FAREND_CSV);
		if (chosen(data, size))
			everything(job);
	} else {
		must(farend_diagnostics(job, NULL, &text) == FAREND_OK);
		must(text.size > 0);
	}
	farend_free(job);
	return 0;
}
