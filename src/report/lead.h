/* How the lists that a job ends in begin: its name, and whether it is sound at all. */
#ifndef FAREND_REPORT_LEAD_H
#define FAREND_REPORT_LEAD_H

#include "report/page.h"

/* `act` is what should wait where the job does not check clean: "cut", "order". */
void page_lead(const struct page *page, const struct check_result *result, const char *act);

#endif
