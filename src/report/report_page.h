/* The printable report: everything about a job in one file. */
#ifndef FAREND_REPORT_REPORT_PAGE_H
#define FAREND_REPORT_REPORT_PAGE_H

#include "report/cut.h"
#include "report/order.h"
#include "report/profile.h"

struct report_result {
	const struct check_result *check;        /* NULL until the report is made */
	struct proposed_light proposed;
	struct cut_result cut;                   /* without a list: the report has neither this */
	struct order_result order;               /* nor that */
};

void report_html(struct buf *out, const struct report_result *result, const struct style *style);
/* The drawing alone. */
void report_svg(struct buf *out, const struct report_result *result, const struct style *style);

/* Parts of the page, each a <section>. */
void report_verdict(struct buf *out, const struct check_result *result);
void report_assumed(struct buf *out, const struct check_result *result);
void report_limits(struct buf *out, const struct check_result *result);
void report_cut(struct buf *out, const struct cut_result *result);
void report_order(struct buf *out, const struct order_result *result);

#endif
