/* The order list, counted by hand beside each test. */
#include "support.h"

#include "advise/purchase.h"
#include "load/load.h"

struct bought {
	struct arena *arena;
	struct job *job;
	struct offcuts offcuts;
	struct cut_list cuts;
	struct purchase list;
};

static struct bought buy(const char *text, double spare)
{
	struct bought b = { .arena = arena_new() };
	struct diags diags;
	diags_init(&diags, b.arena);
	struct load_text input = { "test.yaml", text, strlen(text) };
	enum load_status status = load_job(b.arena, &input, &diags, &b.job);
	for (size_t i = 0; i < diags.count; i++)
		print_error("%u: %s\n", diags.items[i].place.line, diags.items[i].message);
	assert_int_equal(status, LOAD_OK);
	cut_list_make(b.job, &b.offcuts, b.arena, &b.cuts);
	purchase_make(b.job, &b.cuts, spare, b.arena, &b.list);
	return b;
}

static const struct buy_line *line(const struct bought *b, enum buy kind, const char *part)
{
	const struct buy_line *found = NULL;
	for (size_t i = 0; i < b->list.line_count; i++)
		if (b->list.lines[i].kind == kind && strcmp(b->list.lines[i].part, part) == 0) {
			assert_null(found);
			found = &b->list.lines[i];
		}
	if (found == NULL)
		fail_msg("there is no %s '%s'", buy_word(kind), part);
	return found;
}

static size_t lines_of(const struct bought *b, enum buy kind)
{
	size_t count = 0;
	for (size_t i = 0; i < b->list.line_count; i++)
		count += b->list.lines[i].kind == kind;
	return count;
}

static bool noted(const struct bought *b, const char *words)
{
	for (size_t i = 0; i < b->list.note_count; i++)
		if (strstr(b->list.notes[i], words) != NULL)
			return true;
	return false;
}

static void assert_quantity(const struct buy_line *l, double needed, double quantity, const char *unit)
{
	assert_near(l->needed, needed, 1e-12, 0);
	assert_near(l->quantity, quantity, 1e-12, 0);
	assert_string_equal(l->unit, unit);
}

static void assert_money(const struct buy_line *l, double price, double total)
{
	assert_near(l->price, price, 1e-12, 0);
	assert_near(l->total, total, 1e-12, 0);
	assert_near(l->quantity * l->price, l->total, 0, 0.005);
}

#define STRIP "voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm"
#define DRIVER "drivers: {D1: {voltage: 24 V, power: 60 W}}\n"
#define CABLE "size: 0.75 mm2, joint: solder"

/* 4 x 1.5 m need two reels of 5 m; three reels would come in packs of 2 as two packs. */
static void test_strips(void **state)
{
	(void)state;
	struct bought b = buy("job: {currency: EUR}\n"
		"strip_types:\n"
		"  warm: {" STRIP ", price: 31.50, part: ST-1, colour: warm white}\n"
		"  cool: {" STRIP ", price: 50, pack: 2}\n"
		"  soft: {" STRIP ", price: 20, pack: 5 m}\n"
		"strips:\n"
		"  L1: {type: warm, length: 1.5 m}\n  L2: {type: warm, length: 1.5 m}\n"
		"  L3: {type: warm, length: 1.5 m}\n  L4: {type: warm, length: 1.5 m}\n"
		"  L5: {type: cool, length: 12 m}\n"
		"  L6: {type: soft, length: 3 m}\n", 0.1);
	const struct buy_line *l = line(&b, BUY_STRIP, "ST-1");
	assert_quantity(l, 2, 2, "reel");
	assert_money(l, 31.5, 63);
	assert_string_equal(l->what, "24 V 9.6 W/m warm white, reel of 5 m");
	assert_int_equal(l->item_count, 4);
	l = line(&b, BUY_STRIP, "cool");
	assert_quantity(l, 3, 2, "pack of 2");
	assert_money(l, 50, 100);
	l = line(&b, BUY_STRIP, "soft");
	assert_quantity(l, 1, 1, "reel");              /* a pack of 5 m is the reel itself */
	assert_money(l, 20, 20);
	assert_near(b.list.total, 183, 1e-12, 0);
	assert_string_equal(b.list.currency, "EUR");
	assert_int_equal(b.list.unpriced, 0);
	assert_true(noted(&b, "L5 is longer than a reel: 2 joins"));
	arena_free(b.arena);
}

