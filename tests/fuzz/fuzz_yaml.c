/* Any bytes as a job file, up to the reader's answer: a job without a mistake, or mistakes that are all
 * inside the file and that a terminal may show. */
#include "fuzz.h"

static void look_at(const struct farend_diagnostic *wrong)
{
	must(wrong->kind != NULL && wrong->message != NULL && wrong->message[0] != '\0');
	must((wrong->line == 0) == (wrong->column == 0));
	must(wrong->line == 0 || wrong->file != NULL);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const struct farend_style narrow = { .width = 40 };
	struct farend_job *job;
	struct farend_text text;
	struct farend_diagnostic wrong;
	size_t count = 0;
	enum farend_status status = farend_read_text("fuzz.yaml", (const char *)data, size, &job);
	must(status == FAREND_OK || status == FAREND_WRONG_INPUT);
	for (; farend_diagnostic(job, count, &wrong); count++)
		look_at(&wrong);
	must((status == FAREND_OK) == (count == 0));
	must(farend_diagnostics(job, NULL, &text) == FAREND_OK);
	must_be_safe(&text);
	must((text.size == 0) == (count == 0));
	must(farend_diagnostics(job, &narrow, &text) == FAREND_OK);
	must_be_safe(&text);
	farend_free(job);
	return 0;
}
