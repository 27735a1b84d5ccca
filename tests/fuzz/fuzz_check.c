/* Any bytes as a job file, from reading to all three renderings: never a crash, a leak, or an answer that
 * does not balance. Built with libFuzzer by `make fuzz`; the seeds are the fixtures. */
#include "farend.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct farend_job *job;
	struct farend_text text;
	if (farend_read_text("fuzz.yaml", (const char *)data, size, &job) == FAREND_OK) {
		if (farend_check(job) != FAREND_OK)
			abort();
		for (int format = FAREND_TEXT; format <= FAREND_CSV; format++)
			if (farend_render(job, FAREND_CHECK, (enum farend_format)format, NULL, &text) != FAREND_OK)
				abort();
	} else if (farend_diagnostics(job, NULL, &text) != FAREND_OK || text.size == 0) {
		abort();
	}
	farend_free(job);
	return 0;
}
