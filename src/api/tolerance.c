/* farend_tolerance() */
#include "api/job.h"

#include "api/call.h"

#include <assert.h>

struct spreading {
	struct farend_job *job;
	const struct farend_tolerance *how;
	bool solved;
};

static void spread_body(void *data)
{
	struct spreading *s = data;
	const struct farend_tolerance *how = s->how;
	struct tolerance_plan plan = { .samples = how->samples, .seed = how->seed, .bands = true,
	                               .progress = how->progress, .progress_data = how->progress_data };
	s->solved = tolerance_of(s->job->job, s->job->solution, &plan, s->job->arena, &s->job->tolerance);
	if (s->solved)
		s->job->result.tolerance = &s->job->tolerance;
	else
		api_not_solved(s->job, s->job->solution);
}

static_assert(FAREND_SAMPLES_USUAL == TOLERANCE_SAMPLES && FAREND_SAMPLES_MOST == TOLERANCE_SAMPLES_MOST,
              "said in farend.h too");

enum farend_status farend_tolerance(struct farend_job *job, const struct farend_tolerance *how)
{
	struct spreading s = { .job = job, .how = how };
	if (!api_checked(job) || how->samples > FAREND_SAMPLES_MOST)
		return FAREND_WRONG_CALL;
	job->result.tolerance = NULL;
	if (!api_call(job->arena, spread_body, &s))
		return FAREND_NO_MEMORY;
	return s.solved ? FAREND_OK : FAREND_SYSTEM;
}