/* 3.2 + 0.15, 2 x 1.1, 4 m = 9.55 m; a tenth more is 10.505 m. The supplied lead is not bought. */
static void test_cable_lengths(void **state)
{
	(void)state;
	static const char job[] = DRIVER "blocks: {B1: {ports: 6, max_current: 6 A}}\n"
		"switches: {S1: {max_current: 3 A}, S2: {max_current: 3 A}}\n"
		"cables:\n"
		"  C1: {" CABLE ", from: D1, to: B1, length: 3.2 m, slack: 150 mm}\n"
		"  C2: {" CABLE ", from: B1, to: S1, length: 2 m, slack: 10 %}\n"
		"  C3: {" CABLE ", from: B1, to: S2, length: 4 m}\n"
		"  C4: {" CABLE ", from: S1, to: S2, length: 7 m, supplied: yes}\n";
	struct bought b = buy(job, 0.1);
	const struct buy_line *l = line(&b, BUY_CABLE, "cable 0.75 mm2");
	assert_quantity(l, 9.55, 11, "m");
	assert_int_equal(l->item_count, 3);
	assert_int_equal(lines_of(&b, BUY_CABLE), 1);
	assert_true(isnan(b.list.total));
	arena_free(b.arena);
	b = buy(job, 0);
	assert_quantity(line(&b, BUY_CABLE, "cable 0.75 mm2"), 9.55, 10, "m");
	arena_free(b.arena);
	b = buy(job, 1);
	assert_quantity(line(&b, BUY_CABLE, "cable 0.75 mm2"), 9.55, 20, "m");     /* 19.1 */
	arena_free(b.arena);
}

/* 0.1 + 0.2 and so on come to 3 m and a rounding error: 3 m are bought, not 4. */
static void test_whole_metres_stay_whole(void **state)
{
	(void)state;
	struct bought b = buy(DRIVER "blocks: {B1: {ports: 9, max_current: 6 A}}\n"
		"switches: {S1: {max_current: 3 A}, S2: {max_current: 3 A}, S3: {max_current: 3 A}}\n"
		"cables:\n"
		"  C1: {" CABLE ", from: D1, to: B1, length: 0.7 m}\n"
		"  C2: {" CABLE ", from: B1, to: S1, length: 1.1 m}\n"
		"  C3: {" CABLE ", from: B1, to: S2, length: 0.9 m}\n"
		"  C4: {" CABLE ", from: B1, to: S3, length: 0.3 m}\n", 0);
	assert_quantity(line(&b, BUY_CABLE, "cable 0.75 mm2"), 3, 3, "m");
	arena_free(b.arena);
}

/* By metres, 3 x 6 m + 10 % = 19.8 m would be two packs of 10 m; but each pack gives only one 6 m. */
static void test_cable_in_packs(void **state)
{
	(void)state;
	struct bought b = buy(DRIVER "blocks: {B1: {ports: 9, max_current: 6 A}}\n"
		"switches: {S1: {max_current: 3 A}, S2: {max_current: 3 A}, S3: {max_current: 3 A}}\n"
		"cable_types:\n"
		"  run: {size: 0.75 mm2, price: 8.90, pack: 10 m}\n"
		"  drum: {size: 1.5 mm2, price: 29.50, pack: 25 m}\n"
		"cables:\n"
		"  C1: {type: run, from: D1, to: B1, length: 6 m}\n"
		"  C2: {type: run, from: B1, to: S1, length: 6 m}\n"
		"  C3: {type: run, from: B1, to: S2, length: 6 m}\n"
		"  C4: {type: drum, from: B1, to: S3, length: 23 m}\n", 0.1);
	const struct buy_line *l = line(&b, BUY_CABLE, "run");
	assert_quantity(l, 18, 3, "pack of 10 m");
	assert_money(l, 8.9, 26.7);
	l = line(&b, BUY_CABLE, "drum");
	assert_quantity(l, 23, 2, "pack of 25 m");     /* 25.3 m with the spare */
	assert_money(l, 29.5, 59);
	arena_free(b.arena);
}

/* 12 m from packs of 10 m: two of them, but the cable wants to be in one length. */
static void test_cable_longer_than_a_pack(void **state)
{
	(void)state;
	struct bought b = buy(DRIVER "blocks: {B1: {ports: 9, max_current: 6 A}}\n"
		"cable_types: {run: {size: 0.75 mm2, price: 8.90, pack: 10}}\n"
		"cables: {C1: {type: run, from: D1, to: B1, length: 12 m}}\n", 0);
	assert_quantity(line(&b, BUY_CABLE, "run"), 12, 2, "pack of 10 m");
	assert_true(noted(&b, "C1 is longer than a pack of run"));
	arena_free(b.arena);
}

