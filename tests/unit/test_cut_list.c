/* From strips to cutting plans. Figures are counted by hand beside each test; random lists are compared
 * with a first-fit packing written here, and every plan is laid out mark by mark. */
#include "support.h"

#include "advise/cut_list.h"
#include "load/load.h"

#include <stdio.h>
#include <stdlib.h>

struct cut_case {
	struct arena *arena;
	struct job *job;
	struct offcuts offcuts;
	struct cut_list list;
};

#define WARM "strip_types: {warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, reel: 5 m}}\n"

static struct cut_case read_job(const char *text)
{
	struct cut_case c = { .arena = arena_new() };
	struct diags diags;
	diags_init(&diags, c.arena);
	struct load_text input = { "test.yaml", text, strlen(text) };
	enum load_status status = load_job(c.arena, &input, &diags, &c.job);
	for (size_t i = 0; i < diags.count; i++)
		print_error("%u: %s\n", diags.items[i].place.line, diags.items[i].message);
	assert_int_equal(status, LOAD_OK);
	return c;
}

static void add_offcut(struct cut_case *c, const char *type, double length)
{
	struct offcut *items = arena_array(c->arena, struct offcut, c->offcuts.count + 1);
	if (c->offcuts.count > 0)
		memcpy(items, c->offcuts.items, c->offcuts.count * sizeof(*items));
	items[c->offcuts.count].strip_type = (struct attr){ .origin = ORIGIN_GIVEN, .text = type };
	items[c->offcuts.count].length = (struct attr){ .origin = ORIGIN_GIVEN, .num = length };
	c->offcuts.items = items;
	c->offcuts.count++;
}

static void plan(struct cut_case *c)
{
	cut_list_make(c->job, &c->offcuts, c->arena, &c->list);
}

static struct cut_case planned(const char *text)
{
	struct cut_case c = read_job(text);
	plan(&c);
	return c;
}

/* Every piece lies on its stock without touching another, every strip is there once and whole. */
static void assert_lays_out(const struct cut_case *c)
{
	size_t *cut = arena_array(c->arena, size_t, c->job->strip_count);
	for (size_t g = 0; g < c->list.group_count; g++) {
		const struct cut_group *group = &c->list.groups[g];
		assert_int_equal(group->plan.too_long_count, 0);
		for (size_t i = 0; i < group->plan.stock_count; i++) {
			const struct cut_stock *stock = &group->plan.stocks[i];
			size_t at = 0;
			for (size_t k = 0; k < stock->cut_count; k++) {
				const struct cut_part *part = &group->parts[stock->cuts[k].piece];
				assert_int_equal(stock->cuts[k].from, at);
				at = stock->cuts[k].to;
				cut[part->strip] += stock->cuts[k].to - stock->cuts[k].from;
			}
			assert_true(cut_at(group, at) <= stock->length + 0.02 * group->pitch);
			assert_near(cut_at(group, at) + cut_left(group, stock), stock->length, 0, 0.02 * group->pitch);
		}
	}
	for (size_t i = 0; i < c->job->strip_count; i++)
		assert_int_equal(cut[i], c->job->strips[i].units);
}

/* 0.85 x 4 + 1.1 = 4.5 m of one reel; 0.5 m is left. */
static void test_one_reel(void **state)
{
	(void)state;
	struct cut_case c = planned(WARM "strips:\n"
		"  L1: {type: warm, length: 850 mm}\n  L2: {type: warm, length: 850 mm}\n"
		"  L3: {type: warm, length: 850 mm}\n  L4: {type: warm, length: 850 mm}\n"
		"  L5: {type: warm, length: 1.1 m}\n");
	assert_lays_out(&c);
	assert_int_equal(c.list.group_count, 1);
	assert_string_equal(c.list.groups[0].strip_type, "warm");
	assert_int_equal(c.list.reels_used, 1);
	assert_int_equal(c.list.lower_bound, 1);
	assert_true(c.list.optimal);
	assert_int_equal(c.list.leftover_count, 1);
	assert_near(c.list.leftovers[0].length, 0.5, 1e-12, 0);
	assert_true(c.list.leftovers[0].offcut == NO_INDEX && !c.list.leftovers[0].untouched);
	arena_free(c.arena);
}

