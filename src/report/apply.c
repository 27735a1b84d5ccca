/* From a plan to edits. Each item is looked up in the text once; a value that it says itself is replaced,
 * one that comes from a type, a default or a merged mapping is said at the item from now on. */
#include "report/apply.h"

#include "base/edit.h"
#include "reference/reference.h"
#include "report/attr_text.h"
#include "report/written.h"

#include <math.h>
#include <string.h>

#define DIGITS 5
#define CUT_DIGITS 7             /* a strip's length has to stay on its cut marks */

double apply_length(double metres)
{
	return ceil(metres / APPLY_LENGTH_STEP - 1e-6) * APPLY_LENGTH_STEP;
}

struct applier {
	const struct job *job;
	const struct size_plan *plan;
	struct diags *diags;
	struct arena *arena;
	struct edits edits;
	enum length_system lengths;  /* that the file is written in */
	bool good;
};

/* One item while its values are changed. */
struct target {
	struct applier *a;
	const struct item *item;
	const struct source *source;
	struct written written;
	bool refused;
};

static void refuse(struct target *t, const char *message, const char *hint)
{
	if (!t->refused)
		diags_add(t->a->diags, &(struct diag){
			.level = DIAG_ERROR, .kind = "cannot-edit", .place = t->item->at,
			.message = arena_printf(t->a->arena, "%s '%s' %s", kind_words[t->item->kind].word,
			                        t->item->id, message),
			.hint = hint,
		});
	t->refused = true;
	t->a->good = false;
}

static struct target open_item(struct applier *a, const struct item *item)
{
	return (struct target){ .a = a, .item = item, .source = item->at.source,
	                        .written = written_item(item, a->arena) };
}

/* How the line at `at` ends; the last one, where it has no end, like the first. */
static const char *line_break(const struct source *source, size_t at)
{
	at += strcspn(source->bytes + at, "\r\n");
	if (source->bytes[at] == '\0')
		at = strcspn(source->bytes, "\r\n");
	if (source->bytes[at] != '\r')
		return "\n";
	return source->bytes[at + 1] == '\n' ? "\r\n" : "\r";
}

/* The blanks that a line of the block begins with. */
static const char *indentation(const struct target *t, size_t at)
{
	size_t line = at;
	while (line > 0 && t->source->bytes[line - 1] != '\n' && t->source->bytes[line - 1] != '\r')
		line--;
	return arena_printf(t->a->arena, "%*s", (int)(at - line), "");
}

/* Says one more thing, before everything else that the item says. */
static void insert_key(struct target *t, const char *key, const char *text)
{
	const struct written *w = &t->written;
	const char *after = ", ";
	size_t at = w->count > 0 ? w->entries[0].key : w->body + 1;
	if (w->form == WRITTEN_BLOCK)
		after = arena_printf(t->a->arena, "%s%s", line_break(t->source, at), indentation(t, at));
	edits_insert(&t->a->edits, at,
	             arena_printf(t->a->arena, "%s: %s%s", key, text, w->count > 0 ? after : ""));
}

/* Takes the place of a value; a quoted one stays quoted in its way. */
static void replace_value(struct target *t, const struct written_entry *e, const char *text)
{
	const char *old = t->source->bytes + e->value;
	bool quoted = e->value_length > 1 && (old[0] == '"' || old[0] == '\'');
	if (e->value_length == 0 || strcspn(old, "\r\n") < e->value_length)
		refuse(t, "has a value over several lines, which cannot be changed here", "put it on one line");
	else if (quoted && scalar_is_plain(text))
		edits_replace(&t->a->edits, e->value + 1, e->value_length - 2, text);
	else
		edits_replace(&t->a->edits, e->value, e->value_length, text);
}

/* Can the item be changed at all? */
static bool editable(struct target *t)
{
	if (t->written.form == WRITTEN_ALIAS)
		refuse(t, "is another item under a second name, so it cannot be changed on its own",
		       "write it out in full");
	else if (t->written.form == WRITTEN_OTHER)
		refuse(t, "is written in a way that cannot be changed here", "write it as NAME: {key: value}");
	return !t->refused;
}

static void put(struct target *t, const char *key, const char *text)
{
	if (!editable(t))
		return;
	const struct written_entry *entry = written_find(&t->written, t->source, key);
	if (entry != NULL)
		replace_value(t, entry, text);
	else
		insert_key(t, key, text);
}

static void put_quantity(struct target *t, const char *key, double value, enum dim dim)
{
	put(t, key, quantity_text(t->a->arena, value, dim, DIGITS));
}

/* A strip that is cut into runs has a length, and no channel to fill. */
static void put_cut_length(struct target *t, double metres)
{
	const struct written_entry *channel = written_find(&t->written, t->source, "channel");
	if (channel != NULL && written_find(&t->written, t->source, "length") == NULL) {
		edits_replace(&t->a->edits, channel->key, channel->key_length, "length");
		replace_value(t, channel, quantity_text(t->a->arena, metres, DIM_LENGTH, CUT_DIGITS));
	} else {
		put(t, "length", quantity_text(t->a->arena, metres, DIM_LENGTH, CUT_DIGITS));
	}
}

