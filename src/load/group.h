/* Groups of types and of items. */
#ifndef FAREND_LOAD_GROUP_H
#define FAREND_LOAD_GROUP_H

#include "load/loader.h"

/* The types of one group of the file. `group` may be NULL. */
void group_read_types(struct loader *l, enum kind kind, const struct node *group);

/* Adds one type; a name that this kind has already is reported. */
void group_add_type(struct loader *l, enum kind kind, const struct node *id, const struct node *map,
                    enum origin origin);

/* The items of one group. `group` may be NULL. */
void group_read_items(struct loader *l, enum kind kind, const struct node *group);

/* Gives every item what its type says, and reports what is missing then. */
void group_complete_items(struct loader *l, enum kind kind);

#endif
