/* The pieces by size, the sums that can be made up from them, and how many reels they need at
 * least.
 *
 * A dual feasible function f is nondecreasing and superadditive (f(x) + f(y) <= f(x + y)), so what
 * lies in a bin of c units has f-values that add up to f(c) at most. Summed over all bins,
 *     sum of f(piece) <= sum of f(single bin) + reels * f(reel),
 * which bounds the reels from below. On [0, d], d the largest bin, two families are used:
 *     f_a(x) = d if x > d - a;  0 if x < a;  else x      (a <= d / 2; a = 0 is the plain area)
 *     g_k(x) = k x if (k + 1) x / d is whole, else d floor((k + 1) x / d)
 * With one bin size, the best of f_a and g_1 is bound L2 of Martello and Toth. */
#include "advise/cutting_pack.h"

#include "advise/cutting_bits.h"

#include <string.h>

/* What is searched: beyond it, the search would not come to an end in its steps anyway. */
#define PIECES_MOST 1000
#define WORDS_MOST  ((size_t)1 << 20)
#define ROUNDINGS   8           /* g_1 ... g_8: for pieces down to a ninth of the largest bin */

static void reach_init(struct sizes *sizes, struct arena *arena)
{
	if (sizes->piece_count > PIECES_MOST || sizes->count + 1 > WORDS_MOST / sizes->words)
		return;
	sizes->reach = arena_array(arena, uint64_t, (sizes->count + 1) * sizes->words);
	sizes->reach[sizes->count * sizes->words] = 1;
	for (size_t i = sizes->count; i-- > 0;) {
		uint64_t *row = sizes->reach + i * sizes->words;
		memcpy(row, row + sizes->words, sizes->words * sizeof *row);
		for (size_t k = 0; k < sizes->pieces[i] && k < sizes->limit / sizes->units[i]; k++)
			bits_add(row, sizes->words, sizes->units[i]);
	}
}

void sizes_init(struct sizes *sizes, const size_t *units, size_t count, size_t limit,
                struct arena *arena)
{
	*sizes = (struct sizes){ .piece_count = count, .limit = limit, .words = limit / 64 + 1 };
	sizes->units = arena_array(arena, size_t, count);
	sizes->pieces = arena_array(arena, size_t, count);
	for (size_t i = 0; i < count; i++) {
		sizes->total += units[i];
		if (i == 0 || units[i] != units[i - 1])
			sizes->units[sizes->count++] = units[i];
		sizes->pieces[sizes->count - 1]++;
	}
	reach_init(sizes, arena);
}

size_t sizes_reach(const struct sizes *sizes, size_t units)
{
	if (sizes->reach == NULL)
		return units;
	if (units > sizes->limit)
		units = sizes->limit;
	while (!bits_has(sizes->reach, units))
		units--;
	return units;
}

static uint64_t f_value(size_t span, size_t a, size_t x)
{
	return x > span - a ? span : x < a ? 0 : x;
}

static uint64_t g_value(size_t span, size_t k, size_t x)
{
	uint64_t steps = (uint64_t)(k + 1) * x;
	return steps % span == 0 ? (uint64_t)k * x : span * (steps / span);
}

/* Rows of g_k: its values for the sizes, the single bins, the reel. */
void bound_init(struct bound *bound, const struct sizes *sizes, const struct bins *bins,
                struct arena *arena)
{
	*bound = (struct bound){ sizes, bins, bins->reel_units, NULL };
	for (size_t i = 0; i < bins->single_count; i++)
		if (bins->singles[i].units > bound->span)
			bound->span = bins->singles[i].units;
	if (bound->span == 0)
		return;
	size_t width = sizes->count + bins->single_count + 1;
	uint64_t *row = bound->rounded = arena_array(arena, uint64_t, ROUNDINGS * width);
	for (size_t k = 1; k <= ROUNDINGS; k++, row += width) {
		for (size_t i = 0; i < sizes->count; i++)
			row[i] = g_value(bound->span, k, sizes->units[i]);
		for (size_t i = 0; i < bins->single_count; i++)
			row[sizes->count + i] = g_value(bound->span, k, bins->singles[i].units);
		row[width - 1] = g_value(bound->span, k, bins->reel_units);
	}
}

static size_t reels_for(uint64_t pieces, uint64_t held, uint64_t reel)
{
	if (pieces <= held)
		return 0;
	return reel == 0 ? SIZE_MAX : (size_t)((pieces - held + reel - 1) / reel);
}

static size_t larger(size_t a, size_t b)
{
	return a > b ? a : b;
}

/* The best of f_a, a over the sizes from the shortest up: `middle` is the sum of what counts as
 * itself, `full` the number of what counts as the span. */
static size_t best_f(const struct bound *bound, const size_t *left, size_t first_single)
{
	const struct sizes *sizes = bound->sizes;
	const struct bins *bins = bound->bins;
	size_t span = bound->span, most = 0, full = 0, longest = 0;
	uint64_t middle = 0;
	for (size_t i = 0; i < sizes->count; i++)
		middle += (uint64_t)left[i] * sizes->units[i];
	for (size_t end = sizes->count, a = 0; a <= span / 2; a = sizes->units[end - 1]) {
		for (; longest < sizes->count && sizes->units[longest] > span - a; longest++) {
			middle -= (uint64_t)left[longest] * sizes->units[longest];
			full += left[longest];
		}
		uint64_t held = 0;
		for (size_t k = first_single; k < bins->single_count; k++)
			held += f_value(span, a, bins->singles[k].units);
		most = larger(most, reels_for(middle + (uint64_t)full * span, held,
		                              f_value(span, a, bins->reel_units)));
		if (a > 0)
			middle -= (uint64_t)left[end - 1] * a;
		end -= a > 0;
		while (end > 0 && left[end - 1] == 0)
			end--;
		if (end == 0)
			break;
	}
	return most;
}

static size_t best_g(const struct bound *bound, const size_t *left, size_t first_single)
{
	const struct sizes *sizes = bound->sizes;
	size_t most = 0, singles_end = sizes->count + bound->bins->single_count;
	const uint64_t *row = bound->rounded;
	for (size_t k = 1; k <= ROUNDINGS && row != NULL; k++, row += singles_end + 1) {
		uint64_t pieces = 0, held = 0;
		for (size_t i = 0; i < sizes->count; i++)
			pieces += left[i] * row[i];
		for (size_t i = sizes->count + first_single; i < singles_end; i++)
			held += row[i];
		most = larger(most, reels_for(pieces, held, row[singles_end]));
	}
	return most;
}

size_t bound_reels(const struct bound *bound, const size_t *left, size_t first_single)
{
	return larger(best_f(bound, left, first_single), best_g(bound, left, first_single));
}
