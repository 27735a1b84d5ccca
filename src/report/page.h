/* A page of text for people: headings, folded paragraphs, emphasis. What comes from a file is made
 * safe for a terminal on the way in; no line is wider than the page, whatever a name is like. */
#ifndef FAREND_REPORT_PAGE_H
#define FAREND_REPORT_PAGE_H

#include "report/report.h"

struct page {
	struct buf *out;
	struct arena *arena;
	struct style style;
	enum length_system lengths;  /* that lengths are shown in; a job's own with page_about() */
};

enum emphasis { PLAIN, STRONG, GOOD, WARNING, BAD, EMPHASIS__END };

struct page page_on(struct buf *out, const struct style *style);
struct page page_about(const struct job *job, struct buf *out, const struct style *style);

/* The text as one line, with everything a terminal could act on replaced; in the page's arena. */
const char *page_safe(const struct page *page, const char *text);

void page_add(const struct page *page, enum emphasis emphasis, const char *text);

/* `text`, safe and folded: the first line goes on at `column`, the others start at `indent`. Ends
 * the last line. */
void page_paragraph(const struct page *page, const char *text, size_t column, size_t indent);

/* A cell of a table on lines of `width`, the last without its end. */
void page_fold_cell(const struct page *page, struct buf *out, const char *text, size_t width);

/* An empty line, the heading, an empty line. */
void page_heading(const struct page *page, const char *text);

/* The cautions, with which everything ends that a person reads. */
void page_cautions(const struct page *page);

#endif
