/* The tables of the schedule, the same on paper of either kind: columns, cells, groups of rows. A table
 * is one row of sheets.c, a column one row of its columns. */
#ifndef FAREND_REPORT_SHEET_H
#define FAREND_REPORT_SHEET_H

#include "report/html.h"
#include "report/page.h"
#include "report/schedule.h"

enum sheet_id {
	SHEET_CABLES,
	SHEET_STRIPS,
	SHEET_SWITCHES,
	SHEET_PORTS,
	SHEET_DRIVERS,
	SHEET_READINGS,              /* of the first power-up, switch by switch */
	SHEET_PARTS,
	SHEET__END
};

enum sheet_cell {
	CELL_TEXT,
	CELL_NUMBER,
	CELL_MARK,                   /* a length: the unit is put behind its head, and it is a number then */
	CELL_READING,                /* to be written in */
	CELL_TICK
};

struct sheet_column {
	const char *head;
	enum sheet_cell cell;
};

#define SHEET_COLUMNS 12         /* at most */

struct sheet {
	struct arena *arena;
	const char *id, *heading, *caption;
	const struct sheet_column *columns;
	size_t column_count;
	const char **cells;          /* of CELL_TEXT and CELL_NUMBER, row by row; others are NULL */
	size_t cell_count, cell_capacity;
	const char **groups;         /* per row: heading that starts with it, or NULL */
	size_t group_count, group_capacity;
};

/* A table without rows has none to show. */
void sheet_fill(struct sheet *sheet, enum sheet_id id, const struct schedule *schedule,
                struct arena *arena);

static inline size_t sheet_rows(const struct sheet *sheet)
{
	return sheet->column_count > 0 ? sheet->cell_count / sheet->column_count : 0;
}

/* Caption, groups and rows, without the heading. */
void sheet_text(const struct sheet *sheet, const struct page *page);
void sheet_html(const struct sheet *sheet, struct buf *out);

/* First power-up, step by step, and what the electrician fills in and signs. NULL-ended. */
extern const char *const power_up_steps[];
extern const char *const mains_lines[];
/* "D1 takes 49.2 W: 0.21 to 0.49 A at 100 to 240 V; inrush 25 A" */
const char *mains_text(struct arena *arena, const struct schedule *schedule, size_t driver);

#endif
