/* Coordinates: the pieces of the trees one after the other, then the loops beyond them. */
#include "report/layout.h"

#include "report/layout_tree.h"

#include <stdlib.h>

/* Where a loop leaves one of its boxes. */
struct loop_end {
	size_t box, sheet;
	struct point at;
};

struct placing {
	struct layout_tree tree;
	struct layout *out;
	struct loop_end *loop_ends;  /* two for each link: at its a, at its b */
	double *band_top;            /* of boxes that wait to be placed */
	size_t *waiting;             /* a piece's boxes, parents first */
};

static struct placed_sheet *sheet_at(struct placing *p, size_t sheet)
{
	struct layout *out = p->out;
	while (out->sheet_count <= sheet) {
		out->sheets = arena_grow(p->tree.arena, out->sheets, out->sheet_count, &out->sheet_capacity,
		                         sizeof(*out->sheets));
		out->sheets[out->sheet_count++] = (struct placed_sheet){ 0 };
	}
	return &out->sheets[sheet];
}

static void reach(struct placing *p, size_t sheet, double x, double y)
{
	struct placed_sheet *s = sheet_at(p, sheet);
	if (x > s->width)
		s->width = x;
	if (y > s->height)
		s->height = y;
}

static void add_box(struct placing *p, struct placed_box box)
{
	struct layout *out = p->out;
	out->boxes = arena_grow(p->tree.arena, out->boxes, out->box_count, &out->box_capacity,
	                        sizeof(*out->boxes));
	out->boxes[out->box_count++] = box;
	reach(p, box.sheet, box.x + box.width, box.y + box.height);
}

static void add_link(struct placing *p, struct placed_link link)
{
	struct layout *out = p->out;
	out->links = arena_grow(p->tree.arena, out->links, out->link_count, &out->link_capacity,
	                        sizeof(*out->links));
	out->links[out->link_count] = link;
	for (size_t i = 0; i < link.count; i++)
		reach(p, link.sheet, link.points[i].x, link.points[i].y);
	out->link_count++;
}

static void place_row(struct placing *p, size_t r, size_t sheet, size_t box, double right, double top,
                      size_t *waiting)
{
	const struct layout_row *row = &p->tree.rows[r];
	double y = top + layout_row_anchor(&p->tree, row);
	if (row->child == LAYOUT_NONE) {
		p->loop_ends[2 * row->link + row->second] = (struct loop_end){ box, sheet, { right, y } };
		return;
	}
	p->band_top[row->child] = top;
	p->waiting[(*waiting)++] = row->child;
	add_link(p, (struct placed_link){
		.link = row->link, .sheet = sheet, .count = 2, .left = box, .right = row->child,
		.points = { { right, y }, { right + p->tree.graph->gap, y } }, .elsewhere = LAYOUT_NONE,
	});
}

/* The box whose rows lie on this piece, and its links to the next boxes. */
static void place_rows(struct placing *p, struct placed_box box, double top, size_t first, size_t end,
                       size_t *waiting)
{
	struct layout_band band = layout_band_of(&p->tree, box.box, first, end);
	box.width = p->tree.graph->boxes[box.box].width;
	box.y = top + band.box_top;
	box.height = band.box_bottom - band.box_top;
	add_box(p, box);
	double y = top + (band.height - band.rows) / 2;
	for (size_t r = first; r != end; r = p->tree.rows[r].next) {
		place_row(p, r, box.sheet, box.box, box.x + box.width, y, waiting);
		y += layout_row_height(&p->tree, &p->tree.rows[r]) + p->tree.graph->space;
	}
}

static void place_piece(struct placing *p, const struct layout_piece *piece)
{
	const struct layout_tree *tree = &p->tree;
	size_t waiting = 0;
	bool cut = tree->nodes[piece->box].cut;
	struct placed_box root = {
		.box = piece->box, .sheet = piece->sheet, .goes_on = piece->next_sheet,
		.again = piece->again || cut,
	};
	size_t base = p->out->box_count;
	place_rows(p, root, piece->top, piece->first, piece->end, &waiting);
	for (size_t i = 0; i < waiting; i++) {
		const struct layout_node *node = &tree->nodes[p->waiting[i]];
		/* its parent was placed before it, on this piece */
		size_t at = base;
		while (p->out->boxes[at].box != node->parent)
			at++;
		const struct placed_box *parent = &p->out->boxes[at];
		struct placed_box box = {
			.box = p->waiting[i], .sheet = piece->sheet,
			.x = parent->x + parent->width + tree->graph->gap,
			.goes_on = node->cut ? tree->sheet_of[p->waiting[i]] : LAYOUT_NONE,
		};
		place_rows(p, box, p->band_top[box.box], node->cut ? LAYOUT_NONE : node->first, LAYOUT_NONE,
		           &waiting);
	}
}

