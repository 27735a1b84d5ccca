/* Ladders of what is commonly sold (drivers, fuses), joints, and the limit of a class 2 style
 * source. Common practice and from memory throughout: no published page was at hand for any of
 * them. */
#include "reference/reference.h"

#define COUNT(table) (sizeof(table) / sizeof *(table))

const struct driver_step driver_steps[] = {
	{ 12, 6 }, { 12, 12 }, { 12, 15 }, { 12, 18 }, { 12, 20 }, { 12, 24 }, { 12, 30 },
	{ 12, 36 }, { 12, 40 }, { 12, 50 }, { 12, 60 }, { 12, 75 }, { 12, 100 }, { 12, 120 },
	{ 12, 150 }, { 12, 200 }, { 12, 250 }, { 12, 300 }, { 12, 350 },
	{ 24, 15 }, { 24, 20 }, { 24, 30 }, { 24, 36 }, { 24, 40 }, { 24, 50 }, { 24, 60 },
	{ 24, 75 }, { 24, 96 }, { 24, 100 }, { 24, 120 }, { 24, 150 }, { 24, 185 }, { 24, 200 },
	{ 24, 240 }, { 24, 320 }, { 24, 350 },
};
const size_t driver_step_count = COUNT(driver_steps);

const double fuse_ratings[] = { 1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30 };
const size_t fuse_rating_count = COUNT(fuse_ratings);

const struct joint joints[] = {
	{ "solder", 0.005, 0 },
	{ "screw",  0.010, 0 },
	{ "plug",   0.040, 3 },
	{ "clip",   0.080, 3 },
};
const size_t joint_count = COUNT(joints);

#define LIMITED_LOW_V  20.0  /* up to here a current counts, above it a power */
#define LIMITED_HIGH_V 60.0
#define LIMITED_A      5.0
#define LIMITED_W      100.0
#define ROUNDING       (1 + 1e-9) /* 63 W / 12.6 V is 5 A, whatever the last bit says */

bool limited_power(double volts, double rated_w, double rated_a)
{
	if (volts <= LIMITED_LOW_V)
		return rated_a <= LIMITED_A * ROUNDING;
	return volts <= LIMITED_HIGH_V && rated_w <= LIMITED_W * ROUNDING;
}
