/* The inside of the layout: trees, the rows beside each box, and where sheets are cut. */
#ifndef FAREND_REPORT_LAYOUT_TREE_H
#define FAREND_REPORT_LAYOUT_TREE_H

#include "report/layout.h"

/* One row beside a box: the band of a child, or an end of a link that closes a loop. */
struct layout_row {
	size_t link;
	size_t child;                /* LAYOUT_NONE: an end of a loop, */
	bool second;                 /* at the link's `b` */
	size_t next;
};

struct layout_node {
	size_t parent, parent_link;  /* LAYOUT_NONE at the root of a tree */
	size_t depth;
	size_t first, last;          /* rows, LAYOUT_NONE: none */
	size_t row;                  /* its own row beside its parent */
	bool cut;                    /* on its parent's sheet it stands alone; its rows have sheets of their own */
	double x;                    /* on the sheet that holds its rows */
	double band;                 /* height of what lies beside it, or its own */
	double centre;               /* of the box, from the top of its band */
};

/* Some rows of one box that lie on one sheet, below `top`. */
struct layout_piece {
	size_t box;
	size_t first, end;           /* rows from `first` to before `end` */
	size_t sheet;
	double top;
	bool again;
	size_t next_sheet;           /* of its next rows, LAYOUT_NONE: the last */
};

struct layout_tree {
	const struct layout_graph *graph;
	struct arena *arena;
	struct layout_node *nodes;
	size_t *order;               /* boxes, parents before their children, one tree after the other */
	struct layout_row *rows;     size_t row_count;
	size_t loop_count;
	struct layout_piece *pieces; size_t piece_count, piece_capacity;
	size_t *sheet_of;            /* of a box's first piece */
};

/* How rows from `first` to before `end` and their box stand together. */
struct layout_band {
	double rows;                 /* height of all rows */
	double height;               /* of the band: rows, or the box where that is higher */
	double box_top, box_bottom;  /* from the top of the band */
};
struct layout_band layout_band_of(const struct layout_tree *tree, size_t box, size_t first, size_t end);

/* Height of one row, and where its link lies in it. */
double layout_row_height(const struct layout_tree *tree, const struct layout_row *row);
double layout_row_anchor(const struct layout_tree *tree, const struct layout_row *row);

void layout_tree_make(const struct layout_graph *graph, struct arena *arena, struct layout_tree *tree);

#endif
