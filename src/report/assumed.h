/* What was assumed, for people. */
#ifndef FAREND_REPORT_ASSUMED_H
#define FAREND_REPORT_ASSUMED_H

#include "report/page.h"

/* A heading and an entry for each; nothing at all where nothing was assumed. */
void page_assumptions(const struct page *page, const struct job *job,
                      const struct assumptions *assumptions);

#endif
