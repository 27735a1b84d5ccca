/* What was left out, and how much it matters: each assumed value is moved to the ends of its likely range
 * and the whole job solved again. */
#include "advise/advise.h"

#include "base/hash.h"
#include "model/subset.h"

#include <math.h>
#include <string.h>

/* One row per listed attribute: between which values it is likely to lie (as factors of the assumed one,
 * or added kelvins), or else what it decides. Ranges are common practice, no source. */
struct likely {
	enum kind kind;              /* KIND__END: the job itself */
	const char *key;
	double low, high;
	bool added;
	const char *decides;         /* when nothing is solved again */
};

static const struct likely likely[] = {
	{ KIND_STRIP, "loop_resistance", 0.5, 1.5, false, NULL },
	{ KIND_STRIP, "led_knee", 0.91, 1.09, false, NULL },
	{ KIND_CABLE, "joint_resistance", 0.25, 4, false, NULL },
	{ KIND_SWITCH, "on_resistance", 0.4, 2, false, NULL },
	{ KIND__END, "ambient", -10, 15, true, NULL },
	{ KIND_STRIP, "mount", 0, 0, false, "nothing in the circuit; decides whether strip-heat is raised" },
	{ KIND_DRIVER, "trip_current", 0, 0, false,
	  "no figure; decides which cables count as protected by the driver" },
	{ KIND_DRIVER, "selv", 0, 0, false, "no figure; look for the SELV mark on the driver" },
	{ KIND_DRIVER, "class_2", 0, 0, false, "no figure; a Class 2 driver makes cable-unprotected a note" },
};

static const struct likely *likely_of(enum kind kind, const char *key)
{
	for (size_t i = 0; i < sizeof(likely) / sizeof(*likely); i++)
		if (likely[i].kind == kind && strcmp(likely[i].key, key) == 0)
			return &likely[i];
	return NULL;
}

struct collector {
	const struct job *job;
	const struct solution *solution;
	struct arena *arena, *scratch;
	struct assumptions *out;
	struct hash seen;            /* "owner key" -> index in out */
};

static struct assumption *assumption_for(struct collector *c, const char *owner,
                                         const struct attribute *row, size_t most_items)
{
	const char *name = arena_printf(c->scratch, "%s %s", owner, row->key);
	size_t index = hash_put(&c->seen, name, c->out->count);
	if (index == c->out->count) {
		c->out->items = arena_grow(c->arena, c->out->items, c->out->count, &c->out->capacity,
		                           sizeof(struct assumption));
		c->out->items[c->out->count++] = (struct assumption){
			.owner = owner, .row = row, .why = row->why,
			.items = arena_array(c->arena, struct item_ref, most_items),
		};
	}
	return &c->out->items[index];
}

static char *value_text(struct arena *arena, const struct attribute *row, const struct attr *value)
{
	if (row->form == FORM_CHOICE)
		return arena_strdup(arena, row->words[(size_t)value->num]);
	if (row->form == FORM_FLAG)
		return arena_strdup(arena, value->num > 0 ? "yes" : "no");
	return quantity_text(arena, value->num, value->dim, 3);
}

static void add_item(struct collector *c, enum kind kind, size_t index, const struct attribute *row)
{
	struct item *item = job_item(c->job, kind, index);
	const struct attr *value = attribute_value(row, item);
	if (!row->listed || value->origin != ORIGIN_ASSUMED)
		return;
	const char *owner = item->type_name ? item->type_name : kind_words[kind].group;
	struct assumption *a = assumption_for(c, owner, row, job_count(c->job, kind));
	a->items[a->item_count++] = (struct item_ref){ kind, index };
}

static void collect_kind(struct collector *c, enum kind kind)
{
	struct attribute_table table = attributes_of(kind);
	for (size_t r = 0; r < table.count; r++)
		for (size_t i = 0; table.rows[r].listed && i < job_count(c->job, kind); i++)
			add_item(c, kind, i, &table.rows[r]);
}

static void collect_job(struct collector *c)
{
	for (size_t r = 0; r < attributes_job.count; r++) {
		const struct attribute *row = &attributes_job.rows[r];
		const struct attr *value = attribute_value(row, c->job);
		if (row->listed && value->origin == ORIGIN_ASSUMED)
			assumption_for(c, "job", row, 0)->value = value_text(c->arena, row, value);
	}
}

/* Among items that share a type or group the value may differ, as a knee follows the voltage: the list then
 * gives its range. */
static const struct attr *value_of(const struct collector *c, const struct assumption *a, size_t i)
{
	return attribute_value(a->row, job_item(c->job, a->items[i].kind, a->items[i].index));
}

