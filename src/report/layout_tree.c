/* From a graph to trees with rows, cut into pieces that fit a sheet. Everything runs along one list of
 * boxes, forwards or backwards: a chain of any length takes no stack. */
#include "report/layout_tree.h"

static size_t other_box(const struct layout_link *link, size_t box)
{
	return link->a == box ? link->b : link->a;
}

/* Links by box: at[first[box]] to before at[first[box + 1]]. */
struct adjacency { size_t *first, *at; };

static struct adjacency adjacency_of(const struct layout_graph *graph, struct arena *arena)
{
	struct adjacency adj = {
		arena_array(arena, size_t, graph->box_count + 2),
		arena_array(arena, size_t, 2 * graph->link_count),
	};
	for (size_t i = 0; i < graph->link_count; i++) {
		adj.first[graph->links[i].a + 2]++;
		adj.first[graph->links[i].b + 2]++;
	}
	for (size_t box = 0; box < graph->box_count; box++)
		adj.first[box + 2] += adj.first[box + 1];
	for (size_t i = 0; i < graph->link_count; i++) {
		adj.at[adj.first[graph->links[i].a + 1]++] = i;
		adj.at[adj.first[graph->links[i].b + 1]++] = i;
	}
	return adj;
}

static void add_row(struct layout_tree *tree, size_t box, struct layout_row row, size_t after)
{
	struct layout_node *node = &tree->nodes[box];
	size_t at = tree->row_count++;
	if (after == LAYOUT_NONE)
		after = node->last;
	row.next = after == LAYOUT_NONE ? LAYOUT_NONE : tree->rows[after].next;
	tree->rows[at] = row;
	if (after == LAYOUT_NONE)
		node->first = at;
	else
		tree->rows[after].next = at;
	if (after == node->last)
		node->last = at;
	if (row.child != LAYOUT_NONE)
		tree->nodes[row.child].row = at;
}

/* Breadth first, so that every box is as few links from the source as can be. */
static void grow(struct layout_tree *tree, const struct adjacency *adj, size_t root, bool *seen,
                 size_t *count)
{
	size_t at = *count;
	if (seen[root])
		return;
	seen[root] = true;
	tree->order[(*count)++] = root;
	for (; at < *count; at++) {
		size_t box = tree->order[at];
		for (size_t i = adj->first[box]; i < adj->first[box + 1]; i++) {
			size_t link = adj->at[i], child = other_box(&tree->graph->links[link], box);
			if (seen[child])
				continue;
			seen[child] = true;
			tree->order[(*count)++] = child;
			tree->nodes[child].parent = box;
			tree->nodes[child].parent_link = link;
			tree->nodes[child].depth = tree->nodes[box].depth + 1;
			add_row(tree, box, (struct layout_row){ .link = link, .child = child }, LAYOUT_NONE);
		}
	}
}

/* The child of `above` whose subtree holds `box`, or LAYOUT_NONE. */
static size_t branch_towards(const struct layout_tree *tree, size_t above, size_t box)
{
	size_t from = LAYOUT_NONE;
	while (tree->nodes[box].depth > tree->nodes[above].depth) {
		from = box;
		box = tree->nodes[box].parent;
	}
	return box == above ? from : LAYOUT_NONE;
}

/* Beside an ancestor the row lies right below the branch that it leads to, else below all others. */
static void add_loop_end(struct layout_tree *tree, size_t link, bool second)
{
	const struct layout_link *ends = &tree->graph->links[link];
	size_t box = second ? ends->b : ends->a, other = second ? ends->a : ends->b;
	size_t branch = branch_towards(tree, box, other);
	add_row(tree, box, (struct layout_row){ .link = link, .child = LAYOUT_NONE, .second = second },
	        branch == LAYOUT_NONE ? LAYOUT_NONE : tree->nodes[branch].row);
}

static void add_loops(struct layout_tree *tree)
{
	const struct layout_graph *graph = tree->graph;
	for (size_t i = 0; i < graph->link_count; i++) {
		const struct layout_link *link = &graph->links[i];
		if (tree->nodes[link->a].parent_link == i || tree->nodes[link->b].parent_link == i)
			continue;
		add_loop_end(tree, i, false);
		add_loop_end(tree, i, true);
		tree->loop_count++;
	}
}

/* Cuts where the next column would not fit the width; room for a few loops is kept free on the right. */
static void cut_by_width(struct layout_tree *tree)
{
	const struct layout_graph *graph = tree->graph;
	double width = graph->width - (tree->loop_count > 0 ? 3 * graph->track : 0);
	for (size_t i = 0; i < graph->box_count; i++) {
		size_t box = tree->order[i];
		struct layout_node *node = &tree->nodes[box];
		double right = node->x + graph->boxes[box].width + graph->gap, widest = 0;
		for (size_t r = node->first; r != LAYOUT_NONE; r = tree->rows[r].next) {
			size_t child = tree->rows[r].child;
			if (child != LAYOUT_NONE && graph->boxes[child].width > widest)
				widest = graph->boxes[child].width;
		}
		node->cut = node->x > 0 && widest > 0 && right + widest > width;
		if (node->cut)
			right -= node->x;
		for (size_t r = node->first; r != LAYOUT_NONE; r = tree->rows[r].next)
			if (tree->rows[r].child != LAYOUT_NONE)
				tree->nodes[tree->rows[r].child].x = right;
	}
}

double layout_row_height(const struct layout_tree *tree, const struct layout_row *row)
{
	if (row->child == LAYOUT_NONE)
		return tree->graph->lane;
	const struct layout_node *child = &tree->nodes[row->child];
	return child->cut ? tree->graph->boxes[row->child].height : child->band;
}

