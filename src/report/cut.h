/* The cutting list on paper and for machines. */
#ifndef FAREND_REPORT_CUT_H
#define FAREND_REPORT_CUT_H

#include "advise/cut_list.h"
#include "report/report.h"

struct cut_result {
	const struct check_result *check;
	const struct cut_list *list;
};

void cut_text(struct buf *out, const struct cut_result *result, const struct style *style);
void cut_json(struct buf *out, const struct cut_result *result, const struct style *style);
void cut_csv(struct buf *out, const struct cut_result *result, const struct style *style);

#endif
