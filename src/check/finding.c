/* The list of findings: adding, ordering, and what they come to together. */
#include "check/check.h"

#include "check/judge.h"

#include <stdlib.h>

const char *severity_word(enum severity severity)
{
	static const char *const words[] = { "note", "caution", "fail" };
	return words[severity];
}

const char *verdict_word(enum verdict verdict)
{
	static const char *const words[] = { "ok", "caution", "fail" };
	return words[verdict];
}

/* What a type or a catalogue says has its place there; the line that a finding shows is the
 * item's. */
void finding_point(struct finding *finding, const struct attr *attr)
{
	if (attr && attr->origin == ORIGIN_GIVEN && attr->place.source)
		finding->place = attr->place;
}

struct finding *finding_add(struct findings *out, const struct check *check, enum severity severity,
                            struct item_ref item, const struct attr *attr)
{
	out->items = arena_grow(out->arena, out->items, out->count, &out->capacity,
	                        sizeof(struct finding));
	struct finding *finding = &out->items[out->count++];
	*finding = (struct finding){ .check = check, .severity = severity, .item = item,
	                             .message = "", .todo = "", .value = NAN, .limit = NAN,
	                             .source = check->source };
	finding_concerns(out, finding, item);
	finding_point(finding, attr);
	return finding;
}

/* The capacity is the power of two at or above the count, so it need not be kept. */
void finding_concerns(struct findings *out, struct finding *finding, struct item_ref item)
{
	size_t count = finding->item_count;
	if ((count & (count - 1)) == 0) {
		struct item_ref *larger = arena_array(out->arena, struct item_ref, count ? 2 * count : 1);
		for (size_t i = 0; i < count; i++)
			larger[i] = finding->items[i];
		finding->items = larger;
	}
	finding->items[finding->item_count++] = item;
}

struct ranked {
	struct finding finding;
	size_t added;                /* position before sorting: qsort is not stable */
};

static int order(size_t a, size_t b)
{
	return (a > b) - (a < b);
}

static int compare_ranked(const void *left, const void *right)
{
	const struct ranked *a = left, *b = right;
	const struct finding *f = &a->finding, *g = &b->finding;
	if (f->severity != g->severity)
		return f->severity > g->severity ? -1 : 1;
	if (f->check != g->check)
		return f->check < g->check ? -1 : 1;
	if (f->place.line != g->place.line)
		return order(f->place.line, g->place.line);
	if (f->place.column != g->place.column)
		return order(f->place.column, g->place.column);
	return order(a->added, b->added);
}

void findings_sort(struct findings *findings)
{
	if (findings->count < 2)
		return;
	struct arena *scratch = arena_child(findings->arena);
	struct ranked *ranked = arena_array(scratch, struct ranked, findings->count);
	for (size_t i = 0; i < findings->count; i++)
		ranked[i] = (struct ranked){ .finding = findings->items[i], .added = i };
	qsort(ranked, findings->count, sizeof *ranked, compare_ranked);
	for (size_t i = 0; i < findings->count; i++)
		findings->items[i] = ranked[i].finding;
	arena_free(scratch);
}

enum verdict findings_verdict(const struct findings *findings)
{
	enum verdict verdict = VERDICT_OK;
	for (size_t i = 0; i < findings->count; i++) {
		if (findings->items[i].severity == SEVERITY_FAIL)
			return VERDICT_FAIL;
		if (findings->items[i].severity == SEVERITY_CAUTION)
			verdict = VERDICT_CAUTION;
	}
	return verdict;
}
