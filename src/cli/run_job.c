/* The commands that read a job: check, cut, order. */
#include "cli/commands.h"
#include "cli/output.h"

#include <math.h>
#include <stdlib.h>
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

/* A command's result, and how it is made of a checked job. */
struct making {
	enum farend_result result;
	enum farend_status (*make)(const struct invocation *in, struct farend_job *job);
};

static enum farend_status make(const struct invocation *in, const struct making *making,
                               struct farend_job *job)
{
	enum farend_status status = farend_check(job);
	return status == FAREND_OK && making->make != NULL ? making->make(in, job) : status;
}

static enum status write_result(const struct invocation *in, const struct making *making,
                                struct farend_job *job, enum farend_status status)
{
	struct farend_style style = output_style(in);
	struct farend_style error_style = output_error_style(in);
	struct farend_text result, notes;
	if (status == FAREND_OK)
		status = make(in, making, job);
	if (status == FAREND_OK)
		status = farend_diagnostics(job, &error_style, &notes);
	if (status == FAREND_OK)
		status = farend_render(job, making->result, format_of(in), &style, &result);
	if (status != FAREND_OK)
		return complain(in, job, status);
	output_notes(notes.bytes, notes.size);
	return output_result(in, result.bytes, result.size, verdict_status(in, farend_verdict(job)));
}

static enum status run(const struct invocation *in, const struct making *making)
{
	struct farend_job *job;
	enum farend_status read = farend_read(in->line.operands[0], &job);
	enum status status = write_result(in, making, job, read);
	farend_free(job);
	return status;
}

static enum status usage_error(const struct invocation *in, const char *message)
{
	output_error(in->arena, "%s", message);
	output_error(in->arena, "try 'farend help %s'", in->command->name);
	return STATUS_USAGE;
}

/* Standard input can be read only once. */
static bool reads_input_twice(const struct invocation *in)
{
	const char *offcuts = in->line.value[OPTION_OFFCUTS];
	return offcuts != NULL && strcmp(offcuts, "-") == 0 && strcmp(in->line.operands[0], "-") == 0;
}

#define INPUT_TWICE "the job and the offcuts cannot both be standard input"

enum status run_check(const struct invocation *in)
{
	return run(in, &(struct making){ FAREND_CHECK, NULL });
}

static enum farend_status make_cut(const struct invocation *in, struct farend_job *job)
{
	return farend_cut(job, in->line.value[OPTION_OFFCUTS]);
}

enum status run_cut(const struct invocation *in)
{
	if (reads_input_twice(in))
		return usage_error(in, INPUT_TWICE);
	return run(in, &(struct making){ FAREND_CUT, make_cut });
}

/* "15", "15%" or "15 %" as a fraction; what no spare can be as NAN. */
static double spare_of(const struct invocation *in)
{
	const char *text = in->line.value[OPTION_SPARE];
	if (text == NULL)
		return FAREND_SPARE_USUAL;
	size_t digits = strspn(text, "0123456789.");
	char *end;
	double percent = strtod(text, &end);
	bool number = digits > 0 && end == text + digits;
	end += strspn(end, " ");
	end += *end == '%';
	return number && *end == '\0' && percent <= 100 ? percent / 100 : NAN;
}

static enum farend_status make_order(const struct invocation *in, struct farend_job *job)
{
	return farend_order(job, in->line.value[OPTION_OFFCUTS], spare_of(in));
}

enum status run_order(const struct invocation *in)
{
	if (reads_input_twice(in))
		return usage_error(in, INPUT_TWICE);
	if (isnan(spare_of(in)))
		return usage_error(in, arena_printf(in->arena, "--spare takes a percentage from 0 to 100, not '%s'",
		                                    in->line.value[OPTION_SPARE]));
	return run(in, &(struct making){ FAREND_ORDER, make_order });
}
