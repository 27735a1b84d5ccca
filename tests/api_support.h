/* Jobs for the tests of the public calls. */
#ifndef FAREND_TESTS_API_SUPPORT_H
#define FAREND_TESTS_API_SUPPORT_H

#include "farend.h"

#include "support.h"

#define DEMO_JOB "fixtures/jobs/boot-room-clips.yaml"
#define DEMO_BUILT "fixtures/built/boot-room.csv"

#define WRONG_JOB \
	"strips:\n" \
	"  L1: {voltage: 24 V, power: 9.6 W/m, cut_lenght: 50 mm, length: 1 m}\n"

static inline struct farend_job *read_ok(const char *bytes, size_t size)
{
	struct farend_job *job;
	assert_int_equal(farend_read_text("job.yaml", bytes, size, &job), FAREND_OK);
	return job;
}

static inline struct farend_job *read_starter(void)
{
	struct farend_text starter = farend_starter();
	return read_ok(starter.bytes, starter.size);
}

#endif
