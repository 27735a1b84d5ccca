/* The layout by what one can see: on trees no two lines meet and no line runs through a box; boxes keep
 * apart and within their sheet; nothing is left out, whatever the graph. Graphs come from a fixed seed. */
#include "report/layout.h"

#include "support.h"

static struct arena *arena;

static int setup(void **state)
{
	(void)state;
	arena = arena_new();
	return arena == NULL;
}

static int teardown(void **state)
{
	(void)state;
	arena_free(arena);
	return 0;
}

/* Numerical Recipes' quick generator: the high bits are good enough here. */
static uint32_t seed;
static size_t chance(size_t below)
{
	seed = seed * 1664525u + 1013904223u;
	return (size_t)(seed >> 8) % below;
}

static struct layout_graph graph_of(size_t boxes, size_t links)
{
	struct layout_box *box = arena_array(arena, struct layout_box, boxes);
	struct layout_link *link = arena_array(arena, struct layout_link, links);
	for (size_t i = 0; i < boxes; i++)
		box[i] = (struct layout_box){ 84 + (double)chance(3) * 60, 46 + (double)chance(3) * 12, i == 0 };
	return (struct layout_graph){
		.boxes = box, .box_count = boxes, .links = link, .link_count = links, .gap = 92, .lane = 40,
		.space = 16, .track = 10, .width = 800, .height = 1020,
	};
}

/* Each box hangs on an earlier one; the first is the source. `reach` small: deep, large: bushy. */
static struct layout_graph random_tree(size_t boxes, size_t reach, size_t loops)
{
	struct layout_graph graph = graph_of(boxes, boxes - 1 + loops);
	struct layout_link *links = (struct layout_link *)graph.links;
	for (size_t i = 1; i < boxes; i++) {
		size_t from = i > reach ? i - 1 - chance(reach) : chance(i);
		links[i - 1] = chance(2) ? (struct layout_link){ from, i } : (struct layout_link){ i, from };
	}
	for (size_t i = 0; i < loops; i++)
		links[boxes - 1 + i] = (struct layout_link){ chance(boxes), chance(boxes) };
	return graph;
}

