/* Names of terminals to terminals. */
#ifndef FAREND_LOAD_LINK_H
#define FAREND_LOAD_LINK_H

#include "load/loader.h"

/* Resolves `from` and `to` of every cable; terminals must be numbered. Names are looked up even for
 * items that are wrong otherwise; only the marks of a broken strip are left alone. */
void link_cables(struct loader *l);

#endif
