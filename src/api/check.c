/* farend_check(), in all operating cases or in one state of the switches, and its verdict. */
#include "api/job.h"

#include "api/call.h"

/* Should not happen to a job that was read without mistakes; never passed over in silence. */
void api_not_solved(struct farend_job *job, const struct solution *solution)
{
	diags_add(&job->diags, &(struct diag){
		.level = DIAG_ERROR,
		.kind = "not-solved",
		.message = arena_printf(job->arena, "no balance of currents was found in %d steps",
		                        solution->iterations),
	});
}

bool api_judge(struct farend_job *job, const struct job *which, struct judged *out)
{
	struct findings *findings = arena_one(job->arena, struct findings);
	const struct solution *solution = solve_job(which, job->arena);
	*out = (struct judged){ which, solution, findings };
	if (!solution->converged) {
		api_not_solved(job, solution);
		return false;
	}
	check_job(which, solution, job->arena, findings);
	advise_job(which, solution, job->arena, findings);
	return true;
}

/* Advice is tried out with every switch on, so that it says nothing of one state. */
static void check_body(void *data)
{
	struct farend_job *job = data;
	bool every_case = job->state.on == NULL;
	job->solution = every_case ? solve_job(job->job, job->arena)
	                           : solve_job_in_state(job->job, job->state.on, job->arena);
	if (!job->solution->converged) {
		api_not_solved(job, job->solution);
		return;
	}
	check_job(job->job, job->solution, job->arena, &job->findings);
	if (every_case)
		advise_job(job->job, job->solution, job->arena, &job->findings);
	else
		findings_sort(&job->findings);
	assumptions_of(job->job, job->solution, job->arena, &job->assumptions);
	job->result = (struct check_result){
		.job = job->job,
		.solution = job->solution,
		.findings = &job->findings,
		.assumptions = &job->assumptions,
		.as_built = job->built != NULL ? job->built->file : NULL,
		.switches = every_case ? NULL : job->state.text,
		.verdict = findings_verdict(&job->findings),
	};
	job->checked = true;
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
	return job->checked ? FAREND_OK : FAREND_SYSTEM;
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
