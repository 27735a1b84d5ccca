/* Several jobs in text, JSON and CSV. */
#include "report/many.h"

#include "report/csv_cells.h"
#include "report/figures.h"
#include "report/page.h"
#include "report/table.h"
#include "report/version.h"

#include <math.h>
#include <string.h>

void many_init(struct many *many, struct arena *arena, const struct style *style)
{
	*many = (struct many){ .arena = arena, .style = *style };
	for (size_t i = 0; i < CHECK_CSV_BLOCKS; i++)
		buf_init(&many->blocks[i], arena);
}

static void summarize(struct many_row *row, const struct check_result *result, struct arena *arena)
{
	const struct findings *findings = result->findings;
	row->checked = true;
	row->verdict = result->verdict;
	for (size_t i = 0; i < findings->count; i++)
		row->counts[findings->items[i].severity]++;
	if (findings->count > 0) {
		row->check = findings->items[0].check->name;
		row->item = arena_strdup(arena, item_id(result->job, findings->items[0].item));
	}
}

void many_add(struct many *many, const struct many_format *format, const struct many_job *job)
{
	many->rows = arena_grow(many->arena, many->rows, many->count, &many->capacity,
	                        sizeof(*many->rows));
	struct many_row *row = &many->rows[many->count++];
	*row = (struct many_row){ .file = arena_strdup(many->arena, job->file) };
	row->errors = job->diags != NULL ? job->diags->errors : 0;
	if (job->result != NULL)
		summarize(row, job->result, many->arena);
	format->add(many, job);
}

/* What could not be checked is no better than what fails. */
static enum verdict worst_of(const struct many *many)
{
	enum verdict worst = VERDICT_OK;
	for (size_t i = 0; i < many->count; i++) {
		enum verdict verdict = many->rows[i].checked ? many->rows[i].verdict : VERDICT_FAIL;
		if (verdict > worst)
			worst = verdict;
	}
	return worst;
}

/* ------- text */

static const char *count_text(struct many *many, size_t count)
{
	return arena_printf(many->arena, "%zu", count);
}

static void text_heading(struct many *many, struct page *page, const char *file)
{
	const char *name = page_safe(page, file);
	if (many->count > 1)
		buf_add(page->out, "\n\n");
	page_add(page, STRONG, name);
	buf_add_char(page->out, '\n');
	buf_add_repeat(page->out, '=', many->style.width);
	buf_add(page->out, "\n\n");
}

static void text_add(struct many *many, const struct many_job *job)
{
	const struct many_row *row = &many->rows[many->count - 1];
	struct page page = page_on(&many->blocks[0], &many->style);
	text_heading(many, &page, job->file);
	if (job->result != NULL)
		check_text_alone(page.out, job->result, &many->style);
	else if (row->errors > 0)
		buf_addf(page.out, "It was not checked: %zu %s, listed on standard error.\n", row->errors,
		         row->errors == 1 ? "error" : "errors");
	else
		buf_add(page.out, "It was not checked: there is not enough memory.\n");
}

/* Bytes of the folder that all files lie in, its slash too. */
static size_t common_folder(const struct many *many)
{
	const char *first = many->rows[0].file, *slash = strrchr(first, '/');
	size_t length = slash != NULL ? (size_t)(slash + 1 - first) : 0;
	for (size_t i = 1; i < many->count; i++) {
		size_t same = 0, folder = 0;
		for (; same < length && many->rows[i].file[same] == first[same]; same++)
			folder = first[same] == '/' ? same + 1 : folder;
		length = folder;
	}
	return length;
}

static void text_end(struct many *many, struct buf *out)
{
	static const struct table_column columns[] = {
		{ "job file", ALIGN_LEFT, true, false }, { "verdict", ALIGN_LEFT, false, false },
		{ "fail", ALIGN_RIGHT, false, false },   { "caution", ALIGN_RIGHT, false, false },
		{ "note", ALIGN_RIGHT, false, false },   { "the gravest", ALIGN_LEFT, true, false },
	};
	struct table table;
	struct page page = page_on(out, &many->style);
	buf_add_bytes(out, many->blocks[0].data, many->blocks[0].length);
	size_t folder = common_folder(many);
	page_heading(&page, page_safe(&page, arena_printf(many->arena, "All %zu jobs%s%.*s", many->count,
	                                                  folder > 0 ? " in " : "", (int)folder,
	                                                  many->rows[0].file)));
	table_init(&table, many->arena, columns, sizeof(columns) / sizeof(columns[0]));
	for (size_t i = 0; i < many->count; i++) {
		const struct many_row *row = &many->rows[i];
		table_add(&table, page_safe(&page, row->file + folder));
		table_add(&table, row->checked ? verdict_word(row->verdict) : "not checked");
		for (enum severity s = SEVERITY_FAIL + 1; s-- > SEVERITY_NOTE;)
			table_add(&table, row->checked ? count_text(many, row->counts[s]) : NULL);
		table_add(&table, row->check == NULL ? NULL
		                                     : arena_printf(many->arena, "%s (%s)", row->check, row->item));
	}
	table_print(&table, &page);
	page_cautions(&page);
}

