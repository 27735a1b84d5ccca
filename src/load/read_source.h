/* A file, or a text that the caller has, as a source. */
#ifndef FAREND_LOAD_READ_SOURCE_H
#define FAREND_LOAD_READ_SOURCE_H

#include "load/load.h"
#include "load/mistake.h"

/* NULL when it could not be read, which was reported; *system_failed is set when that is the system's
 * fault. The source lives in `arena`; `nodes` is for the time of reading. */
const struct source *read_source(struct arena *arena, struct arena *nodes, const struct load_text *text,
                                 struct mistakes *m, bool *system_failed);

#endif
