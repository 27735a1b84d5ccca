/* What the steps of reading one job share. Private to this layer. */
#ifndef FAREND_LOAD_LOADER_H
#define FAREND_LOAD_LOADER_H

#include "load/field.h"
#include "model/job.h"

/* Beside each item and type, under the same index. */
struct record {
	uint64_t tried;              /* rows that the file tried to give; see struct fields */
	bool broken;                 /* of an item: a value is missing or wrong */
	enum origin origin;          /* of a type: what its values become in an item */
};

struct named {
	enum kind kind;
	size_t index;
};

struct loader {
	struct arena *arena;         /* the job's */
	struct arena *nodes;         /* trees and tables: gone after reading */
	struct mistakes mistakes;
	struct decoder decoder;
	struct job *job;
	struct record *items[KIND__END];
	struct record *types[KIND__END];
	size_t type_capacity[KIND__END], record_capacity[KIND__END];
	struct hash type_names[KIND__END];
	struct hash ids;             /* index in `named` */
	struct named *named;
	size_t named_count, named_capacity;
	bool system_failed;          /* an I/O error was reported */
};

static inline void *loader_type(const struct loader *l, enum kind kind, size_t index)
{
	return (char *)l->job->types[kind] + index * kind_size(kind);
}

/* The rows of a kind, decoding into `base`. */
struct fields loader_fields(enum kind kind, void *base, const char *id);

#endif
