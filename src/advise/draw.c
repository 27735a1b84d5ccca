/* SplitMix64 (Steele, Lea, Flood, OOPSLA 2014) for the numbers, Fisher and Yates' shuffle for the order. */
#include "advise/draw.h"

struct stream { uint64_t state; };

static uint64_t next(struct stream *s)
{
	uint64_t z = s->state += 0x9E3779B97F4A7C15u;
	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
	return z ^ (z >> 31);
}

/* Below `limit`, which is far below 2^32: the bias is of no account. */
static uint32_t below_limit(uint64_t bits, size_t limit)
{
	return (uint32_t)(((bits >> 32) * limit) >> 32);
}

/* FNV-1a over the parts of a name, the end of each part included. */
static uint64_t seed_of(uint64_t seed, const char *const *name, size_t names)
{
	uint64_t hash = 0xCBF29CE484222325u ^ seed;
	for (size_t i = 0; i < names; i++) {
		const unsigned char *c = (const unsigned char *)name[i];
		do
			hash = (hash ^ *c) * 0x100000001B3u;
		while (*c++ != '\0');
	}
	return hash;
}

void draw_hypercube(uint64_t seed, const char *const *name, size_t names, size_t samples, uint32_t *order,
                    float *out)
{
	struct stream s = { seed_of(seed, name, names) };
	for (size_t i = 0; i < samples; i++)
		order[i] = (uint32_t)i;
	for (size_t i = samples; i > 1; i--) {
		size_t k = below_limit(next(&s), i);
		uint32_t kept = order[i - 1];
		order[i - 1] = order[k];
		order[k] = kept;
	}
	for (size_t i = 0; i < samples; i++) {
		double within = (double)(next(&s) >> 11) * 0x1p-53;
		out[i] = (float)(2 * (order[i] + within) / (double)samples - 1);
	}
}
