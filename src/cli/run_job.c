/* The commands that read a job: check, size, cut, order, schedule, report, verify. */
#include "cli/commands.h"
#include "cli/job_call.h"
#include "cli/output.h"
#include "cli/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#define MOST_DIGIT 1             /* V, A; a coarser meter tells nothing here: common practice, no source */

enum farend_format job_format(const struct invocation *in)
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

enum status job_verdict_status(const struct invocation *in, enum farend_verdict verdict)
{
	bool strict = in->line.value[OPTION_STRICT] != NULL;
	bool fails = verdict == FAREND_VERDICT_FAIL || (strict && verdict == FAREND_VERDICT_CAUTION);
	return fails ? STATUS_FINDING : STATUS_OK;
}

enum status job_complain(const struct invocation *in, struct farend_job *job,
                         enum farend_status status)
{
	struct farend_style style = output_error_style(in);
	struct farend_text text;
	if (status == FAREND_NO_MEMORY || farend_diagnostics(job, &style, &text) != FAREND_OK)
		return output_no_memory();
	output_notes(text.bytes, text.size);
	if (status == FAREND_WRONG_CALL)
		return STATUS_USAGE;
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
	const char *switches = in->line.value[OPTION_SWITCHES];
	enum farend_status status = switches != NULL ? farend_set_switches(job, switches) : FAREND_OK;
	if (status == FAREND_OK)
		status = farend_check(job);
	if (status == FAREND_OK)
		status = spread_make(in, job);
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
		status = farend_render(job, making->result, job_format(in), &style, &result);
	if (status != FAREND_OK)
		return job_complain(in, job, status);
	output_notes(notes.bytes, notes.size);
	return output_result(in, result.bytes, result.size, job_verdict_status(in, making->verdict(job)));
}

static enum status usage_error(const struct invocation *in, const char *message)
{
	output_error(in->arena, "%s", message);
	output_error(in->arena, "try 'farend help %s'", in->command->name);
	return STATUS_USAGE;
}

/* The file with what was built, or NULL. */
static const char *as_built_of(const struct invocation *in)
{
	return in->line.operand_count > 1 ? in->line.operands[1] : in->line.value[OPTION_BUILT];
}

/* Standard input can be read only once: the message that says so, or NULL. */
static const char *input_twice(const struct invocation *in)
{
	const struct { const char *file, *what; } inputs[] = {
		{ in->line.operands[0], "the job" },
		{ as_built_of(in), "the as-built file" },
		{ in->line.value[OPTION_OFFCUTS], "the offcuts" },
	};
	const char *first = NULL;
	for (size_t i = 0; i < sizeof(inputs) / sizeof(inputs[0]); i++) {
		if (inputs[i].file == NULL || strcmp(inputs[i].file, "-") != 0)
			continue;
		if (first != NULL)
			return arena_printf(in->arena, "%s and %s cannot both be standard input", first,
			                    inputs[i].what);
		first = inputs[i].what;
	}
	return NULL;
}

static enum status run(const struct invocation *in, const struct making *making)
{
	struct farend_job *job;
	const char *as_built = as_built_of(in), *wrong = input_twice(in);
	if (wrong == NULL)
		wrong = spread_wrong(in);
	if (wrong != NULL)
		return usage_error(in, wrong);
	enum farend_status read = as_built == NULL ? farend_read(in->line.operands[0], &job)
	                                           : farend_read_built(in->line.operands[0], as_built, &job);
	enum status status = write_result(in, making, job, read);
	farend_free(job);
	return status;
}

enum status run_check(const struct invocation *in)
{
	if (in->line.operand_count > 1)
		return run_many(in);
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
	if (copy != NULL && in->line.value[OPTION_BUILT] != NULL)
		return usage_error(in, "--apply writes a plan, without lengths as built: leave out --built, or enter "
		                       "the lengths in the job first");
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
	return run(in, &(struct making){ FAREND_CUT, make_cut, farend_verdict });
}

/* A number from 0 on and what follows it: blanks skipped. NAN where there is none. */
static double number_of(const char *text, const char **rest)
{
	size_t digits = strspn(text, "0123456789.");
	char *end;
	double number = strtod(text, &end);
	*rest = end + strspn(end, " ");
	return digits > 0 && end == text + digits ? number : NAN;
}

