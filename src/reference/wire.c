/* Conductors: sizes with their resistance and current rating, and the laws of temperature that go
 * with them.
 *
 * Metric resistances are the maximum at 20 C of one plain copper conductor. The sizes below 0.5 mm2
 * are not sizes of IEC 60228: the figures are those of its German edition (VDE 0295), flexible
 * only. A gauge is a solid round wire of its ASTM B258 diameter and IACS copper; the constants are
 * written out because a table cannot call pow(), and the unit test works them out again. */
#include "reference/reference.h"

#include <math.h>
#include <stdint.h>

#define IEC_60228  "IEC 60228, plain copper"
#define VDE_0295   "VDE 0295, plain copper, class 5"
#define ASTM_B258  "ASTM B258 diameter, IEC 60028 copper"

#define BS_4F3A    "BS 7671 Table 4F3A"
#define VDE_0298   "DIN VDE 0298-4 Table 11, two-core flexible cords"
#define SUGGESTION "suggestion: no more than 0.5 mm2 in BS 7671 Table 4F3A"
#define NEC_402_5  "NEC Table 402.5"
#define NEC_MEMORY "NEC Table 402.5, from memory"
#define AWG_THIN   "suggestion: less than 18 AWG in NEC Table 402.5"

const struct wire_size wire_sizes[] = {
	{ "0.14 mm2", 0, 0.14, 134e-3,  134e-3,  1,  VDE_0295, SUGGESTION },
	{ "0.22 mm2", 0, 0.22, 96e-3,   96e-3,   2,  VDE_0295, SUGGESTION },
	{ "0.25 mm2", 0, 0.25, 76e-3,   76e-3,   2,  VDE_0295, SUGGESTION },
	{ "0.34 mm2", 0, 0.34, 53e-3,   53e-3,   3,  VDE_0295, SUGGESTION },
	{ "0.5 mm2",  0, 0.5,  39.0e-3, 36.0e-3, 3,  IEC_60228, BS_4F3A },
	{ "0.75 mm2", 0, 0.75, 26.0e-3, 24.5e-3, 6,  IEC_60228, BS_4F3A },
	{ "1 mm2",    0, 1,    19.5e-3, 18.1e-3, 10, IEC_60228, BS_4F3A },
	{ "1.5 mm2",  0, 1.5,  13.3e-3, 12.1e-3, 16, IEC_60228, BS_4F3A },
	{ "2.5 mm2",  0, 2.5,  7.98e-3, 7.41e-3, 25, IEC_60228, BS_4F3A },
	{ "4 mm2",    0, 4,    4.95e-3, 4.61e-3, 32, IEC_60228, BS_4F3A },
	{ "6 mm2",    0, 6,    3.30e-3, 3.08e-3, 40, IEC_60228, VDE_0298 },
	{ "24 AWG", 24, 0.2047303081471221, 0.08421322742117095, 0.08421322742117095,
	  2, ASTM_B258, AWG_THIN },
	{ "22 AWG", 22, 0.3255339412454667, 0.052962219343510905, 0.052962219343510905,
	  3, ASTM_B258, AWG_THIN },
	{ "20 AWG", 20, 0.5176192419280383, 0.03330826716522435, 0.03330826716522435,
	  3, ASTM_B258, AWG_THIN },
	{ "18 AWG", 18, 0.8230468337313144, 0.020947775136728568, 0.020947775136728568,
	  6, ASTM_B258, NEC_402_5 },
	{ "16 AWG", 16, 1.3086957277552624, 0.013174185285660394, 0.013174185285660394,
	  8, ASTM_B258, NEC_MEMORY },
	{ "14 AWG", 14, 2.080907717098377, 0.008285326570868261, 0.008285326570868261,
	  17, ASTM_B258, NEC_MEMORY },
	{ "12 AWG", 12, 3.3087728761114765, 0.0052106931015047184, 0.0052106931015047184,
	  23, ASTM_B258, NEC_402_5 },
	{ "10 AWG", 10, 5.261154954510372, 0.0032770371047937566, 0.0032770371047937566,
	  28, ASTM_B258, NEC_MEMORY },
};
const size_t wire_size_count = sizeof wire_sizes / sizeof *wire_sizes;

size_t wire_size_by_area(double square_metres)
{
	for (size_t i = 0; i < wire_size_count; i++) {
		double area = wire_sizes[i].area_mm2 * 1e-6;
		/* A gauge's area is no way to ask for it: 0.52 mm2 is not a size that anyone sells. */
		if (wire_sizes[i].gauge == 0 && fabs(square_metres - area) <= 1e-3 * area)
			return i;
	}
	return WIRE_NONE;
}

size_t wire_size_by_gauge(double number)
{
	for (size_t i = 0; i < wire_size_count; i++)
		if (wire_sizes[i].gauge != 0 && fabs(number - wire_sizes[i].gauge) < 1e-9)
			return i;
	return WIRE_NONE;
}

double awg_diameter(int gauge)
{
	return 0.127e-3 * pow(92, (36 - gauge) / 39.0);
}

double copper_factor(double celsius)
{
	return 1 + COPPER_PER_KELVIN * (celsius - COPPER_REFERENCE_C);
}

/* The heat that a conductor may give off is in proportion to its rise above the air, and it makes
 * I^2 R: so I goes with the square root of the rise that is left. */
double ambient_factor(double ambient_c, double insulation_c)
{
	if (ambient_c >= insulation_c)
		return 0;
	if (ambient_c <= RATING_AMBIENT_C)
		return 1;
	return sqrt((insulation_c - ambient_c) / (insulation_c - RATING_AMBIENT_C));
}
