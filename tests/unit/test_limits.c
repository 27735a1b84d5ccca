/* Every row of the attribute tables that has limits: a value at each limit is read where the row says that it
 * belongs to the range, and one just beyond it is refused as out of range. docs/input.md shows the same rows
 * (test_docs_input). Sizes are looked up in a table and have no limits of their own to try. */
#include "load/form.h"

#include "support.h"

#include <stdio.h>

#define STEP 1e-9                /* of the value: what quantities of 15 digits carry safely */

struct trial {
	struct arena *arena;
	const struct attribute *row;
	const char *text;
	bool read;
	const char *kind;            /* of the mistake */
	double value;
};

static void decode(void *data)
{
	struct trial *t = data;
	struct diags diags;
	struct mistakes mistakes;
	struct attr value = { .origin = ORIGIN_GIVEN };
	diags_init(&diags, t->arena);
	mistakes_init(&mistakes, t->arena, &diags);
	struct decoder decoder = { .arena = t->arena, .brief = arena_child(t->arena), .m = &mistakes,
	                           .origin = ORIGIN_GIVEN };
	const struct source *source = source_new(t->arena, "", t->text, strlen(t->text));
	struct node node = { .kind = NODE_SCALAR, .exact = true, .text = source->bytes,
	                     .at = { source, 1, 1, 1 } };
	t->read = form_decode(&decoder, t->row, &node, &value);
	t->value = value.num;
	t->kind = diags.count > 0 ? diags.items[0].kind : "";
}

static void expect(const struct attribute *row, enum dim dim, double value, bool wanted)
{
	struct trial t = { .arena = arena_new(), .row = row };
	t.text = quantity_text(t.arena, value, dim, 15);
	assert_true(arena_guard(t.arena, decode, &t));
	if (t.read != wanted)
		print_error("%s: %s: %s\n", row->key, t.text, wanted ? t.kind : "was read");
	assert_int_equal(t.read, wanted);
	if (wanted)
		assert_near(t.value, value, 1e-12, 1e-12);
	else
		assert_string_equal(t.kind, "out-of-range");
	arena_free(t.arena);
}

/* Whole numbers step by one. */
static void try_limits(const struct attribute *row, enum dim dim)
{
	bool whole = dim == DIM_COUNT;
	double up = whole ? 1 : STEP * fmax(fabs(row->max), 1e-3);
	double down = whole ? 1 : STEP * fmax(fabs(row->min), 1e-3);
	expect(row, dim, row->min, !row->above);
	expect(row, dim, row->min + down, true);
	expect(row, dim, row->min - down, false);
	expect(row, dim, row->max, true);
	expect(row, dim, row->max - up, true);
	expect(row, dim, row->max + up, false);
}

static size_t try_table(struct attribute_table table)
{
	size_t tried = 0;
	for (size_t i = 0; i < table.count; i++) {
		const struct attribute *row = &table.rows[i];
		if (row->form != FORM_QUANTITY && row->form != FORM_RANGE)
			continue;
		for (const enum dim *dim = row->dims; *dim != DIM__END; dim++, tried++)
			try_limits(row, *dim);
	}
	return tried;
}

static void test_limits_of_attributes(void **state)
{
	(void)state;
	for (enum kind kind = 0; kind < KIND__END; kind++)
		assert_true(try_table(attributes_of(kind)) > 0);
	assert_true(try_table(attributes_shared) > 0);
	assert_true(try_table(attributes_job) > 0);
	assert_true(try_table(attributes_limits) > 5);
	assert_true(try_table(attributes_reel_test) == REEL__END);
	assert_true(try_table(attributes_piece_test) == PIECE__END);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_limits_of_attributes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
