/* The wiring of a job as a tree of lines, and in short what the checks found. */
#ifndef FAREND_REPORT_SUMMARY_H
#define FAREND_REPORT_SUMMARY_H

#include "report/report.h"

void summary_text(struct buf *out, const struct check_result *result, const struct style *style);

#endif
