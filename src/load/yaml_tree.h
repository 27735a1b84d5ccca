/* YAML to a tree. The only user of libyaml. */
#ifndef FAREND_LOAD_YAML_TREE_H
#define FAREND_LOAD_YAML_TREE_H

#include "load/mistake.h"
#include "load/tree.h"

#define YAML_MOST_EXPANDED 1000000      /* nodes that aliases may stand for, all together */

/* A whole file (cell NULL), or the text of one cell of a table. */
struct yaml_text {
	const struct source *source;
	const char *bytes;
	size_t size;
	const struct node *cell;
};

/* The document's root. NULL when a mistake was reported that ends the reading; some mistakes leave
 * NODE_BROKEN in the tree instead. Texts live in `arena`, nodes in `nodes`. */
struct node *yaml_tree_read(struct arena *arena, struct arena *nodes, const struct yaml_text *text,
                            struct mistakes *m);

#endif
