/* How far a long call has come: one line of standard error, rewritten, where that is a terminal and more than
 * a second has passed; nothing anywhere else. */
#ifndef FAREND_CLI_PROGRESS_H
#define FAREND_CLI_PROGRESS_H

#include "base/arena.h"

struct progress {
	bool terminal, shown;
	double next;                 /* when the line may be written again, s */
	size_t total;
};

/* `total` steps are to come. */
void progress_begin(struct progress *progress, size_t total);

/* Before step `done` + 1, which is about `what`. Costs nothing to call often. */
void progress_step(struct progress *progress, size_t done, const char *what);

/* Takes the line away: before anything else is written to the terminal, and at the end. */
void progress_clear(struct progress *progress);

#endif
