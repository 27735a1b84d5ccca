/* A generated network with one fault planted in it, of a chosen size.
 *
 * The size of a fault is counted in standard errors: the square root of what it adds to chi-square,
 *     size^2 = d' V^-1 d,   d = readings with the fault - readings without (both of ngspice),
 * V the covariance of the meter's errors (a digit each, one gain for all volts, one for all amps), so
 * that the value of a fault of size 3 is three of its standard errors from none. Sizes are spread evenly
 * over the logarithm, from 3 to 30; a fault that cannot grow as large as wanted is left out. */
#ifndef FAREND_TESTS_ORACLE_PLANTED_H
#define FAREND_TESTS_ORACLE_PLANTED_H

#include "oracle/chance.h"
#include "oracle/faulty.h"

#define PLANTED_SCALES 6         /* values tried for each fault */
#define METER_GAIN 0.005         /* common practice, no source */
#define METER_DIGIT 0.010        /* V, A */

struct planted {
	uint64_t seed;
	struct plan plan;
	struct chance chance;
	bool amps;                   /* currents in the loops are read as well */
	bool *in_loop;               /* by cable */
	double wanted;               /* size */
	struct fault_in scales[1 + PLANTED_SCALES];      /* none, then growing ones */
	struct fault_in fault;
	double size;
	double *sound, *faulty;      /* readings without errors */
};

/* The next plan from `seed` on that is not too large for ngspice, its fault drawn; `sound` is not set. */
void planted_open(struct planted *t, struct arena *arena, uint64_t *seed);

/* Reading i of faulty_count() is taken. */
bool planted_reads(const struct planted *t, size_t i);

/* Opens `count` of them and plants the faults. Returns how many can have the size that was wanted, 3 or
 * more; those are in kept[0] and on. False in `*solved`: ngspice failed. */
size_t planted_batch(struct planted *kept, size_t count, uint64_t *seed, struct arena *arena, bool *solved);

#endif
