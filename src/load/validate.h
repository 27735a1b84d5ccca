/* What cannot be true at once, though each value by itself is fine. */
#ifndef FAREND_LOAD_VALIDATE_H
#define FAREND_LOAD_VALIDATE_H

#include "load/loader.h"

/* Values that need another one with them, and pairs of values: before defaults are filled in. An
 * item with such a mistake is broken from then on. */
void validate_said(struct loader *l);

/* What shows only once defaults are filled in and sound items are derived. */
void validate_derived(struct loader *l);

#endif
