/* Order statistics of a list of numbers. */
#ifndef FAREND_ADVISE_QUANTILE_H
#define FAREND_ADVISE_QUANTILE_H

#include <stddef.h>

/* The value below which a share `p` (0 to 1) of `count` > 0 numbers lies, the nearest of them. Puts the
 * list into another order. */
float quantile(float *list, size_t count, double p);

#endif
