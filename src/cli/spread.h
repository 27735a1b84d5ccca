/* --tolerance, --samples and --seed. */
#ifndef FAREND_CLI_SPREAD_H
#define FAREND_CLI_SPREAD_H

#include "cli/commands.h"
#include "farend.h"

/* What is wrong with these options, or NULL. */
const char *spread_wrong(const struct invocation *in);

/* Adds the spread to a checked job, where it is asked for. */
enum farend_status spread_make(const struct invocation *in, struct farend_job *job);

#endif