double layout_row_anchor(const struct layout_tree *tree, const struct layout_row *row)
{
	if (row->child == LAYOUT_NONE)
		return tree->graph->lane / 2;
	const struct layout_node *child = &tree->nodes[row->child];
	return child->cut ? tree->graph->boxes[row->child].height / 2 : child->centre;
}

struct layout_band layout_band_of(const struct layout_tree *tree, size_t box, size_t first, size_t end)
{
	double least = tree->graph->boxes[box].height, margin = tree->graph->lane / 2;
	double top = 0, low = 0, high = 0;
	struct layout_band band = { .height = least, .box_bottom = least };
	if (first == end)
		return band;
	for (size_t r = first; r != end; r = tree->rows[r].next) {
		const struct layout_row *row = &tree->rows[r];
		top += r == first ? 0 : tree->graph->space;
		high = top + layout_row_anchor(tree, row);
		if (r == first)
			low = high;
		top += layout_row_height(tree, row);
	}
	band.rows = top;
	if (band.rows > band.height)
		band.height = band.rows;
	double shift = (band.height - band.rows) / 2, middle = (low + high) / 2 + shift;
	if (middle < least / 2)
		middle = least / 2;
	if (middle > band.height - least / 2)
		middle = band.height - least / 2;
	band.box_top = middle - least / 2 < low + shift - margin ? middle - least / 2 : low + shift - margin;
	band.box_bottom = middle + least / 2 > high + shift + margin ? middle + least / 2
	                                                             : high + shift + margin;
	return band;
}

/* Backwards, so that the bands of all children are known; those that are too high get their own sheets. */
static void cut_by_height(struct layout_tree *tree)
{
	for (size_t i = tree->graph->box_count; i-- > 0;) {
		struct layout_node *node = &tree->nodes[tree->order[i]];
		struct layout_band band = layout_band_of(tree, tree->order[i], node->first, LAYOUT_NONE);
		node->cut = node->cut || (node->parent != LAYOUT_NONE && band.height > tree->graph->height);
		node->band = band.height;
		node->centre = (band.box_top + band.box_bottom) / 2;
	}
}

/* Adds a piece; it joins the last sheet where there is room left. */
static void add_piece(struct layout_tree *tree, struct layout_piece piece, double *used)
{
	double height = layout_band_of(tree, piece.box, piece.first, piece.end).height;
	double space = 2 * tree->graph->space;
	struct layout_piece *before = tree->piece_count > 0 ? &tree->pieces[tree->piece_count - 1] : NULL;
	bool joins = before != NULL && *used + space + height <= tree->graph->height;
	piece.sheet = before == NULL ? 0 : before->sheet + (joins ? 0 : 1);
	piece.top = joins ? *used + space : 0;
	*used = piece.top + height;
	if (piece.again && before != NULL)
		before->next_sheet = piece.sheet;
	else
		tree->sheet_of[piece.box] = piece.sheet;
	tree->pieces = arena_grow(tree->arena, tree->pieces, tree->piece_count, &tree->piece_capacity,
	                          sizeof(*tree->pieces));
	tree->pieces[tree->piece_count++] = piece;
}

/* Rows of a box, as many on each piece as fit. An end of a loop stays with the row above it. */
static void add_pieces(struct layout_tree *tree, size_t box, double *used)
{
	const struct layout_node *node = &tree->nodes[box];
	struct layout_piece piece = { .box = box, .first = node->first, .next_sheet = LAYOUT_NONE };
	double rows = 0;
	for (size_t r = node->first; r != LAYOUT_NONE; r = tree->rows[r].next) {
		const struct layout_row *row = &tree->rows[r];
		double height = layout_row_height(tree, row);
		bool full = rows + height > tree->graph->height;
		if (full && r != piece.first && (row->child != LAYOUT_NONE || rows > 2 * tree->graph->height)) {
			piece.end = r;
			add_piece(tree, piece, used);
			piece.first = r;
			piece.again = true;
			rows = 0;
		}
		rows += height + tree->graph->space;
	}
	piece.end = LAYOUT_NONE;
	add_piece(tree, piece, used);
}

static void init_nodes(struct layout_tree *tree)
{
	for (size_t i = 0; i < tree->graph->box_count; i++) {
		tree->nodes[i].parent = tree->nodes[i].parent_link = LAYOUT_NONE;
		tree->nodes[i].first = tree->nodes[i].last = tree->nodes[i].row = LAYOUT_NONE;
	}
}

void layout_tree_make(const struct layout_graph *graph, struct arena *arena, struct layout_tree *tree)
{
	*tree = (struct layout_tree){
		.graph = graph, .arena = arena,
		.nodes = arena_array(arena, struct layout_node, graph->box_count),
		.order = arena_array(arena, size_t, graph->box_count),
		.rows = arena_array(arena, struct layout_row, graph->box_count + 2 * graph->link_count),
		.sheet_of = arena_array(arena, size_t, graph->box_count),
	};
	struct adjacency adj = adjacency_of(graph, arena);
	bool *seen = arena_array(arena, bool, graph->box_count);
	size_t count = 0;
	double used = 0;
	init_nodes(tree);
	for (size_t box = 0; box < graph->box_count; box++)
		if (graph->boxes[box].source)
			grow(tree, &adj, box, seen, &count);
	for (size_t box = 0; box < graph->box_count; box++)
		grow(tree, &adj, box, seen, &count);
	add_loops(tree);
	cut_by_width(tree);
	cut_by_height(tree);
	for (size_t i = 0; i < graph->box_count; i++) {
		const struct layout_node *node = &tree->nodes[tree->order[i]];
		if (node->parent == LAYOUT_NONE || node->cut)
			add_pieces(tree, tree->order[i], &used);
	}
}
