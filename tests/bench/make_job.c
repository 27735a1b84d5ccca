/* Writes the job that the benchmarks use, and the same network for ngspice:
 *     make_job STRIPS JOB.yaml [DECK.cir RAW]
 * Sound, ordinary wiring: for every 20 strips of 100 cut units one driver, a main block, four
 * switches with a block each, five strips on every block. The deck writes its answer to the file
 * RAW. */
#include "oracle/spice.h"

#include <stdlib.h>

#define STRIPS_PER_SWITCH 5
#define SWITCHES_PER_DRIVER 4

static void join(struct plan *plan, struct plan_end from, struct plan_end to, size_t size,
                 double metres)
{
	struct plan_cable cable = { .from = from, .to = to, .size = size, .length = said("m", 1, metres),
	                            .joint = "screw" };
	plan_add_cable(plan, cable);
}

static struct plan_end at(enum plan_kind kind, size_t item)
{
	return (struct plan_end){ .kind = kind, .item = item };
}

/* Rows of plan_sizes: 1.5 mm2 and 2.5 mm2, which the driver may load without fuses. */
enum { THIN = 7, THICK = 8 };

static void add_bay(struct plan *plan, struct plan_end main_block, size_t strips)
{
	struct plan_switch s = { .max_current = said("A", 1, 5), .on_resistance = said("mohm", 1e-3, 35),
	                         .above = PLAN_NONE };
	size_t item = plan_add_switch(plan, s);
	struct plan_end block = at(AT_BLOCK, plan_add_block(plan));
	join(plan, main_block, at(AT_IN, item), THIN, 1 + 0.1 * (double)(item % 7));
	join(plan, at(AT_OUT, item), block, THIN, 0.3);
	for (size_t i = 0; i < strips; i++) {
		struct plan_strip strip = { .length = said("m", 1, 2.5), .fed_by = item };
		size_t added = plan_add_strip(plan, strip);
		join(plan, block, at(AT_STRIP, added), THIN, 0.4 + 0.05 * (double)(added % 11));
	}
}

static void add_driver(struct plan *plan, size_t strips)
{
	struct plan_driver driver = { .voltage = said("V", 1, 24), .power = said("W", 1, 320) };
	size_t item = plan_add_driver(plan, driver);
	struct plan_end block = at(AT_BLOCK, plan_add_block(plan));
	join(plan, at(AT_DRIVER, item), block, THICK, 1);
	while (strips > 0) {
		size_t here = strips < STRIPS_PER_SWITCH ? strips : STRIPS_PER_SWITCH;
		add_bay(plan, block, here);
		strips -= here;
	}
}

static void build(struct plan *plan, struct arena *arena, size_t strips)
{
	plan_init(plan, arena, said("C", 1, 25));
	plan_add_type(plan, (struct plan_type){
		.voltage = said("V", 1, 24), .power = said("W/m", 1, 4.8), .cut_length = said("mm", 1e-3, 25),
		.reel = said("m", 1, 5), .loop = said("ohm/m", 1, 0.2), .knee = said("V", 1, 16.5) });
	while (strips > 0) {
		size_t most = STRIPS_PER_SWITCH * SWITCHES_PER_DRIVER;
		size_t here = strips < most ? strips : most;
		add_driver(plan, here);
		strips -= here;
	}
	plan_derive(plan);
}

int main(int argc, char **argv)
{
	if (argc != 3 && argc != 5) {
		fputs("usage: make_job STRIPS JOB.yaml [DECK.cir RAW]\n", stderr);
		return 2;
	}
	struct arena *arena = arena_new();
	struct plan plan;
	build(&plan, arena, (size_t)strtoul(argv[1], NULL, 10));

	FILE *job = fopen(argv[2], "w");
	if (!job)
		return 4;
	plan_write_yaml(&plan, 0, job);
	bool good = fclose(job) == 0;
	if (good && argc == 5) {
		FILE *deck = fopen(argv[3], "w");
		if (!deck)
			return 4;
		struct spice_run run = { .plan = &plan, .alone = PLAN_NONE };
		spice_write_deck(&run, deck);
		fprintf(deck, ".control\nset filetype=binary\nop\nwrite %s\nquit 0\n.endc\n.end\n", argv[4]);
		good = fclose(deck) == 0;
	}
	arena_free(arena);
	return good ? 0 : 4;
}