/* "15", "15%" or "15 %" as a fraction; what no such share can be as NAN. */
static double share_of(const char *text)
{
	const char *rest;
	double percent = number_of(text, &rest);
	rest += *rest == '%';
	return *rest == '\0' && percent <= 100 ? percent / 100 : NAN;
}

static double spare_of(const struct invocation *in)
{
	const char *text = in->line.value[OPTION_SPARE];
	return text == NULL ? FAREND_SPARE_USUAL : share_of(text);
}

static enum farend_status make_order(const struct invocation *in, struct farend_job *job)
{
	return farend_order(job, in->line.value[OPTION_OFFCUTS], spare_of(in));
}

enum status run_order(const struct invocation *in)
{
	if (isnan(spare_of(in)))
		return usage_error(in, arena_printf(in->arena, "--spare takes a percentage from 0 to 100, not '%s'",
		                                    in->line.value[OPTION_SPARE]));
	return run(in, &(struct making){ FAREND_ORDER, make_order, farend_verdict });
}

enum status run_schedule(const struct invocation *in)
{
	bool labels = in->line.value[OPTION_LABELS] != NULL;
	if (labels && job_format(in) != FAREND_HTML && job_format(in) != FAREND_CSV)
		return usage_error(in, "labels are written as html or csv");
	return run(in, &(struct making){ labels ? FAREND_LABELS : FAREND_SCHEDULE, NULL, farend_verdict });
}

static enum farend_status make_report(const struct invocation *in, struct farend_job *job)
{
	bool lists = in->line.value[OPTION_NO_LISTS] == NULL && job_format(in) == FAREND_HTML;
	return farend_report(job, in->line.value[OPTION_OFFCUTS], lists);
}

enum status run_report(const struct invocation *in)
{
	return run(in, &(struct making){ FAREND_REPORT, make_report, farend_verdict });
}

/* ------- verify */

/* "10 mV" or "0.01 V" in V; NAN where it is neither. */
static double digit_of(const char *text, char unit)
{
	const char *rest;
	double number = number_of(text, &rest);
	double scale = *rest == 'm' ? 1e-3 : 1;
	rest += *rest == 'm';
	return rest[0] == unit && rest[1] == '\0' && number > 0 ? scale * number : NAN;
}

/* The meter as the options have it, 0.5 %, 10 mV and 10 mA where they say nothing (common practice, no
 * source). NAN stands for what cannot be. */
static struct farend_meter meter_of(const struct invocation *in)
{
	const char *gain = in->line.value[OPTION_METER_GAIN];
	const char *volts = in->line.value[OPTION_METER_DIGIT];
	const char *amps = in->line.value[OPTION_METER_DIGIT_AMPS];
	struct farend_meter usual = farend_usual_meter();
	return (struct farend_meter){
		.gain = gain == NULL ? usual.gain : share_of(gain),
		.digit_v = volts == NULL ? usual.digit_v : digit_of(volts, 'V'),
		.digit_a = amps == NULL ? usual.digit_a : digit_of(amps, 'A'),
	};
}

static enum farend_status make_verify(const struct invocation *in, struct farend_job *job)
{
	struct farend_meter meter = meter_of(in);
	return farend_verify(job, &meter);
}

enum status run_verify(const struct invocation *in)
{
	struct farend_meter meter = meter_of(in);
	const char *wrong = NULL;
	if (!(meter.gain < 1))
		wrong = arena_printf(in->arena, "--meter-gain takes a percentage from 0 to below 100, not '%s'",
		                     in->line.value[OPTION_METER_GAIN]);
	else if (!(meter.digit_v <= MOST_DIGIT))
		wrong = arena_printf(in->arena, "--meter-digit takes a voltage above 0, 1 V at most, such as '10 mV', not '%s'",
		                     in->line.value[OPTION_METER_DIGIT]);
	else if (!(meter.digit_a <= MOST_DIGIT))
		wrong = arena_printf(in->arena, "--meter-digit-amps takes a current above 0, 1 A at most, such as '10 mA', not '%s'",
		                     in->line.value[OPTION_METER_DIGIT_AMPS]);
	if (wrong != NULL)
		return usage_error(in, wrong);
	return run(in, &(struct making){ FAREND_VERIFY, make_verify, farend_verify_verdict });
}
