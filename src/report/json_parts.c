/* Members that the JSON of every command shares, docs/json.md. */
#include "report/json_parts.h"

#include "report/figures.h"
#include "report/version.h"

void json_items(struct json *json, const char *key, const struct job *job,
                const struct item_ref *items, size_t count)
{
	json_key(json, key);
	json_open_array(json);
	for (size_t i = 0; i < count; i++)
		json_add_text(json, item_id(job, items[i]));
	json_close(json);
}

static void place_number(struct json *json, const char *key, const struct place *place,
                         uint32_t value)
{
	json_key(json, key);
	if (place->source != NULL) {
		json_add_count(json, value);
	} else {
		json_add_null(json);
	}
}

void json_head(struct json *json, const struct job *job, enum verdict verdict, const char *command)
{
	json_member_text(json, "farend", FAREND_VERSION);
	json_member_count(json, "format", 1);
	json_member_text(json, "command", command);
	json_member_text(json, "verdict", verdict_word(verdict));
	json_key(json, "job");
	json_open_object(json);
	json_member_text(json, "name", attr_has(&job->name) ? job->name.text : NULL);
	json_member_number(json, "ambient_c", job->ambient.num);
	json_close(json);
}

void json_assumed(struct json *json, const struct job *job, const struct assumptions *assumptions)
{
	json_key(json, "assumed");
	json_open_array(json);
	for (size_t i = 0; i < assumptions->count; i++) {
		const struct assumption *a = &assumptions->items[i];
		json_open_object(json);
		json_items(json, "items", job, a->items, a->item_count);
		json_member_text(json, "attribute", a->row->key);
		json_member_text(json, "value", a->value);
		json_member_text(json, "why", a->why);
		json_member_text(json, "effect", a->effect);
		json_member_text(json, "owner", a->owner);
		json_close(json);
	}
	json_close(json);
}

/* A file beside the job file that the place of the finding is in: a catalogue, or what was built. NULL: none. */
static const char *file_beside(const struct job *job, const struct finding *f)
{
	const struct source *own = job_item(job, f->item.kind, f->item.index)->at.source;
	return f->place.source == NULL || f->place.source == own ? NULL : f->place.source->name;
}

void json_findings(struct json *json, const struct job *job, const struct findings *findings)
{
	json_key(json, "findings");
	json_open_array(json);
	for (size_t i = 0; i < findings->count; i++) {
		const struct finding *f = &findings->items[i];
		json_open_object(json);
		json_member_text(json, "check", f->check->name);
		json_member_text(json, "severity", severity_word(f->severity));
		json_member_text(json, "item", item_id(job, f->item));
		json_items(json, "items", job, f->items, f->item_count);
		json_member_text(json, "message", f->message);
		json_member_text(json, "do", f->todo);
		json_member_number(json, "value", f->value);
		json_member_number(json, "limit", f->limit);
		json_member_text(json, "source", f->source);
		json_member_text(json, "file", file_beside(job, f));
		place_number(json, "line", &f->place, f->place.line);
		place_number(json, "column", &f->place, f->place.column);
		json_close(json);
	}
	json_close(json);
}

void json_cautions(struct json *json)
{
	json_key(json, "cautions");
	json_open_array(json);
	for (const char *const *caution = report_cautions; *caution != NULL; caution++)
		json_add_text(json, *caution);
	json_close(json);
}
