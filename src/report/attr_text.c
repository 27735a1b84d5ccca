/* The way back from values to YAML, for what is copied from one item to another. */
#include "report/attr_text.h"

#include "reference/reference.h"

#include <string.h>

#define DIGITS 9                 /* of numbers that have no text of their own */

/* Letters, digits and what stands in quantities and terminals; nothing that YAML reads otherwise. */
bool scalar_is_plain(const char *text)
{
	static const char *const special[] = { "null", "Null", "NULL", "~", "true", "false", "yes", "no" };
	static const char inside[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ._@/+-%*";
	size_t length = strlen(text);
	for (size_t i = 0; i < sizeof(special) / sizeof(special[0]); i++)
		if (strcmp(text, special[i]) == 0)
			return false;
	for (size_t i = 0; i < length; i++)
		if ((unsigned char)text[i] < 0x80 && strchr(inside, text[i]) == NULL)
			return false;
	return length > 0 && strchr(" @-%*", text[0]) == NULL && text[length - 1] != ' ';
}

const char *scalar_text(struct arena *arena, const char *text)
{
	struct buf out;
	if (scalar_is_plain(text))
		return text;
	buf_init(&out, arena);
	buf_add_char(&out, '"');
	for (; *text != '\0'; text++) {
		unsigned char c = (unsigned char)*text;
		if (c < 0x20)
			buf_addf(&out, "\\x%02X", c);
		else
			buf_addf(&out, "%s%c", c == '"' || c == '\\' ? "\\" : "", c);
	}
	buf_add_char(&out, '"');
	return out.data;
}

static void add_curve(struct buf *out, const struct attribute *row, const struct attr *value)
{
	for (size_t i = 0; i < value->point_count; i++) {
		buf_add(out, i > 0 ? ", [" : "[[");
		quantity_add(out, value->points[i].x, row->dims[0], DIGITS);
		buf_add(out, ", ");
		quantity_add(out, value->points[i].y, row->dims[1], DIGITS);
		buf_add_char(out, ']');
	}
	buf_add_char(out, ']');
}

static void add_bench_test(struct buf *out, const struct attribute *row, const struct attr *value)
{
	for (size_t i = 0; i < row->readings->count; i++) {
		const struct attribute *reading = &row->readings->rows[i];
		buf_addf(out, "%s%s: ", i > 0 ? ", " : "{", reading->key);
		quantity_add(out, value->points[i].x, reading->dims[0], DIGITS);
	}
	buf_add_char(out, '}');
}

static void add_sizes(struct buf *out, const struct attr *value)
{
	for (size_t i = 0; i < value->point_count; i++)
		buf_addf(out, "%s%s", i > 0 ? ", " : "[", wire_sizes[(size_t)value->points[i].x].name);
	buf_add_char(out, ']');
}

const char *attr_text(struct arena *arena, const struct attribute *row, const struct attr *value)
{
	struct buf out;
	buf_init(&out, arena);
	switch (row->form) {
	case FORM_CURVE:
		add_curve(&out, row, value);
		break;
	case FORM_BENCH_TEST:
		add_bench_test(&out, row, value);
		break;
	case FORM_SIZES:
		add_sizes(&out, value);
		break;
	case FORM_FLAG:
		buf_add(&out, value->num > 0 ? "yes" : "no");
		break;
	default:
		buf_add(&out, scalar_text(arena, value->text));
		break;
	}
	return out.data;
}
