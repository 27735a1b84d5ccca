/* Ids in a text for people. */
#ifndef FAREND_REPORT_ITEM_LIST_H
#define FAREND_REPORT_ITEM_LIST_H

#include "report/report.h"

/* "L1, L2, L3", or "L1, L2, ... and 8 more" where they are many. */
void items_add(struct buf *out, const struct job *job, const struct item_ref *items, size_t count);

#endif
