/* `check` of several jobs in one call: a job that cannot be read does not stop the others, and the worst one
 * gives the exit status. */
#include "cli/job_call.h"
#include "cli/output.h"
#include "cli/progress.h"

#include <string.h>

/* What goes with one job only, or NULL. */
static const char *misuse(const struct invocation *in)
{
	static const enum option_id single[] = {
		OPTION_BUILT, OPTION_SWITCHES, OPTION_TOLERANCE, OPTION_SAMPLES, OPTION_SEED,
	};
	size_t inputs = 0;
	for (size_t i = 0; i < sizeof(single) / sizeof(single[0]); i++)
		if (in->line.given[single[i]] != NULL)
			return arena_printf(in->arena, "--%s goes with one job, not with several",
			                    in->line.given[single[i]]->name);
	for (size_t i = 0; i < in->line.operand_count; i++)
		inputs += strcmp(in->line.operands[i], "-") == 0;
	return inputs > 1 ? "standard input can be read only once" : NULL;
}

/* One job; what is wrong with it goes to standard error at once. Its memory is free afterwards. */
static enum status add_job(const struct invocation *in, struct farend_many *many, const char *file)
{
	struct farend_job *job;
	enum farend_status read = farend_read(file, &job);
	enum status status = STATUS_SYSTEM;
	if (read == FAREND_OK)
		read = farend_check(job);
	if (read == FAREND_OK)
		status = job_verdict_status(in, farend_verdict(job));
	else
		status = job_complain(in, job, read);
	bool added = farend_many_add(many, file, job) == FAREND_OK;
	farend_free(job);
	return added ? status : output_no_memory();
}

static enum status add_all(const struct invocation *in, struct farend_many *many)
{
	struct progress progress;
	enum status worst = STATUS_OK;
	progress_begin(&progress, in->line.operand_count);
	for (size_t i = 0; i < in->line.operand_count; i++) {
		progress_step(&progress, i, in->line.operands[i]);
		enum status status = add_job(in, many, in->line.operands[i]);
		worst = status > worst ? status : worst;
	}
	progress_clear(&progress);
	return worst;
}

enum status run_many(const struct invocation *in)
{
	struct farend_style style = output_style(in);
	struct farend_many *many;
	struct farend_text text;
	const char *wrong = misuse(in);
	if (wrong != NULL) {
		output_error(in->arena, "%s", wrong);
		output_error(in->arena, "try 'farend help %s'", in->command->name);
		return STATUS_USAGE;
	}
	enum farend_status made = farend_many_new(job_format(in), &style, &many);
	enum status status = made == FAREND_OK ? add_all(in, many) : STATUS_SYSTEM;
	if (made == FAREND_OK)
		made = farend_many_end(many, &text);
	status = made == FAREND_OK ? output_result(in, text.bytes, text.size, status) : output_no_memory();
	farend_many_free(many);
	return status;
}
