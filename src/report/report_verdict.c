/* What the report says in words: the verdict with what to do, what was assumed, which limits stand. */
#include "report/report_page.h"

#include "report/figures.h"
#include "report/html.h"
#include "report/item_list.h"

#include <math.h>
#include <string.h>

static const struct { const char *word, *tag; } severities[] = {
	[SEVERITY_NOTE] = { "NOTE", "strong" },
	[SEVERITY_CAUTION] = { "CAUTION", "strong class=\"warn\"" },
	[SEVERITY_FAIL] = { "FAIL", "strong class=\"bad\"" },
};

/* Without its folders, which mean nothing on paper. */
static const char *file_name(const char *path)
{
	const char *slash = strrchr(path, '/');
	return slash != NULL ? slash + 1 : path;
}

static void add_finding(struct buf *out, const struct job *job, const struct finding *f)
{
	struct buf ids;
	buf_init(&ids, out->arena);
	buf_add(out, "<li class=\"keep\">");
	html_element(out, severities[f->severity].tag, severities[f->severity].word);
	html_add(out, arena_printf(out->arena, " %s: %s", item_id(job, f->item), f->check->title));
	html_element(out, "p", f->message);
	if (f->item_count > 1) {
		items_add(&ids, job, f->items, f->item_count);
		html_element(out, "p", arena_printf(out->arena, "Concerns %s", ids.data));
	}
	if (f->todo != NULL) {
		buf_add(out, "<p><strong>Do:</strong> ");
		html_add(out, f->todo);
		buf_add(out, "</p>\n");
	}
	html_element(out, "p class=\"kicker\"",
	             f->place.source == NULL ? f->check->name
	             : arena_printf(out->arena, "%s, line %u of %s", f->check->name, (unsigned)f->place.line,
	                            file_name(f->place.source->name)));
	buf_add(out, "</li>\n");
}

static size_t count_of(const struct findings *findings, enum severity severity)
{
	size_t count = 0;
	for (size_t i = 0; i < findings->count; i++)
		count += findings->items[i].severity == severity;
	return count;
}

void report_verdict(struct buf *out, const struct check_result *result)
{
	static const struct { const char *words, *tag; } verdicts[] = {
		[VERDICT_OK] = { "All right to build", "p class=\"good\"" },
		[VERDICT_CAUTION] = { "It will work, but read this first", "p class=\"warn\"" },
		[VERDICT_FAIL] = { "Do not build it yet", "p class=\"bad\"" },
	};
	const struct findings *findings = result->findings;
	html_section_open(out, "verdict", "Verdict and what to do");
	html_element(out, verdicts[result->verdict].tag, verdicts[result->verdict].words);
	if (findings->count == 0) {
		html_element(out, "p", "Nothing has to change: build it as it is written.");
	} else {
		html_element(out, "p", arena_printf(out->arena, "To change before building: %zu. Cautions to "
			"weigh: %zu. Notes: %zu.", count_of(findings, SEVERITY_FAIL),
			count_of(findings, SEVERITY_CAUTION), count_of(findings, SEVERITY_NOTE)));
		buf_add(out, "<ol>\n");
		for (size_t i = 0; i < findings->count; i++)
			add_finding(out, result->job, &findings->items[i]);
		buf_add(out, "</ol>\n");
	}
	html_section_close(out);
}

void report_assumed(struct buf *out, const struct check_result *result)
{
	static const struct html_column columns[] = {
		{ .head = "what" }, { .head = "of" }, { .head = "assumed" }, { .head = "why" },
		{ .head = "what it moves" },
	};
	const struct assumptions *assumptions = result->assumptions;
	struct html_table table;
	if (assumptions->count == 0)
		return;
	html_section_open(out, "assumed", "Assumed, not given");
	html_table_open(&table, out, "Values that the job does not state", columns,
	                sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < assumptions->count; i++) {
		const struct assumption *a = &assumptions->items[i];
		struct buf of;
		buf_init(&of, out->arena);
		buf_add(&of, a->owner);
		if (a->item_count > 0) {
			buf_add(&of, ": ");
			items_add(&of, result->job, a->items, a->item_count);
		}
		html_cell(&table, a->row->key);
		html_cell(&table, of.data);
		html_cell(&table, a->value);
		html_cell(&table, a->why);
		html_cell(&table, a->effect);
	}
	html_table_close(&table);
	html_section_close(out);
}

/* "light 75 %, headroom 10 %": limits that the job file sets itself. */
static const char *own_limits(struct buf *out, const struct job *job)
{
	struct buf text;
	buf_init(&text, out->arena);
	for (size_t i = 0; i < attributes_limits.count; i++)
		if (attr_said(&job->limits[i]))
			buf_addf(&text, "%s%s %s", text.length > 0 ? ", " : "", attributes_limits.rows[i].key,
			         job->limits[i].text != NULL ? job->limits[i].text : "as listed");
	return text.length > 0 ? text.data : NULL;
}

void report_limits(struct buf *out, const struct check_result *result)
{
	static const struct html_column columns[] = {
		{ .head = "check" }, { .head = "what it finds" }, { .head = "limit, unless the job sets its own" },
		{ .head = "source of the limit" },
	};
	struct html_table table;
	const char *own = own_limits(out, result->job);
	html_section_open(out, "limits", "Limits and their sources");
	html_element(out, "p", own == NULL ? "This job sets no limits of its own."
	             : arena_printf(out->arena, "This job sets limits of its own: %s.", own));
	html_table_open(&table, out, "Every check that was made", columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < check_count; i++) {
		html_cell(&table, checks[i].name);
		html_cell(&table, checks[i].title);
		html_cell(&table, checks[i].severities);
		html_cell(&table, checks[i].source);
	}
	html_table_close(&table);
	html_section_close(out);
}
