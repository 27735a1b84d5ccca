/* The steps of reading a job, in order. Each goes as far as it can with what the ones before
 * left, so that one run finds every mistake; a job comes out only when there was none. */
#include "load/load.h"

#include "load/as_built.h"
#include "load/catalogue.h"
#include "load/document.h"
#include "load/group.h"
#include "load/link.h"
#include "load/read_source.h"
#include "load/text_check.h"
#include "load/validate.h"
#include "load/yaml_tree.h"
#include "model/subset.h"

#include <string.h>

static void read_settings(struct loader *l, const struct document *document)
{
	struct fields job = { .own = attributes_job, .base = l->job, .word = "job" };
	struct fields limits = { .own = attributes_limits, .base = l->job->limits, .word = "limits" };
	l->decoder.origin = ORIGIN_GIVEN;
	if (document->job)
		fields_decode(&l->decoder, &job, document->job);
	if (document->limits)
		fields_decode(&l->decoder, &limits, document->limits);
}

static void read_things(struct loader *l, const struct document *document,
                        const struct load_text *text, const struct source *source)
{
	size_t names = 0;
	for (enum kind kind = 0; kind < KIND__END; kind++)
		group_read_types(l, kind, document->types[kind]);
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		group_read_items(l, kind, document->groups[kind]);
		names += kind == KIND_DRIVER || kind == KIND_STRIP ? job_count(l->job, kind) : 0;
	}
	catalogue_read(l, text->name, document->catalogue);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		group_complete_items(l, kind);
	if (names == 0 && !document->guessed)
		mistake_report(&l->mistakes, (struct report){
			.mistake = MISTAKE_NOTHING_TO_CHECK, .place = { .source = source },
			.expected = "drivers and strips; 'farend new' writes a job to start from" },
			"there is neither a driver nor a strip to check");
}

/* With mistakes in the file only the strips are derived, for their cut marks, and only sound
 * ones. */
static void derive(struct loader *l)
{
	struct job *job = l->job;
	job_assume(job);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		for (size_t i = 0; i < job_count(job, kind); i++)
			item_assume(kind, job_item(job, kind, i));
	if (l->mistakes.found == 0) {
		job_derive(job);
		return;
	}
	for (size_t i = 0; i < job->strip_count; i++)
		if (!l->items[KIND_STRIP][i].broken)
			strip_derive(&job->strips[i], job->ambient.num);
	for (size_t i = 0; i < job->driver_count; i++)
		if (!l->items[KIND_DRIVER][i].broken)
			driver_derive(&job->drivers[i], job->ambient.num);
}

/* Goes as far as every item by its name. False when that cannot be said. */
static bool read_names(struct loader *l, const struct load_text *text, const struct source *source)
{
	if (!text_check(source, &l->mistakes))
		return false;
	struct yaml_text whole = { .source = source, .bytes = source->bytes, .size = source->size };
	const struct node *root = yaml_tree_read(l->arena, l->nodes, &whole, &l->mistakes);
	if (!root)
		return false;
	struct document document = document_split(l->nodes, root, &l->mistakes);
	read_settings(l, &document);
	read_things(l, &document, text, source);
	return !mistakes_full(&l->mistakes);
}

static void complete(struct loader *l)
{
	validate_said(l);
	derive(l);
	validate_derived(l);
	job_number_terminals(l->job);
	link_cables(l);
}

static void init(struct loader *l, struct arena *arena, struct diags *diags)
{
	*l = (struct loader){ .arena = arena, .nodes = arena_child(arena) };
	mistakes_init(&l->mistakes, l->nodes, diags);
	l->decoder = (struct decoder){ .arena = arena, .brief = arena_child(l->nodes),
	                               .m = &l->mistakes };
	l->job = arena_one(arena, struct job);
	l->job->arena = arena;
	hash_init(&l->ids, l->nodes);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		hash_init(&l->type_names[kind], l->nodes);
}

static enum load_status status_of(const struct loader *l)
{
	if (l->system_failed)
		return LOAD_SYSTEM;
	return l->mistakes.found > 0 ? LOAD_WRONG : LOAD_OK;
}

enum load_status load_job(struct arena *arena, const struct load_text *text, struct diags *diags,
                          struct job **out)
{
	struct loader l;
	init(&l, arena, diags);
	const struct source *source = read_source(arena, l.nodes, text, &l.mistakes, &l.system_failed);
	if (source && read_names(&l, text, source))
		complete(&l);
	diags_sort(diags);
	arena_free(l.nodes);
	enum load_status status = status_of(&l);
	*out = status == LOAD_OK ? l.job : NULL;
	return status;
}

/* A second reading of the same items, none of them derived yet, that keeps its mistakes to itself. */
static void fork_loader(struct loader *built, const struct loader *plan, struct diags *aside)
{
	*built = *plan;
	diags_init(aside, plan->nodes);
	mistakes_init(&built->mistakes, plan->nodes, aside);
	built->mistakes.found = plan->mistakes.found;
	built->decoder.m = &built->mistakes;
	built->job = job_copy(plan->job, plan->arena);
	for (enum kind kind = 0; kind < KIND__END; kind++) {
		size_t count = job_count(plan->job, kind);
		built->items[kind] = arena_array(plan->nodes, struct record, count);
		if (count > 0)
			memcpy(built->items[kind], plan->items[kind], count * sizeof(struct record));
	}
}

/* What the plan has said of its own file is not said again. */
static void pass_on(const struct diags *aside, const struct source *csv, bool all, struct diags *out)
{
	for (size_t i = 0; i < aside->count; i++)
		if (all || aside->items[i].place.source == csv)
			diags_add(out, &aside->items[i]);
}

enum load_status load_job_as_built(struct arena *arena, const struct load_text *text,
                                   const char *as_built, struct diags *diags, struct loaded *out)
{
	struct loader plan, built;
	struct diags aside;
	*out = (struct loaded){ .job = NULL };
	init(&plan, arena, diags);
	const struct source *source = read_source(arena, plan.nodes, text, &plan.mistakes,
	                                          &plan.system_failed);
	bool named = source && read_names(&plan, text, source);
	fork_loader(&built, &plan, &aside);
	bool taken = !text->bytes && strcmp(text->name, "-") == 0;
	struct built_table *table = as_built_read(&built, as_built, taken, named);
	if (named) {
		complete(&plan);
		complete(&built);
	}
	struct as_built *found = as_built_readings(&built, table);
	pass_on(&aside, table->source, plan.mistakes.found == 0, diags);
	diags_sort(diags);
	arena_free(plan.nodes);
	if (built.mistakes.found == 0)
		*out = (struct loaded){ .job = built.job, .plan = plan.job, .built = found };
	return status_of(&built);
}
