/* The figures that tell one part from another on a shelf are rows here. */
#include "advise/part.h"

#include "base/text.h"
#include "reference/reference.h"

#include <math.h>
#include <string.h>

#define MOST_TELLING 8

/* One attribute that tells parts apart. */
struct telling {
	const char *key;
	bool must;                   /* a catalogue row has to say it, and alike, to stand for an item */
	const char *after;           /* shown among the figures, followed by this; NULL: not shown */
};

static const struct telling tells[KIND__END][MOST_TELLING] = {
	[KIND_DRIVER] = { { "voltage", true, "" }, { "power", true, "" }, { "max_current", false, NULL },
	                  { "trip_current", false, NULL }, { "selv", false, NULL },
	                  { "class_2", false, NULL }, { "colour", false, "" } },
	[KIND_SWITCH] = { { "kind", true, "" }, { "max_current", true, "" }, { "max_power", false, "" },
	                  { "voltage", false, NULL }, { "colour", false, "" } },
	[KIND_BLOCK] = { { "ports", true, "-way" }, { "max_current", true, "" },
	                 { "port_current", false, NULL }, { "colour", false, "" } },
	[KIND_STRIP] = { { "voltage", true, "" }, { "power", true, "" }, { "cut_length", true, NULL },
	                 { "reel", false, NULL }, { "lumens", false, NULL }, { "ballast", false, NULL },
	                 { "colour", false, "" } },
	[KIND_CABLE] = { { "size", true, "" }, { "stranding", false, "" }, { "insulation", false, NULL },
	                 { "colour", false, "" } },
};

static bool near(double a, double b)
{
	return fabs(a - b) <= 1e-9 * fmax(fabs(a), fabs(b));
}

static bool alike(const struct attribute *row, const struct attr *a, const struct attr *b)
{
	if (row->form == FORM_TEXT)
		return text_equal(a->text, b->text);
	return near(a->num, b->num) && near(a->high, b->high);
}

static const struct item *type_at(const struct job *job, enum kind kind, size_t index)
{
	return (const struct item *)(const void *)((const char *)job->types[kind] + index * kind_size(kind));
}

static const struct item *type_of(const struct job *job, const struct item *item)
{
	for (size_t i = 0; item->type_name != NULL && i < job->type_count[item->kind]; i++)
		if (strcmp(type_at(job, item->kind, i)->id, item->type_name) == 0)
			return type_at(job, item->kind, i);
	return NULL;
}

/* Does the item say of itself something else than its type does? */
static bool departs(const struct item *item, const struct item *type)
{
	for (const struct telling *t = tells[item->kind]; t->key != NULL; t++) {
		const struct attribute *row = attribute_find(item->kind, t->key);
		const struct attr *own = attribute_value(row, item), *typed = attribute_value(row, type);
		if (own->origin >= ORIGIN_GIVEN && attr_said(typed) && !alike(row, own, typed))
			return true;
	}
	return false;
}

/* Has the type every figure that the item needs, and none that it contradicts? */
static bool stands_for(const struct item *type, const struct item *item)
{
	if (!attr_said(&type->price) && !attr_said(&type->part))
		return false;
	for (const struct telling *t = tells[item->kind]; t->key != NULL; t++) {
		const struct attribute *row = attribute_find(item->kind, t->key);
		const struct attr *own = attribute_value(row, item), *typed = attribute_value(row, type);
		if (t->must && !(attr_said(typed) && attr_has(own)))
			return false;
		if ((t->must || (attr_said(own) && attr_said(typed))) && !alike(row, own, typed))
			return false;
	}
	return true;
}

/* The one type that stands for the item, or NULL where none does, or several. */
static const struct item *match(const struct job *job, const struct item *item)
{
	const struct item *found = NULL;
	for (size_t i = 0; i < job->type_count[item->kind]; i++) {
		const struct item *type = type_at(job, item->kind, i);
		if (!stands_for(type, item))
			continue;
		if (found != NULL)
			return NULL;
		found = type;
	}
	return found;
}

static void add_value(struct buf *out, const struct attribute *row, const struct attr *attr)
{
	switch (row->form) {
	case FORM_SIZE:   buf_add(out, wire_sizes[(size_t)attr->num].name); break;
	case FORM_CHOICE: buf_add(out, row->words[(size_t)attr->num]); break;
	case FORM_TEXT:   buf_add(out, attr->text); break;
	default:          quantity_add(out, attr->num, attr->dim, 6); break;
	}
}

/* Of the item; what it leaves unsaid, of the type that stands for it (or NULL). */
static const char *figures(const struct item *item, const struct item *type, struct arena *arena)
{
	struct buf out;
	buf_init(&out, arena);
	for (const struct telling *t = tells[item->kind]; t->key != NULL; t++) {
		const struct attribute *row = attribute_find(item->kind, t->key);
		const struct attr *attr = attribute_value(row, item);
		if (!attr_said(attr) && type != NULL)
			attr = attribute_value(row, type);
		if (t->after == NULL || !attr_said(attr))
			continue;
		buf_add(&out, out.length > 0 ? " " : "");
		add_value(&out, row, attr);
		buf_add(&out, t->after);
	}
	return out.data;
}

/* The value that holds for a part: what the item itself says, else the type that it goes by. */
static const struct attr *held(const struct attr *own, const struct attr *typed)
{
	static const struct attr unset;
	if (own->origin >= ORIGIN_GIVEN)
		return own;
	return typed != NULL && attr_said(typed) ? typed : &unset;
}

struct part part_of(const struct job *job, struct item_ref ref, struct arena *arena)
{
	const struct item *item = job_item(job, ref.kind, ref.index);
	const struct item *type = type_of(job, item);
	const char *changed = NULL;                /* the type that does not hold */
	struct part part = { .type = NULL };
	if (type == NULL || departs(item, type)) {
		changed = type != NULL ? type->id : NULL;
		type = match(job, item);
		part.matched = type != NULL;
	}
	part.figures = figures(item, type, arena);
	const struct attr *code = held(&item->part, type != NULL ? &type->part : NULL);
	const struct attr *price = held(&item->price, type != NULL ? &type->price : NULL);
	const struct attr *pack = held(&item->pack, type != NULL ? &type->pack : NULL);
	if (type != NULL)
		part.type = type->id;
	else if (changed != NULL)
		part.type = arena_printf(arena, "%s, %s", changed, part.figures);
	else if (attr_has(code))
		part.type = code->text;
	else
		part.type = arena_printf(arena, "%s %s", kind_words[ref.kind].word, part.figures);
	part.code = attr_has(code) ? code->text : part.type;
	part.price = attr_has(price) ? price->num : NAN;
	part.pack = attr_has(pack) ? pack->num : 0;
	part.pack_is_length = attr_has(pack) && pack->dim == DIM_LENGTH;
	return part;
}
