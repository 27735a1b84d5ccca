/* A picture of the wiring for a terminal: from each driver outwards every cable is one branch, with what
 * it leads to behind it. Nearer things come first, so a cable that closes a loop (a second feed) is a
 * branch that ends at something drawn elsewhere. */
#include "report/summary.h"

#include "report/figures.h"
#include "report/page.h"

#include <math.h>
#include <string.h>

#define LEAST_TEXT 30            /* columns that a deep tree leaves for its words */
#define LONGEST_BAR 8            /* columns of the longest strip */

/* Items are numbered through all kinds but cables. */
struct wiring {
	const struct job *job;
	size_t first[KIND__END];
	size_t item_count;
	size_t *cables_first, *cables;       /* of item i: cables[cables_first[i]] .. [i + 1] */
	size_t *queue, queued;               /* items reached, the nearer first */
	size_t *rank;                        /* of each item in the queue, NO_INDEX: not reached */
	size_t *leads_to;                    /* of each cable: the item that it was the first to reach */
	bool *root;                          /* drivers that no other driver's tree holds */
	double longest_m;                    /* of the strips */
};

static struct item_ref item_at(const struct wiring *w, size_t number)
{
	for (enum kind kind = 0; kind < KIND__END; kind++)
		if (number < w->first[kind] + job_count(w->job, kind) && kind != KIND_CABLE)
			return (struct item_ref){ kind, number - w->first[kind] };
	return (struct item_ref){ KIND__END, 0 };
}

static size_t number_at(const struct wiring *w, size_t terminal)
{
	const struct terminal *t = &w->job->terminals[terminal];
	return w->first[t->kind] + t->item;
}

static void list_cables(struct wiring *w, struct arena *arena)
{
	const struct job *job = w->job;
	w->cables_first = arena_array(arena, size_t, w->item_count + 2);
	w->cables = arena_array(arena, size_t, 2 * job->cable_count);
	size_t *next = w->cables_first + 1;
	for (size_t i = 0; i < job->cable_count; i++) {
		size_t a = number_at(w, job->cables[i].a), b = number_at(w, job->cables[i].b);
		next[a + 1]++;
		next[b + 1] += a != b;
	}
	for (size_t i = 0; i < w->item_count; i++)
		next[i + 1] += next[i];
	for (size_t i = 0; i < job->cable_count; i++) {
		size_t a = number_at(w, job->cables[i].a), b = number_at(w, job->cables[i].b);
		w->cables[next[a]++] = i;
		if (a != b)
			w->cables[next[b]++] = i;
	}
}

static void reach(struct wiring *w, size_t item)
{
	w->rank[item] = w->queued;
	w->queue[w->queued++] = item;
}

/* The item at the other end of a cable that starts at `item`. */
static size_t other_end(const struct wiring *w, size_t cable, size_t item)
{
	size_t a = number_at(w, w->job->cables[cable].a);
	return a == item ? number_at(w, w->job->cables[cable].b) : a;
}

static void reach_all_from(struct wiring *w, size_t driver)
{
	size_t at = w->queued;
	w->root[driver] = w->rank[driver] == NO_INDEX;
	if (!w->root[driver])
		return;
	reach(w, driver);
	for (; at < w->queued; at++) {
		size_t item = w->queue[at];
		for (size_t i = w->cables_first[item]; i < w->cables_first[item + 1]; i++) {
			size_t cable = w->cables[i], other = other_end(w, cable, item);
			if (w->rank[other] != NO_INDEX)
				continue;
			w->leads_to[cable] = other;
			reach(w, other);
		}
	}
}

static struct wiring wiring_of(const struct job *job, struct arena *arena)
{
	struct wiring w = { .job = job };
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		w.first[kind] = w.item_count;
		w.item_count += kind != KIND_CABLE ? job_count(job, kind) : 0;
	}
	w.queue = arena_array(arena, size_t, w.item_count);
	w.rank = arena_array(arena, size_t, w.item_count);
	w.leads_to = arena_array(arena, size_t, job->cable_count);
	w.root = arena_array(arena, bool, w.item_count);
	for (size_t i = 0; i < w.item_count; i++)
		w.rank[i] = NO_INDEX;
	for (size_t i = 0; i < job->cable_count; i++)
		w.leads_to[i] = NO_INDEX;
	for (size_t i = 0; i < job->strip_count; i++)
		w.longest_m = fmax(w.longest_m, job->strips[i].metres);
	list_cables(&w, arena);
	for (size_t i = 0; i < job->driver_count; i++)
		reach_all_from(&w, w.first[KIND_DRIVER] + i);
	return w;
}

