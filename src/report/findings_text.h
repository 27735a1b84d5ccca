/* Findings for people. */
#ifndef FAREND_REPORT_FINDINGS_TEXT_H
#define FAREND_REPORT_FINDINGS_TEXT_H

#include "report/page.h"

/* Numbered, each with what to do about it; then how to ask for more. */
void page_findings(const struct page *page, const struct job *job, const struct findings *findings);

#endif
