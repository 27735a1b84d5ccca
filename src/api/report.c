/* farend_report(): from a checked job to everything that its report shows. */
#include "api/job.h"

#include "api/call.h"

static void report_body(void *data)
{
	struct farend_job *job = data;
	proposed_light_find(&job->report.proposed, &job->result, job->arena);
	job->report.check = &job->result;
}

enum farend_status farend_report(struct farend_job *job, const char *offcuts, bool lists)
{
	job->report = (struct report_result){ 0 };
	if (!api_checked(job))
		return FAREND_WRONG_CALL;
	if (lists) {
		enum farend_status status = farend_order(job, offcuts, FAREND_SPARE_USUAL);
		if (status != FAREND_OK)
			return status;
		/* copies, for a later farend_order() */
		job->reported = job->ordered;
		job->reported_purchase = job->purchase;
		job->report.cut = (struct cut_result){ &job->result, &job->reported };
		job->report.order = (struct order_result){ &job->result, &job->reported_purchase };
	}
	return api_call(job->arena, report_body, job) ? FAREND_OK : FAREND_NO_MEMORY;
}
