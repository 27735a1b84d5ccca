/* `schedule --format json`: the shared head, then the rows of the schedule. */
#include "report/schedule.h"

#include "reference/reference.h"
#include "report/figures.h"
#include "report/json_parts.h"

#include <math.h>

static const char *said(const struct attr *attr)
{
	return attr_has(attr) ? attr->text : NULL;
}

static void open_item(struct json *json, const struct item *item)
{
	json_open_object(json);
	json_member_text(json, "id", item->id);
	json_member_text(json, "place", said(&item->place));
}

static void figures(struct json *json, const struct schedule *s, struct item_ref item,
                    const char *const *keys)
{
	for (; *keys != NULL; keys++)
		json_member_number(json, *keys, figure_number(figure_find(item.kind, *keys), s->check, item));
}

static void protection(struct json *json, const struct schedule *s, const struct schedule_cable *row)
{
	const struct job *job = s->check->job;
	bool fuse = row->fuse != NO_INDEX, driver = !fuse && row->driver != NO_INDEX;
	json_key(json, "protection");
	json_open_object(json);
	json_member_text(json, "by", fuse ? "fuse" : driver ? "driver" : NULL);
	json_member_text(json, "item", fuse ? job->cables[row->fuse].item.id
	                                    : driver ? job->drivers[row->driver].item.id : NULL);
	json_member_number(json, "at_a", fuse ? job->cables[row->fuse].fuse.num
	                                      : driver ? job->drivers[row->driver].trip_a : NAN);
	json_member_flag(json, "enough", !row->unprotected);
	json_close(json);
}

static void cable(struct json *json, const struct schedule *s, const struct schedule_cable *row)
{
	const struct cable *c = &s->check->job->cables[row->cable];
	const struct terminal_result *far = &s->check->solution->terminals[row->far];
	json_open_object(json);
	json_member_text(json, "id", c->item.id);
	json_member_text(json, "place", row->place);
	json_member_text(json, "from", schedule_end(s, row->near));
	json_member_text(json, "to", schedule_end(s, row->far));
	json_member_text(json, "size", wire_sizes[(size_t)c->size.num].name);
	json_member_count(json, "cores", 2);
	json_member_number(json, "length_m", c->length.num);
	json_member_number(json, "cut_length_m", row->cut_m);
	json_member_flag(json, "supplied", c->supplied.num > 0);
	json_member_text(json, "colour", said(&c->item.colour));
	json_member_text(json, "note", said(&c->item.note));
	json_member_number(json, "current_a", row->amps);
	json_member_number(json, "drop_v", row->drop_v);
	json_member_number(json, "drop", row->drop);
	protection(json, s, row);
	json_member_number(json, "expected_v", far->volts);
	json_member_number(json, "expected_low_v", far->volts_low);
	json_member_number(json, "expected_high_v", far->volts_high);
	json_close(json);
}

static void strip(struct json *json, const struct schedule *s, size_t i)
{
	const struct strip *strip = &s->check->job->strips[i];
	const struct figure *feeds = figure_find(KIND_STRIP, "feeds");
	const char *name;
	open_item(json, &strip->item);
	json_member_number(json, "cut_length_m", strip->metres);
	json_member_count(json, "cut_units", strip->units);
	json_key(json, "feeds");
	json_open_array(json);
	for (size_t nth = 0; (name = feeds->list(s->check, i, nth)) != NULL; nth++)
		json_add_text(json, name);
	json_close(json);
	json_member_number(json, "tail_m", attr_has(&strip->tail) ? strip->tail.num : NAN);
	json_member_number(json, "near_v", s->strips[i].near_v);
	json_member_number(json, "far_v", s->strips[i].far_v);
	json_member_number(json, "far_at_m", s->strips[i].far_m);
	json_close(json);
}