static void test_pieces(void **state)
{
	(void)state;
	struct bought b = buy("driver_types: {big: {voltage: 24 V, power: 150 W, part: DR-150, price: 47.505}}\n"
		"switch_types: {door: {max_current: 3 A, kind: door, price: 14.20, pack: 2}}\n"
		"block_types: {six: {ports: 6, max_current: 6 A, price: 2.80}}\n"
		"drivers: {D1: {type: big}, D2: {voltage: 24 V, power: 60 W}, D3: {voltage: 24 V, power: 60 W}}\n"
		"switches: {S1: {type: door}, S2: {type: door}, S3: {type: door}}\n"
		"blocks: {B1: {type: six}, B2: {type: six}, B3: {type: six, price: 3}}\n", 0.1);
	assert_quantity(line(&b, BUY_DRIVER, "DR-150"), 1, 1, "piece");
	assert_near(line(&b, BUY_DRIVER, "DR-150")->total, 47.51, 1e-9, 0);   /* as an invoice has it */
	assert_quantity(line(&b, BUY_DRIVER, "driver 24 V 60 W"), 2, 2, "piece");
	const struct buy_line *l = line(&b, BUY_SWITCH, "door");
	assert_quantity(l, 3, 2, "pack of 2");
	assert_money(l, 14.2, 28.4);
	assert_string_equal(l->what, "door 3 A");
	assert_int_equal(lines_of(&b, BUY_BLOCK), 2);          /* two prices, two lines */
	assert_int_equal(b.list.unpriced, 1);
	/* 47.51 + 28.40 + 2 x 2.80 + 3 */
	assert_near(b.list.total, 84.51, 1e-9, 0);
	arena_free(b.arena);
}

/* One for each cable end at a strip, taps too, that is not soldered; C4 has two such ends. */
static void test_connectors(void **state)
{
	(void)state;
	struct bought b = buy(DRIVER "strip_types: {warm: {" STRIP "}, soft: {" STRIP "}}\n"
		"strips:\n"
		"  L1: {type: warm, length: 2 m}\n  L2: {type: warm, length: 2 m}\n"
		"  L3: {type: soft, length: 2 m}\n"
		"cables:\n"
		"  C1: {size: 1 mm2, from: D1, to: L1, length: 1 m, joint: clip}\n"
		"  C2: {size: 1 mm2, from: D1, to: L1@1m, length: 1 m, joint: clip}\n"
		"  C3: {size: 1 mm2, from: D1, to: L2, length: 1 m, joint: solder}\n"
		"  C4: {size: 1 mm2, from: L1.end, to: L2.end, length: 1 m, joint: clip}\n"
		"  C5: {size: 1 mm2, from: D1, to: L3, length: 1 m, joint: clip}\n"
		"  C6: {size: 1 mm2, from: D1, to: L3.end, length: 1 m, joint: plug}\n"
		"  C7: {size: 1 mm2, from: D1, to: L3@1m, length: 1 m, joint: screw, supplied: yes}\n"
		"  C8: {size: 1 mm2, from: D1, to: L2@1m, length: 1 m}\n", 0.1);
	size_t clips = 0;
	for (size_t i = 0; i < b.list.line_count; i++) {
		const struct buy_line *l = &b.list.lines[i];
		if (l->kind != BUY_CONNECTOR || strcmp(l->what, "for warm") != 0)
			continue;
		assert_string_equal(l->part, "strip connector, clip");
		assert_quantity(l, 4, 4, "piece");
		assert_int_equal(l->item_count, 3);        /* C1 C2 C4 */
		clips++;
	}
	assert_int_equal(clips, 1);
	assert_int_equal(lines_of(&b, BUY_CONNECTOR), 3);
	assert_quantity(line(&b, BUY_CONNECTOR, "strip connector, plug"), 1, 1, "piece");
	assert_true(noted(&b, "1 cable end is at a strip without 'joint"));
	arena_free(b.arena);
}

static void test_fuses(void **state)
{
	(void)state;
	struct bought b = buy(DRIVER "blocks: {B1: {ports: 9, max_current: 6 A}, B2: {ports: 9, max_current: 6 A}}\n"
		"cables:\n"
		"  C1: {" CABLE ", from: D1, to: B1, length: 1 m, fuse: 3 A}\n"
		"  C2: {" CABLE ", from: D1, to: B2, length: 1 m, fuse: 3 A}\n"
		"  C3: {" CABLE ", from: B1, to: B2, length: 1 m, fuse: 7.5 A}\n"
		"  C4: {" CABLE ", from: B1, to: B2, length: 1 m, fuse: 5 A, supplied: yes}\n", 0.1);
	assert_int_equal(lines_of(&b, BUY_FUSE), 2);
	assert_quantity(line(&b, BUY_FUSE, "fuse 3 A"), 2, 2, "piece");
	assert_quantity(line(&b, BUY_FUSE, "fuse 7.5 A"), 1, 1, "piece");
	assert_true(noted(&b, "holder"));
	arena_free(b.arena);
}

