/* Where a function that rises reaches a value. Inside the layer. */
#ifndef FAREND_MODEL_RISING_ROOT_H
#define FAREND_MODEL_RISING_ROOT_H

/* The x >= low with f(x) = 0 to the last few bits, where f(low) <= 0; `high` is a first guess beyond it.
 * INFINITY where f stays below zero. */
double rising_root(double (*f)(const void *data, double x), const void *data, double low, double high);

#endif
