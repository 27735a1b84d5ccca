/* Numbers of several samples side by side: short loops of a fixed length that a compiler turns
 * into whatever vectors the machine has, lane by lane the same arithmetic. `restrict` spares it
 * the doubt whether what it writes is what it reads. */
#ifndef FAREND_SOLVE_LANES_H
#define FAREND_SOLVE_LANES_H

#define BATCH_LANES 8

typedef double lanes[BATCH_LANES];

#define EACH_LANE(l) for (int l = 0; l < BATCH_LANES; l++)

/* For what is written once and compiled for each width. */
#define LANES_INLINE static inline __attribute__((always_inline))

/* The same for any width, a constant where they are called: to += x, to += a b, to = a b. */
LANES_INLINE void lanes_add(double *restrict to, const double *restrict x, int width)
{
	for (int l = 0; l < width; l++)
		to[l] += x[l];
}

LANES_INLINE void lanes_add_product(double *restrict to, const double *restrict a,
                                    const double *restrict b, int width)
{
	for (int l = 0; l < width; l++)
		to[l] += a[l] * b[l];
}

LANES_INLINE void lanes_product(double *restrict to, const double *restrict a,
                                const double *restrict b, int width)
{
	for (int l = 0; l < width; l++)
		to[l] = a[l] * b[l];
}

/* to = the larger of to and |x|; a NaN in x stays. */
LANES_INLINE void lanes_raise(double *restrict to, const double *restrict x, int width)
{
	for (int l = 0; l < width; l++) {
		double size = x[l] < 0 ? -x[l] : x[l];
		to[l] = size <= to[l] ? to[l] : size;
	}
}

#endif
