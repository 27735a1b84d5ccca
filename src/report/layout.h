/* Where things go in a single-line drawing: pure geometry, no items and no text.
 *
 * Boxes and the links between them become sheets. A tree is drawn outward from its source, left to right:
 * a box is tall enough to span the links to all its children, so that each of these is one straight,
 * horizontal line, and each subtree keeps a band of rows to itself. No two lines of a tree can meet. A link
 * that closes a loop leaves both its boxes to the right, on rows of its own, and is joined beyond
 * everything between them. What is too wide or too high for a sheet goes on on a further one, which
 * starts with the box that it hangs on. */
#ifndef FAREND_REPORT_LAYOUT_H
#define FAREND_REPORT_LAYOUT_H

#include "model/attribute.h"

#define LAYOUT_NONE SIZE_MAX

struct layout_box {
	double width, height;        /* the least it needs; it may become higher */
	bool source;                 /* trees start here if they can */
};

struct layout_link { size_t a, b; };     /* boxes; may be one and the same */

struct layout_graph {
	const struct layout_box *boxes;      size_t box_count;
	const struct layout_link *links;     size_t link_count;
	double gap;                  /* between a box and its children: the length of a link */
	double lane;                 /* height of a row that holds no box */
	double space;                /* between rows */
	double track;                /* between links that run down side by side */
	double width, height;        /* of a sheet, at most */
};

struct placed_box {
	size_t box, sheet;
	double x, y, width, height;
	size_t goes_on;              /* first further sheet that holds its children, LAYOUT_NONE: here */
	bool again;                  /* drawn on an earlier sheet too */
};

#define LAYOUT_POINTS 4

struct placed_link {
	size_t link, sheet;
	struct point points[LAYOUT_POINTS];
	size_t count;
	size_t left, right;          /* the boxes where it starts and ends; the first is where its name goes */
	bool loop;
	size_t elsewhere;            /* the sheet of its other end, LAYOUT_NONE: whole; `right` is that end */
};

struct placed_sheet { double width, height; };

struct layout {
	struct placed_sheet *sheets; size_t sheet_count, sheet_capacity;
	struct placed_box *boxes;    size_t box_count, box_capacity;      /* by sheet */
	struct placed_link *links;   size_t link_count, link_capacity;
};

/* Lives in `arena`. Every box is placed at least once, every link once, or in two halves. */
void layout_make(const struct layout_graph *graph, struct arena *arena, struct layout *out);

#endif
