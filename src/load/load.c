/* The steps of reading a job, in order. Each goes as far as it can with what the ones before
 * left, so that one run finds every mistake; a job comes out only when there was none. */
#include "load/load.h"

#include "base/file.h"
#include "load/catalogue.h"
#include "load/document.h"
#include "load/group.h"
#include "load/link.h"
#include "load/text_check.h"
#include "load/validate.h"
#include "load/yaml_tree.h"

#include <string.h>

/* The file's text, or NULL when it could not be read. */
static const struct source *read_source(struct loader *l, const struct load_text *text)
{
	struct file_bytes bytes = { .data = (char *)text->bytes, .size = text->size };
	struct report report = { .mistake = MISTAKE_UNREADABLE_FILE };
	const char *reason = "is larger than 16 MiB";
	enum file_status status = FILE_OK;
	if (!text->bytes)
		status = file_read(l->nodes, text->name, LOAD_MAX_BYTES, &bytes, &reason);
	else if (text->size > LOAD_MAX_BYTES)
		status = FILE_TOO_LARGE;
	if (status == FILE_OK)
		return source_new(l->arena, text->name, bytes.data, bytes.size);
	if (status == FILE_TOO_LARGE)
		report.mistake = MISTAKE_FILE_TOO_LARGE;
	if (status == FILE_SYSTEM) {
		report.mistake = MISTAKE_SYSTEM_ERROR;
		l->system_failed = true;
	}
	report.place.source = source_new(l->arena, text->name, "", 0);
	mistake_report(&l->mistakes, report, "%s", reason);
	return NULL;
}

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

static void read_job(struct loader *l, const struct load_text *text)
{
	const struct source *source = read_source(l, text);
	if (!source || !text_check(source, &l->mistakes))
		return;
	struct yaml_text whole = { .source = source, .bytes = source->bytes, .size = source->size };
	const struct node *root = yaml_tree_read(l->arena, l->nodes, &whole, &l->mistakes);
	if (!root)
		return;
	struct document document = document_split(l->nodes, root, &l->mistakes);
	read_settings(l, &document);
	read_things(l, &document, text, source);
	if (mistakes_full(&l->mistakes))
		return;
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

enum load_status load_job(struct arena *arena, const struct load_text *text, struct diags *diags,
                          struct job **out)
{
	struct loader l;
	*out = NULL;
	init(&l, arena, diags);
	read_job(&l, text);
	diags_sort(diags);
	arena_free(l.nodes);
	if (l.system_failed)
		return LOAD_SYSTEM;
	if (l.mistakes.found > 0)
		return LOAD_WRONG;
	*out = l.job;
	return LOAD_OK;
}
