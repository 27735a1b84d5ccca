/* farend_size() and farend_apply(). */
#include "api/job.h"

#include "api/call.h"
#include "load/load.h"
#include "report/apply.h"

static void size_body(void *data)
{
	struct farend_job *job = data;
	size_job(job->job, job->solution, job->arena, &job->plan);
	job->size = (struct size_result){
		.job = job->job, .plan = &job->plan, .assumptions = &job->assumptions, .sized = job->plan.sized,
		.findings = &job->plan.findings, .stuck = job->plan.stuck, .stuck_count = job->plan.stuck_count,
		.verdict = job->plan.verdict,
	};
}

enum farend_status farend_size(struct farend_job *job)
{
	job->size.plan = NULL;
	if (!api_checked(job))
		return FAREND_WRONG_CALL;
	return api_call(job->arena, size_body, job) ? FAREND_OK : FAREND_NO_MEMORY;
}

enum farend_verdict farend_size_verdict(const struct farend_job *job)
{
	return job->size.plan != NULL ? api_verdict(job->size.verdict) : FAREND_VERDICT_FAIL;
}

struct applying {
	struct farend_job *job;
	const char *path;
	struct buf copy;
	enum farend_status status;
};

/* From now on the result speaks of the copy. */
static void check_copy(struct applying *applying, const struct job *again)
{
	struct farend_job *job = applying->job;
	struct findings *findings = arena_one(job->arena, struct findings);
	const struct solution *solution = solve_job(again, job->arena);
	check_job(again, solution, job->arena, findings);
	advise_job(again, solution, job->arena, findings);
	job->size.sized = again;
	job->size.findings = findings;
	job->size.verdict = findings_verdict(findings);
	job->size.copy = arena_strdup(job->arena, applying->path);
	job->size.stuck_count = size_stuck(findings, job->arena, &job->size.stuck);
}

static void apply_body(void *data)
{
	static const enum farend_status statuses[] = {
		[LOAD_OK] = FAREND_OK, [LOAD_WRONG] = FAREND_WRONG_INPUT, [LOAD_SYSTEM] = FAREND_SYSTEM,
	};
	struct applying *applying = data;
	struct farend_job *job = applying->job;
	struct job *again;
	buf_init(&applying->copy, job->arena);
	applying->status = FAREND_WRONG_INPUT;
	if (!apply_size(job->job, &job->plan, &job->diags, &applying->copy))
		return;
	struct load_text text = {
		.name = applying->path, .bytes = applying->copy.data, .size = applying->copy.length,
	};
	applying->status = statuses[load_job(job->arena, &text, &job->diags, &again)];
	if (applying->status != FAREND_OK)
		return;
	if (apply_agrees(&job->plan, again, &job->diags))
		check_copy(applying, again);
	else
		applying->status = FAREND_WRONG_INPUT;
}

enum farend_status farend_apply(struct farend_job *job, const char *path, struct farend_text *copy)
{
	struct applying applying = { .job = job, .path = path };
	*copy = (struct farend_text){ .bytes = "", .size = 0 };
	if (job->size.plan == NULL || job->planned != NULL)
		return FAREND_WRONG_CALL;
	if (!api_call(job->arena, apply_body, &applying))
		return FAREND_NO_MEMORY;
	if (applying.status == FAREND_OK)
		*copy = (struct farend_text){ .bytes = applying.copy.data, .size = applying.copy.length };
	return applying.status;
}