static const char *length_text(const struct page *page, const struct attr *length, enum length_sort sort)
{
	return length->text != NULL ? length->text
	                            : quantity_length_in(page->arena, length->num, page->lengths, sort, 0);
}

/* "[======] 850 mm", as long as it is among the strips of the job. */
static void add_strip(const struct page *page, struct buf *text, const struct wiring *w, size_t index)
{
	const struct strip *strip = &w->job->strips[index];
	double columns = fmax(1, round(LONGEST_BAR * strip->metres / w->longest_m));
	buf_add(text, " [");
	buf_add_repeat(text, '=', (size_t)columns);
	buf_addf(text, "] %s", length_text(page, attr_has(&strip->length) ? &strip->length : &strip->channel,
	                                   LENGTH_TAPE));
}

static void add_item(const struct page *page, struct buf *text, const struct wiring *w,
                     const struct check_result *result, size_t number)
{
	struct item_ref ref = item_at(w, number);
	const struct item *item = job_item(w->job, ref.kind, ref.index);
	buf_add(text, item->id);
	if (ref.kind == KIND_STRIP) {
		add_strip(page, text, w, ref.index);
	} else {
		buf_addf(text, " %s", kind_words[ref.kind].word);
	}
	if (ref.kind == KIND_DRIVER) {
		buf_add(text, ", ");
		quantity_add(text, w->job->drivers[ref.index].voltage.num, DIM_VOLT, 3);
		buf_add(text, ", ");
		quantity_add(text, w->job->drivers[ref.index].power.num, DIM_WATT, 3);
	}
	if (attr_has(&item->place))
		buf_addf(text, ", %s", item->place.text);
	if (ref.kind == KIND_STRIP && result->solution->strips[ref.index].live)
		buf_addf(text, ", %s",
		         quantity_percent(page->arena, result->solution->strips[ref.index].light_min));
}

/* "C1 1.2 m of 0.75 mm2 --- S1 switch, bay 1" */
static const char *branch_text(const struct page *page, const struct wiring *w,
                               const struct check_result *result, size_t cable, size_t from)
{
	const struct cable *c = &w->job->cables[cable];
	struct buf text;
	buf_init(&text, page->arena);
	buf_addf(&text, "%s %s of %s", c->item.id, length_text(page, &c->length, LENGTH_CABLE), c->size.text);
	if (attr_has(&c->fuse) && c->fuse.num > 0) {
		buf_add(&text, ", fuse ");
		quantity_add(&text, c->fuse.num, DIM_AMP, 3);
	}
	buf_add(&text, " --- ");
	if (w->leads_to[cable] != NO_INDEX)
		add_item(page, &text, w, result, w->leads_to[cable]);
	else
		buf_addf(&text, "also to %s",
		         w->job->terminals[number_at(w, c->a) == from ? c->b : c->a].name);
	return text.data;
}

/* A line of the tree, folded beside its guides; what is too deep loses its outermost guides. */
static void add_line(const struct page *page, const struct buf *guides, const char *lead,
                     const char *further, const char *text)
{
	struct buf folded;
	struct page narrow = *page;
	size_t most = page->style.width - LEAST_TEXT - strlen(lead);
	size_t skip = guides->length > most ? guides->length - most : 0;
	buf_init(&folded, page->arena);
	narrow.out = &folded;
	narrow.style.width = page->style.width - strlen(lead) - (guides->length - skip);
	page_paragraph(&narrow, text, 0, 2);
	for (const char *line = folded.data; *line != '\0';) {
		size_t length = strcspn(line, "\n") + 1;
		buf_add(page->out, guides->data + skip);
		buf_add(page->out, line == folded.data ? lead : further);
		buf_add_bytes(page->out, line, length);
		line += length;
	}
}

/* One item on the way down the tree. */
struct frame {
	size_t item, next, last;     /* positions among its cables; `last` is behind its last branch */
	size_t guides;               /* length to go back to */
};

/* A cable is drawn at the end that was reached first. */
static bool drawn_at(const struct wiring *w, size_t cable, size_t item)
{
	size_t other = other_end(w, cable, item);
	return w->rank[item] < w->rank[other] ||
	       (item == other && number_at(w, w->job->cables[cable].a) == item);
}