static void switch_item(struct json *json, const struct schedule *s, size_t i)
{
	const struct job *job = s->check->job;
	const struct switch_result *result = &s->check->solution->switches[i];
	const struct terminal_result *out = &s->check->solution->terminals[job->switches[i].terminal + 1];
	open_item(json, &job->switches[i].item);
	json_member_text(json, "kind", said(&job->switches[i].kind));
	json_items(json, "controls", job, s->switches[i].strips, s->switches[i].strip_count);
	json_member_number(json, "load_a", result->live ? result->worst_a : NAN);
	json_member_number(json, "rating_a", s->switches[i].limit_a);
	json_member_number(json, "alone_v", out->volts_high);
	json_member_number(json, "all_on_v", out->volts);
	json_close(json);
}

/* One block, with its ports from *at on. */
static void block(struct json *json, const struct schedule *s, size_t i, size_t *at)
{
	static const char *const keys[] = { "v", "current_a", "max_a", "ports", NULL };
	const struct job *job = s->check->job;
	open_item(json, &job->blocks[i].item);
	figures(json, s, (struct item_ref){ KIND_BLOCK, i }, keys);
	json_key(json, "cables");
	json_open_array(json);
	for (; *at < s->port_count && s->ports[*at].block == i; ++*at) {
		size_t row = s->ports[*at].cable;
		if (row != NO_INDEX)
			json_add_text(json, job->cables[s->cables[row].cable].item.id);
	}
	json_close(json);
	json_close(json);
}

static void driver(struct json *json, const struct schedule *s, size_t i)
{
	static const char *const keys[] = { "set_v", "output_a", "output_w", "load_w", "derated_w",
	                                    "headroom", NULL };
	const struct driver *driver = &s->check->job->drivers[i];
	open_item(json, &driver->item);
	figures(json, s, (struct item_ref){ KIND_DRIVER, i }, keys);
	json_member_number(json, "efficiency", driver->efficiency.num);
	json_member_number(json, "input_w", s->drivers[i].input_w);
	json_member_number(json, "input_low_a", s->drivers[i].input_low_a);
	json_member_number(json, "input_high_a", s->drivers[i].input_high_a);
	json_member_number(json, "inrush_a", attr_has(&driver->inrush) ? driver->inrush.num : NAN);
	json_close(json);
}

static void parts(struct json *json, const struct schedule *s)
{
	json_key(json, "parts");
	json_open_array(json);
	for (size_t i = 0; i < s->part_count; i++) {
		const struct schedule_part *part = &s->parts[i];
		json_open_object(json);
		json_member_text(json, "kind", kind_words[part->kind].word);
		json_items(json, "items", s->check->job, part->items, part->item_count);
		json_member_text(json, "match", part->match);
		json_close(json);
	}
	json_close(json);
}

static void items(struct json *json, const struct schedule *s, const char *key, size_t count,
                  void (*one)(struct json *json, const struct schedule *s, size_t i))
{
	json_key(json, key);
	json_open_array(json);
	for (size_t i = 0; i < count; i++)
		one(json, s, i);
	json_close(json);
}

void schedule_json(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	const struct job *job = result->job;
	struct schedule s;
	struct json json;
	size_t port = 0;
	schedule_build(&s, result, out->arena);
	json_init(&json, out);
	json_open_object(&json);
	json_head(&json, job, result->verdict, "schedule");
	json_key(&json, "cables");
	json_open_array(&json);
	for (size_t i = 0; i < job->cable_count; i++)
		cable(&json, &s, &s.cables[i]);
	json_close(&json);
	items(&json, &s, "strips", job->strip_count, strip);
	items(&json, &s, "switches", job->switch_count, switch_item);
	json_key(&json, "blocks");
	json_open_array(&json);
	for (size_t i = 0; i < job->block_count; i++)
		block(&json, &s, i, &port);
	json_close(&json);
	items(&json, &s, "drivers", job->driver_count, driver);
	parts(&json, &s);
	json_cautions(&json);
	json_close(&json);
}
