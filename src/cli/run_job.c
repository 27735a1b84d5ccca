/* The commands that read a job: check, size, cut, order, schedule, report. */
#include "cli/commands.h"
#include "cli/output.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static enum farend_format format_of(const struct invocation *in)
{
	static const char *const format_names[] = {
		[FAREND_TEXT] = "text", [FAREND_JSON] = "json", [FAREND_CSV] = "csv", [FAREND_HTML] = "html",
		[FAREND_SVG] = "svg",
	};
	const char *wanted = in->line.value[OPTION_FORMAT];
	size_t format = 0;
	if (wanted == NULL)
		wanted = in->line.value[OPTION_LABELS] != NULL ? "html" : in->command->formats[0];
	while (strcmp(format_names[format], wanted) != 0)
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
	enum farend_verdict (*verdict)(const struct farend_job *job);
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
	return output_result(in, result.bytes, result.size, verdict_status(in, making->verdict(job)));
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
	return run(in, &(struct making){ FAREND_CHECK, NULL, farend_verdict });
}

/* The copy, whole or not at all. */
static enum farend_status write_copy(const struct invocation *in, const char *path,
                                     const struct farend_text *copy)
{
	struct farend_text reason;
	enum farend_status status = farend_write(path, copy->bytes, copy->size, &reason);
	if (status == FAREND_SYSTEM)
		output_error(in->arena, "cannot write '%s': %s", path, reason.bytes);
	farend_free_text(&reason);
	return status;
}

static enum farend_status make_size(const struct invocation *in, struct farend_job *job)
{
	const char *path = in->line.value[OPTION_APPLY];
	struct farend_text copy;
	enum farend_status status = farend_size(job);
	if (status == FAREND_OK && path != NULL) {
		status = farend_apply(job, path, &copy);
		if (status == FAREND_OK)
			status = write_copy(in, path, &copy);
	}
	return status;
}

static bool same_file(const char *a, const char *b)
{
	struct stat at_a, at_b;
	if (a == NULL || b == NULL)
		return false;
	return strcmp(a, b) == 0 || (stat(a, &at_a) == 0 && stat(b, &at_b) == 0 &&
	                             at_a.st_dev == at_b.st_dev && at_a.st_ino == at_b.st_ino);
}

enum status run_size(const struct invocation *in)
{
	const char *copy = in->line.value[OPTION_APPLY];
	if (copy != NULL && strcmp(copy, "-") == 0)
		return usage_error(in, "--apply needs a file; standard output is for the result");
	if (same_file(copy, in->line.operands[0]))
		return usage_error(in, "--apply writes a copy: name another file than the job");
	if (same_file(copy, in->line.value[OPTION_OUTPUT]))
		return usage_error(in, "--apply and --output cannot be the same file");
	return run(in, &(struct making){ FAREND_SIZE, make_size, farend_size_verdict });
}

static enum farend_status make_cut(const struct invocation *in, struct farend_job *job)
{
	return farend_cut(job, in->line.value[OPTION_OFFCUTS]);
}

enum status run_cut(const struct invocation *in)
{
	if (reads_input_twice(in))
		return usage_error(in, INPUT_TWICE);
	return run(in, &(struct making){ FAREND_CUT, make_cut, farend_verdict });
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
	return run(in, &(struct making){ FAREND_ORDER, make_order, farend_verdict });
}

enum status run_schedule(const struct invocation *in)
{
	bool labels = in->line.value[OPTION_LABELS] != NULL;
	if (labels && format_of(in) != FAREND_HTML && format_of(in) != FAREND_CSV)
		return usage_error(in, "labels are written as html or csv");
	return run(in, &(struct making){ labels ? FAREND_LABELS : FAREND_SCHEDULE, NULL, farend_verdict });
}

static enum farend_status make_report(const struct invocation *in, struct farend_job *job)
{
	bool lists = in->line.value[OPTION_NO_LISTS] == NULL && format_of(in) == FAREND_HTML;
	return farend_report(job, in->line.value[OPTION_OFFCUTS], lists);
}

enum status run_report(const struct invocation *in)
{
	if (reads_input_twice(in))
		return usage_error(in, INPUT_TWICE);
	return run(in, &(struct making){ FAREND_REPORT, make_report, farend_verdict });
}
