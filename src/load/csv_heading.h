/* What the first row of a table says: which columns there are, in any order, and in which unit bare
 * numbers of a column are: "length (mm)". */
#ifndef FAREND_LOAD_CSV_HEADING_H
#define FAREND_LOAD_CSV_HEADING_H

#include "load/csv_table.h"
#include "load/form.h"

/* A kind of table. */
struct csv_kind {
	struct attribute_table columns;
	const char *word;            /* "a list of offcuts" */
	const char *names;           /* "strip_type, length, id or note" */
	const char *example;         /* of a first row: "strip_type,length,note" */
};

struct csv_heading {
	const struct attribute *column;          /* NULL: to be passed over */
	const char *unit;            /* of bare numbers, or NULL */
};

struct csv_headings {
	const struct csv_kind *kind;
	const struct csv_row *row;
	struct csv_heading *items;   /* size row->count */
	bool wrong;                  /* a mistake was reported: what is missing may be there, misspelt */
};

/* Every mistake in the row is reported. False when a needed column is not there or cannot be read. */
bool csv_headings_read(struct decoder *d, struct arena *nodes, const struct csv_kind *kind,
                       const struct csv_row *row, struct csv_headings *out);

/* Whether a column is there. */
bool csv_has_column(const struct csv_headings *headings, const char *key);

/* Cell `i` of a row of a known column, with the heading's unit behind a bare number. NULL where it is
 * blank or passed over; a cell without a heading is reported. */
const struct node *csv_cell(struct decoder *d, struct arena *nodes,
                            const struct csv_headings *headings, const struct csv_row *row, size_t i);

#endif
