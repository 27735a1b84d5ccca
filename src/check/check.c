/* Running the table of checks over a solved job. */
#include "check/check.h"

#include <string.h>

const struct check *check_find(const char *name)
{
	for (size_t i = 0; i < check_count; i++)
		if (strcmp(checks[i].name, name) == 0)
			return &checks[i];
	return NULL;
}

void check_job(const struct job *job, const struct solution *solution, struct arena *arena,
               struct findings *out)
{
	struct check_input in = { .job = job, .solution = solution };

	*out = (struct findings){ .arena = arena, .lengths = job_lengths(job) };
	for (size_t i = 0; i < check_count; i++)
		if (checks[i].run)
			checks[i].run(&checks[i], &in, out);
	for (size_t i = 0; i < out->count; i++) {
		struct finding *finding = &out->items[i];
		if (!finding->place.source)
			finding->place = job_item(job, finding->item.kind, finding->item.index)->at;
	}
	findings_sort(out);
}
