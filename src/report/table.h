/* A plain table that fits the page: columns as wide as their cells; where that is too wide, the
 * columns that may give are narrowed and their cells folded. Nothing is cut off. */
#ifndef FAREND_REPORT_TABLE_H
#define FAREND_REPORT_TABLE_H

#include "report/page.h"

enum align { ALIGN_LEFT, ALIGN_RIGHT };

struct table_column {
	const char *head;            /* folded at blanks to the width of the cells */
	enum align align;
	bool gives;                  /* text: may be folded */
	bool optional;               /* left out when every cell is empty */
};

#define TABLE_COLUMNS 12         /* at most */

struct table {
	struct arena *arena;
	const struct table_column *columns;
	size_t column_count;
	const char **cells;          /* row by row */
	size_t cell_count, cell_capacity;
};

void table_init(struct table *table, struct arena *arena, const struct table_column *columns,
                size_t count);

/* The next cell, from left to right and row by row. The text is kept by pointer; NULL is empty. */
void table_add(struct table *table, const char *text);

void table_print(const struct table *table, const struct page *page);

#endif
