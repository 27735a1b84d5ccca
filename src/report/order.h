/* The order list on paper, for spreadsheets and for machines. */
#ifndef FAREND_REPORT_ORDER_H
#define FAREND_REPORT_ORDER_H

#include "advise/purchase.h"
#include "report/report.h"

struct order_result {
	const struct check_result *check;
	const struct purchase *purchase;
};

/* What to order of a cable by the foot: "66 ft", "2 packs of 100 ft", "20 m (65.62 ft)"; NULL where that is not
 * said in feet. */
const char *order_feet(struct arena *arena, const struct purchase *purchase, const struct buy_line *line);

void order_text(struct buf *out, const struct order_result *result, const struct style *style);
void order_json(struct buf *out, const struct order_result *result, const struct style *style);
void order_csv(struct buf *out, const struct order_result *result, const struct style *style);

#endif
