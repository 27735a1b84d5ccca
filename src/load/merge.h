/* YAML's merge key: "<<: *warm" takes over what another mapping says. */
#ifndef FAREND_LOAD_MERGE_H
#define FAREND_LOAD_MERGE_H

#include "load/mistake.h"
#include "load/tree.h"

/* Replaces the "<<" entries of a mapping by those of the mappings they name. What the mapping says
 * itself comes first; of several merged ones the earlier wins. */
void merge_entries(struct arena *nodes, struct node *map, struct mistakes *m);

#endif
