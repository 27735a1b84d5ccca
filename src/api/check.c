/* farend_check() and its verdict. */
#include "api/job.h"

#include "api/call.h"

static void check_body(void *data)
{
	struct farend_job *job = data;
	job->solution = solve_job(job->job, job->arena);
	if (!job->solution->converged)
		return;
	check_job(job->job, job->solution, job->arena, &job->findings);
	advise_job(job->job, job->solution, job->arena, &job->findings);
	assumptions_of(job->job, job->solution, job->arena, &job->assumptions);
	job->result = (struct check_result){
		.job = job->job,
		.solution = job->solution,
		.findings = &job->findings,
		.assumptions = &job->assumptions,
		.verdict = findings_verdict(&job->findings),
	};
	job->checked = true;
}

/* Should not happen to a job that was read without mistakes; never passed over in silence. */
static void not_solved(void *data)
{
	struct farend_job *job = data;
	diags_add(&job->diags, &(struct diag){
		.level = DIAG_ERROR,
		.kind = "not-solved",
		.message = arena_printf(job->arena, "no balance of currents was found in %d steps",
		                        job->solution->iterations),
	});
}

enum farend_status farend_check(struct farend_job *job)
{
	if (job->job == NULL)
		return FAREND_WRONG_CALL;
	if (job->checked)
		return FAREND_OK;
	job->findings = (struct findings){ 0 };
	job->assumptions = (struct assumptions){ 0 };
	if (!api_call(job->arena, check_body, job))
		return FAREND_NO_MEMORY;
	if (!job->checked)
		return api_call(job->arena, not_solved, job) ? FAREND_SYSTEM : FAREND_NO_MEMORY;
	return FAREND_OK;
}

enum farend_verdict api_verdict(enum verdict verdict)
{
	static const enum farend_verdict verdicts[] = {
		[VERDICT_OK] = FAREND_VERDICT_OK,
		[VERDICT_CAUTION] = FAREND_VERDICT_CAUTION,
		[VERDICT_FAIL] = FAREND_VERDICT_FAIL,
	};
	return verdicts[verdict];
}

enum farend_verdict farend_verdict(const struct farend_job *job)
{
	return job->checked ? api_verdict(job->result.verdict) : FAREND_VERDICT_FAIL;
}
