/* What a bench reading says of a strip. Let f(v) be the current of a cut unit as a share of i_nom, and
 * march from the far end, whose reading is the last unit's voltage (no current flows beyond it):
 *   S_k = sum of f(v_j) for j >= k,   v_(k-1) = v_k + x S_k,   feed = v_0 + x S_0 / 2,   x = r p i_nom
 * The feed voltage rises with x, so one root gives x; the current then gives i_nom = I / S_0. */
#include "model/job.h"
#include "model/rising_root.h"

#include <math.h>

struct bench { struct unit_law share_law; size_t units; double feed, far; };
struct march { double feed, share; };

static struct march march(const struct bench *bench, double x)
{
	double v = bench->far, sum = 0, slope;
	for (size_t k = bench->units; k-- > 0;) {
		sum += unit_amps(&bench->share_law, v, &slope);
		if (k > 0)
			v += x * sum;
	}
	return (struct march){ v + x * sum / 2, sum };
}

static double excess(const void *data, double x)
{
	const struct bench *bench = data;
	return march(bench, x).feed - bench->feed;
}

bool reel_test_solve(const struct strip *strip, double *loop_ohm_per_m, double *power_w_per_m)
{
	const struct point *reading = strip->reel_test.points;
	double amps = reading[REEL_CURRENT].x;
	struct bench bench = { .share_law = strip->law, .feed = reading[REEL_FEED].x,
	                       .far = reading[REEL_FAR].x,
	                       .units = strip_units_in(strip, reading[REEL_LENGTH].x) };
	bench.share_law.amps = 1;

	if (bench.units == 0 || !(bench.far > bench.share_law.v_knee) || !(bench.feed > bench.far))
		return false;
	double x = rising_root(excess, &bench, 0, (bench.feed - bench.far) / march(&bench, 0).share);
	double i_nom = amps / march(&bench, x).share;
	*loop_ohm_per_m = x / (i_nom * strip->pitch);
	*power_w_per_m = i_nom * strip->voltage.num / strip->pitch;
	return isfinite(*loop_ohm_per_m) && isfinite(*power_w_per_m);
}