/* A cable made thicker than its type is not the type's part at the type's price; the one part with its
 * figures stands in, and where there are two nobody chooses. */
static void test_changed_from_its_type(void **state)
{
	(void)state;
	struct bought b = buy(DRIVER "blocks: {B1: {ports: 9, max_current: 6 A}}\n"
		"switches: {S1: {max_current: 3 A}, S2: {max_current: 3 A}}\n"
		"cable_types:\n"
		"  thin: {size: 0.5 mm2, price: 0.55, part: CB-05}\n"
		"  run: {size: 0.75 mm2, price: 0.72, part: CB-07}\n"
		"  one-white: {size: 1 mm2, price: 0.95, colour: white}\n"
		"  one-black: {size: 1 mm2, price: 0.99, colour: black}\n"
		"cables:\n"
		"  C1: {type: thin, size: 0.75 mm2, from: D1, to: B1, length: 1 m}\n"
		"  C2: {type: thin, size: 1 mm2, from: B1, to: S1, length: 1 m}\n"
		"  C3: {size: 1 mm2, colour: black, from: B1, to: S2, length: 1 m}\n"
		"  C4: {type: thin, size: 1.5 mm2, price: 1.40, part: MINE, from: S1, to: S2, length: 1 m}\n"
		"  C5: {type: run, from: D1, to: S2, length: 1 m}\n", 0);
	const struct buy_line *l = line(&b, BUY_CABLE, "CB-07");
	assert_int_equal(l->item_count, 2);                   /* C1 and C5 */
	assert_money(l, 0.72, 1.44);
	assert_true(noted(&b, "C1 names no part that fits its figures: CB-07"));
	assert_true(isnan(line(&b, BUY_CABLE, "thin, 1 mm2")->price));
	assert_money(line(&b, BUY_CABLE, "one-black"), 0.99, 0.99);
	assert_money(line(&b, BUY_CABLE, "MINE"), 1.4, 1.4);
	assert_int_equal(lines_of(&b, BUY_CABLE), 4);
	assert_int_equal(b.list.unpriced, 4);                 /* driver, switches, block, C2 */
	arena_free(b.arena);
}

/* A driver of other output, class or trip current is another driver. */
static void test_figures_that_tell_drivers_apart(void **state)
{
	(void)state;
	struct bought b = buy(
		"driver_types: {dr: {voltage: 24 V, power: 60 W, class_2: yes, trip_current: 3.4 A, price: 24.60}}\n"
		"drivers:\n"
		"  D1: {voltage: 24 V, power: 60 W}\n"
		"  D2: {voltage: 24 V, power: 60 W, class_2: no}\n"
		"  D3: {voltage: 12 V, power: 60 W}\n"
		"  D4: {voltage: 24 V, power: 75 W}\n"
		"  D5: {type: dr, set_voltage: 24.5 V}\n", 0.1);
	const struct buy_line *l = line(&b, BUY_DRIVER, "dr");
	assert_int_equal(l->item_count, 2);                   /* D1, and D5: trimmed, but the same driver */
	assert_true(isnan(line(&b, BUY_DRIVER, "driver 24 V 60 W")->price));
	assert_int_equal(lines_of(&b, BUY_DRIVER), 4);
	arena_free(b.arena);
}

/* Reels that offcuts replace are not ordered. */
static void test_offcuts_save_reels(void **state)
{
	(void)state;
	struct bought b = buy("strips: {L1: {" STRIP ", length: 1.2 m}}\n", 0.1);
	struct offcut offcut = {
		.strip_type = { .origin = ORIGIN_GIVEN, .text = "strip 24 V 9.6 W/m" },
		.length = { .origin = ORIGIN_GIVEN, .num = 1.25 },
	};
	assert_int_equal(lines_of(&b, BUY_STRIP), 1);
	b.offcuts = (struct offcuts){ &offcut, 1 };
	cut_list_make(b.job, &b.offcuts, b.arena, &b.cuts);
	purchase_make(b.job, &b.cuts, 0.1, b.arena, &b.list);
	assert_int_equal(lines_of(&b, BUY_STRIP), 0);
	assert_true(noted(&b, "the offcuts are enough"));
	arena_free(b.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_strips),
		cmocka_unit_test(test_cable_lengths),
		cmocka_unit_test(test_whole_metres_stay_whole),
		cmocka_unit_test(test_cable_in_packs),
		cmocka_unit_test(test_cable_longer_than_a_pack),
		cmocka_unit_test(test_pieces),
		cmocka_unit_test(test_connectors),
		cmocka_unit_test(test_fuses),
		cmocka_unit_test(test_changed_from_its_type),
		cmocka_unit_test(test_figures_that_tell_drivers_apart),
		cmocka_unit_test(test_offcuts_save_reels),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
