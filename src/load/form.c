/* Decoding one value. Each form is one function; quantities are read by the quantity layer, whose faults
 * are placed inside the scalar here. */
#include "load/form.h"

#include "load/field.h"
#include "reference/reference.h"

#include <math.h>
#include <string.h>

static const enum mistake fault_mistakes[] = {
	[QUANTITY_EMPTY] = MISTAKE_EMPTY_VALUE,       [QUANTITY_NO_NUMBER] = MISTAKE_BAD_NUMBER,
	[QUANTITY_NO_UNIT] = MISTAKE_NO_UNIT,         [QUANTITY_UNKNOWN_UNIT] = MISTAKE_UNKNOWN_UNIT,
	[QUANTITY_WRONG_UNIT] = MISTAKE_WRONG_UNIT,   [QUANTITY_FRACTION] = MISTAKE_BAD_NUMBER,
	[QUANTITY_DECIMAL_COMMA] = MISTAKE_DECIMAL_COMMA,
	[QUANTITY_TOO_LARGE] = MISTAKE_OUT_OF_RANGE,  [QUANTITY_TRAILING] = MISTAKE_BAD_NUMBER,
};

static struct report report_at(enum mistake mistake, struct place place)
{
	return (struct report){ .mistake = mistake, .place = place };
}

/* A part of a scalar's text that begins `skip` characters into it. */
static bool read_quantity(struct decoder *d, const struct attribute *row, const struct node *node,
                          const char *text, size_t skip, const enum dim *dims, struct quantity *out)
{
	*out = quantity_parse(d->brief, text, dims);
	if (out->fault == QUANTITY_OK)
		return true;
	struct report report = report_at(fault_mistakes[out->fault],
	                                 node_within(node, skip + out->at, out->length));
	report.expected = out->expected;
	report.hint = out->hint;
	mistake_report(d->m, report, "%s: %s", row->key, out->message);
	return false;
}

static const char *limits_text(struct decoder *d, const struct attribute *row, enum dim dim)
{
	const char *least = quantity_text(d->brief, row->min, dim, 6);
	const char *most = quantity_text(d->brief, row->max, dim, 6);
	return mistake_text(d->m, row->above ? "more than %s, at most %s" : "from %s to %s", least, most);
}

static bool check_limits(struct decoder *d, const struct attribute *row, const struct node *node,
                         double value, enum dim dim)
{
	bool enough = row->above ? value > row->min : value >= row->min;
	if (enough && value <= row->max)
		return true;
	struct report report = report_at(MISTAKE_OUT_OF_RANGE, node->at);
	report.expected = limits_text(d, row, dim);
	mistake_report(d->m, report, "%s: '%s' is too %s", row->key, node->text,
	               value > row->max ? "large" : "small");
	return false;
}

static bool want_scalar(struct decoder *d, const struct attribute *row, const struct node *node)
{
	if (node->kind == NODE_SCALAR)
		return true;
	if (node->kind != NODE_BROKEN) {
		struct report report = report_at(MISTAKE_WRONG_SHAPE, node->at);
		report.expected = mistake_text(d->m, "%s: %s", row->key, form_example(row));
		mistake_report(d->m, report, "'%s' takes one value, not a %s", row->key,
		               node->kind == NODE_LIST ? "list" : "mapping");
	}
	return false;
}

static bool decode_quantity_as(struct decoder *d, const struct attribute *row, const struct node *node,
                               const enum dim *dims, struct attr *out)
{
	struct quantity q;
	if (!want_scalar(d, row, node) || !read_quantity(d, row, node, node->text, 0, dims, &q))
		return false;
	out->num = q.value;
	out->dim = q.dim;
	out->text = node->text;
	return true;
}

static bool decode_quantity(struct decoder *d, const struct attribute *row, const struct node *node,
                            struct attr *out)
{
	return decode_quantity_as(d, row, node, row->dims, out) &&
	       check_limits(d, row, node, out->num, out->dim);
}