static char *shared_value(struct collector *c, const struct assumption *a)
{
	const struct attr *low = value_of(c, a, 0), *high = low;
	for (size_t i = 1; i < a->item_count; i++) {
		const struct attr *value = value_of(c, a, i);
		if (value->num < low->num)
			low = value;
		if (value->num > high->num)
			high = value;
	}
	if (low->num == high->num)
		return value_text(c->arena, a->row, low);
	return arena_printf(c->arena, "%s to %s", value_text(c->arena, a->row, low),
	                    value_text(c->arena, a->row, high));
}

/* The figures that an assumption can move. */
struct figures { double light, watts; };

static struct figures figures_of(const struct job *job, const struct solution *solution)
{
	struct figures f = { INFINITY, 0 };
	for (size_t i = 0; i < job->strip_count; i++)
		if (solution->strips[i].live)
			f.light = fmin(f.light, solution->strips[i].light_min);
	for (size_t i = 0; i < job->driver_count; i++)
		if (solution->drivers[i].live)
			f.watts += solution->drivers[i].output_w;
	return f;
}

static void move_item(struct job *job, struct item_ref ref, const struct attribute *row, double factor)
{
	struct attr *value = attribute_slot(row, job_item(job, ref.kind, ref.index));
	double ambient = job->ambient.num;
	value->num *= factor;
	value->origin = ORIGIN_GIVEN;        /* so that deriving keeps it */
	switch (ref.kind) {
	case KIND_STRIP:  strip_derive(&job->strips[ref.index], ambient); break;
	case KIND_CABLE:  cable_derive(&job->cables[ref.index], ambient); break;
	case KIND_SWITCH: switch_derive(&job->switches[ref.index]); break;
	case KIND_DRIVER: driver_derive(&job->drivers[ref.index], ambient); break;
	case KIND_BLOCK:
	case KIND__END:   break;
	}
}

static struct figures moved_figures(struct collector *c, const struct assumption *a, double by, bool added)
{
	struct arena *arena = arena_child(c->scratch);
	struct job *job = job_copy(c->job, arena);
	if (a->item_count == 0) {
		job->ambient.num = added ? job->ambient.num + by : job->ambient.num * by;
		job_derive(job);
	}
	for (size_t i = 0; i < a->item_count; i++)
		move_item(job, a->items[i], a->row, by);
	struct figures f = figures_of(job, solve_design_case(job, arena));
	arena_free(arena);
	return f;
}

static char *moved_text(struct collector *c, const struct assumption *a, double by, bool added)
{
	const struct attr *value = a->item_count > 0 ? value_of(c, a, 0) : attribute_value(a->row, c->job);
	return quantity_text(c->arena, added ? value->num + by : value->num * by, value->dim, 3);
}

static const char *effect_of(struct collector *c, const struct assumption *a)
{
	enum kind kind = a->item_count > 0 ? a->items[0].kind : KIND__END;
	const struct likely *l = likely_of(kind, a->row->key);
	if (!l || l->decides)
		return l ? l->decides : "not worked out";
	struct figures low = moved_figures(c, a, l->low, l->added);
	struct figures high = moved_figures(c, a, l->high, l->added);
	struct figures now = figures_of(c->job, c->solution);
	if (isinf(now.light))
		return "nothing: no strip is lit";
	const char *from = moved_text(c, a, l->low, l->added), *to = moved_text(c, a, l->high, l->added);
	if (fabs(low.light - high.light) < 0.005 && fabs(low.watts - high.watts) < 0.005 * now.watts)
		return arena_printf(c->arena, "less than 1 %% between %s and %s", from, to);
	return arena_printf(c->arena, "at %s the dimmest point gives %s and the output is %s; at %s, %s and %s",
		from, quantity_percent(c->arena, low.light), quantity_text(c->arena, low.watts, DIM_WATT, 3),
		to, quantity_percent(c->arena, high.light), quantity_text(c->arena, high.watts, DIM_WATT, 3));
}

void assumptions_of(const struct job *job, const struct solution *solution, struct arena *arena,
                    struct assumptions *out)
{
	struct collector c = { job, solution, arena, arena_child(arena), out, { 0 } };
	*out = (struct assumptions){ 0 };
	hash_init(&c.seen, c.scratch);
	collect_job(&c);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		collect_kind(&c, kind);
	for (size_t i = 0; i < out->count; i++) {
		if (out->items[i].item_count > 0)
			out->items[i].value = shared_value(&c, &out->items[i]);
		out->items[i].effect = effect_of(&c, &out->items[i]);
	}
	arena_free(c.scratch);
}
