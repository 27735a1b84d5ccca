/* The top level of a job file. */
#ifndef FAREND_LOAD_DOCUMENT_H
#define FAREND_LOAD_DOCUMENT_H

#include "load/mistake.h"
#include "load/tree.h"
#include "model/attribute.h"

/* Mappings, or NULL where the file has none. `catalogue` is any node. */
struct document {
	const struct node *job, *limits, *catalogue;
	const struct node *groups[KIND__END], *types[KIND__END];
	bool guessed;                /* some group could not be read */
};

struct document document_split(struct arena *nodes, const struct node *root, struct mistakes *m);

#endif
