/* What a bench reading says of a strip. Let f(v) be the current of a cut unit as a share of i_nom, and
 * march from the far end, whose reading is the last unit's voltage (no current flows beyond it):
 *   S_k = sum of f(v_j) for j >= k,   v_(k-1) = v_k + x S_k,   feed = v_0 + x S_0 / 2,   x = r p i_nom
 * The feed voltage rises with x, so one root gives x; the current then gives i_nom = I / S_0. */
#include "model/job.h"

#include <math.h>

struct march { double feed, share; };

static struct march march(const struct unit_law *share_law, size_t units, double far, double x)
{
	double v = far, sum = 0, slope;
	for (size_t k = units; k-- > 0;) {
		sum += unit_amps(share_law, v, &slope);
		if (k > 0)
			v += x * sum;
	}
	return (struct march){ v + x * sum / 2, sum };
}

bool reel_test_solve(const struct strip *strip, double *loop_ohm_per_m, double *power_w_per_m)
{
	const struct point *reading = strip->reel_test.points;
	double feed = reading[REEL_FEED].x, far = reading[REEL_FAR].x, amps = reading[REEL_CURRENT].x;
	size_t units = (size_t)floor(reading[REEL_LENGTH].x / strip->pitch + 0.02);
	struct unit_law share_law = strip->law;
	share_law.amps = 1;

	if (units == 0 || !(far > share_law.v_knee) || !(feed > far))
		return false;
	double low = 0, high = (feed - far) / march(&share_law, units, far, 0).share;
	while (march(&share_law, units, far, high).feed < feed)
		high *= 2;
	for (int i = 0; i < 200 && high - low > 1e-15 * high; i++) {
		double middle = (low + high) / 2;
		if (march(&share_law, units, far, middle).feed < feed)
			low = middle;
		else
			high = middle;
	}
	double x = (low + high) / 2;
	double i_nom = amps / march(&share_law, units, far, x).share;
	*loop_ohm_per_m = x / (i_nom * strip->pitch);
	*power_w_per_m = i_nom * strip->voltage.num / strip->pitch;
	return isfinite(*loop_ohm_per_m) && isfinite(*power_w_per_m);
}
