/* What chance alone can do.
 *
 * The likelihood-ratio statistic for one fault is S_0 - S_k, on the straight line the square of the readings'
 * projection on its (whitened) slope; the gain is the nuisance parameter, gone into the covariance. The
 * program looks at the best of many faults whose slopes are alike, so neither chi-square nor Bonferroni's
 * bound fits: the largest of them under the meter's errors alone is drawn many times over, always the same
 * numbers, and its quantile is the threshold. Faults that can only go one way, or only so far, count as
 * that. (The likelihood-ratio test: any textbook of statistics; the largest of correlated ones by
 * simulation: common practice, no source.) */
#include "advise/diagnose_parts.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#define DRAWS 3000
#define FALSE_ALARMS 0.03        /* aimed at; 0.05 is promised, and no fit is quite a straight line */

/* splitmix64 (Steele, Lea and Flood, 2014). */
static uint64_t next_bits(uint64_t *state)
{
	uint64_t z = *state += 0x9E3779B97F4A7C15u;
	z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
	z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
	return z ^ (z >> 31);
}

/* Two standard normal numbers (Box and Muller, 1958). */
static void draw_pair(uint64_t *state, double pair[2])
{
	double radius = sqrt(-2 * log(((double)(next_bits(state) >> 11) + 1) * 0x1p-53));
	double angle = 6.283185307179586 * (double)(next_bits(state) >> 11) * 0x1p-53;
	pair[0] = radius * cos(angle);
	pair[1] = radius * sin(angle);
}

/* The meter's errors in every reading. */
static void draw_errors(const struct evidence *e, uint64_t *state, double *errors)
{
	double gain[2], pair[2] = { 0, 0 };
	draw_pair(state, gain);
	for (size_t i = 0; i < e->count; i++) {
		if (i % 2 == 0)
			draw_pair(state, pair);
		enum meter_range range = e->built->readings[e->reading[i]].range;
		errors[i] = pair[i % 2] * e->digit[i] + gain[range] * e->meter.gain * e->base[i];
	}
}

static double largest_fall(const struct evidence *e, const struct fit *fits, size_t count,
                           const double *errors)
{
	double most = 0;
	for (size_t k = 0; k < count; k++) {
		double z = 0;
		for (size_t i = 0; i < e->count; i++)
			z += fits[k].weight[i] * errors[i];
		if (z * z <= most)
			continue;
		double a = fmin(fmax(z, (fits[k].low - fits[k].neutral) * fits[k].strength),
		                (fits[k].high - fits[k].neutral) * fits[k].strength);
		most = fmax(most, 2 * a * z - a * a - fault_unlikely(fits[k].fault, z));
	}
	return most;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

double fits_threshold(const struct evidence *e, const struct fit *fits, size_t count)
{
	struct arena *work = arena_child(e->arena);
	double *errors = arena_array(work, double, e->count);
	double *falls = arena_array(work, double, DRAWS);
	uint64_t state = 1;
	for (size_t i = 0; i < DRAWS; i++) {
		draw_errors(e, &state, errors);
		falls[i] = largest_fall(e, fits, count, errors);
	}
	qsort(falls, DRAWS, sizeof(double), by_size);
	double threshold = falls[(size_t)((1 - FALSE_ALARMS) * DRAWS)];
	arena_free(work);
	return threshold;
}