/* Half a loop: its other end lies on another sheet. */
static void place_stub(struct placing *p, size_t link, const struct loop_end *end,
                       const struct loop_end *other)
{
	const struct layout_graph *graph = p->tree.graph;
	double x = end->at.x + graph->gap;
	if (x > graph->width)
		x = graph->width;
	add_link(p, (struct placed_link){
		.link = link, .sheet = end->sheet, .count = 2, .left = end->box, .right = other->box,
		.points = { end->at, { x, end->at.y } }, .loop = true, .elsewhere = other->sheet,
	});
}

struct loop {
	size_t link, sheet;
	double low, high;            /* rows that it passes */
	double right;                /* of its boxes */
};

/* Short ones first: longer ones then lie around them. */
static int compare_loops(const void *pa, const void *pb)
{
	const struct loop *a = pa, *b = pb;
	if (a->sheet != b->sheet)
		return a->sheet < b->sheet ? -1 : 1;
	double difference = (a->high - a->low) - (b->high - b->low);
	if (difference < 0 || difference > 0)
		return difference < 0 ? -1 : 1;
	return (a->link > b->link) - (a->link < b->link);
}

/* Beyond every box and every earlier loop of the sheet (links from `from` on) that it passes. */
static double track_of(const struct placing *p, const struct loop *loop, size_t from)
{
	const struct layout *out = p->out;
	double x = loop->right;
	for (size_t i = 0; i < out->box_count; i++) {
		const struct placed_box *box = &out->boxes[i];
		if (box->sheet == loop->sheet && box->y <= loop->high && box->y + box->height >= loop->low &&
		    box->x + box->width > x)
			x = box->x + box->width;
	}
	for (size_t i = from; i < out->link_count; i++) {
		const struct placed_link *other = &out->links[i];
		double a = other->points[1].y, b = other->points[other->count - 2].y;
		if (other->sheet == loop->sheet && (a < b ? a : b) <= loop->high &&
		    (a < b ? b : a) >= loop->low && other->points[1].x > x)
			x = other->points[1].x;
	}
	x += p->tree.graph->track;
	return x < p->tree.graph->width ? x : p->tree.graph->width;
}

static void place_loop(struct placing *p, const struct loop *loop, size_t from)
{
	const struct loop_end *a = &p->loop_ends[2 * loop->link], *b = a + 1;
	if (a->at.x > b->at.x) {
		a = b;
		b = &p->loop_ends[2 * loop->link];
	}
	double x = track_of(p, loop, from);
	add_link(p, (struct placed_link){
		.link = loop->link, .sheet = loop->sheet, .count = 4, .left = a->box, .right = b->box,
		.points = { a->at, { x, a->at.y }, { x, b->at.y }, b->at }, .loop = true,
		.elsewhere = LAYOUT_NONE,
	});
}

static void place_loops(struct placing *p)
{
	struct loop *loops = arena_array(p->tree.arena, struct loop, p->tree.loop_count);
	size_t count = 0, from = p->out->link_count;
	for (size_t r = 0; r < p->tree.row_count; r++) {
		const struct layout_row *row = &p->tree.rows[r];
		if (row->child != LAYOUT_NONE || row->second)
			continue;
		const struct loop_end *a = &p->loop_ends[2 * row->link], *b = a + 1;
		if (a->sheet != b->sheet) {
			place_stub(p, row->link, a, b);
			place_stub(p, row->link, b, a);
			continue;
		}
		loops[count++] = (struct loop){
			.link = row->link, .sheet = a->sheet,
			.low = a->at.y < b->at.y ? a->at.y : b->at.y,
			.high = a->at.y < b->at.y ? b->at.y : a->at.y,
			.right = a->at.x > b->at.x ? a->at.x : b->at.x,
		};
	}
	if (count > 0)
		qsort(loops, count, sizeof(*loops), compare_loops);
	for (size_t i = 0; i < count; i++)
		place_loop(p, &loops[i], from);
}

void layout_make(const struct layout_graph *graph, struct arena *arena, struct layout *out)
{
	struct placing p = { .out = out };
	*out = (struct layout){ 0 };
	layout_tree_make(graph, arena, &p.tree);
	p.loop_ends = arena_array(arena, struct loop_end, 2 * graph->link_count);
	p.band_top = arena_array(arena, double, graph->box_count);
	p.waiting = arena_array(arena, size_t, graph->box_count);
	for (size_t i = 0; i < p.tree.piece_count; i++)
		place_piece(&p, &p.tree.pieces[i]);
	place_loops(&p);
}
