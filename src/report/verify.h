/* Plan against built, on paper and for machines. */
#ifndef FAREND_REPORT_VERIFY_H
#define FAREND_REPORT_VERIFY_H

#include "advise/verify.h"
#include "report/report.h"

void verify_text(struct buf *out, const struct verification *result, const struct style *style);
void verify_json(struct buf *out, const struct verification *result, const struct style *style);
void verify_csv(struct buf *out, const struct verification *result, const struct style *style);

#endif
