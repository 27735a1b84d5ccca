/* Help texts, made from the tables of commands and options. */
#ifndef FAREND_CLI_HELP_H
#define FAREND_CLI_HELP_H

#include "base/buf.h"
#include "cli/commands.h"

/* `command` NULL: all of them. */
void help_text(struct buf *out, const struct command *command);

/* For whoever typed nothing: what it is, the commands, one example. */
void help_short(struct buf *out);

#endif
