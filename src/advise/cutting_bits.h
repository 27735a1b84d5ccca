/* Sets of small sums, one bit each. */
#ifndef FAREND_ADVISE_CUTTING_BITS_H
#define FAREND_ADVISE_CUTTING_BITS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

static inline bool bits_has(const uint64_t *bits, size_t x)
{
	return (bits[x / 64] >> (x % 64) & 1) != 0;
}

/* bits |= bits << shift: every sum may have `shift` added once. In place, from the top down. */
static inline void bits_add(uint64_t *bits, size_t words, size_t shift)
{
	size_t whole = shift / 64, part = shift % 64;
	for (size_t w = words; w-- > whole;) {
		uint64_t moved = bits[w - whole] << part;
		if (part != 0 && w > whole)
			moved |= bits[w - whole - 1] >> (64 - part);
		bits[w] |= moved;
	}
}

/* Whether any x in [low, high] is in the set. */
static inline bool bits_any(const uint64_t *bits, size_t low, size_t high)
{
	for (size_t w = low / 64; w <= high / 64; w++) {
		uint64_t word = bits[w];
		if (w == low / 64)
			word &= ~UINT64_C(0) << (low % 64);
		if (w == high / 64)
			word &= ~UINT64_C(0) >> (63 - high % 64);
		if (word != 0)
			return true;
	}
	return false;
}

#endif
