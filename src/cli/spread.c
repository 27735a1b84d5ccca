/* The spread of builds, by its options. */
#include "cli/spread.h"

#include "cli/progress.h"

#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define USUAL_SEED 1

/* A whole number from `least` to `most`; false for anything else. Not given: `usual`. */
static bool whole_number(const struct invocation *in, enum option_id option, unsigned long long least,
                         unsigned long long most, unsigned long long usual, unsigned long long *out)
{
	const char *text = in->line.value[option];
	*out = usual;
	if (text == NULL)
		return true;
	if (text[0] == '\0' || text[strspn(text, "0123456789")] != '\0')
		return false;
	errno = 0;
	*out = strtoull(text, NULL, 10);
	return errno == 0 && *out >= least && *out <= most;
}

static bool read_numbers(const struct invocation *in, struct farend_tolerance *how, const char **wrong)
{
	unsigned long long samples, seed;
	*wrong = NULL;
	if (!whole_number(in, OPTION_SAMPLES, 2, FAREND_SAMPLES_MOST, FAREND_SAMPLES_USUAL, &samples))
		*wrong = arena_printf(in->arena, "--samples takes a whole number from 2 to %d, not '%s'",
		                      FAREND_SAMPLES_MOST, in->line.value[OPTION_SAMPLES]);
	else if (!whole_number(in, OPTION_SEED, 0, UINT32_MAX, USUAL_SEED, &seed))
		*wrong = arena_printf(in->arena, "--seed takes a whole number from 0 to %lu, not '%s'",
		                      (unsigned long)UINT32_MAX, in->line.value[OPTION_SEED]);
	else
		*how = (struct farend_tolerance){ .samples = (size_t)samples, .seed = seed };
	return *wrong == NULL;
}

const char *spread_wrong(const struct invocation *in)
{
	struct farend_tolerance how;
	const char *wrong;
	bool asked = in->line.value[OPTION_TOLERANCE] != NULL;
	if (!asked && in->line.value[OPTION_SAMPLES] != NULL)
		return "--samples goes with --tolerance";
	if (!asked && in->line.value[OPTION_SEED] != NULL)
		return "--seed goes with --tolerance";
	if (asked && in->line.value[OPTION_SWITCHES] != NULL)
		return "--tolerance looks at every case of the switches: leave out --switches";
	return read_numbers(in, &how, &wrong) ? NULL : wrong;
}

static void show_progress(void *data, double share)
{
	struct progress *progress = data;
	size_t done = (size_t)(share * (double)progress->total);
	if (done < progress->total)
		progress_step(progress, done, "builds solved");
}

enum farend_status spread_make(const struct invocation *in, struct farend_job *job)
{
	struct farend_tolerance how = { .samples = 0 };
	const char *wrong;
	if (in->line.value[OPTION_TOLERANCE] == NULL || !read_numbers(in, &how, &wrong))
		return FAREND_OK;
	struct progress progress;
	progress_begin(&progress, how.samples);
	how.progress = show_progress;
	how.progress_data = &progress;
	enum farend_status status = farend_tolerance(job, &how);
	progress_clear(&progress);
	return status;
}
