/* What stands in a box and along a line of the drawing. Private to drawing.c. */
#ifndef FAREND_REPORT_DRAWING_ITEMS_H
#define FAREND_REPORT_DRAWING_ITEMS_H

#include "report/drawing.h"

/* The least that the box of an item needs. */
struct layout_box drawing_box_of(enum kind kind);

struct item_ref drawing_item(const struct drawing *drawing, size_t box);
size_t drawing_box_at(const struct drawing *drawing, size_t terminal);

/* An item and a cable where the layout put them. */
void drawing_add_box(struct buf *out, const struct drawing *drawing, const struct placed_box *box);
void drawing_add_link(struct buf *out, const struct drawing *drawing, const struct placed_link *link);

#endif
