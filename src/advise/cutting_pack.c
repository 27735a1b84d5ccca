/* Best-fit decreasing, and the exact answer by bin completion.
 *
 * Bins are filled one after the other: the single ones first, offcuts before others, then reels,
 * each beginning with the longest piece left (it must be on some reel, and reels are alike). A
 * bin's fillings are tried fullest first. A filling is passed over when
 *   - it leaves more than all bins together may leave (capacity - pieces), or the offcuts of them;
 *   - it comes before the filling of a bin just like it, filled last and begun with the same piece:
 *     that pair was tried the other way round;
 *   - it is dominated (Martello and Toth): some piece left over could take the place of a group of
 *     smaller ones in the bin without exceeding it. In any solution the group then fits where that
 *     piece was, and no less lies in the offcuts, which come first.
 * At every bin the bound of cutting_bound.c is asked about what is left. */
#include "advise/cutting_pack.h"

#include "advise/cutting_bits.h"
#include "advise/cutting_known.h"

#include <string.h>

#define WORTH_KNOWING 20        /* times the steps that looking it up takes */

struct search {
	const struct sizes *sizes;
	const struct bins *bins;
	size_t *left;                /* pieces of each size that are not placed */
	size_t left_units;
	size_t waste;                /* units that the bins still to fill may leave */
	size_t offcut_waste;         /* and the offcuts among them */
	struct packing placed;
	struct bound bound;
	struct known known;
	uint64_t *sums;              /* of dominated() */
	uint64_t effort;
};

/* The bin that is being filled. */
struct level {
	size_t bin;                  /* counts single bins, then reels */
	size_t capacity;
	size_t target;               /* units to fill */
	size_t first_take;
	const struct level *twin;    /* the bin before, if alike: fillings of an earlier order are known */
};

static bool spend(struct search *s, size_t steps)
{
	if (s->effort < steps) {
		s->effort = 0;
		return false;
	}
	s->effort -= steps;
	return true;
}

static void place(struct search *s, size_t bin, size_t size, size_t count)
{
	s->placed.takes[s->placed.count++] = (struct take){ bin, size, count };
	s->left[size] -= count;
	s->left_units -= count * s->sizes->units[size];
}

static void take_back(struct search *s)
{
	const struct take *last = &s->placed.takes[--s->placed.count];
	s->left[last->size] += last->count;
	s->left_units += last->count * s->sizes->units[last->size];
}

/* Whether the filling comes before the twin's in the order in which they are tried: it has as many
 * units and, at the first difference, more of a longer piece. */
static bool before_twin(const struct search *s, const struct level *level)
{
	const struct level *twin = level->twin;
	if (twin == NULL || level->target != twin->target)
		return false;
	const struct take *mine = s->placed.takes + level->first_take;
	const struct take *theirs = s->placed.takes + twin->first_take;
	size_t mine_count = s->placed.count - level->first_take;
	size_t theirs_count = level->first_take - twin->first_take;
	for (size_t i = 0; i < mine_count && i < theirs_count; i++) {
		if (mine[i].size != theirs[i].size)
			return mine[i].size < theirs[i].size;
		if (mine[i].count != theirs[i].count)
			return mine[i].count > theirs[i].count;
	}
	return false;
}

/* Walks the sizes from the shortest on with all sums of what the bin holds of shorter ones (0 is
 * one of them: room for the whole piece). A piece of x units left over dominates when such a sum
 * lies in [x - room, x]. */
static bool dominated(struct search *s, const struct level *level)
{
	const struct sizes *sizes = s->sizes;
	size_t room = level->capacity - level->target, take = s->placed.count;
	size_t words = level->capacity / 64 + 1;
	memset(s->sums, 0, words * sizeof *s->sums);
	s->sums[0] = 1;
	for (size_t i = sizes->count; i-- > 0;) {
		size_t x = sizes->units[i];
		if (x > level->capacity)
			break;
		if (s->left[i] > 0 && bits_any(s->sums, x > room ? x - room : 0, x))
			return true;
		if (take == level->first_take || s->placed.takes[take - 1].size != i)
			continue;
		take--;
		for (size_t k = 0; k < s->placed.takes[take].count; k++)
			bits_add(s->sums, words, x);
	}
	return false;
}

