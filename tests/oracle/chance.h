/* Repeatable chance. */
#ifndef FAREND_TESTS_ORACLE_CHANCE_H
#define FAREND_TESTS_ORACLE_CHANCE_H

#include <math.h>
#include <stddef.h>
#include <stdint.h>

#define COUNT_OF(table) (sizeof(table) / sizeof *(table))

/* splitmix64 (Steele, Lea and Flood, 2014): the same numbers on every machine. */
struct chance { uint64_t state; };

static inline uint64_t chance_next(struct chance *c)
{
	uint64_t z = c->state += 0x9E3779B97F4A7C15u;
	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
	return z ^ (z >> 31);
}

/* 0 .. n - 1 */
static inline size_t chance_below(struct chance *c, size_t n)
{
	return (size_t)(chance_next(c) >> 11) % n;
}

static inline double chance_between(struct chance *c, double low, double high)
{
	return low + (high - low) * (double)(chance_next(c) >> 11) * 0x1p-53;
}

/* Spread evenly over the decades. */
static inline double chance_decades(struct chance *c, double low, double high)
{
	return exp(chance_between(c, log(low), log(high)));
}

#endif
