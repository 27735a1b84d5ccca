/* `size` for people: whether it passes, what changes and why, then the ways to feed each strip and how long
 * a run may be. */
#include "report/size.h"

#include "reference/reference.h"
#include "report/apply.h"
#include "report/assumed.h"
#include "report/table.h"

#include <string.h>

struct sheet {
	struct page page;
	const struct size_result *result;
};

static const char *watts(const struct sheet *s, double value)
{
	return quantity_text(s->page.arena, value, DIM_WATT, 4);
}

static const char *amps(const struct sheet *s, double value)
{
	return value > 0 ? quantity_text(s->page.arena, value, DIM_AMP, 4) : "none";
}

/* A cable's, as --apply writes it. */
static const char *cable_length(const struct sheet *s, double metres)
{
	return quantity_length_in(s->page.arena, apply_length(metres), s->page.lengths, LENGTH_CABLE, 0);
}

/* "C1, C2, C5" */
static void add_name(struct buf *names, const char *name)
{
	buf_addf(names, "%s%s", names->length > 0 ? ", " : "", name);
}

/* ------- what changes */

static void change(const struct sheet *s, struct table *table, const char *what, const char *now,
                   const char *proposed, const char *why)
{
	table_add(table, page_safe(&s->page, what));
	table_add(table, page_safe(&s->page, now));
	table_add(table, page_safe(&s->page, proposed));
	table_add(table, why != NULL ? page_safe(&s->page, why) : "");
}

static void driver_changes(const struct sheet *s, struct table *table)
{
	for (size_t i = 0; i < s->result->job->driver_count; i++) {
		const struct driver_plan *plan = &s->result->plan->drivers[i];
		if (plan->proposed_w == plan->now_w)
			continue;
		const char *proposed = watts(s, plan->proposed_w);
		if (plan->part != NULL)
			proposed = arena_printf(s->page.arena, "%s, %s", proposed, plan->part);
		change(s, table, arena_printf(s->page.arena, "driver %s", s->result->job->drivers[i].item.id),
		       watts(s, plan->now_w), proposed, plan->why);
	}
}

static void feed_changes(const struct sheet *s, struct table *table)
{
	const struct job *job = s->result->job;
	const struct size_plan *plan = s->result->plan;
	struct arena *arena = s->page.arena;
	for (size_t i = 0; i < job->strip_count; i++)
		if (plan->strips[i].proposed != FEED_AS_DRAWN)
			change(s, table, arena_printf(arena, "strip %s", job->strips[i].item.id),
			       feed_words(FEED_AS_DRAWN), feed_words(plan->strips[i].proposed),
			       plan->strips[i].why);
	for (size_t i = 0; i < plan->moved_count; i++) {
		const struct moved_cable *moved = &plan->moved[i];
		const struct cable *cable = &job->cables[moved->cable];
		double length = plan->sized->cables[moved->cable].length.num;
		change(s, table, arena_printf(arena, "cable %s", cable->item.id),
		       arena_printf(arena, "at %s", job->terminals[moved->at_from ? cable->a : cable->b].name),
		       arena_printf(arena, "at %s, %s", moved->to, cable_length(s, length)),
		       "moves with the feed");
	}
	for (size_t i = 0; i < plan->added_count; i++) {
		const struct added_cable *added = &plan->added[i];
		change(s, table, arena_printf(arena, "cable %s", added->id), "none",
		       arena_printf(arena, "%s to %s, %s of %s", added->from, added->to,
		                    cable_length(s, added->metres), wire_sizes[added->wire].name),
		       arena_printf(arena, "a further feed, like %s", job->cables[added->like].item.id));
	}
}

static bool same_change(const struct cable_plan *a, const struct cable_plan *b)
{
	return a->now == b->now && a->proposed == b->proposed &&
	       strcmp(a->why != NULL ? a->why : "", b->why != NULL ? b->why : "") == 0;
}

/* Cables with the same change share a row. */
static void size_changes(const struct sheet *s, struct table *table)
{
	const struct job *job = s->result->job;
	const struct cable_plan *plans = s->result->plan->cables;
	bool *told = arena_array(s->page.arena, bool, job->cable_count);
	for (size_t i = 0; i < job->cable_count; i++) {
		struct buf names;
		size_t count = 0;
		if (told[i] || plans[i].proposed == plans[i].now)
			continue;
		buf_init(&names, s->page.arena);
		for (size_t k = i; k < job->cable_count; k++) {
			if (told[k] || !same_change(&plans[i], &plans[k]))
				continue;
			told[k] = true;
			count++;
			add_name(&names, job->cables[k].item.id);
		}
		change(s, table, arena_printf(s->page.arena, "%s %s", count > 1 ? "cables" : "cable", names.data),
		       wire_sizes[plans[i].now].name, wire_sizes[plans[i].proposed].name, plans[i].why);
	}
}

