/* Farend's answer to a job, by the public interface, as JSON read back. */
#ifndef FAREND_TESTS_ORACLE_ANSWER_H
#define FAREND_TESTS_ORACLE_ANSWER_H

#include "oracle/plan.h"

#include <jansson.h>

/* Reads and checks the job and renders its JSON. Fails the test with the diagnostics where it is
 * not taken. To be given back with json_decref(). */
json_t *answer_to_text(const char *name, const char *text, size_t size);

/* The same for a plan, written in the order that `shuffle` says. */
json_t *answer_to_plan(const struct plan *plan, uint64_t shuffle);

/* A number of item `letter``index + 1`: answer_number(a, "cables", 'C', 2, "current_a") is that of
 * C3. NAN for null; a missing key fails the test. */
double answer_number(const json_t *answer, const char *group, char letter, size_t index,
                     const char *key);

/* The same by id. */
double answer_by_id(const json_t *answer, const char *group, const char *id, const char *key);

#endif
