/* Questions are asked in an order that needs few of them: the bound first for reels, which go up
 * one by one; for the other two aims, which can be had in any measure, the most that is
 * conceivable, then halves of what is still open. A question that runs out of steps counts as "does
 * not fit" and as not proved. */
#include "advise/cutting_stages.h"

#include <string.h>

/* Steps for each stage, a few nanoseconds each. One question gets half of what is left where reels
 * are at stake, a quarter after that. */
#define REELS_EFFORT   UINT64_C(200000000)
#define OFFCUTS_EFFORT UINT64_C(50000000)
#define LEFT_EFFORT    UINT64_C(100000000)
#define REELS_SHARE    2
#define LATER_SHARE    4

#define NO_BIN SIZE_MAX

size_t *stages_loads(const struct stages *st, const struct packing *packing, struct arena *arena)
{
	size_t *loads = arena_array(arena, size_t, st->offcut_count + st->sizes->piece_count);
	for (size_t i = 0; i < packing->count; i++) {
		const struct take *take = &packing->takes[i];
		loads[take->bin] += take->count * st->sizes->units[take->size];
	}
	return loads;
}

static void leaves(struct stages *st, size_t units)
{
	if (units > st->longest_left)
		st->longest_left = units;
}

/* Makes the packing the best one and measures it. */
static void adopt(struct stages *st, const struct packing *packing, struct arena *scratch)
{
	const size_t *loads = stages_loads(st, packing, scratch);
	if (packing->count > 0)
		memcpy(st->best.takes, packing->takes, packing->count * sizeof *packing->takes);
	st->best.count = packing->count;
	st->reels = st->from_offcuts = st->longest_left = 0;
	for (size_t i = 0; i < st->offcut_count; i++) {
		st->from_offcuts += loads[i];
		leaves(st, st->offcut_units[i] - loads[i]);
	}
	for (size_t i = 0; i < st->sizes->piece_count; i++) {
		size_t load = loads[st->offcut_count + i];
		if (load == 0)
			continue;
		st->reels++;
		leaves(st, st->reel_units - load);
	}
}

/* All offcuts and `reels` reels, none taken for longer than sums of pieces can fill. Bin
 * `short_bin` (any reel's number stands for one reel) is held to `units`. */
static struct bins bins_of(const struct stages *st, size_t reels, size_t short_bin, size_t units,
                           struct arena *scratch)
{
	struct bins bins = {
		.reels = reels,
		.reel_units = sizes_reach(st->sizes, st->reel_units),
		.first_reel = st->offcut_count,
	};
	bins.singles = arena_array(scratch, struct single, st->offcut_count + 1);
	for (size_t i = 0; i < st->offcut_count; i++) {
		size_t offcut = st->by_length[i];
		size_t holds = offcut == short_bin ? units : st->offcut_units[offcut];
		bins.singles[bins.single_count++] =
			(struct single){ sizes_reach(st->sizes, holds), offcut, true };
	}
	if (short_bin != NO_BIN && short_bin >= st->offcut_count) {
		bins.reels--;
		bins.singles[bins.single_count++] =
			(struct single){ sizes_reach(st->sizes, units), st->offcut_count + bins.reels, false };
	}
	return bins;
}

/* Whether everything fits, within one `share`th of the steps; adopts the packing that shows it. */
static enum pack_answer ask(struct stages *st, const struct bins *bins, uint64_t *effort,
                            unsigned share)
{
	struct arena *scratch = arena_child(st->arena);
	struct packing packing = { .takes = arena_array(scratch, struct take, st->sizes->piece_count) };
	uint64_t mine = *effort / share;
	*effort -= mine;
	enum pack_answer answer = pack(st->sizes, bins, &mine, scratch, &packing);
	*effort += mine;
	if (answer == PACK_YES)
		adopt(st, &packing, scratch);
	arena_free(scratch);
	return answer;
}

void stages_init(struct stages *st, const struct packing *start)
{
	struct arena *scratch = arena_child(st->arena);
	struct bins bins = bins_of(st, 0, NO_BIN, 0, scratch);
	struct packing packing = {
		.takes = arena_array(scratch, struct take, st->sizes->piece_count),
		.count = start->count,
	};
	if (start->count > 0)
		memcpy(packing.takes, start->takes, start->count * sizeof *start->takes);
	pack_best_fit(st->sizes, &bins, scratch, &packing);
	st->best.takes = arena_array(st->arena, struct take, st->sizes->piece_count);
	adopt(st, &packing, scratch);
	arena_free(scratch);
}

size_t stages_fewest_reels(struct stages *st)
{
	struct bins bins = bins_of(st, 0, NO_BIN, 0, st->arena);
	uint64_t effort = REELS_EFFORT;
	struct bound bound;
	bound_init(&bound, st->sizes, &bins, st->arena);
	size_t needed = bound_reels(&bound, st->sizes->pieces, 0);
	for (bins.reels = needed; bins.reels < st->reels; bins.reels++)
		if (ask(st, &bins, &effort, REELS_SHARE) == PACK_NO && bins.reels == needed)
			needed++;
	return needed;
}

bool stages_most_from_offcuts(struct stages *st)
{
	struct bins bins = bins_of(st, st->reels, NO_BIN, 0, st->arena);
	uint64_t effort = OFFCUTS_EFFORT;
	bool proved = true;
	size_t most = 0;
	for (size_t i = 0; i < bins.single_count; i++)
		most += bins.singles[i].units;
	if (most > st->sizes->total)
		most = st->sizes->total;
	bins.offcut_min = most;
	while (st->from_offcuts < most) {
		enum pack_answer answer = ask(st, &bins, &effort, LATER_SHARE);
		if (answer != PACK_YES)
			most = bins.offcut_min - 1;
		proved = proved && answer != PACK_UNKNOWN;
		bins.offcut_min = st->from_offcuts + (most - st->from_offcuts + 1) / 2;
	}
	return proved;
}

/* Seeks a longer length left on `bin`, which can hold `holds` and must hold `least` units: first
 * whether the best can be beaten at all, then by how much. */
static bool longest_left_on(struct stages *st, size_t bin, size_t holds, size_t least,
                            uint64_t *effort)
{
	bool proved = true;
	for (bool first = true; least + st->longest_left < holds; first = false) {
		struct arena *scratch = arena_child(st->arena);
		size_t most = holds - st->longest_left - 1;
		size_t units = first ? most : least + (most - least) / 2;
		struct bins bins = bins_of(st, st->reels, bin, units, scratch);
		bins.offcut_min = st->from_offcuts;
		enum pack_answer answer = ask(st, &bins, effort, LATER_SHARE);
		if (answer != PACK_YES)
			least = units + 1;
		proved = proved && answer != PACK_UNKNOWN;
		arena_free(scratch);
	}
	return proved;
}

bool stages_longest_left(struct stages *st)
{
	uint64_t effort = LEFT_EFFORT;
	bool proved = true;
	if (st->reels > 0) {
		size_t on_reels = st->sizes->total - st->from_offcuts;
		size_t others = (st->reels - 1) * st->reel_units;
		size_t least = st->sizes->units[st->sizes->count - 1];
		if (on_reels > others && on_reels - others > least)
			least = on_reels - others;
		proved = longest_left_on(st, st->offcut_count, st->reel_units, least, &effort);
	}
	for (size_t i = st->offcut_count; i-- > 0;) {
		size_t offcut = st->by_length[i];
		if (!longest_left_on(st, offcut, st->offcut_units[offcut], 0, &effort))
			proved = false;
	}
	return proved;
}
