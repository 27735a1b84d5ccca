/* What commands share that read a job, be it one or several. */
#ifndef FAREND_CLI_JOB_CALL_H
#define FAREND_CLI_JOB_CALL_H

#include "cli/commands.h"
#include "farend.h"

/* As --format says, else the command's usual one. */
enum farend_format job_format(const struct invocation *in);

enum status job_verdict_status(const struct invocation *in, enum farend_verdict verdict);

/* What was wrong with the input, on standard error, and the exit status for it. A wrong call is a value of
 * an option that does not fit the job. */
enum status job_complain(const struct invocation *in, struct farend_job *job,
                         enum farend_status status);

/* `check` of more than one job. */
enum status run_many(const struct invocation *in);

#endif
