/* One attribute as a member of "properties": its line of the manual, its default, and what may stand
 * there. */
#include "report/schema_row.h"

#include "report/schema.h"

#include <math.h>

const char *const schema_dim_names[DIM__END] = {
	[DIM_RATIO] = "ratio",             [DIM_LENGTH] = "length",
	[DIM_AREA] = "area",               [DIM_GAUGE] = "gauge",
	[DIM_VOLT] = "voltage",            [DIM_AMP] = "current",
	[DIM_WATT] = "power",              [DIM_WATT_PER_M] = "power_per_length",
	[DIM_OHM] = "resistance",          [DIM_OHM_PER_M] = "resistance_per_length",
	[DIM_LUMEN_PER_M] = "light_per_length", [DIM_CELSIUS] = "temperature",
};

void schema_texts(struct schema *s, const char *key, const char *const *list)
{
	json_key(&s->json, key);
	json_open_array(&s->json);
	for (; *list; list++)
		json_add_text(&s->json, *list);
	json_close(&s->json);
}

void schema_reference(struct schema *s, const char *definition)
{
	json_open_object(&s->json);
	json_member_text(&s->json, "$ref", arena_printf(s->arena, "#/definitions/%s", definition));
	json_close(&s->json);
}

void schema_member_reference(struct schema *s, const char *key, const char *definition)
{
	json_key(&s->json, key);
	schema_reference(s, definition);
}

void schema_open_member(struct schema *s, const char *key)
{
	json_key(&s->json, key);
	json_open_object(&s->json);
}

static void schema_refer(struct schema *s, const char *definition)
{
	json_key(&s->json, "allOf");
	json_open_array(&s->json);
	schema_reference(s, definition);
	json_close(&s->json);
}

const char *schema_meant(struct schema *s, enum dim dim)
{
	return arena_printf(s->arena, "%s, such as %s", dim_words(dim), dim_example(dim));
}

void schema_string(struct schema *s, const char *pattern, const char *meant)
{
	json_open_object(&s->json);
	json_member_text(&s->json, "type", "string");
	json_member_text(&s->json, "pattern", pattern);
	json_member_text(&s->json, "patternErrorMessage", meant);
	json_close(&s->json);
}

/* "From 1 V to 120 V." */
static void add_limits(struct buf *out, const struct attribute *row)
{
	const double ends[] = { row->min, row->max };
	if (row->form != FORM_QUANTITY && row->form != FORM_RANGE)
		return;
	for (size_t i = 0; i < 2; i++) {
		buf_add(out, i == 0 ? row->above ? " More than " : " From " : row->above ? ", at most " : " to ");
		for (const enum dim *dim = row->dims; *dim != DIM__END; dim++) {
			buf_add(out, dim > row->dims ? " or " : "");
			quantity_add(out, ends[i], *dim, 6);
		}
	}
	buf_add_char(out, '.');
}

static const char *assumed_text(struct schema *s, const struct attribute *row)
{
	if (isnan(row->assumed))
		return NULL;
	if (row->form == FORM_CHOICE)
		return row->words[(size_t)row->assumed];
	if (row->form == FORM_FLAG)
		return row->assumed > 0 ? "yes" : "no";
	return quantity_text(s->arena, row->assumed, row->dims[0], 6);
}

/* The line of the manual, and what happens where the row is left out. */
static const char *description(struct schema *s, const struct attribute *row)
{
	const char *assumed = assumed_text(s, row);
	struct buf out;
	buf_init(&out, s->arena);
	buf_addf(&out, "%s.", row->about);
	add_limits(&out, row);
	if (row->need == NEED_YES)
		buf_add(&out, " Needed.");
	if (row->need == NEED_EITHER)
		buf_addf(&out, " This or '%s' is needed.", row->partner);
	if (row->need == NEED_NO && row->partner)
		buf_addf(&out, " Together with '%s'.", row->partner);
	if (assumed)
		buf_addf(&out, " Left out: %s.", assumed);
	if (row->why)
		buf_addf(&out, " (%s)", row->why);
	return out.data;
}

