/* Cells of every CSV that is written: RFC 4180 quoting, no text that a spreadsheet would run or a terminal
 * obey, and UTF-8 whatever a file's name is. */
#ifndef FAREND_REPORT_CSV_CELLS_H
#define FAREND_REPORT_CSV_CELLS_H

#include "report/report.h"

/* The first cell of a row, where that is not a word of the program's own. */
void csv_first(struct buf *out, const char *text);
/* A comma and the cell behind it. NULL is empty. */
void csv_text(struct buf *out, const char *text);
/* "%.12g"; empty unless finite. */
void csv_number(struct buf *out, double number);
/* Ids with blanks between them. */
void csv_items(struct buf *out, const struct job *job, const struct item_ref *items, size_t count);

#endif