/* Alike in name but not in figures, marks or reel: lengths of one cannot be cut from the other. */
static void test_sorts_of_strip(void **state)
{
	(void)state;
	struct cut_case c = planned(
		"strip_types:\n"
		"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, reel: 5 m}\n"
		"strips:\n"
		"  L1: {type: warm, length: 1 m}\n"
		"  L2: {type: warm, length: 1 m, reel: 10 m}\n"
		"  L3: {type: warm, length: 1 m, cut_length: 100 mm}\n"
		"  L4: {type: warm, length: 1 m, power: 14.4 W/m}\n"
		"  L5: {voltage: 24 V, power: 4.8 W/m, cut_length: 50 mm, length: 1 m}\n"
		"  L6: {voltage: 24 V, power: 4.8 W/m, cut_length: 50 mm, length: 2 m}\n"
		"  L7: {type: warm, length: 1 m, place: elsewhere, mount: aluminium}\n");
	static const struct { const char *name; size_t strips; double pitch, reel; } want[] = {
		{ "warm", 2, 0.05, 5 },              /* L1 L7 */
		{ "warm, 24 V 9.6 W/m", 1, 0.05, 10 },
		{ "warm, 24 V 9.6 W/m", 1, 0.1, 5 },
		{ "warm, 24 V 14.4 W/m", 1, 0.05, 5 },
		{ "strip 24 V 4.8 W/m", 2, 0.05, 5 },
	};
	assert_lays_out(&c);
	assert_int_equal(c.list.group_count, 5);
	for (size_t g = 0; g < 5; g++) {
		assert_string_equal(c.list.groups[g].strip_type, want[g].name);
		assert_int_equal(c.list.groups[g].strip_count, want[g].strips);
		assert_near(c.list.groups[g].pitch, want[g].pitch, 1e-12, 0);
		assert_near(c.list.groups[g].reel, want[g].reel, 1e-12, 0);
	}
	assert_int_equal(c.list.reels_used, 5);
	arena_free(c.arena);
}

/* 12 m from reels of 5 m: 5 + 5 + 2, joined at 5 m and 10 m; the 1.5 m and 1.4 m go behind the 2 m. */
static void test_longer_than_a_reel(void **state)
{
	(void)state;
	struct cut_case c = planned(WARM "strips:\n"
		"  L1: {type: warm, length: 1.5 m}\n  L2: {type: warm, length: 12 m}\n"
		"  L3: {type: warm, length: 1.4 m}\n");
	assert_lays_out(&c);
	assert_int_equal(c.list.reels_used, 3);
	assert_int_equal(c.list.join_count, 1);
	assert_int_equal(c.list.joins[0].strip, 1);
	assert_int_equal(c.list.joins[0].pieces, 3);
	assert_int_equal(c.list.joins[0].reel_units, 100);
	size_t at[3] = { 0 };
	for (size_t i = 0; i < c.list.groups[0].order.piece_count; i++) {
		const struct cut_part *part = &c.list.groups[0].parts[i];
		if (part->of == 3)
			at[part->nth] = part->at;
		else
			assert_int_equal(part->of, 1);
	}
	assert_int_equal(at[1], 100);
	assert_int_equal(at[2], 200);
	arena_free(c.arena);
}

/* A whole number of reels has no rest: 10 m are two pieces. */
static void test_exactly_two_reels(void **state)
{
	(void)state;
	struct cut_case c = planned(WARM "strips: {L1: {type: warm, length: 10 m}}\n");
	assert_lays_out(&c);
	assert_int_equal(c.list.groups[0].order.piece_count, 2);
	assert_int_equal(c.list.joins[0].pieces, 2);
	assert_int_equal(c.list.reels_used, 2);
	assert_int_equal(c.list.leftover_count, 0);
	arena_free(c.arena);
}

static void test_long_offcut_saves_the_join(void **state)
{
	(void)state;
	struct cut_case c = read_job(WARM "strips: {L1: {type: warm, length: 7 m}}\n");
	add_offcut(&c, "warm", 8);
	plan(&c);
	assert_lays_out(&c);
	assert_int_equal(c.list.join_count, 0);
	assert_int_equal(c.list.reels_used, 0);
	assert_near(c.list.leftovers[0].length, 1, 1e-12, 0);
	assert_int_equal(c.list.leftovers[0].offcut, 0);
	arena_free(c.arena);
}

/* Offcuts go by the name of the strip. The rest of 1.87 m is 0.02 m behind the last mark: no leftover of
 * it, but 0.42 m stays on the rack. */
static void test_offcuts_by_name(void **state)
{
	(void)state;
	struct cut_case c = read_job(
		"strip_types:\n"
		"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm}\n"
		"  cool: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm}\n"
		"strips:\n"
		"  L1: {type: warm, length: 850 mm}\n  L2: {type: warm, length: 1000 mm}\n"
		"  L3: {type: warm, length: 5 m}\n");
	add_offcut(&c, "warn", 3);
	add_offcut(&c, "warm", 1.87);
	add_offcut(&c, "cool", 2);
	add_offcut(&c, "warm", 0.42);
	plan(&c);
	assert_lays_out(&c);
	assert_int_equal(c.list.reels_used, 1);
	assert_int_equal(c.list.groups[0].plan.stocks[0].id, 1);
	assert_int_equal(c.list.strange_count, 2);
	assert_int_equal(c.list.strange[0].offcut, 0);
	assert_string_equal(c.list.strange[0].hint, "did you mean 'warm'?");
	assert_int_equal(c.list.strange[1].offcut, 2);
	assert_null(c.list.strange[1].hint);         /* a type, only not used here */
	size_t untouched = 0;
	for (size_t i = 0; i < c.list.leftover_count; i++) {
		assert_true(c.list.leftovers[i].untouched);
		assert_int_not_equal(c.list.leftovers[i].offcut, 1);
		untouched++;
	}
	assert_int_equal(untouched, 3);
	arena_free(c.arena);
}

