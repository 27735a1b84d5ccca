/* Where results and messages go. Results: standard output, or -o FILE. Everything else: standard
 * error. */
#ifndef FAREND_CLI_OUTPUT_H
#define FAREND_CLI_OUTPUT_H

#include "cli/commands.h"
#include "farend.h"

/* Gives standard streams that are closed something to stand on, so that no file opened later takes
 * their numbers; writing to them still fails. */
void output_prepare(void);

/* Writes the whole result. `status` when that worked, else STATUS_SYSTEM with the reason on
 * standard error (a reader that went away is no news to anybody). Call once: it closes standard
 * output. */
enum status output_result(const struct invocation *in, const char *bytes, size_t size,
                          enum status status);

/* "farend: MESSAGE", safe for a terminal. */
void output_error(struct arena *arena, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* As it is, for texts that are already safe. */
void output_notes(const char *bytes, size_t size);

/* How to render for the result, and for standard error. */
struct farend_style output_style(const struct invocation *in);
struct farend_style output_error_style(const struct invocation *in);

enum status output_no_memory(void);

#endif
