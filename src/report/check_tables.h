/* The tables of `check` for people. */
#ifndef FAREND_REPORT_CHECK_TABLES_H
#define FAREND_REPORT_CHECK_TABLES_H

#include "report/page.h"

/* One table for each kind that the job has, with its heading. */
void check_tables(const struct page *page, const struct check_result *result);

#endif
