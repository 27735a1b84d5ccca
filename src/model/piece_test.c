/* What two bench readings of a short piece say. While every cut unit of it is above the knee and below
 * regulation, i = s (v - knee) for each, so that the whole piece is a conductance G behind the knee,
 * however much its rails drop:
 *   knee = low - I_low / G,   G = (I_high - I_low) / (high - low)
 * Seen from the far end, unit by unit, with r p between two units and r p / 2 before the first,
 *   g = s,   g = s + g / (1 + r p g),   G = g / (1 + r p g / 2)
 * G rises with s, so one root gives s, and i_nom = s (v_full - knee). */
#include "model/job.h"
#include "model/rising_root.h"

#include <math.h>

struct ladder { double section_ohm, conductance; size_t units; };

static double reading(const struct strip *strip, enum piece_test which)
{
	return strip->piece_test.points[which].x;
}

static double conductance(const struct strip *strip)
{
	return (reading(strip, PIECE_HIGH_CURRENT) - reading(strip, PIECE_LOW_CURRENT)) /
	       (reading(strip, PIECE_HIGH) - reading(strip, PIECE_LOW));
}

/* How far a piece whose units have the slope `s` is above the conductance measured. */
static double excess(const void *data, double s)
{
	const struct ladder *ladder = data;
	double g = 0;
	for (size_t i = 0; i < ladder->units; i++)
		g = s + g / (1 + ladder->section_ohm * g);
	return g / (1 + ladder->section_ohm * g / 2) - ladder->conductance;
}

bool piece_test_knee(const struct strip *strip, double *knee)
{
	double g = conductance(strip);
	*knee = reading(strip, PIECE_LOW) - reading(strip, PIECE_LOW_CURRENT) / g;
	return reading(strip, PIECE_HIGH) > reading(strip, PIECE_LOW) && g > 0 && *knee > 0 &&
	       isfinite(*knee) &&
	       (strip->ballast.num != BALLAST_CONSTANT_CURRENT ||
	        reading(strip, PIECE_HIGH) <= strip->regulates_above.num);
}

bool piece_test_power(const struct strip *strip, double *power_w_per_m)
{
	const struct unit_law *law = &strip->law;
	struct ladder ladder = { .section_ohm = strip->loop_ohm_per_m * strip->pitch,
	                         .conductance = conductance(strip),
	                         .units = strip_units_in(strip, reading(strip, PIECE_LENGTH)) };
	if (ladder.units == 0)
		return false;
	double least = ladder.conductance / (double)ladder.units;
	double slope = rising_root(excess, &ladder, least, 2 * least);
	*power_w_per_m = slope * (law->v_full - law->v_knee) * strip->voltage.num / strip->pitch;
	return isfinite(*power_w_per_m);
}
