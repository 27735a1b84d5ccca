/* Sections of the page of `verify`. Private to verify_text.c. */
#ifndef FAREND_REPORT_VERIFY_PARTS_H
#define FAREND_REPORT_VERIFY_PARTS_H

#include "report/page.h"
#include "report/verify.h"

/* Plan against built, item by item: what moved as a table, the rest by name; then what changed verdict. */
void verify_print_items(const struct page *page, const struct verification *result);
void verify_print_changes(const struct page *page, const struct verification *result);

/* Readings against prediction, what explains them, and what to read next. */
void verify_print_readings(const struct page *page, const struct verification *result);
void verify_print_suspects(const struct page *page, const struct verification *result);

#endif
