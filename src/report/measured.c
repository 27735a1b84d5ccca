/* One entry for each attribute and type, as the assumed list has them: "loop_resistance of warm (L1, L2):
 * 0.131 ohm/m, from its reel_test". Lengths as built are one entry for all strips, and one for all
 * cables. */
#include "report/measured.h"

#include "report/item_list.h"
#include "report/json_parts.h"

#include <string.h>

struct measured {
	const char *attribute, *owner, *from;
	enum dim dim;
	double low, high;            /* over its items */
	struct item_ref *items;
	size_t count, capacity;
};

struct measured_list {
	struct arena *arena;
	struct measured *items;
	size_t count, capacity;
	struct hash seen;            /* owner, attribute and origin to an index of items */
};

static const char reel[] = "reel_test", piece[] = "piece_test", built[] = "as built";

static void add(struct measured_list *list, struct item_ref item, struct measured found, double value)
{
	const char *name = arena_printf(list->arena, "%s %s %s", found.owner, found.attribute, found.from);
	size_t index = hash_put(&list->seen, name, list->count);
	found.low = found.high = value;
	if (index == list->count) {
		list->items = arena_grow(list->arena, list->items, list->count, &list->capacity,
		                         sizeof *list->items);
		list->items[list->count++] = found;
	}
	struct measured *m = &list->items[index];
	m->low = value < m->low ? value : m->low;
	m->high = value > m->high ? value : m->high;
	m->items = arena_grow(list->arena, m->items, m->count, &m->capacity, sizeof *m->items);
	m->items[m->count++] = item;
}

static void add_strip(struct measured_list *list, const struct job *job, size_t i)
{
	const struct strip *s = &job->strips[i];
	const struct item_ref item = { KIND_STRIP, i };
	const char *group = kind_words[KIND_STRIP].group;
	const char *owner = s->item.type_name ? s->item.type_name : group;
	bool of_reel = s->loop_measured && s->reel_test.origin >= s->power.origin;
	if (s->loop_measured)
		add(list, item, (struct measured){ .attribute = "loop_resistance", .owner = owner, .from = reel,
		                                   .dim = DIM_OHM_PER_M }, s->loop_ohm_per_m);
	if (s->power_measured)
		add(list, item, (struct measured){ .attribute = "power", .owner = owner,
		                                   .from = of_reel ? reel : piece,
		                                   .dim = DIM_WATT_PER_M }, s->power_w_per_m);
	if (s->knee_measured)
		add(list, item, (struct measured){ .attribute = "led_knee", .owner = owner, .from = piece,
		                                   .dim = DIM_VOLT }, s->law.v_knee);
	if (s->length.origin == ORIGIN_BUILT)
		add(list, item, (struct measured){ .attribute = "length", .owner = group, .from = built,
		                                   .dim = DIM_LENGTH }, s->metres);
}

static struct measured_list measured_in(const struct job *job, struct arena *arena)
{
	struct measured_list list = { .arena = arena };
	hash_init(&list.seen, arena);
	for (size_t i = 0; i < job->strip_count; i++)
		add_strip(&list, job, i);
	for (size_t i = 0; i < job->cable_count; i++)
		if (job->cables[i].length.origin == ORIGIN_BUILT)
			add(&list, (struct item_ref){ KIND_CABLE, i },
			    (struct measured){ .attribute = "length", .owner = kind_words[KIND_CABLE].group,
			                       .from = built, .dim = DIM_LENGTH }, job->cables[i].length.num);
	return list;
}

/* A tape and a voltmeter give a digit more than what is worked out of readings. */
static const char *one_text(struct arena *arena, const struct measured *m, double value,
                            enum length_system lengths)
{
	enum length_sort sort = m->items[0].kind == KIND_CABLE ? LENGTH_CABLE : LENGTH_TAPE;
	if (m->dim == DIM_LENGTH)
		return quantity_length_in(arena, value, lengths, sort, 4);
	return quantity_text(arena, value, m->dim, m->dim == DIM_VOLT ? 4 : 3);
}

static const char *value_text(struct arena *arena, const struct measured *m, enum length_system lengths)
{
	const char *low = one_text(arena, m, m->low, lengths), *high = one_text(arena, m, m->high, lengths);
	return strcmp(low, high) == 0 ? low : arena_printf(arena, "%s to %s", low, high);
}

void page_measured(const struct page *page, const struct job *job)
{
	struct measured_list list = measured_in(job, page->arena);
	if (list.count == 0)
		return;
	enum length_system lengths = job_lengths(job);
	page_heading(page, "Measured, not taken from plan or label");
	for (size_t i = 0; i < list.count; i++) {
		const struct measured *m = &list.items[i];
		struct buf line;
		buf_init(&line, page->arena);
		buf_addf(&line, "- %s of %s (", m->attribute, m->owner);
		items_add(&line, job, m->items, m->count);
		buf_addf(&line, "): %s, %s%s", value_text(page->arena, m, lengths), m->from == built ? "" : "from its ",
		         m->from);
		page_paragraph(page, line.data, 0, 2);
	}
}

void json_measured(struct json *json, const struct job *job)
{
	struct arena *arena = arena_child(json->out->arena);
	struct measured_list list = measured_in(job, arena);
	json_key(json, "measured");
	json_open_array(json);
	for (size_t i = 0; i < list.count; i++) {
		const struct measured *m = &list.items[i];
		json_open_object(json);
		json_items(json, "items", job, m->items, m->count);
		json_member_text(json, "attribute", m->attribute);
		json_member_text(json, "value", value_text(arena, m, LENGTHS_METRIC));
		json_member_text(json, "from", m->from);
		json_member_text(json, "owner", m->owner);
		json_close(json);
	}
	json_close(json);
	arena_free(arena);
}
