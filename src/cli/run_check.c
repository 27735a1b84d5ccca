/* farend check JOB.yaml */
#include "cli/commands.h"
#include "cli/output.h"

#include <string.h>

/* The formats of a command stand in the order of enum farend_format. */
static enum farend_format format_of(const struct invocation *in)
{
	const char *wanted = in->line.value[OPTION_FORMAT];
	size_t format = 0;
	while (wanted != NULL && strcmp(in->command->formats[format], wanted) != 0)
		format++;
	return (enum farend_format)format;
}

static enum status verdict_status(const struct invocation *in, enum farend_verdict verdict)
{
	bool strict = in->line.value[OPTION_STRICT] != NULL;
	bool fails = verdict == FAREND_VERDICT_FAIL || (strict && verdict == FAREND_VERDICT_CAUTION);
	return fails ? STATUS_FINDING : STATUS_OK;
}

/* What was wrong with the input, on standard error, and the exit status for it. */
static enum status complain(const struct invocation *in, struct farend_job *job,
                            enum farend_status status)
{
	struct farend_style style = output_error_style(in);
	struct farend_text text;
	if (status == FAREND_NO_MEMORY || farend_diagnostics(job, &style, &text) != FAREND_OK)
		return output_no_memory();
	output_notes(text.bytes, text.size);
	return status == FAREND_WRONG_INPUT ? STATUS_INPUT : STATUS_SYSTEM;
}

static enum status check(const struct invocation *in, struct farend_job *job,
                         enum farend_status status)
{
	struct farend_style style = output_style(in);
	struct farend_style error_style = output_error_style(in);
	struct farend_text result, notes;
	if (status == FAREND_OK)
		status = farend_check(job);
	if (status == FAREND_OK)
		status = farend_diagnostics(job, &error_style, &notes);
	if (status == FAREND_OK)
		status = farend_render(job, format_of(in), &style, &result);
	if (status != FAREND_OK)
		return complain(in, job, status);
	output_notes(notes.bytes, notes.size);
	return output_result(in, result.bytes, result.size, verdict_status(in, farend_verdict(job)));
}

enum status run_check(const struct invocation *in)
{
	struct farend_job *job;
	enum farend_status read = farend_read(in->line.operands[0], &job);
	enum status status = check(in, job, read);
	farend_free(job);
	return status;
}