static enum pack_answer fill_bin(struct search *s, size_t bin, const struct level *before);

/* The bin holds its target: on to the next one. */
static enum pack_answer finish_bin(struct search *s, const struct level *level)
{
	if (before_twin(s, level) || dominated(s, level))
		return PACK_NO;
	size_t waste = s->waste, offcut_waste = s->offcut_waste;
	s->waste -= level->capacity - level->target;
	if (level->bin < s->bins->single_count && s->bins->singles[level->bin].offcut)
		s->offcut_waste -= level->capacity - level->target;
	enum pack_answer answer = fill_bin(s, level->bin + 1, level);
	s->waste = waste;
	s->offcut_waste = offcut_waste;
	return answer;
}

static enum pack_answer choose(struct search *s, const struct level *level, size_t size,
                               size_t rest);

/* Takes as many of one size as can be, then one less, down to one. */
static enum pack_answer take_size(struct search *s, const struct level *level, size_t size,
                                  size_t rest)
{
	const struct bins *bins = s->bins;
	size_t units = s->sizes->units[size];
	const uint64_t *shorter = s->sizes->reach + (size + 1) * s->sizes->words;
	size_t bin = level->bin < bins->single_count ? bins->singles[level->bin].bin
		: bins->first_reel + level->bin - bins->single_count;
	size_t most = rest / units < s->left[size] ? rest / units : s->left[size];
	for (size_t k = most; k > 0; k--) {
		if (!bits_has(shorter, rest - k * units))
			continue;
		place(s, bin, size, k);
		enum pack_answer answer = choose(s, level, size + 1, rest - k * units);
		if (answer != PACK_NO)
			return answer;
		take_back(s);
	}
	return PACK_NO;
}

/* Makes up `rest` units from sizes `size`, size + 1, ... in every way. */
static enum pack_answer choose(struct search *s, const struct level *level, size_t size,
                               size_t rest)
{
	const struct sizes *sizes = s->sizes;
	if (!spend(s, rest == 0 ? sizes->count : 1))
		return PACK_UNKNOWN;
	if (rest == 0)
		return finish_bin(s, level);
	for (; bits_has(sizes->reach + size * sizes->words, rest); size++) {
		if (sizes->units[size] > rest || s->left[size] == 0)
			continue;
		enum pack_answer answer = take_size(s, level, size, rest);
		if (answer != PACK_NO)
			return answer;
	}
	return PACK_NO;
}

static const struct level *twin_of(const struct search *s, const struct level *level,
                                   const struct level *before, size_t longest)
{
	size_t singles = s->bins->single_count;
	if (before == NULL || (level->bin < singles) != (before->bin < singles))
		return NULL;
	if (level->bin >= singles)
		return s->placed.takes[before->first_take].size == longest ? before : NULL;
	const struct single *a = &s->bins->singles[before->bin], *b = &s->bins->singles[level->bin];
	return a->units == b->units && a->offcut == b->offcut ? before : NULL;
}

static enum pack_answer fill_bin(struct search *s, size_t bin, const struct level *before)
{
	const struct sizes *sizes = s->sizes;
	const struct bins *bins = s->bins;
	if (s->left_units == 0)
		return PACK_YES;
	bool single = bin < bins->single_count;
	if (bin == bins->single_count + bins->reels)
		return PACK_NO;
	if (!spend(s, sizes->count))
		return PACK_UNKNOWN;
	size_t filled = single ? bin : bins->single_count, reels_left = bins->reels - (bin - filled);
	if (bound_reels(&s->bound, s->left, filled) > reels_left)
		return PACK_NO;
	if (!single && known_unfit(&s->known, s->left, reels_left))
		return PACK_NO;
	uint64_t effort = s->effort;