static bool decode_text(struct decoder *d, const struct attribute *row, const struct node *node,
                        struct attr *out)
{
	if (!want_scalar(d, row, node))
		return false;
	out->text = node->text;
	out->place = node_inside(node);
	return true;
}

static bool decode_choice(struct decoder *d, const struct attribute *row, const struct node *node,
                          struct attr *out)
{
	struct nearest nearest;
	struct buf words;
	if (!want_scalar(d, row, node))
		return false;
	nearest = nearest_to(node->text);
	buf_init(&words, d->brief);
	for (size_t i = 0; row->words[i]; i++) {
		if (strcmp(row->words[i], node->text) == 0) {
			out->num = (double)i;
			out->text = row->words[i];
			return true;
		}
		mistake_offer(d->m, &nearest, row->words[i]);
		buf_addf(&words, "%s%s", i == 0 ? "" : row->words[i + 1] ? ", " : " or ", row->words[i]);
	}
	struct report report = report_at(MISTAKE_UNKNOWN_WORD, node->at);
	report.expected = words.data;
	report.hint = mistake_hint(d->m, &nearest);
	mistake_report(d->m, report, "%s: unknown word '%s'", row->key, node->text);
	return false;
}

static bool decode_flag(struct decoder *d, const struct attribute *row, const struct node *node,
                        struct attr *out)
{
	static const struct { const char *word; bool value; } words[] = {
		{ "yes", true }, { "no", false }, { "true", true }, { "false", false },
	};
	if (!want_scalar(d, row, node))
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

/* Bytes of the dash between the two ends of "12-24 V", and where it stands; 0 where there is none. A
 * dash at the very beginning is a sign. */
static size_t find_dash(const char *text, size_t *at)
{
	static const char *const dashes[] = { "\xE2\x80\x93", "-" };      /* an en dash */
	for (size_t i = 0; i < sizeof dashes / sizeof *dashes; i++) {
		const char *found = text[0] ? strstr(text + 1, dashes[i]) : NULL;
		if (!found)
			continue;
		*at = (size_t)(found - text);
		return strlen(dashes[i]);
	}
	return 0;
}

/* The lower end may leave the unit to the upper one. */
static const char *with_unit(struct decoder *d, const char *low, const char *high)
{
	if (strspn(low, " .0123456789") < strlen(low))
		return low;
	return mistake_text(d->m, "%s %s", low, high + strspn(high, " .0123456789"));
}

static bool decode_range(struct decoder *d, const struct attribute *row, const struct node *node,
                         struct attr *out)
{
	struct quantity low, high;
	size_t at, dash;
	if (!want_scalar(d, row, node))
		return false;
	dash = find_dash(node->text, &at);
	if (dash == 0) {
		if (!decode_quantity(d, row, node, out))
			return false;
		out->high = out->num;
		return true;
	}
	const char *upper = node->text + at + dash;
	size_t skip = tree_characters(node->text, at + dash);
	if (!read_quantity(d, row, node, upper, skip, row->dims, &high))
		return false;
	const char *lower = with_unit(d, arena_strndup(d->brief, node->text, at), upper);
	if (!read_quantity(d, row, node, lower, 0, row->dims, &low) ||
	    !check_limits(d, row, node, low.value, low.dim) ||
	    !check_limits(d, row, node, high.value, high.dim))
		return false;
	if (low.value > high.value) {
		struct report report = report_at(MISTAKE_BAD_RANGE, node->at);
		report.expected = "the lower end first, such as 12-24 V";
		mistake_report(d->m, report, "%s: '%s' runs backwards", row->key, node->text);
		return false;
	}
	out->num = low.value;
	out->high = high.value;
	out->dim = low.dim;
	out->text = node->text;
	return true;
}

/* Every size of the dimension; of sizes, the two on either side of what was asked for as well. */
static void report_size(struct decoder *d, const struct attribute *row, const struct node *node,
                        const struct attr *asked)
{
	struct report report = report_at(MISTAKE_UNKNOWN_SIZE, node->at);
	struct buf sizes;
	size_t thinner = WIRE_NONE, thicker = WIRE_NONE;
	buf_init(&sizes, d->brief);
	for (size_t i = 0; i < wire_size_count; i++) {
		const struct wire_size *size = &wire_sizes[i];
		if ((size->gauge != 0) != (asked->dim == DIM_GAUGE))
			continue;
		const char *name = size->name;
		buf_addf(&sizes, "%s%.*s", sizes.length ? ", " : "", (int)strcspn(name, " "), name);
		double above = size->gauge ? asked->num - size->gauge : size->area_mm2 * 1e-6 - asked->num;
		if (above < 0)
			thinner = i;
		else if (thicker == WIRE_NONE)
			thicker = i;
	}
	report.expected = mistake_text(d->m, "%s %s", sizes.data, asked->dim == DIM_GAUGE ? "AWG" : "mm2");
	if (thinner != WIRE_NONE && thicker != WIRE_NONE)
		report.hint = mistake_text(d->m, "the nearest are %s and %s", wire_sizes[thinner].name,
		                           wire_sizes[thicker].name);
	mistake_report(d->m, report, "%s: there is no cable of '%s'", row->key, node->text);
}

static bool decode_size(struct decoder *d, const struct attribute *row, const struct node *node,
                        struct attr *out)
{
	if (!decode_quantity_as(d, row, node, row->dims, out))
		return false;
	size_t index = out->dim == DIM_GAUGE ? wire_size_by_gauge(out->num)
	                                     : wire_size_by_area(out->num);
	if (index == WIRE_NONE) {
		report_size(d, row, node, out);
		return false;
	}
	out->num = (double)index;
	return true;
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
		good = decode_size(d, row, items[i], &size) && good;
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
	bool good = decode_quantity_as(d, row, pair->items[0], x_dims, &x);
	good = decode_quantity_as(d, row, pair->items[1], y_dims, &y) &&
	       check_limits(d, row, pair->items[1], y.num, y.dim) && good;
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

static bool decode_reel_test(struct decoder *d, const struct attribute *row, const struct node *node,
                             struct attr *out)
{
	struct attr readings[REEL__END] = { { .origin = ORIGIN_UNSET } };
	struct fields fields = { .own = attributes_reel_test, .base = readings, .word = row->key };
	if (node->kind != NODE_MAP) {
		struct report report = report_at(MISTAKE_WRONG_SHAPE, node->at);
		report.expected = form_example(row);
		if (node->kind != NODE_BROKEN)
			mistake_report(d->m, report, "'%s' takes four readings in { }", row->key);
		return false;
	}
	size_t before = d->m->found;
	fields_decode(d, &fields, node);
	fields_check_needs(d, &fields, node->at);
	struct point *points = arena_array(d->arena, struct point, REEL__END);
	for (size_t i = 0; i < REEL__END; i++)
		points[i].x = readings[i].num;
	out->points = points;
	out->point_count = REEL__END;
	return d->m->found == before;
}

typedef bool decode_form(struct decoder *d, const struct attribute *row, const struct node *node,
                         struct attr *out);

static const struct { decode_form *decode; const char *example; } forms[] = {
	[FORM_QUANTITY] = { decode_quantity, NULL },
	[FORM_TEXT] = { decode_text, "some text" },
	[FORM_CHOICE] = { decode_choice, NULL },
	[FORM_FLAG] = { decode_flag, "yes" },
	[FORM_RANGE] = { decode_range, "12-24 V" },
	[FORM_SIZE] = { decode_size, "0.75 mm2" },
	[FORM_SIZES] = { decode_sizes, "[0.75 mm2, 1.5 mm2]" },
	[FORM_CURVE] = { decode_curve, "[[40 C, 100 %], [60 C, 70 %]]" },
	[FORM_REEL_TEST] = { decode_reel_test, "{length: 5 m, feed: 24.0 V, far: 22.1 V, current: 1.82 A}" },
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
	if (row->form == FORM_QUANTITY && row->dims[0] == DIM_LENGTH)
		return length_example(row);
	if (row->form == FORM_CHOICE)
		return row->words[0];
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