const struct many_format many_text = { text_add, text_end };

/* ------- JSON */

static void place_number(struct json *json, const char *key, const struct diag *diag, size_t value)
{
	if (diag->place.source != NULL && diag->place.line > 0) {
		json_member_count(json, key, value);
	} else {
		json_key(json, key);
		json_add_null(json);
	}
}

static void json_diagnostics(struct json *json, const struct diags *diags)
{
	json_key(json, "diagnostics");
	json_open_array(json);
	for (size_t i = 0; diags != NULL && i < diags->count; i++) {
		const struct diag *d = &diags->items[i];
		json_open_object(json);
		json_member_text(json, "kind", d->kind);
		json_member_text(json, "file", d->place.source != NULL ? d->place.source->name : NULL);
		place_number(json, "line", d, d->place.line);
		place_number(json, "column", d, d->place.column);
		json_member_text(json, "message", d->message);
		json_member_text(json, "expected", d->expected);
		json_member_text(json, "hint", d->hint);
		json_close(json);
	}
	json_close(json);
}

static void json_add_job(struct many *many, const struct many_job *job)
{
	struct json *json = &many->list;
	if (many->count == 1) {
		json_init(json, &many->blocks[0]);
		json_open_array(json);
	}
	json_open_object(json);
	json_member_text(json, "file", job->file);
	json_member_text(json, "verdict", job->result != NULL ? verdict_word(job->result->verdict) : NULL);
	json_diagnostics(json, job->diags);
	json_key(json, "result");
	if (job->result != NULL) {
		struct arena *scratch = arena_child(many->arena);
		struct buf alone;
		buf_init(&alone, scratch);
		check_json(&alone, job->result, &many->style);
		json_add_written(json, alone.data, alone.length);
		arena_free(scratch);
	} else {
		json_add_null(json);
	}
	json_close(json);
}

/* The verdict comes before what it is made of, which is written by then. */
static void json_end(struct many *many, struct buf *out)
{
	struct json json;
	json_close(&many->list);
	json_init(&json, out);
	json_open_object(&json);
	json_member_text(&json, "farend", FAREND_VERSION);
	json_member_count(&json, "format", 1);
	json_member_text(&json, "command", "check");
	json_member_text(&json, "verdict", verdict_word(worst_of(many)));
	json_key(&json, "files");
	json_add_written(&json, many->blocks[0].data, many->blocks[0].length);
	json_close(&json);
}

const struct many_format many_json = { json_add_job, json_end };

/* ------- CSV: a block for every table, with the rows of all jobs */

static void csv_add(struct many *many, const struct many_job *job)
{
	for (size_t block = 0; job->result != NULL && block < CHECK_CSV_BLOCKS; block++)
		check_csv_rows(&many->blocks[block], job->result, block, job->file);
}

static void csv_end(struct many *many, struct buf *out)
{
	for (size_t block = 0; block < CHECK_CSV_BLOCKS; block++) {
		check_csv_head(out, block, true);
		buf_add_bytes(out, many->blocks[block].data, many->blocks[block].length);
		buf_add_char(out, '\n');
	}
	buf_add(out, "file,kind,verdict,fail,caution,note,check,item,errors\n");
	for (size_t i = 0; i < many->count; i++) {
		const struct many_row *row = &many->rows[i];
		csv_first(out, row->file);
		csv_text(out, "job");
		csv_text(out, row->checked ? verdict_word(row->verdict) : NULL);
		for (enum severity s = SEVERITY_FAIL + 1; s-- > SEVERITY_NOTE;)
			csv_number(out, row->checked ? (double)row->counts[s] : NAN);
		csv_text(out, row->check);
		csv_text(out, row->item);
		csv_number(out, (double)row->errors);
		buf_add_char(out, '\n');
	}
}

const struct many_format many_csv = { csv_add, csv_end };
