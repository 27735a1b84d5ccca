/* Decoding one value: each form is one function, found by a table. */
#include "load/form.h"

#include "load/field.h"
#include "load/form_number.h"

#include <string.h>

static bool decode_text(struct decoder *d, const struct attribute *row, const struct node *node,
                        struct attr *out)
{
	if (!form_want_scalar(d, row, node))
		return false;
	out->text = node->text;
	out->place = node_inside(node);
	return true;
}

static void report_choice(struct decoder *d, const struct attribute *row, const struct node *node)
{
	struct nearest nearest = nearest_to(node->text);
	struct buf words;
	buf_init(&words, d->brief);
	for (size_t i = 0; row->words[i]; i++) {
		mistake_offer(d->m, &nearest, row->words[i]);
		buf_addf(&words, "%s%s", i == 0 ? "" : row->words[i + 1] ? ", " : " or ", row->words[i]);
	}
	struct report report = report_at(MISTAKE_UNKNOWN_WORD, node->at);
	report.expected = words.data;
	report.hint = mistake_hint(d->m, &nearest);
	mistake_report(d->m, report, "%s: unknown word '%s'", row->key, node->text);
}

static bool decode_choice(struct decoder *d, const struct attribute *row, const struct node *node,
                          struct attr *out)
{
	if (!form_want_scalar(d, row, node))
		return false;
	for (size_t i = 0; row->words[i]; i++)
		if (strcmp(row->words[i], node->text) == 0) {
			out->num = (double)i;
			out->text = row->words[i];
			return true;
		}
	report_choice(d, row, node);
	return false;
}

static bool decode_flag(struct decoder *d, const struct attribute *row, const struct node *node,
                        struct attr *out)
{
	static const struct { const char *word; bool value; } words[] = {
		{ "yes", true }, { "no", false }, { "true", true }, { "false", false },
	};
	if (!form_want_scalar(d, row, node))
		return false;
	for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
		struct nearest same = nearest_to(node->text);
		nearest_offer(&same, words[i].word);
		if (same.count == 0 || same.distance > 0)
			continue;
		out->num = words[i].value;
		out->text = words[i].value ? "yes" : "no";
		return true;
	}
	struct report report = report_at(MISTAKE_NOT_YES_OR_NO, node->at);
	report.expected = "yes or no";
	mistake_report(d->m, report, "%s: '%s' is neither yes nor no", row->key, node->text);
	return false;
}

/* The items of a list, or the one value that stands for a list of one. */
static size_t list_of(const struct node *node, const struct node *const **items,
                      const struct node **one)
{
	*one = node;
	*items = node->kind == NODE_LIST ? (const struct node *const *)node->items : one;
	return node->kind == NODE_LIST ? node->count : 1;
}

static bool decode_sizes(struct decoder *d, const struct attribute *row, const struct node *node,
                         struct attr *out)
{
	const struct node *const *items, *one;
	size_t count = list_of(node, &items, &one);
	struct point *points = arena_array(d->arena, struct point, count);
	bool good = count > 0;
	if (node->kind == NODE_MAP) {
		mistake_report(d->m, report_at(MISTAKE_WRONG_SHAPE, node->at), "'%s' takes a list of sizes",
		               row->key);
		return false;
	}
	if (count == 0)
		mistake_report(d->m, report_at(MISTAKE_EMPTY_VALUE, node->at), "'%s' is an empty list",
		               row->key);
	for (size_t i = 0; i < count; i++) {
		struct attr size = { .origin = ORIGIN_UNSET };
		good = form_size(d, row, items[i], &size) && good;
		points[i].x = size.num;
	}
	out->points = points;
	out->point_count = count;
	return good;
}

static bool report_curve(struct decoder *d, const struct attribute *row, struct place place,
                         const char *message)
{
	struct report report = report_at(MISTAKE_BAD_CURVE, place);
	report.expected = form_example(row);
	mistake_report(d->m, report, "%s: %s", row->key, message);
	return false;
}

static bool decode_point(struct decoder *d, const struct attribute *row, const struct node *pair,
                         struct point *out)
{
	const enum dim x_dims[] = { row->dims[0], DIM__END }, y_dims[] = { row->dims[1], DIM__END };
	struct attr x = { .num = 0 }, y = { .num = 0 };
	if (pair->kind == NODE_BROKEN)
		return false;
	if (pair->kind != NODE_LIST || pair->count != 2)
		return report_curve(d, row, pair->at, pair->kind == NODE_LIST && pair->count > 2 ?
		                    "a point has two values; decimals are written with a point" :
		                    "a point is a list of two values");
	bool good = form_read_quantity(d, row, pair->items[0], x_dims, &x);
	good = form_read_quantity(d, row, pair->items[1], y_dims, &y) &&
	       form_check_limits(d, row, pair->items[1], y.num, y.dim) && good;
	*out = (struct point){ x.num, y.num };
	return good;
}

