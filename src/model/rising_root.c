/* Bracket by doubling, then the Illinois method: false position that halves the value of an end that
 * was kept twice (Dowell and Jarratt, BIT 11, 1971), which converges faster than linearly. */
#include "model/rising_root.h"

#include <math.h>

#define MOST_DOUBLINGS 200
#define MOST_STEPS 200

double rising_root(double (*f)(const void *data, double x), const void *data, double low, double high)
{
	double below = f(data, low), above = f(data, high);
	for (int i = 0; i < MOST_DOUBLINGS && above < 0; i++) {
		low = high;
		below = above;
		high *= 2;
		above = f(data, high);
	}
	if (!(above >= 0) || !isfinite(above))
		return INFINITY;
	if (!(below < 0))
		return low;
	double x = high, last = low;
	int kept = 0;
	for (int i = 0; i < MOST_STEPS && fabs(x - last) > 4e-16 * x; i++) {
		last = x;
		x = (low * above - high * below) / (above - below);
		if (!(x > low && x < high))
			x = (low + high) / 2;
		double y = f(data, x);
		if (y < 0) {
			low = x;
			below = y;
			above = kept < 0 ? above / 2 : above;
			kept = -1;
		} else {
			high = x;
			above = y;
			below = kept > 0 ? below / 2 : below;
			kept = 1;
		}
	}
	return x;
}