static void fuse_changes(const struct sheet *s, struct table *table)
{
	for (size_t i = 0; i < s->result->job->cable_count; i++) {
		const struct cable_plan *plan = &s->result->plan->cables[i];
		if (plan->fuse_proposed != plan->fuse_now)
			change(s, table, arena_printf(s->page.arena, "fuse in %s", s->result->job->cables[i].item.id),
			       amps(s, plan->fuse_now), amps(s, plan->fuse_proposed),
			       "at the end nearer the driver, which alone does not protect the cable");
	}
}

static void find_changes(const struct sheet *s, struct table *table)
{
	static const struct table_column columns[] = {
		{ "what", ALIGN_LEFT, .gives = true }, { "today", ALIGN_LEFT, .gives = true },
		{ "proposed", ALIGN_LEFT, .gives = true }, { "why", ALIGN_LEFT, .gives = true },
	};
	table_init(table, s->page.arena, columns, sizeof(columns) / sizeof(columns[0]));
	driver_changes(s, table);
	feed_changes(s, table);
	size_changes(s, table);
	fuse_changes(s, table);
}

/* "0.5 mm2: C3, C4." and so on, of what is right as it is. */
static void print_kept(const struct sheet *s)
{
	const struct job *job = s->result->job;
	const struct size_plan *plan = s->result->plan;
	struct buf line;
	buf_init(&line, s->page.arena);
	for (size_t i = 0; i < job->driver_count; i++)
		if (plan->drivers[i].proposed_w == plan->drivers[i].now_w)
			buf_addf(&line, " Driver %s: %s.", job->drivers[i].item.id, watts(s, plan->drivers[i].now_w));
	for (size_t wire = 0; wire < wire_size_count; wire++) {
		struct buf names;
		buf_init(&names, s->page.arena);
		for (size_t i = 0; i < job->cable_count; i++)
			if (plan->cables[i].now == wire && plan->cables[i].proposed == wire)
				add_name(&names, job->cables[i].item.id);
		if (names.length > 0)
			buf_addf(&line, " Cable of %s: %s.", wire_sizes[wire].name, names.data);
	}
	if (line.length == 0)
		return;
	buf_add_char(s->page.out, '\n');
	page_paragraph(&s->page, arena_printf(s->page.arena, "Right as drawn:%s", line.data), 0, 2);
}

static void print_changes(const struct sheet *s, const struct table *changes)
{
	page_heading(&s->page, "What changes");
	if (changes->cell_count > 0)
		table_print(changes, &s->page);
	else
		buf_add(s->page.out, "Nothing.\n");
	print_kept(s);
}

/* ------- verdict */

static void print_verdict(const struct sheet *s, bool changed)
{
	const struct size_result *result = s->result;
	const char *but = result->stuck_count > 0 ? "; see what is stuck" : "";
	if (result->verdict != VERDICT_OK) {
		page_add(&s->page, BAD, "It cannot pass as drawn");
		buf_addf(s->page.out, ": %zu %s no size, driver or feed cures.\n", result->stuck_count,
		         result->stuck_count == 1 ? "thing that" : "things that");
	} else if (changed) {
		page_add(&s->page, GOOD, "Order this");
		buf_addf(s->page.out, ": with the changes below it passes every check%s.\n", but);
	} else {
		page_add(&s->page, GOOD, "Order what is drawn");
		buf_addf(s->page.out, ": it passes every check, and nothing smaller does%s.\n", but);
	}
	if (result->copy != NULL)
		page_paragraph(&s->page, arena_printf(s->page.arena, "Written to %s, read back and checked.",
		                                      result->copy), 0, 0);
}

static void print_stuck(const struct sheet *s)
{
	if (s->result->stuck_count == 0)
		return;
	page_heading(&s->page, "What is stuck");
	for (size_t i = 0; i < s->result->stuck_count; i++) {
		buf_addf(s->page.out, "%2zu. ", i + 1);
		page_paragraph(&s->page, s->result->stuck[i], 4, 4);
	}
}

static void print_splits(const struct sheet *s)
{
	bool any = false;
	for (size_t i = 0; i < s->result->job->driver_count; i++) {
		const char *split = s->result->plan->drivers[i].split;
		if (split == NULL)
			continue;
		if (!any)
			page_heading(&s->page, "Several drivers in place of one");
		any = true;
		page_paragraph(&s->page, arena_printf(s->page.arena, "- %s: %s.",
		                                      s->result->job->drivers[i].item.id, split), 0, 2);
	}
	if (any)
		page_paragraph(&s->page, "Smaller drivers, each within limited power (class 2 style). This is never "
		               "put in place by --apply: draw it into the job and check it.", 0, 0);
}

/* ------- feeds */

/* "93 %", "(71 %)" where a check fails, "95 % in 2" for a split run. */
static const char *option_cell(const struct sheet *s, const struct strip_plan *plan, enum feed feed)
{
	for (size_t i = 0; i < plan->option_count; i++) {
		const struct feed_option *option = &plan->options[i];
		if (option->feed != feed)
			continue;
		const char *light = quantity_percent(s->page.arena, option->light_min);
		if (feed == FEED_SPLIT)
			light = arena_printf(s->page.arena, "%s in %zu", light, option->runs);
		return option->passes ? light : arena_printf(s->page.arena, "(%s)", light);
	}
	return "-";
}