	size_t longest = 0;
	while (s->left[longest] == 0)
		longest++;
	struct level level = {
		.bin = bin,
		.capacity = single ? bins->singles[bin].units : bins->reel_units,
		.first_take = s->placed.count,
	};
	level.twin = twin_of(s, &level, before, longest);
	size_t waste = s->waste;
	if (single && bins->singles[bin].offcut && s->offcut_waste < waste)
		waste = s->offcut_waste;
	size_t least = level.capacity > waste ? level.capacity - waste : 0;
	size_t most = level.twin != NULL ? level.twin->target : level.capacity;
	if (most > s->left_units)
		most = s->left_units;
	for (size_t target = most + 1; target-- > least;) {
		if (!bits_has(sizes->reach, target))
			continue;
		level.target = target;
		enum pack_answer answer = single ? choose(s, &level, 0, target)
			: take_size(s, &level, longest, target);
		if (answer != PACK_NO)
			return answer;
	}
	if (!single && effort - s->effort > WORTH_KNOWING * sizes->count)
		known_add(&s->known, s->left, reels_left);
	return PACK_NO;
}

/* Of the bins [first, last) the one with the least room that holds `units`; `last` when there is
 * none. */
static size_t tightest(const size_t *room, size_t first, size_t last, size_t units)
{
	size_t best = last;
	for (size_t bin = first; bin < last; bin++)
		if (room[bin] >= units && (best == last || room[bin] < room[best]))
			best = bin;
	return best;
}

/* What takes one piece takes as many of its size as it has room for: it stays the tightest. */
void pack_best_fit(const struct sizes *sizes, const struct bins *bins, struct arena *scratch,
                   struct packing *packing)
{
	size_t first_reel = bins->first_reel, end = first_reel;
	size_t *room = arena_array(scratch, size_t, first_reel + sizes->piece_count);
	size_t *left = arena_array(scratch, size_t, sizes->count);
	for (size_t i = 0; i < bins->single_count; i++)
		room[bins->singles[i].bin] = bins->singles[i].units;
	memcpy(left, sizes->pieces, sizes->count * sizeof *left);
	for (size_t i = 0; i < packing->count; i++) {
		const struct take *take = &packing->takes[i];
		left[take->size] -= take->count;
		room[take->bin] -= take->count * sizes->units[take->size];
	}
	for (size_t i = 0; i < sizes->count; i++)
		while (left[i] > 0) {
			size_t units = sizes->units[i], bin = tightest(room, 0, first_reel, units);
			if (bin == first_reel)
				bin = tightest(room, first_reel, end, units);
			if (bin == end)
				room[end++] = bins->reel_units;
			size_t count = room[bin] / units < left[i] ? room[bin] / units : left[i];
			packing->takes[packing->count++] = (struct take){ bin, i, count };
			room[bin] -= count * units;
			left[i] -= count;
		}
}

enum pack_answer pack(const struct sizes *sizes, const struct bins *bins, uint64_t *effort,
                      struct arena *scratch, struct packing *packing)
{
	if (sizes->reach == NULL)
		return PACK_UNKNOWN;
	size_t capacity = bins->reels * bins->reel_units, offcuts = 0;
	for (size_t i = 0; i < bins->single_count; i++) {
		capacity += bins->singles[i].units;
		offcuts += bins->singles[i].offcut ? bins->singles[i].units : 0;
	}
	if (capacity < sizes->total || offcuts < bins->offcut_min || sizes->total < bins->offcut_min)
		return PACK_NO;

	struct search s = {
		.sizes = sizes, .bins = bins, .left_units = sizes->total,
		.waste = capacity - sizes->total, .offcut_waste = offcuts - bins->offcut_min,
		.effort = *effort,
	};
	s.left = arena_array(scratch, size_t, sizes->count);
	memcpy(s.left, sizes->pieces, sizes->count * sizeof *s.left);
	s.placed.takes = arena_array(scratch, struct take, sizes->piece_count);
	s.sums = arena_array(scratch, uint64_t, sizes->words);
	bound_init(&s.bound, sizes, bins, scratch);
	known_init(&s.known, sizes->count, scratch);
	enum pack_answer answer = fill_bin(&s, 0, NULL);
	*effort = s.effort;
	if (answer == PACK_YES) {
		packing->count = s.placed.count;
		memcpy(packing->takes, s.placed.takes, s.placed.count * sizeof *s.placed.takes);
	}
	return answer;
}
