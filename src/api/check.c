/* farend_check() and farend_render(). */
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

enum farend_verdict farend_verdict(const struct farend_job *job)
{
	static const enum farend_verdict verdicts[] = {
		[VERDICT_OK] = FAREND_VERDICT_OK,
		[VERDICT_CAUTION] = FAREND_VERDICT_CAUTION,
		[VERDICT_FAIL] = FAREND_VERDICT_FAIL,
	};
	return job->checked ? verdicts[job->result.verdict] : FAREND_VERDICT_FAIL;
}

typedef void render_check(struct buf *out, const struct check_result *result,
                          const struct style *style);

/* The formats of `check`: one more is one more row. */
static render_check *const renderers[] = {
	[FAREND_TEXT] = check_text,
	[FAREND_JSON] = check_json,
	[FAREND_CSV] = check_csv,
};

struct rendering {
	struct farend_job *job;
	render_check *render;
	struct style style;
	struct buf out;
};

static void render_body(void *data)
{
	struct rendering *rendering = data;
	buf_init(&rendering->out, rendering->job->arena);
	rendering->render(&rendering->out, &rendering->job->result, &rendering->style);
}

enum farend_status farend_render(struct farend_job *job, enum farend_format format,
                                 const struct farend_style *style, struct farend_text *out)
{
	*out = (struct farend_text){ .bytes = "", .size = 0 };
	if (!job->checked || (size_t)format >= sizeof(renderers) / sizeof(renderers[0]))
		return FAREND_WRONG_CALL;
	struct rendering rendering = {
		.job = job, .render = renderers[format], .style = api_style(style),
	};
	if (!api_call(job->arena, render_body, &rendering))
		return FAREND_NO_MEMORY;
	*out = (struct farend_text){ .bytes = rendering.out.data, .size = rendering.out.length };
	return FAREND_OK;
}
