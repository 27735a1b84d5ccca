/* Quantities, ranges and cable sizes. The quantity layer reads them; its faults are placed
 * inside the scalar here. */
#include "load/form_number.h"

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
	return mistake_text(d->m, row->above ? "more than %s, at most %s" : "from %s to %s", least,
	                    most);
}

bool form_check_limits(struct decoder *d, const struct attribute *row, const struct node *node,
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

bool form_want_scalar(struct decoder *d, const struct attribute *row, const struct node *node)
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

/* Bytes of the sign before a tolerance, and where it stands; 0 where there is none. */
static size_t find_plus_minus(const char *text, size_t *at)
{
	static const char *const signs[] = { "+-", "+/-", "\xC2\xB1" };
	for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
		const char *found = strstr(text, signs[i]);
		if (!found)
			continue;
		*at = (size_t)(found - text);
		return strlen(signs[i]);
	}
	return 0;
}

/* A share of the value, or an amount in a unit of its kind. Of a temperature a difference: what the same
 * unit's zero is taken off. */
static bool read_tolerance(struct decoder *d, const struct attribute *row, const struct node *node,
                           size_t from, struct attr *out)
{
	const enum dim dims[] = { out->dim, DIM_RATIO, DIM__END };
	const char *text = node->text + from;
	struct quantity half, zero;
	if (!read_quantity(d, row, node, text, tree_characters(node->text, from), dims, &half))
		return false;
	out->has_tolerance = true;
	out->tolerance = half.value;
	if (half.dim == DIM_RATIO && out->dim != DIM_RATIO) {
		out->tolerance *= fabs(out->num);
	} else if (half.dim == DIM_CELSIUS) {
		zero = quantity_parse(d->brief, mistake_text(d->m, "0%s", text + strspn(text, " +.0123456789")),
		                      dims);
		out->tolerance -= zero.value;
	}
	if (out->tolerance >= 0)
		return true;
	mistake_report(d->m, report_at(MISTAKE_OUT_OF_RANGE, node->at),
	               "%s: the tolerance of '%s' is negative", row->key, node->text);
	return false;
}

bool form_read_quantity(struct decoder *d, const struct attribute *row, const struct node *node,
                               const enum dim *dims, struct attr *out)
{
	struct quantity q;
	size_t at, sign;
	if (!form_want_scalar(d, row, node))
		return false;
	sign = find_plus_minus(node->text, &at);
	const char *nominal = sign > 0 ? arena_strndup(d->brief, node->text, at) : node->text;
	if (!read_quantity(d, row, node, nominal, 0, dims, &q))
		return false;
	out->num = q.value;
	out->dim = q.dim;
	out->text = node->text;
	return sign == 0 || read_tolerance(d, row, node, at + sign, out);
}

/* With its tolerance it has to stay within its limits too. */
static bool check_reach(struct decoder *d, const struct attribute *row, const struct node *node,
                        const struct attr *value)
{
	double low = value->num - value->tolerance, high = value->num + value->tolerance;
	bool enough = row->above ? low > row->min : low >= row->min;
	if (enough && high <= row->max)
		return true;
	struct report report = report_at(MISTAKE_OUT_OF_RANGE, node->at);
	report.expected = limits_text(d, row, value->dim);
	const char *where = !enough && row->min >= 0 && low < 0 ? "below zero" :
		mistake_text(d->m, "%s %s", enough ? "up to" : "down to",
		             quantity_text(d->brief, enough ? high : low, value->dim, 4));
	mistake_report(d->m, report, "%s: with its tolerance '%s' reaches %s", row->key, node->text, where);
	return false;
}

bool form_quantity(struct decoder *d, const struct attribute *row, const struct node *node,
                            struct attr *out)
{
	if (!form_read_quantity(d, row, node, row->dims, out) ||
	    !form_check_limits(d, row, node, out->num, out->dim))
		return false;
	return !out->has_tolerance || check_reach(d, row, node, out);
}

/* Bytes of the dash between the two ends of "12-24 V", and where it stands; 0 where there is
 * none. A dash at the very beginning is a sign. */
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

bool form_range(struct decoder *d, const struct attribute *row, const struct node *node,
                         struct attr *out)
{
	struct quantity low, high;
	size_t at, dash;
	if (!form_want_scalar(d, row, node))
		return false;
	dash = find_dash(node->text, &at);
	if (dash == 0) {
		if (!form_quantity(d, row, node, out))
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
	    !form_check_limits(d, row, node, low.value, low.dim) ||
	    !form_check_limits(d, row, node, high.value, high.dim))
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
	report.expected = mistake_text(d->m, "%s %s", sizes.data,
	                               asked->dim == DIM_GAUGE ? "AWG" : "mm2");
	if (thinner != WIRE_NONE && thicker != WIRE_NONE)
		report.hint = mistake_text(d->m, "the nearest are %s and %s", wire_sizes[thinner].name,
		                           wire_sizes[thicker].name);
	mistake_report(d->m, report, "%s: there is no cable of '%s'", row->key, node->text);
}

bool form_size(struct decoder *d, const struct attribute *row, const struct node *node,
                        struct attr *out)
{
	if (!form_read_quantity(d, row, node, row->dims, out))
		return false;
	size_t index = out->dim == DIM_GAUGE ? wire_size_by_gauge(out->num)
	                                     : wire_size_by_area(out->num);
	if (index == WIRE_NONE) {
		report_size(d, row, node, out);
		return false;
	}
	out->tolerance = out->has_tolerance ? out->tolerance / out->num : 0;
	out->num = (double)index;
	return true;
}
