/* A table of comma-separated values (RFC 4180) in which every cell knows its place. The only
 * user of libcsv. */
#ifndef FAREND_LOAD_CSV_TABLE_H
#define FAREND_LOAD_CSV_TABLE_H

#include "load/mistake.h"
#include "load/tree.h"

struct csv_row {
	struct node **cells;         /* scalars; blank ones have an empty text */
	size_t count;
	struct place at;             /* of the first cell */
};

struct csv_table {
	struct csv_row *rows;        /* rows without any text are left out */
	size_t count;
	char separator;              /* a comma or a semicolon */
};

/* Separated by commas, or by semicolons where the first line has no comma. False when a mistake was
 * reported; a table without any text is one. Texts live in `arena`, the rest in `nodes`. */
bool csv_table_read(struct arena *arena, struct arena *nodes, const struct source *source,
                    struct mistakes *m, struct csv_table *out);

static inline bool csv_is_blank(const struct node *cell)
{
	return cell->text[0] == '\0';
}

#endif
