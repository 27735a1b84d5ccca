/* Running the checks in tests, and asking for one finding. */
#ifndef FAREND_TESTS_CHECK_SUPPORT_H
#define FAREND_TESTS_CHECK_SUPPORT_H

#include "tests/support.h"

#include "check/check.h"
#include "tests/job_builder.h"

static inline struct findings judge(const struct job *job, const struct solution *solution)
{
	struct findings findings;
	check_job(job, solution, job->arena, &findings);
	return findings;
}

static inline size_t count_of(const struct findings *findings, const char *check)
{
	size_t count = 0;
	for (size_t i = 0; i < findings->count; i++)
		count += strcmp(findings->items[i].check->name, check) == 0;
	return count;
}

/* The one finding of that check; the test fails where there is none, or more than one. */
static inline const struct finding *the(const struct findings *findings, const char *check)
{
	const struct finding *found = NULL;
	for (size_t i = 0; i < findings->count; i++)
		if (strcmp(findings->items[i].check->name, check) == 0)
			found = &findings->items[i];
	if (count_of(findings, check) != 1)
		fail_msg("%zu findings of %s, expected one", count_of(findings, check), check);
	return found;
}

#define NONE (-1)

/* The severity of the one finding of that check, or NONE. Its texts are there. */
static inline int severity_of(const struct job *job, const struct solution *solution,
                              const char *check)
{
	struct findings findings = judge(job, solution);
	if (count_of(&findings, check) == 0)
		return NONE;
	const struct finding *f = the(&findings, check);
	assert_true(f->message[0] != '\0' && f->todo[0] != '\0' && f->source[0] != '\0');
	assert_true(f->item_count >= 1 && f->items[0].kind == f->item.kind);
	assert_true(f->items[0].index == f->item.index);
	return (int)f->severity;
}

static inline bool concerns(const struct finding *finding, enum kind kind, size_t index)
{
	for (size_t i = 0; i < finding->item_count; i++)
		if (finding->items[i].kind == kind && finding->items[i].index == index)
			return true;
	return false;
}

#define assert_about(finding, kind_, index_) do { \
	assert_int_equal((finding)->item.kind, (kind_)); \
	assert_int_equal((finding)->item.index, (index_)); \
} while (0)

#endif