static bool decode_curve(struct decoder *d, const struct attribute *row, const struct node *node,
                         struct attr *out)
{
	if (node->kind == NODE_BROKEN)
		return false;
	if (node->kind != NODE_LIST || node->count == 0 || node->items[0]->kind == NODE_SCALAR)
		return report_curve(d, row, node->at, "a list of points is needed");
	struct point *points = arena_array(d->arena, struct point, node->count);
	bool good = true;
	for (size_t i = 0; i < node->count; i++) {
		bool readable = decode_point(d, row, node->items[i], &points[i]);
		if (readable && good && i > 0 && !(points[i].x > points[i - 1].x))
			readable = report_curve(d, row, node->items[i]->at,
			                        "each point must lie above the one before");
		good = readable && good;
	}
	out->points = points;
	out->point_count = node->count;
	return good;
}

/* Every test has readings of its own, so its key finds the example. */
static const char *bench_example(const struct attribute *row)
{
	return row->readings == &attributes_reel_test
	       ? "{length: 5 m, feed: 24.0 V, far: 22.1 V, current: 1.82 A}"
	       : "{length: 100 mm, low: 22 V, low_current: 29 mA, high: 24 V, high_current: 40 mA}";
}

static bool decode_bench_test(struct decoder *d, const struct attribute *row,
                              const struct node *node, struct attr *out)
{
	struct attr readings[BENCH_MOST] = { { .origin = ORIGIN_UNSET } };
	struct fields fields = { .own = *row->readings, .base = readings, .word = row->key };
	if (node->kind != NODE_MAP) {
		struct report report = report_at(MISTAKE_WRONG_SHAPE, node->at);
		report.expected = form_example(row);
		if (node->kind != NODE_BROKEN)
			mistake_report(d->m, report, "'%s' takes its readings in { }", row->key);
		return false;
	}
	size_t before = d->m->found;
	fields_decode(d, &fields, node);
	fields_check_needs(d, &fields, node->at);
	struct point *points = arena_array(d->arena, struct point, row->readings->count);
	for (size_t i = 0; i < row->readings->count; i++)
		points[i].x = readings[i].num;
	out->points = points;
	out->point_count = row->readings->count;
	return d->m->found == before;
}

typedef bool decode_form(struct decoder *d, const struct attribute *row, const struct node *node,
                         struct attr *out);

static const struct { decode_form *decode; const char *example; } forms[] = {
	[FORM_QUANTITY] = { form_quantity, NULL },
	[FORM_TEXT] = { decode_text, "some text" },
	[FORM_CHOICE] = { decode_choice, NULL },
	[FORM_FLAG] = { decode_flag, "yes" },
	[FORM_RANGE] = { form_range, "12-24 V" },
	[FORM_SIZE] = { form_size, "0.75 mm2" },
	[FORM_SIZES] = { decode_sizes, "[0.75 mm2, 1.5 mm2]" },
	[FORM_CURVE] = { decode_curve, "[[40 C, 100 %], [60 C, 70 %]]" },
	[FORM_BENCH_TEST] = { decode_bench_test, NULL },
	[FORM_TERMINAL] = { decode_text, "B1" },
	[FORM_TYPE] = { decode_text, "warm" },
	[FORM_FILES] = { NULL, "[parts/drivers.csv]" },
};

/* Lengths are examples of what they stand for only in their own order of magnitude. */
static const char *length_example(const struct attribute *row)
{
	static const struct { double max; const char *example; } lengths[] = {
		{ 0.001, "70 um" }, { 0.1, "3 mm" }, { 10, "50 mm" },
	};
	for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
		if (row->max <= lengths[i].max)
			return lengths[i].example;
	return dim_example(DIM_LENGTH);
}

const char *form_example(const struct attribute *row)
{
	if (row->example)
		return row->example;
	if (row->form == FORM_QUANTITY && row->dims[0] == DIM_LENGTH)
		return length_example(row);
	if (row->form == FORM_CHOICE)
		return row->words[0];
	if (row->form == FORM_BENCH_TEST)
		return bench_example(row);
	return row->form == FORM_QUANTITY ? dim_example(row->dims[0]) : forms[row->form].example;
}

bool form_decode(struct decoder *d, const struct attribute *row, const struct node *node,
                 struct attr *out)
{
	out->place = node->at;
	bool good = forms[row->form].decode(d, row, node, out);
	arena_reset(d->brief);
	return good;
}
