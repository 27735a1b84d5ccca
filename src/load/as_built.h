/* The AS-BUILT table (docs/as-built.md), in two steps: lengths go into items before anything is
 * derived from them, readings are taken at terminals once these are numbered. */
#ifndef FAREND_LOAD_AS_BUILT_H
#define FAREND_LOAD_AS_BUILT_H

#include "load/csv_heading.h"
#include "load/link.h"
#include "model/as_built.h"

enum built_column {
	BUILT_ITEM, BUILT_LENGTH, BUILT_VOLTS, BUILT_AMPS, BUILT_NOTE, BUILT_SWITCHES, BUILT__END
};

/* The rows of the table by their keys, and with the limits of readings. */
extern const struct attribute_table built_columns;

struct built_row {
	const struct node *cells[BUILT__END];    /* NULL: blank */
	struct attr item;            /* the text of its cell, and where it is */
	struct link_end end;
	bool known;                  /* `end` names an item */
};

struct built_table {
	struct as_built *built;
	const struct source *source;
	struct built_row *rows;
	size_t row_count;
	bool named;                  /* the items of the job are known by name */
};

/* Reads the file and lays its lengths over the items of l->job. `taken`: standard input was read for the
 * job. Everything wrong is reported to l->mistakes. */
struct built_table *as_built_read(struct loader *l, const char *path, bool taken, bool named);

/* What was found, with the readings, whose terminals are of l->job. */
struct as_built *as_built_readings(struct loader *l, struct built_table *table);

#endif