static bool any_cell(const struct table *table, char first)
{
	for (size_t i = 0; i < table->cell_count; i++)
		if (table->cells[i][0] == first)
			return true;
	return false;
}

static void print_feeds(const struct sheet *s)
{
	const struct job *job = s->result->job;
	struct table_column columns[FEED__END + 3] = {
		{ "strip", ALIGN_LEFT, .gives = true }, { "place", ALIGN_LEFT, .gives = true, .optional = true },
	};
	struct table table;
	for (enum feed feed = 0; feed < FEED__END; feed++)
		columns[2 + feed] = (struct table_column){ feed_words(feed), ALIGN_RIGHT, .gives = false };
	columns[FEED__END + 2] = (struct table_column){ "proposed", ALIGN_LEFT, .gives = true };
	table_init(&table, s->page.arena, columns, FEED__END + 3);
	for (size_t i = 0; i < job->strip_count; i++) {
		const struct strip *strip = &job->strips[i];
		const struct strip_plan *plan = &s->result->plan->strips[i];
		if (plan->option_count == 0)
			continue;
		table_add(&table, page_safe(&s->page, strip->item.id));
		table_add(&table, attr_said(&strip->item.place) ? page_safe(&s->page, strip->item.place.text) : "");
		for (enum feed feed = 0; feed < FEED__END; feed++)
			table_add(&table, option_cell(s, plan, feed));
		table_add(&table, feed_words(plan->proposed));
	}
	if (table.cell_count == 0)
		return;
	page_heading(&s->page, "How each strip can be fed: its dimmest point, with today's cables");
	table_print(&table, &s->page);
	if (any_cell(&table, '('))
		page_paragraph(&s->page, "In brackets: fails a check with today's cables, and may pass with the "
		               "proposed ones.", 0, 0);
	if (any_cell(&table, '-'))
		page_paragraph(&s->page, "A dash: not possible there.", 0, 0);
}

/* ------- longest runs */

static const char *run_length(const struct sheet *s, double metres)
{
	return metres > 0 ? quantity_length_in(s->page.arena, metres, s->page.lengths, LENGTH_TAPE, 0) : "none";
}

static void print_longest(const struct sheet *s)
{
	static const struct table_column columns[] = {
		{ "strip type", ALIGN_LEFT, .gives = true }, { "fed like", ALIGN_LEFT, .gives = true },
		{ "one end", ALIGN_RIGHT, .gives = false }, { "both ends", ALIGN_RIGHT, .gives = false },
		{ "middle", ALIGN_RIGHT, .gives = false },
	};
	const struct size_plan *plan = s->result->plan;
	struct table table;
	if (plan->longest_count == 0)
		return;
	table_init(&table, s->page.arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < plan->longest_count; i++) {
		const struct longest_run *run = &plan->longest[i];
		table_add(&table, page_safe(&s->page, run->strip_type));
		table_add(&table, page_safe(&s->page, run->like));
		table_add(&table, run_length(s, run->one_end));
		table_add(&table, run_length(s, run->both_ends));
		table_add(&table, run_length(s, run->middle));
	}
	page_heading(&s->page, "Longest run that passes, alone on today's cables");
	table_print(&table, &s->page);
}

/* ------- how sure */

static void print_proof(const struct sheet *s)
{
	const struct size_plan *plan = s->result->plan;
	bool ladder = false;
	for (size_t i = 0; i < s->result->job->driver_count; i++)
		ladder = ladder || plan->drivers[i].part == NULL;
	page_heading(&s->page, "How sure");
	page_paragraph(&s->page, plan->optimal
		? "Cables: no other choice of sizes that passes has less copper (or a lower price, where the "
		  "catalogue has one for every size). The search ended by proof."
		: "Cables: no single one can be thinner. The search stopped at its limit, so another choice of "
		  "sizes with a little less copper may exist.", 0, 0);
	if (ladder)
		page_paragraph(&s->page, "Drivers: the wattages that are commonly sold (common practice, no source). "
		               "Name your own under driver_types or in a catalogue.", 0, 0);
}

void size_text(struct buf *out, const struct size_result *result, const struct style *style)
{
	struct sheet s = { .page = page_about(result->job, out, style), .result = result };
	const struct attr *name = &result->job->name;
	struct table changes;
	find_changes(&s, &changes);
	page_paragraph(&s.page, attr_has(name) ? name->text : "Cabinet lighting job", 0, 0);
	print_verdict(&s, changes.cell_count > 0);
	print_stuck(&s);
	print_changes(&s, &changes);
	print_splits(&s);
	print_feeds(&s);
	print_longest(&s);
	print_proof(&s);
	page_assumptions(&s.page, result->job, result->assumptions);
	page_cautions(&s.page);
}
