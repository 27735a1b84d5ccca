/* farend_value(): one value as a job file would have it, for whoever asks for values one at a time. */
#include "api/job.h"

#include "api/call.h"
#include "load/form.h"
#include "load/text_check.h"
#include "report/attr_text.h"

#include <string.h>

struct valuing {
	struct arena *arena;
	const struct attribute *row;
	const char *text;
	struct farend_value *out;
	bool good;
};

static const struct attribute *find_row(const char *group, const char *attribute)
{
	if (strcmp(group, "job") == 0)
		return attribute_find_in(attributes_job, attribute);
	for (enum kind kind = 0; kind < KIND__END; kind++)
		if (strcmp(group, kind_words[kind].group) == 0)
			return attribute_find(kind, attribute);
	return NULL;
}

/* Lists and mappings are no answer to a question. */
static bool takes_scalar(const struct attribute *row)
{
	return row->form != FORM_SIZES && row->form != FORM_CURVE && row->form != FORM_BENCH_TEST &&
	       row->form != FORM_FILES;
}

static void value_body(void *data)
{
	struct valuing *valuing = data;
	struct arena *arena = valuing->arena;
	struct farend_value *out = valuing->out;
	struct diags diags;
	struct mistakes mistakes;
	struct attr value = { .origin = ORIGIN_GIVEN };
	diags_init(&diags, arena);
	mistakes_init(&mistakes, arena, &diags);
	struct decoder decoder = { .arena = arena, .brief = arena_child(arena), .m = &mistakes,
	                           .origin = ORIGIN_GIVEN };
	const struct source *source = source_new(arena, "", valuing->text, strlen(valuing->text));
	struct node node = { .kind = NODE_SCALAR, .exact = true, .text = source->bytes,
	                     .at = { source, 1, 1, 1 } };
	valuing->good = text_check(source, &mistakes) &&
	                form_decode(&decoder, valuing->row, &node, &value);
	if (valuing->good) {
		out->number = value.num;
		out->written = arena_strdup(arena, attr_text(arena, valuing->row, &value));
		return;
	}
	const struct diag *diag = &diags.items[0];
	out->wrong = (struct farend_diagnostic){
		.kind = diag->kind, .message = diag->message, .expected = diag->expected, .hint = diag->hint,
	};
}

enum farend_status farend_value(const char *group, const char *attribute, const char *text,
                                struct farend_value *out)
{
	struct valuing valuing = { .row = find_row(group, attribute), .text = text, .out = out };
	*out = (struct farend_value){ .written = "" };
	if (valuing.row == NULL || !takes_scalar(valuing.row))
		return FAREND_WRONG_CALL;
	valuing.arena = arena_new();
	if (valuing.arena == NULL)
		return FAREND_NO_MEMORY;
	if (!api_call(valuing.arena, value_body, &valuing)) {
		*out = (struct farend_value){ .written = "" };
		arena_free(valuing.arena);
		return FAREND_NO_MEMORY;
	}
	out->memory = valuing.arena;
	return valuing.good ? FAREND_OK : FAREND_WRONG_INPUT;
}

void farend_free_value(struct farend_value *value)
{
	arena_free(value->memory);
	*value = (struct farend_value){ .written = "" };
}