static void member_limit(struct schema *s, const struct attribute *row)
{
	json_member_number(&s->json, row->above ? "exclusiveMinimum" : "minimum", row->min);
	json_member_number(&s->json, "maximum", row->max);
}

/* A count or a price: a number of YAML, or the same in quotation marks. */
static void plain_value(struct schema *s, const struct attribute *row, enum dim dim)
{
	json_open_object(&s->json);
	json_member_text(&s->json, "type", dim == DIM_COUNT ? "integer" : "number");
	member_limit(s, row);
	json_close(&s->json);
	schema_string(s, schema_quantity_pattern(s->arena, dim, row->min < 0), schema_meant(s, dim));
}

static void quantity_value(struct schema *s, const struct attribute *row)
{
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	for (const enum dim *dim = row->dims; *dim != DIM__END; dim++) {
		if (*dim == DIM_COUNT || *dim == DIM_NUMBER)
			plain_value(s, row, *dim);
		else if (row->min < 0)
			schema_string(s, schema_quantity_pattern(s->arena, *dim, true), schema_meant(s, *dim));
		else
			schema_reference(s, schema_dim_names[*dim]);
	}
	json_close(&s->json);
}

/* [[40 C, 100 %], [60 C, 70 %]] */
static void curve_value(struct schema *s, const struct attribute *row)
{
	json_member_text(&s->json, "type", "array");
	json_member_count(&s->json, "minItems", 1);
	schema_open_member(s, "items");
	json_member_text(&s->json, "type", "array");
	json_key(&s->json, "items");
	json_open_array(&s->json);
	schema_reference(s, row->dims[0] == DIM_CELSIUS ? "any_temperature" : schema_dim_names[row->dims[0]]);
	schema_reference(s, schema_dim_names[row->dims[1]]);
	json_close(&s->json);
	json_member_count(&s->json, "minItems", 2);
	json_member_count(&s->json, "maxItems", 2);
	json_close(&s->json);
}

static void range_value(struct schema *s, const struct attribute *row)
{
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	schema_reference(s, schema_dim_names[row->dims[0]]);
	schema_string(s, schema_range_pattern(s->arena, row->dims[0]), "a range, such as 12-24 V");
	json_close(&s->json);
}

static void files_value(struct schema *s)
{
	json_key(&s->json, "anyOf");
	json_open_array(&s->json);
	schema_reference(s, "text");
	json_open_object(&s->json);
	json_member_text(&s->json, "type", "array");
	schema_member_reference(s, "items", "text");
	json_member_flag(&s->json, "uniqueItems", true);
	json_close(&s->json);
	json_open_object(&s->json);
	json_member_text(&s->json, "type", "null");
	json_close(&s->json);
	json_close(&s->json);
}

static void value_of(struct schema *s, const struct attribute *row)
{
	switch (row->form) {
	case FORM_QUANTITY:  quantity_value(s, row); break;
	case FORM_RANGE:     range_value(s, row); break;
	case FORM_CURVE:     curve_value(s, row); break;
	case FORM_CHOICE:    schema_texts(s, "enum", row->words); break;
	case FORM_FILES:     files_value(s); break;
	case FORM_FLAG:      schema_refer(s, "flag"); break;
	case FORM_SIZE:      schema_refer(s, "size"); break;
	case FORM_SIZES:     schema_refer(s, "sizes"); break;
	case FORM_BENCH_TEST: schema_refer(s, row->key); break;
	case FORM_TERMINAL:  schema_refer(s, "terminal"); break;
	case FORM_TEXT:
	case FORM_TYPE:      schema_refer(s, "text"); break;
	}
}

void schema_property(struct schema *s, const struct attribute *row)
{
	schema_open_member(s, row->key);
	json_member_text(&s->json, "description", description(s, row));
	if (row->form == FORM_FLAG && !isnan(row->assumed))
		json_member_flag(&s->json, "default", row->assumed > 0);
	else if (!isnan(row->assumed))
		json_member_text(&s->json, "default", assumed_text(s, row));
	value_of(s, row);
	json_close(&s->json);
}