/* The profile fills the channel; without one it is as long as the strip was drawn. */
static void test_profiles(void **state)
{
	(void)state;
	struct cut_case c = planned(WARM "strips:\n"
		"  L1: {type: warm, channel: 868 mm, mount: aluminium}\n"
		"  L2: {type: warm, length: 870 mm, mount: aluminium}\n"
		"  L3: {type: warm, length: 850 mm, channel: 900 mm, mount: aluminium}\n"
		"  L4: {type: warm, length: 850 mm, mount: timber}\n"
		"  L5: {type: warm, length: 850 mm}\n");
	static const double want[] = { 0.868, 0.870, 0.900 };
	assert_int_equal(c.list.profile_count, 3);
	for (size_t i = 0; i < 3; i++) {
		assert_int_equal(c.list.profiles[i].strip, i);
		assert_near(c.list.profiles[i].length, want[i], 1e-12, 0);
	}
	arena_free(c.arena);
}

/* Nobody said how long the reel is, and the usual one holds no cut unit of 6 m. */
static void test_cut_unit_longer_than_the_usual_reel(void **state)
{
	(void)state;
	struct cut_case c = planned("strips: {L1: {voltage: 24 V, power: 9.6 W/m, cut_length: 6 m, "
	                            "length: 12 m}}\n");
	assert_lays_out(&c);
	assert_int_equal(c.list.reels_used, 2);
	arena_free(c.arena);
}

static void test_no_strips(void **state)
{
	(void)state;
	struct cut_case c = read_job("drivers: {D1: {voltage: 24 V, power: 60 W}}\n");
	add_offcut(&c, "warm", 2);
	plan(&c);
	assert_int_equal(c.list.group_count, 0);
	assert_int_equal(c.list.reels_used, 0);
	assert_true(c.list.optimal);
	assert_int_equal(c.list.strange_count, 1);
	arena_free(c.arena);
}

/* First fit in the order of the file, strips of 7 m taken apart as 5 + 2. */
static size_t first_fit(const size_t *units, size_t count, size_t reel)
{
	size_t room[200], used = 0;
	for (size_t i = 0; i < count; i++)
		for (size_t left = units[i]; left > 0;) {
			size_t piece = left < reel ? left : reel, at = 0;
			while (at < used && room[at] < piece)
				at++;
			if (at == used)
				room[used++] = reel;
			room[at] -= piece;
			left -= piece;
		}
	return used;
}

static void test_random_lists(void **state)
{
	(void)state;
	uint32_t chance = 12345;
	for (size_t round = 0; round < 60; round++) {
		char text[8192];
		size_t units[40], total = 0, length = 0;
		size_t count = 1 + round % 40;
		length += (size_t)snprintf(text, sizeof(text), WARM "strips:\n");
		for (size_t i = 0; i < count; i++) {
			chance = chance * 1664525u + 1013904223u;
			units[i] = 1 + (chance >> 16) % (i % 9 == 8 ? 180 : 70);
			total += units[i];
			length += (size_t)snprintf(text + length, sizeof(text) - length,
			                           "  L%zu: {type: warm, length: %zu mm}\n", i, 50 * units[i]);
		}
		struct cut_case c = planned(text);
		assert_lays_out(&c);
		assert_true(c.list.reels_used <= first_fit(units, count, 100));
		assert_true(c.list.reels_used >= (total + 99) / 100);
		assert_true(c.list.lower_bound >= (total + 99) / 100);
		assert_true(c.list.lower_bound <= c.list.reels_used);
		assert_true(c.list.optimal == (c.list.lower_bound == c.list.reels_used));
		arena_free(c.arena);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_one_reel),
		cmocka_unit_test(test_sorts_of_strip),
		cmocka_unit_test(test_longer_than_a_reel),
		cmocka_unit_test(test_exactly_two_reels),
		cmocka_unit_test(test_long_offcut_saves_the_join),
		cmocka_unit_test(test_offcuts_by_name),
		cmocka_unit_test(test_profiles),
		cmocka_unit_test(test_cut_unit_longer_than_the_usual_reel),
		cmocka_unit_test(test_no_strips),
		cmocka_unit_test(test_random_lists),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
