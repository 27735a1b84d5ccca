/* HTML that stands on its own: one file, no script, nothing loaded from outside. Foreign text is
 * escaped here and nowhere else; the stylesheet is here too, with its colours as variables that
 * drawings share (--ink --soft --line --paper --shade --accent --good --warn --bad). */
#ifndef FAREND_REPORT_HTML_H
#define FAREND_REPORT_HTML_H

#include "base/buf.h"
#include "model/job.h"

/* Adds text, in an element or in a quoted attribute, of HTML or of SVG as XML: & < > " ' as
 * references; what text_add_safe() replaces, and code points that XML or HTML forbid, as U+FFFD.
 * NULL adds nothing. */
void html_add(struct buf *out, const char *text);

/* An element around escaped text; `tag` may carry attributes: html_element(out, "p class=\"note\"", …) */
void html_element(struct buf *out, const char *tag, const char *text);

/* From the doctype to the open <main>: the head with the style, and a header that says whose job this
 * is. `what` is the kind of page: "Wiring schedule". In print every page carries the job's name,
 * revision, date and initials and its number, where the browser knows margin boxes. */
void html_open(struct buf *out, const struct job *job, const char *what);
/* From </main> on. */
void html_close(struct buf *out);

/* <section> with a heading (<h2>); `id` is the program's own and makes it a target. */
void html_section_open(struct buf *out, const char *id, const char *heading);
void html_section_close(struct buf *out);

/* The cautions, as a section: with which everything ends that a person reads. */
void html_cautions(struct buf *out);

/* A table with caption and headed rows and columns. On a narrow screen each row becomes a block of
 * "heading: value" lines, so that nothing scrolls sideways. */
struct html_column {
	const char *head;
	bool number;                 /* to the right, never folded */
	bool blank;                  /* to be written in: drawn as a field even when empty */
};

struct html_table {
	struct buf *out;
	const struct html_column *columns;
	size_t count;
	size_t at;                   /* column of the next cell */
};

/* Wide tables (more than seven columns) become blocks sooner. */
void html_table_open(struct html_table *table, struct buf *out, const char *caption,
                     const struct html_column *columns, size_t count);
/* A heading across the table, for the rows that follow. */
void html_table_group(struct html_table *table, const char *heading);
/* The next cell, from left to right and row by row; the first of a row is its heading. The text is
 * escaped; newlines in it become line breaks; NULL is empty. */
void html_cell(struct html_table *table, const char *text);
void html_table_close(struct html_table *table);

#endif
