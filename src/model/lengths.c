/* Which units a job is shown in: its own. Someone who measures in inches cuts by inches. */
#include "model/job.h"

struct count { size_t inch, metric; };

enum length_system attr_lengths(const struct attr *length)
{
	return attr_said(length) && length->text != NULL ? quantity_length_system(length->text) : LENGTHS_METRIC;
}

static void count_in(struct count *count, const struct attr *length)
{
	if (!attr_said(length) || length->text == NULL)
		return;
	if (attr_lengths(length) == LENGTHS_INCH)
		count->inch++;
	else
		count->metric++;
}

enum length_system job_lengths(const struct job *job)
{
	struct count count = { 0, 0 };
	for (size_t i = 0; i < job->strip_count; i++) {
		count_in(&count, &job->strips[i].length);
		count_in(&count, &job->strips[i].channel);
	}
	for (size_t i = 0; i < job->cable_count; i++)
		count_in(&count, &job->cables[i].length);
	return count.inch > count.metric ? LENGTHS_INCH : LENGTHS_METRIC;
}
