/* Keys of one mapping against the rows of its tables. */
#include "load/field.h"

#include <string.h>

#define NO_ROW SIZE_MAX
#define MOST_ROWS 64            /* bits of `tried` */

size_t fields_count(const struct fields *fields)
{
	return fields->own.count + fields->shared.count;
}

const struct attribute *fields_row(const struct fields *fields, size_t index)
{
	return index < fields->own.count ? &fields->own.rows[index]
	                                 : &fields->shared.rows[index - fields->own.count];
}

static size_t find_row(const struct fields *fields, const char *key, size_t length)
{
	for (size_t i = 0; i < fields_count(fields); i++) {
		const char *name = fields_row(fields, i)->key;
		if (name[0] == key[0] && strncmp(name, key, length) == 0 && name[length] == '\0')
			return i;
	}
	return NO_ROW;
}

const char *fields_owner(struct mistakes *m, const struct fields *fields)
{
	return fields->id ? mistake_text(m, "%s '%s'", fields->word, fields->id) : fields->word;
}

static uint64_t bit(size_t row)
{
	return UINT64_C(1) << row % MOST_ROWS;
}

bool fields_tried(const struct fields *fields, const char *key)
{
	return (fields->tried & bit(find_row(fields, key, strlen(key)))) != 0;
}

static bool forbidden(const struct fields *fields, const struct attribute *row)
{
	return fields->is_type && (row->form == FORM_TYPE || row->form == FORM_TERMINAL);
}

/* The key of entry `i` as the end of the value before it, behind a comma: {length: 3,2 m} and
 * {place: bay 1, top} both read as two keys, the second without a value. */
static bool is_tail(const struct fields *fields, const struct attribute *row,
                    const struct node *map, size_t i)
{
	if (i >= map->count)
		return false;
	const struct node *before = map->entries[i - 1].value, *key = map->entries[i].key;
	const struct place *a = &before->at, *b = &key->at;
	if (before->kind != NODE_SCALAR || before->quoted || key->quoted || node_is_null(before) ||
	    !node_is_null(map->entries[i].value) || a->source != b->source || a->line != b->line ||
	    find_row(fields, key->text, strlen(key->text)) != NO_ROW)
		return false;
	uint32_t behind_comma = a->column + a->length + 1;
	if (row->form == FORM_TEXT)
		return b->column == behind_comma || b->column == behind_comma + 1;
	return b->column == behind_comma && row->dims[0] != DIM__END && key->text[0] >= '0' &&
	       key->text[0] <= '9';
}

static void report_tail(struct decoder *d, const struct attribute *row, const struct node *value,
                        const struct node *tail)
{
	bool close = tail->at.column == value->at.column + value->at.length + 1;
	struct node joined = *value;
	struct attr unused = { .num = 0 };
	joined.text = mistake_text(d->m, "%s,%s%s", value->text, close ? "" : " ", tail->text);
	joined.at.length = tail->at.column + tail->at.length - value->at.column;
	if (row->form != FORM_TEXT) {
		form_decode(d, row, &joined, &unused);
		return;
	}
	mistake_report(d->m, (struct report){ .mistake = MISTAKE_UNQUOTED_COMMA, .place = tail->at,
	                                      .expected = mistake_text(d->m, "%s: \"%s\"", row->key,
	                                                               joined.text) },
	               "inside { } a comma ends the value: '%s' stands alone", tail->text);
}

/* "voltage:24 V", where the blank is missing. Returns the row, or NO_ROW. */
static size_t find_glued(const struct fields *fields, const struct entry *entry)
{
	const char *colon = strchr(entry->key->text, ':');
	if (!colon || !node_is_null(entry->value))
		return NO_ROW;
	return find_row(fields, entry->key->text, (size_t)(colon - entry->key->text));
}

static void report_unknown(struct decoder *d, struct fields *fields, const struct entry *entry)
{
	const char *key = entry->key->text;
	struct report report = { .mistake = MISTAKE_UNKNOWN_KEY, .place = node_inside(entry->key) };
	size_t glued = find_glued(fields, entry);
	if (glued != NO_ROW) {
		report.expected = mistake_text(d->m, "a blank behind the colon: %s: %s",
		                               fields_row(fields, glued)->key, strchr(key, ':') + 1);
		fields->tried |= bit(glued);
	} else {
		struct nearest nearest = nearest_to(key);
		for (size_t i = 0; i < fields_count(fields); i++)
			if (!forbidden(fields, fields_row(fields, i)))
				mistake_offer(d->m, &nearest, fields_row(fields, i)->key);
		report.hint = mistake_hint(d->m, &nearest);
		for (size_t i = 0; i < nearest.count; i++)
			fields->tried |= bit(find_row(fields, nearest.name[i], strlen(nearest.name[i])));
	}
	mistake_report(d->m, report, "unknown key '%s' in %s", key, fields_owner(d->m, fields));
}

