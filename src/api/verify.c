/* farend_verify(): plan and built in every operating case, whatever state the readings were taken in. */
#include "api/job.h"

#include "api/call.h"

#include <math.h>

struct verifying {
	struct farend_job *job;
	struct meter meter;
};

/* What was built, with the stated switches in place of "every switch on" where a reading names none. */
static const struct as_built *in_state(const struct farend_job *job)
{
	struct as_built *built = arena_one(job->arena, struct as_built);
	*built = *job->built;
	if (job->state.on == NULL)
		return built;
	built->states = arena_array(job->arena, struct switch_state, built->state_count);
	for (size_t i = 0; i < built->state_count; i++)
		built->states[i] = i == 0 ? job->state : job->built->states[i];
	return built;
}

static void verify_body(void *data)
{
	struct verifying *verifying = data;
	struct farend_job *job = verifying->job;
	struct judged plan, built = { job->job, job->solution, &job->findings };
	if (!api_judge(job, job->planned, &plan))
		return;
	if (job->state.on != NULL && !api_judge(job, job->job, &built))
		return;
	verify_job(&plan, &built, in_state(job), &verifying->meter, job->arena, &job->verification);
	job->verified = true;
}

struct farend_meter farend_usual_meter(void)
{
	return (struct farend_meter){ usual_meter.gain, usual_meter.digit_v, usual_meter.digit_a };
}

static bool can_be(const struct farend_meter *meter)
{
	return meter->gain >= 0 && meter->gain < 1 && meter->digit_v > 0 && isfinite(meter->digit_v) &&
	       meter->digit_a > 0 && isfinite(meter->digit_a);
}

enum farend_status farend_verify(struct farend_job *job, const struct farend_meter *meter)
{
	struct verifying verifying = { .job = job, .meter = usual_meter };
	job->verified = false;
	if (!job->checked || job->planned == NULL || (meter != NULL && !can_be(meter)))
		return FAREND_WRONG_CALL;
	if (meter != NULL)
		verifying.meter = (struct meter){ meter->gain, meter->digit_v, meter->digit_a };
	if (!api_call(job->arena, verify_body, &verifying))
		return FAREND_NO_MEMORY;
	return job->verified ? FAREND_OK : FAREND_SYSTEM;
}

enum farend_verdict farend_verify_verdict(const struct farend_job *job)
{
	return job->verified ? api_verdict(job->verification.verdict) : FAREND_VERDICT_FAIL;
}