/* ------- drivers */

static const struct driver *driver_type(const struct job *job, const char *id)
{
	const struct driver *types = job->types[KIND_DRIVER];
	for (size_t i = 0; id != NULL && i < job->type_count[KIND_DRIVER]; i++)
		if (strcmp(types[i].item.id, id) == 0)
			return &types[i];
	return NULL;
}

static bool is_listed(const char *const *names, const char *name)
{
	while (*names != NULL && strcmp(*names, name) != 0)
		names++;
	return *names != NULL;
}

/* What the item says itself where its new type says it too becomes what the type says. */
static void take_over(struct target *t, struct attribute_table table, const struct driver *now,
                      const struct driver *type)
{
	static const char *const of_the_item[] = { "type", "place", "note", NULL };
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		const struct attr *said = attribute_value(row, type);
		if (!is_listed(of_the_item, row->key) && attr_said(said) &&
		    attribute_value(row, now)->origin == ORIGIN_GIVEN)
			put(t, row->key, attr_text(t->a->arena, row, said));
	}
}

static void follow_power(struct target *t, const struct driver *now, const struct driver *type, double watts)
{
	bool amps = attr_said(&now->max_current), trip = attr_said(&now->trip_current);
	if (type != NULL) {          /* the old type's are gone with it */
		amps = now->max_current.origin == ORIGIN_GIVEN && !attr_said(&type->max_current);
		trip = now->trip_current.origin == ORIGIN_GIVEN && !attr_said(&type->trip_current);
	}
	double rated = watts / now->voltage.num;
	if (trip)
		put_quantity(t, "trip_current", TRIP_FACTOR * rated, DIM_AMP);
	if (amps)
		put_quantity(t, "max_current", rated, DIM_AMP);
}

static void apply_driver(struct applier *a, size_t i)
{
	const struct driver *now = &a->job->drivers[i];
	const struct driver_plan *plan = &a->plan->drivers[i];
	const struct driver *type = driver_type(a->job, plan->part);
	if (plan->proposed_w == plan->now_w)
		return;
	struct target t = open_item(a, &now->item);
	follow_power(&t, now, type, plan->proposed_w);
	if (type == NULL) {
		put_quantity(&t, "power", plan->proposed_w, DIM_WATT);
		if (now->class_2.num > 0 && !(a->plan->sized->drivers[i].class_2.num > 0))
			put(&t, "class_2", "no");
		return;
	}
	take_over(&t, attributes_of(KIND_DRIVER), now, type);
	take_over(&t, attributes_shared, now, type);
	put(&t, "type", scalar_text(a->arena, type->item.id));
}

/* ------- cables and strips that are there */

/* In the units of the job. Inches and hundredths of a foot are closer to it than APPLY_LENGTH_STEP. */
static const char *cable_length(const struct applier *a, double metres)
{
	int digits = a->lengths == LENGTHS_METRIC ? DIGITS : 0;
	return quantity_length_in(a->arena, apply_length(metres), a->lengths, LENGTH_CABLE, digits);
}

static void apply_cable(struct applier *a, size_t i)
{
	const struct cable *now = &a->job->cables[i], *sized = &a->plan->sized->cables[i];
	const struct cable_plan *plan = &a->plan->cables[i];
	struct target t = open_item(a, &now->item);
	if (plan->fuse_proposed != plan->fuse_now)
		put_quantity(&t, "fuse", plan->fuse_proposed, DIM_AMP);
	if (plan->proposed != plan->now) {
		if (attr_said(&now->rating))
			put_quantity(&t, "rating", wire_sizes[plan->proposed].rating_a, DIM_AMP);
		put(&t, "size", wire_sizes[plan->proposed].name);
	}
	for (size_t k = 0; k < a->plan->moved_count; k++)
		if (a->plan->moved[k].cable == i)
			put(&t, a->plan->moved[k].at_from ? "from" : "to",
			    scalar_text(a->arena, a->plan->moved[k].to));
	if (fabs(sized->length.num - now->length.num) > 1e-9)
		put(&t, "length", cable_length(a, sized->length.num));
}

static void apply_strip(struct applier *a, size_t i)
{
	if (a->plan->sized->strips[i].units == a->job->strips[i].units)
		return;
	struct target t = open_item(a, &a->job->strips[i].item);
	if (editable(&t))
		put_cut_length(&t, a->plan->sized->strips[i].length.num);
}

/* ------- items that are new */

