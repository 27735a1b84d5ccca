/* "S1=off, S2=on": which switches are on. */
#ifndef FAREND_LOAD_SWITCH_STATE_H
#define FAREND_LOAD_SWITCH_STATE_H

#include "load/mistake.h"
#include "load/tree.h"
#include "model/as_built.h"

/* Every switch on. */
struct switch_state switch_state_all_on(struct arena *arena, const struct job *job);

/* False when a mistake was reported, inside the scalar `text`. The state lives in `arena`. */
bool switch_state_read(struct mistakes *m, struct arena *arena, const struct job *job,
                       const struct node *text, struct switch_state *out);

#endif