static double turn(struct point a, struct point b, struct point c)
{
	return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool within(double value, double a, double b)
{
	return value >= fmin(a, b) && value <= fmax(a, b);
}

/* Do two segments share a point? The usual test by the signs of four turns, with all on one line apart. */
static bool meet(struct point a, struct point b, struct point c, struct point d)
{
	double t1 = turn(a, b, c), t2 = turn(a, b, d), t3 = turn(c, d, a), t4 = turn(c, d, b);
	if (t1 * t2 < 0 && t3 * t4 < 0)
		return true;
	const struct { double t; struct point p, from, to; } ends[] = {
		{ t1, c, a, b }, { t2, d, a, b }, { t3, a, c, d }, { t4, b, c, d },
	};
	for (size_t i = 0; i < 4; i++)
		if (fabs(ends[i].t) < 1e-9 && within(ends[i].p.x, ends[i].from.x, ends[i].to.x) &&
		    within(ends[i].p.y, ends[i].from.y, ends[i].to.y))
			return true;
	return false;
}

static bool links_meet(const struct placed_link *a, const struct placed_link *b)
{
	if (a->sheet != b->sheet)
		return false;
	for (size_t i = 1; i < a->count; i++)
		for (size_t k = 1; k < b->count; k++)
			if (meet(a->points[i - 1], a->points[i], b->points[k - 1], b->points[k]))
				return true;
	return false;
}

/* Does the link run through the inside of the box? */
static bool runs_through(const struct placed_link *link, const struct placed_box *box)
{
	if (link->sheet != box->sheet)
		return false;
	for (size_t i = 1; i < link->count; i++) {
		struct point a = link->points[i - 1], b = link->points[i];
		if (fmax(a.x, b.x) > box->x + 0.1 && fmin(a.x, b.x) < box->x + box->width - 0.1 &&
		    fmax(a.y, b.y) > box->y + 0.1 && fmin(a.y, b.y) < box->y + box->height - 0.1)
			return true;
	}
	return false;
}

static bool touches(struct point at, const struct placed_box *box)
{
	bool on_side = fabs(at.x - box->x) < 1e-9 || fabs(at.x - box->x - box->width) < 1e-9;
	return on_side && within(at.y, box->y, box->y + box->height);
}

/* The box of `item` that the point touches on the sheet. */
static bool is_joined(const struct layout *layout, size_t sheet, struct point at, size_t box)
{
	for (size_t i = 0; i < layout->box_count; i++)
		if (layout->boxes[i].sheet == sheet && layout->boxes[i].box == box &&
		    touches(at, &layout->boxes[i]))
			return true;
	return false;
}

static void check_boxes(const struct layout_graph *graph, const struct layout *layout)
{
	size_t *times = arena_array(arena, size_t, graph->box_count);
	for (size_t i = 0; i < layout->box_count; i++) {
		const struct placed_box *a = &layout->boxes[i];
		times[a->box] += !a->again;
		assert_true(a->x >= 0 && a->y >= 0);
		assert_true(a->x + a->width <= layout->sheets[a->sheet].width + 1e-9);
		assert_true(a->y + a->height <= layout->sheets[a->sheet].height + 1e-9);
		assert_true(a->height >= graph->boxes[a->box].height - 1e-9);
		for (size_t k = i + 1; k < layout->box_count; k++) {
			const struct placed_box *b = &layout->boxes[k];
			assert_false(a->sheet == b->sheet && a->x < b->x + b->width && b->x < a->x + a->width &&
			             a->y < b->y + b->height && b->y < a->y + a->height);
		}
	}
	for (size_t i = 0; i < graph->box_count; i++)
		assert_int_equal(times[i], 1);
}

static void check_links(const struct layout_graph *graph, const struct layout *layout)
{
	size_t *halves = arena_array(arena, size_t, graph->link_count);
	for (size_t i = 0; i < layout->link_count; i++) {
		const struct placed_link *a = &layout->links[i];
		bool whole = a->elsewhere == LAYOUT_NONE;
		halves[a->link] += whole ? 2 : 1;
		assert_true(is_joined(layout, a->sheet, a->points[0], a->left));
		assert_true(!whole || is_joined(layout, a->sheet, a->points[a->count - 1], a->right));
		const struct layout_link *ends = &graph->links[a->link];
		assert_true((ends->a == a->left && ends->b == a->right) ||
		            (ends->b == a->left && ends->a == a->right));
		for (size_t k = 0; k < layout->box_count; k++)
			assert_false(runs_through(a, &layout->boxes[k]));
		for (size_t k = i + 1; k < layout->link_count && !a->loop; k++)
			assert_false(links_meet(a, &layout->links[k]));
	}
	for (size_t i = 0; i < graph->link_count; i++)
		assert_int_equal(halves[i], 2);
}

static void check_sheets(const struct layout_graph *graph, const struct layout *layout)
{
	for (size_t i = 0; i < layout->sheet_count; i++) {
		assert_true(layout->sheets[i].width > 0 && layout->sheets[i].width <= graph->width + 1e-9);
		assert_true(layout->sheets[i].height <= graph->height + 1e-9);
	}
}

static void check_all(const struct layout_graph *graph)
{
	struct layout layout;
	layout_make(graph, arena, &layout);
	check_boxes(graph, &layout);
	check_links(graph, &layout);
	check_sheets(graph, &layout);
}

static void test_trees(void **state)
{
	(void)state;
	for (seed = 1; seed < 400; seed = seed % 1000 + 7) {
		uint32_t kept = seed;
		struct layout_graph graph = random_tree(1 + chance(70), 1 + chance(20), 0);
		check_all(&graph);
		seed = kept;
	}
}

/* Loops may cross one another, but neither a tree's lines nor a box. */
static void test_loops(void **state)
{
	(void)state;
	for (seed = 3; seed < 400; seed = seed % 1000 + 11) {
		uint32_t kept = seed;
		struct layout_graph graph = random_tree(2 + chance(30), 1 + chance(8), 1 + chance(3));
		check_all(&graph);
		seed = kept;
	}
}

/* A strip fed from both ends: the second feed goes around it, close by. */
static void test_both_ends(void **state)
{
	(void)state;
	static const struct layout_box boxes[] = { { 96, 70, true }, { 92, 46, false }, { 212, 70, false } };
	static const struct layout_link links[] = { { 0, 1 }, { 1, 2 }, { 1, 2 } };
	struct layout_graph graph = graph_of(3, 0);
	struct layout layout;
	graph.boxes = boxes;
	graph.links = links;
	graph.link_count = 3;
	check_all(&graph);
	layout_make(&graph, arena, &layout);
	const struct placed_link *loop = &layout.links[2];
	assert_true(loop->loop);
	assert_int_equal(loop->count, 4);
	assert_true(loop->left == 1 && loop->right == 2);
	/* outside the strip by one track, and back to the middle of its right side */
	assert_near(loop->points[1].x, 96 + 92 + 92 + 92 + 212 + 10, 0, 1e-9);
	assert_near(loop->points[3].y, layout.boxes[2].y + 35, 0, 1e-9);
}

/* More branches than fit: sheets start with the same box again, and say so. */
static void test_sheets(void **state)
{
	(void)state;
	seed = 5;
	struct layout_graph graph = random_tree(61, 61, 0);
	struct layout_link *links = (struct layout_link *)graph.links;
	struct layout layout;
	for (size_t i = 0; i < 60; i++)
		links[i] = (struct layout_link){ 0, i + 1 };
	check_all(&graph);
	layout_make(&graph, arena, &layout);
	assert_true(layout.sheet_count >= 4);
	size_t again = 0;
	for (size_t i = 0; i < layout.box_count; i++) {
		const struct placed_box *box = &layout.boxes[i];
		again += box->box == 0 && box->again;
		assert_true(box->box != 0 || box->sheet + 1 == layout.sheet_count ||
		            box->goes_on == box->sheet + 1);
	}
	assert_int_equal(again, layout.sheet_count - 1);
}

static void test_nothing(void **state)
{
	(void)state;
	struct layout layout;
	layout_make(&(struct layout_graph){ .width = 800, .height = 1000 }, arena, &layout);
	assert_int_equal(layout.sheet_count, 0);
	struct layout_graph loose = graph_of(9, 0);
	check_all(&loose);
}

/* Depth costs no stack. */
static void test_long_chain(void **state)
{
	(void)state;
	struct layout layout;
	const size_t boxes = 200000;
	struct layout_graph graph = graph_of(boxes, boxes - 1);
	struct layout_link *links = (struct layout_link *)graph.links;
	for (size_t i = 1; i < boxes; i++)
		links[i - 1] = (struct layout_link){ i - 1, i };
	layout_make(&graph, arena, &layout);
	assert_int_equal(layout.link_count, boxes - 1);
	check_sheets(&graph, &layout);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test_setup_teardown(test_trees, setup, teardown),
		cmocka_unit_test_setup_teardown(test_loops, setup, teardown),
		cmocka_unit_test_setup_teardown(test_both_ends, setup, teardown),
		cmocka_unit_test_setup_teardown(test_sheets, setup, teardown),
		cmocka_unit_test_setup_teardown(test_nothing, setup, teardown),
		cmocka_unit_test_setup_teardown(test_long_chain, setup, teardown),
	};
	return cmocka_run_group_tests_name("layout", tests, NULL, NULL);
}