/* A new item behind one that is there: on the next line, or within the same braces. */
static void insert_item(struct target *t, const char *id, const char *body)
{
	const struct written *w = &t->written;
	struct arena *arena = t->a->arena;
	if (w->form == WRITTEN_OTHER) {
		editable(t);
		return;
	}
	if (w->in_flow) {
		edits_insert(&t->a->edits, w->end, arena_printf(arena, ", %s: %s", id, body));
		return;
	}
	const char *end = line_break(t->source, w->id), *indent = indentation(t, w->id);
	size_t at = w->end + strcspn(t->source->bytes + w->end, "\r\n");
	if (at == t->source->size)
		edits_insert(&t->a->edits, at, arena_printf(arena, "%s%s%s: %s", end, indent, id, body));
	else
		edits_insert(&t->a->edits, at + strlen(line_break(t->source, at)),
		             arena_printf(arena, "%s%s: %s%s", indent, id, body, end));
}

/* Was it written, or does it only stand for what was: a joint's resistance, a reel test's result? */
static bool is_written(struct applier *a, const struct attribute *row, const struct attr *value)
{
	if (value->origin != ORIGIN_GIVEN || row->form != FORM_QUANTITY)
		return value->origin == ORIGIN_GIVEN;
	return value->text != NULL && quantity_parse(a->arena, value->text, row->dims).value == value->num;
}

/* "type: run, joint: screw, ": what an item says itself, without what `leave` names. */
static void add_said(struct applier *a, struct buf *out, enum kind kind, const void *item,
                     const char *const *leave)
{
	struct attribute_table tables[] = { attributes_shared, attributes_of(kind) };
	for (size_t k = 0; k < sizeof(tables) / sizeof(tables[0]); k++)
		for (size_t i = 0; i < tables[k].count; i++) {
			const struct attribute *row = &tables[k].rows[i];
			const struct attr *value = attribute_value(row, item);
			if (is_written(a, row, value) && !is_listed(leave, row->key))
				buf_addf(out, "%s: %s, ", row->key, attr_text(a->arena, row, value));
		}
}

/* A run of a strip that was one: it says what the strip said, and has been copied with its place. */
static void insert_strip(struct applier *a, size_t index)
{
	static const char *const leave[] = { "length", "channel", "note", "tail", NULL };
	const struct strip *strip = &a->plan->sized->strips[index];
	size_t from = 0;
	while (a->job->strips[from].item.at.line != strip->item.at.line ||
	       a->job->strips[from].item.at.column != strip->item.at.column)
		from++;
	struct target t = open_item(a, &a->job->strips[from].item);
	struct buf body;
	buf_init(&body, a->arena);
	buf_add_char(&body, '{');
	add_said(a, &body, KIND_STRIP, &a->job->strips[from], leave);
	buf_addf(&body, "length: %s}", quantity_text(a->arena, strip->length.num, DIM_LENGTH, CUT_DIGITS));
	insert_item(&t, strip->item.id, body.data);
}

static void insert_cable(struct applier *a, const struct added_cable *added)
{
	static const char *const leave[] = {
		"from", "to", "length", "size", "rating", "fuse", "supplied", "place", "note", "part", "price",
		"pack", NULL
	};
	const struct cable *like = &a->job->cables[added->like];
	struct target t = open_item(a, &like->item);
	struct buf body;
	buf_init(&body, a->arena);
	buf_add_char(&body, '{');
	add_said(a, &body, KIND_CABLE, like, leave);
	buf_addf(&body, "from: %s, to: %s, length: %s, size: %s", scalar_text(a->arena, added->from),
	         scalar_text(a->arena, added->to),
	         cable_length(a, added->metres),
	         wire_sizes[added->wire].name);
	if (attr_said(&like->rating) && added->wire != (size_t)like->size.num)
		buf_addf(&body, ", rating: %s",
		         quantity_text(a->arena, wire_sizes[added->wire].rating_a, DIM_AMP, DIGITS));
	buf_add_char(&body, '}');
	insert_item(&t, added->id, body.data);
}

/* The file that the items stand in. */
static const struct source *job_source(const struct job *job)
{
	for (enum kind kind = 0; kind < KIND__END; kind++)
		if (job_count(job, kind) > 0)
			return job_item(job, kind, 0)->at.source;
	return NULL;
}

bool apply_size(const struct job *job, const struct size_plan *plan, struct diags *diags,
                struct buf *out)
{
	const struct source *source = job_source(job);
	struct applier a = { .job = job, .plan = plan, .diags = diags, .arena = out->arena, .good = true,
	                     .lengths = job_lengths(job) };
	if (source == NULL)
		return false;
	edits_init(&a.edits, a.arena, source->bytes, source->size);
	for (size_t i = 0; i < job->driver_count; i++)
		apply_driver(&a, i);
	for (size_t i = 0; i < job->strip_count; i++)
		apply_strip(&a, i);
	for (size_t i = job->strip_count; i < plan->sized->strip_count; i++)
		insert_strip(&a, i);
	for (size_t i = 0; i < job->cable_count; i++)
		apply_cable(&a, i);
	for (size_t i = 0; i < plan->added_count; i++)
		insert_cable(&a, &plan->added[i]);
	if (a.good && source->has_bom)
		buf_add(out, "\xEF\xBB\xBF");
	if (a.good)
		edits_apply(&a.edits, out);
	return a.good;
}