static void report_empty(struct decoder *d, const struct attribute *row, const struct node *key)
{
	mistake_report(d->m, (struct report){ .mistake = MISTAKE_EMPTY_VALUE, .place = node_inside(key),
	                                      .expected = mistake_text(d->m, "%s: %s", row->key,
	                                                               form_example(row)) },
	               "'%s' has no value", row->key);
}

/* One entry whose key is known. `first` is the key that gave the same row before, or NULL. */
static void decode_entry(struct decoder *d, struct fields *fields, size_t index,
                         const struct entry *entry, const struct node *first)
{
	const struct attribute *row = fields_row(fields, index);
	struct report report = { .place = node_inside(entry->key) };
	fields->tried |= bit(index);
	if (first) {
		report.mistake = MISTAKE_DUPLICATE_KEY;
		report.hint = mistake_text(d->m, "the first is at %s",
		                           mistake_where(d->m, first->at, entry->key->at));
		mistake_report(d->m, report, "'%s' is given twice in %s", row->key,
		               fields_owner(d->m, fields));
	} else if (forbidden(fields, row)) {
		report.mistake = MISTAKE_NOT_IN_TYPE;
		mistake_report(d->m, report, "a type cannot say '%s', only an item can", row->key);
	} else if (node_is_null(entry->value)) {
		report_empty(d, row, entry->key);
	} else {
		struct attr value = { .origin = d->origin };
		if (form_decode(d, row, entry->value, &value))
			*attribute_slot(row, fields->base) = value;
	}
}

void fields_decode(struct decoder *d, struct fields *fields, const struct node *map)
{
	const struct node *first[MOST_ROWS] = { NULL };
	for (size_t i = 0; i < map->count; i++) {
		const struct entry *entry = &map->entries[i];
		size_t row = find_row(fields, entry->key->text, strlen(entry->key->text));
		if (row == NO_ROW) {
			report_unknown(d, fields, entry);
			continue;
		}
		if (is_tail(fields, fields_row(fields, row), map, i + 1)) {
			fields->tried |= bit(row);
			report_tail(d, fields_row(fields, row), entry->value, map->entries[++i].key);
		} else {
			decode_entry(d, fields, row, entry, first[row]);
		}
		if (!first[row])
			first[row] = entry->key;
	}
}

bool fields_broken(const struct fields *fields)
{
	for (size_t i = 0; i < fields->own.count; i++) {
		const struct attr *value = attribute_value(fields_row(fields, i), fields->base);
		if ((fields->tried & bit(i)) && !attr_has(value))
			return true;
	}
	return false;
}

static bool is_given(const struct fields *fields, size_t index)
{
	return (fields->tried & bit(index)) || attr_said(attribute_value(fields_row(fields, index),
	                                                                  fields->base));
}

/* Whether row `index` has to be asked for. Of two alternatives the first one of the table asks. */
static bool is_missing(const struct fields *fields, size_t index)
{
	const struct attribute *row = fields_row(fields, index);
	if (row->need == NEED_NO || is_given(fields, index))
		return false;
	if (row->need == NEED_YES)
		return true;
	size_t other = find_row(fields, row->partner, strlen(row->partner));
	return index < other && !is_given(fields, other);
}

static void add_missing(struct buf *words, const struct attribute *row, bool last)
{
	if (words->length)
		buf_add(words, last ? " and " : ", ");
	buf_addf(words, "'%s'", row->key);
	if (row->need == NEED_EITHER)
		buf_addf(words, " (or '%s')", row->partner);
}

const char *fields_example(struct mistakes *m, const struct fields *fields)
{
	struct buf example;
	buf_init(&example, m->arena);
	for (size_t i = 0; i < fields_count(fields); i++)
		if (is_missing(fields, i))
			buf_addf(&example, "%s%s: %s", example.length ? ", " : "",
			         fields_row(fields, i)->key, form_example(fields_row(fields, i)));
	return example.data;
}

void fields_check_needs(struct decoder *d, const struct fields *fields, struct place place)
{
	struct buf words;
	size_t missing = 0, listed = 0;
	for (size_t i = 0; i < fields_count(fields); i++)
		missing += is_missing(fields, i);
	if (missing == 0)
		return;
	buf_init(&words, d->brief);
	for (size_t i = 0; i < fields_count(fields); i++)
		if (is_missing(fields, i))
			add_missing(&words, fields_row(fields, i), ++listed == missing);
	struct report report = { .mistake = MISTAKE_MISSING_KEY, .place = place,
	                         .expected = fields_example(d->m, fields) };
	if (fields->has_type)
		report.hint = "say it here or in its type";
	mistake_report(d->m, report, "%s lacks %s", fields_owner(d->m, fields), words.data);
	arena_reset(d->brief);
}