static struct frame frame_of(const struct wiring *w, size_t item, size_t guides)
{
	struct frame frame = { .item = item, .next = w->cables_first[item], .guides = guides };
	frame.last = frame.next;
	for (size_t i = frame.next; i < w->cables_first[item + 1]; i++)
		if (drawn_at(w, w->cables[i], item))
			frame.last = i + 1;
	return frame;
}

/* The stack is the arena's: a chain of strips may be longer than a call stack. */
static void draw_tree(const struct page *page, const struct wiring *w, const struct check_result *result,
                      size_t root)
{
	struct buf guides;
	struct frame *frames = NULL;
	size_t depth = 1, capacity = 0;
	buf_init(&guides, page->arena);
	frames = arena_grow(page->arena, frames, 0, &capacity, sizeof *frames);
	frames[0] = frame_of(w, root, 0);
	while (depth > 0) {
		struct frame *top = &frames[depth - 1];
		guides.length = top->guides;
		guides.data[guides.length] = '\0';
		if (top->next == top->last) {
			depth--;
			continue;
		}
		size_t item = top->item, cable = w->cables[top->next++];
		if (!drawn_at(w, cable, item))
			continue;
		bool final = top->next == top->last;
		add_line(page, &guides, "+-- ", final ? "    " : "|   ", branch_text(page, w, result, cable, item));
		if (w->leads_to[cable] == NO_INDEX)
			continue;
		buf_add(&guides, final ? "    " : "|   ");
		frames = arena_grow(page->arena, frames, depth, &capacity, sizeof *frames);
		frames[depth++] = frame_of(w, w->leads_to[cable], guides.length);
	}
}

static void draw(const struct page *page, const struct check_result *result)
{
	struct wiring w = wiring_of(result->job, page->arena);
	struct buf text;
	for (size_t i = 0; i < result->job->driver_count; i++) {
		size_t driver = w.first[KIND_DRIVER] + i;
		if (!w.root[driver])
			continue;
		buf_init(&text, page->arena);
		add_item(page, &text, &w, result, driver);
		buf_add_char(page->out, '\n');
		page_paragraph(page, text.data, 0, 2);
		draw_tree(page, &w, result, driver);
	}
	buf_init(&text, page->arena);
	for (size_t i = 0; i < w.item_count; i++) {
		struct item_ref ref = item_at(&w, i);
		if (w.rank[i] == NO_INDEX)
			buf_addf(&text, "%s%s", text.length > 0 ? ", " : "Not joined to a driver: ",
			         item_id(result->job, ref));
	}
	if (text.length > 0) {
		buf_add_char(page->out, '\n');
		page_paragraph(page, text.data, 0, 2);
	}
}

static bool alike(const struct finding *a, const struct finding *b)
{
	return a->check == b->check && a->severity == b->severity;
}

/* The first of its kind in words, the others by name. */
static void add_finding(const struct page *page, const struct check_result *result, size_t index)
{
	const struct finding *finding = &result->findings->items[index];
	struct buf others;
	buf_init(&others, page->arena);
	for (size_t i = 0; i < index; i++)
		if (alike(&result->findings->items[i], finding))
			return;
	for (size_t i = index + 1; i < result->findings->count; i++)
		if (alike(&result->findings->items[i], finding))
			buf_addf(&others, "%s%s", others.length > 0 ? ", " : "Likewise ",
			         item_id(result->job, result->findings->items[i].item));
	page_paragraph(page, arena_printf(page->arena, "- %s, %s: %s", severity_word(finding->severity),
	                                  item_id(result->job, finding->item), finding->message), 0, 2);
	if (finding->todo != NULL) {
		buf_add(page->out, "  ");
		page_paragraph(page, arena_printf(page->arena, "Do: %s", finding->todo), 2, 6);
	}
	if (others.length > 0) {
		buf_add(page->out, "  ");
		page_paragraph(page, others.data, 2, 2);
	}
}

void summary_text(struct buf *out, const struct check_result *result, const struct style *style)
{
	struct page page = page_about(result->job, out, style);
	const struct attr *name = &result->job->name;
	page_paragraph(&page, attr_has(name) ? name->text : "Cabinet lighting job", 0, 0);
	draw(&page, result);
	if (result->solution->cut_units > 0) {
		buf_add_char(out, '\n');
		page_paragraph(&page, "% is the light at the dimmest point of a strip.", 0, 0);
	}
	if (result->findings->count > 0)
		page_heading(&page, "What to know");
	for (size_t i = 0; i < result->findings->count; i++)
		add_finding(&page, result, i);
}
