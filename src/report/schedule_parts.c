/* What a replacement must match, years later: parts with the same demands are one row. */
#include "report/schedule.h"

#include "base/hash.h"
#include "reference/reference.h"

static const char *amount(struct arena *arena, double value, enum dim dim)
{
	return quantity_text(arena, value, dim, 4);
}

static const char *range(struct arena *arena, const struct attr *attr)
{
	if (attr->num == attr->high)
		return amount(arena, attr->num, DIM_VOLT);
	return arena_printf(arena, "%.6g to %s", attr->num, amount(arena, attr->high, DIM_VOLT));
}

static void match_driver(struct buf *out, const struct job *job, size_t i)
{
	const struct driver *d = &job->drivers[i];
	buf_addf(out, "%s DC constant voltage, set to %s; at least %s and %s",
	         amount(out->arena, d->voltage.num, DIM_VOLT), quantity_volts(out->arena, d->set_v),
	         amount(out->arena, d->power.num, DIM_WATT), amount(out->arena, d->rated_a, DIM_AMP));
	buf_addf(out, "; shuts down at no more than %s; SELV", amount(out->arena, d->trip_a, DIM_AMP));
	if (d->class_2.num > 0)
		buf_add(out, "; limited power (class 2)");
	if (attr_has(&d->mains))
		buf_addf(out, "; mains %s", range(out->arena, &d->mains));
}

static void match_switch(struct buf *out, const struct job *job, size_t i)
{
	const struct switch_item *s = &job->switches[i];
	if (attr_has(&s->kind))
		buf_addf(out, "kind: %s; ", s->kind.text);
	if (attr_has(&s->voltage))
		buf_addf(out, "%s DC; ", range(out->arena, &s->voltage));
	buf_addf(out, "at least %s",
	         attr_has(&s->max_current) ? amount(out->arena, s->max_current.num, DIM_AMP)
	                                   : amount(out->arena, s->max_power.num, DIM_WATT));
	buf_addf(out, "; no more than %s when on", amount(out->arena, s->on_ohm, DIM_OHM));
}

static void match_block(struct buf *out, const struct job *job, size_t i)
{
	const struct block *b = &job->blocks[i];
	buf_addf(out, "%.0f two-core ports or more; at least %s in all", b->ports.num,
	         amount(out->arena, b->max_current.num, DIM_AMP));
	if (attr_has(&b->port_current))
		buf_addf(out, ", %s a port", amount(out->arena, b->port_current.num, DIM_AMP));
}

static void match_strip(struct buf *out, const struct job *job, size_t i)
{
	const struct strip *s = &job->strips[i];
	buf_addf(out, "%s; %s; a cut mark every %s; %s", amount(out->arena, s->voltage.num, DIM_VOLT),
	         amount(out->arena, s->power_w_per_m, DIM_WATT_PER_M),
	         quantity_length_in(out->arena, s->pitch, attr_lengths(&s->cut_length), LENGTH_TAPE, 0),
	         s->ballast.num > 0 ? "constant current" : "series resistors");
	buf_addf(out, "; copper of no more than %s (both rails)",
	         amount(out->arena, s->loop_ohm_per_m, DIM_OHM_PER_M));
	if (attr_has(&s->lumens))
		buf_addf(out, "; %s", amount(out->arena, s->lumens.num, DIM_LUMEN_PER_M));
}

static void match_cable(struct buf *out, const struct job *job, size_t i)
{
	const struct cable *c = &job->cables[i];
	buf_addf(out, "two-core, %s or thicker, %s; insulation for %s",
	         wire_sizes[(size_t)c->size.num].name, c->stranding.num > 0 ? "solid" : "flexible",
	         amount(out->arena, c->insulation.num, DIM_CELSIUS));
	if (attr_has(&c->fuse))
		buf_addf(out, "; fuse %s at the end nearer the driver",
		         amount(out->arena, c->fuse.num, DIM_AMP));
}

typedef void match_item(struct buf *out, const struct job *job, size_t i);

static match_item *const matches[KIND__END] = {
	[KIND_DRIVER] = match_driver, [KIND_SWITCH] = match_switch, [KIND_BLOCK] = match_block,
	[KIND_STRIP] = match_strip, [KIND_CABLE] = match_cable,
};

/* What it must match, and what it was ordered as. */
static const char *match_text(struct arena *arena, const struct job *job, struct item_ref item)
{
	const struct item *head = job_item(job, item.kind, item.index);
	struct buf text;
	buf_init(&text, arena);
	matches[item.kind](&text, job, item.index);
	if (attr_has(&head->colour))
		buf_addf(&text, "; %s", head->colour.text);
	if (attr_has(&head->part))
		buf_addf(&text, "; ordered as %s", head->part.text);
	return text.data;
}

static void add_part(struct schedule *s, struct hash *known, struct item_ref item, struct arena *arena)
{
	const char *match = match_text(arena, s->check->job, item);
	const char *key = arena_printf(arena, "%d %s", (int)item.kind, match);
	size_t at = hash_put(known, key, s->part_count);
	if (at == s->part_count) {
		s->parts = arena_grow(arena, s->parts, s->part_count, &s->part_capacity, sizeof(*s->parts));
		s->parts[s->part_count++] = (struct schedule_part){ .kind = item.kind, .match = match };
	}
	struct schedule_part *part = &s->parts[at];
	part->items = arena_grow(arena, part->items, part->item_count, &part->item_capacity,
	                         sizeof(*part->items));
	part->items[part->item_count++] = item;
}

void schedule_find_parts(struct schedule *s, struct arena *arena)
{
	static const enum kind order[] = {
		KIND_DRIVER, KIND_STRIP, KIND_SWITCH, KIND_BLOCK, KIND_CABLE,
	};
	struct hash known;
	hash_init(&known, arena);
	for (size_t k = 0; k < sizeof(order) / sizeof(order[0]); k++)
		for (size_t i = 0; i < job_count(s->check->job, order[k]); i++)
			add_part(s, &known, (struct item_ref){ order[k], i }, arena);
}
