/* Bracketing along one direction. The slope is used and not the convex function itself, whose differences
 * cancel. */
#include "solve/line_search.h"

#include <math.h>

#define MAX_SEARCH 80
#define SEARCH_SHARE 0.1

/* Regula falsi (Illinois), kept off the ends of the bracket. */
bool line_search(double (*step_to)(void *data, double s), void *data, double slope)
{
	double low = 0, low_phi = slope;
	double wanted = SEARCH_SHARE * fabs(slope);
	double high = 1, high_phi = step_to(data, 1);
	if (!(high_phi > wanted) || slope >= 0)
		return true;
	for (int i = 0, side = 0; i < MAX_SEARCH; i++) {
		double width = high - low;
		double s = low - low_phi * width / (high_phi - low_phi);
		s = fmin(fmax(s, low + 0.02 * width), high - 0.02 * width);
		double phi = step_to(data, s);
		if (fabs(phi) <= wanted)
			return false;
		if (phi > 0) {
			high = s;
			high_phi = phi;
			low_phi = side > 0 ? low_phi / 2 : low_phi;
			side = 1;
		} else {
			low = s;
			low_phi = phi;
			high_phi = side < 0 ? high_phi / 2 : high_phi;
			side = -1;
		}
	}
	return false;
}
