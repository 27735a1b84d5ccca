/* Any text as a quantity of every dimension, of cable sizes and of no dimension in particular: a fault lies
 * inside the text and says what to write; what was read is the same once it is printed and read again. */
#include "fuzz.h"

#include "quantity/quantity.h"

#include <math.h>

#define REST \
	"drivers:\n  D1: {voltage: 24 V, power: 60 W}\n" \
	"blocks:\n  B1: {ports: 2, max_current: 3 A}\n" \
	"cables:\n  C1:\n    size: 0.75 mm2\n    from: D1\n    to: B1\n    length: "

struct reading {
	struct arena *arena;
	const char *text;
};

/* Fifteen digits carry every value to 1 in 1e14; what a unit's offset leaves of a temperature counts
 * absolutely. Below the smallest normal number there are no fifteen digits. */
static bool same(double a, double b, enum dim dim)
{
	double near = 1e-13 * fabs(a) + (dim == DIM_CELSIUS ? 1e-10 : 0) + 1e-290;
	return fabs(a - b) <= near;
}

static void again(const struct reading *r, const struct quantity *first)
{
	const enum dim wants[] = { first->dim, DIM__END };
	const char *printed = quantity_text(r->arena, first->value, first->dim, 15);
	struct quantity second = quantity_parse(r->arena, printed, wants);
	if (second.fault != QUANTITY_OK || !same(first->value, second.value, first->dim))
		fprintf(stderr, "'%s' is printed as '%s'\n", r->text, printed);
	must(second.fault == QUANTITY_OK);
	must(second.dim == first->dim);
	must(same(first->value, second.value, first->dim));
	must(quantity_volts(r->arena, first->value)[0] != '\0');
	must(quantity_length(r->arena, first->value)[0] != '\0');
	must(quantity_percent(r->arena, first->value)[0] != '\0');
}

static void as(const struct reading *r, const enum dim *wants)
{
	struct quantity q = quantity_parse(r->arena, r->text, wants);
	bool wanted = false;
	if (q.fault != QUANTITY_OK) {
		must(q.message != NULL && q.message[0] != '\0');
		must(q.expected != NULL && q.expected[0] != '\0');
		/* A stray byte counts as one character where it continues another. */
		must(q.at + q.length <= strlen(r->text) + 1);
		return;
	}
	for (; *wants != DIM__END; wants++)
		wanted |= *wants == q.dim;
	must(wanted);
	must(isfinite(q.value));
	again(r, &q);
}

static void as_every_dimension(void *data)
{
	const struct reading *r = data;
	static const enum dim size[] = { DIM_AREA, DIM_GAUGE, DIM__END };
	static const enum dim loads[] = { DIM_AMP, DIM_WATT, DIM_VOLT, DIM_LENGTH, DIM__END };
	for (enum dim dim = 0; dim < DIM__END; dim++) {
		const enum dim one[] = { dim, DIM__END };
		as(r, one);
	}
	as(r, size);
	as(r, loads);
}

/* As the value of an attribute: what it may be written as in a file can stand there. */
static void as_value(const char *group, const char *attribute, const char *text, const char *before,
                     const char *after)
{
	struct farend_value value;
	struct farend_job *read;
	enum farend_status status = farend_value(group, attribute, text, &value);
	must(status == FAREND_OK || status == FAREND_WRONG_INPUT);
	must(status == FAREND_OK || value.wrong.message != NULL);
	if (status == FAREND_OK) {
		size_t room = strlen(before) + strlen(value.written) + strlen(after) + 1;
		char *bytes = malloc(room);
		must(bytes != NULL);
		int size = snprintf(bytes, room, "%s%s%s", before, value.written, after);
		status = farend_read_text("fuzz.yaml", bytes, (size_t)size, &read);
		if (status != FAREND_OK)
			fprintf(stderr, "%s\n", bytes);
		must(status == FAREND_OK);
		farend_free(read);
		free(bytes);
	}
	farend_free_value(&value);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct reading r = { .arena = arena_new() };
	char *text = malloc(size + 1);
	must(r.arena != NULL && text != NULL);
	if (size > 0)
		memcpy(text, data, size);
	text[size] = '\0';
	r.text = text;
	must(arena_guard(r.arena, as_every_dimension, &r));
	as_value("job", "name", text, "job:\n  name: ", "\n" REST "1 m\n");
	as_value("cables", "length", text, REST, "\n");
	arena_free(r.arena);
	free(text);
	return 0;
}
