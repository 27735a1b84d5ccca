/* The units that are read. Factors are exact by definition: NIST SP 811 (2008) B.8 and B.9 give
 * 1 in = 25.4 mm, 1 ft = 0.3048 m, t/C = (t/F - 32) / 1.8. */
#include "quantity/quantity.h"

#define FOOT 0.3048
#define INCH 0.0254

const struct unit unit_table[] = {
	{ DIM_RATIO,       "%",       0.01,         0, "percent" },

	{ DIM_LENGTH,      "m",       1,            0, "metre" },
	{ DIM_LENGTH,      "mm",      1e-3,         0, "millimetre" },
	{ DIM_LENGTH,      "cm",      1e-2,         0, "centimetre" },
	{ DIM_LENGTH,      "km",      1e3,          0, "kilometre" },
	{ DIM_LENGTH,      "um",      1e-6,         0, "micrometre" },
	{ DIM_LENGTH,      "µm",      1e-6,         0, "micrometre" },
	{ DIM_LENGTH,      "ft",      FOOT,         0, "foot" },
	{ DIM_LENGTH,      "'",       FOOT,         0, "foot" },
	{ DIM_LENGTH,      "in",      INCH,         0, "inch" },
	{ DIM_LENGTH,      "\"",      INCH,         0, "inch" },

	{ DIM_AREA,        "mm2",     1e-6,         0, "square millimetre" },
	{ DIM_AREA,        "mm²",     1e-6,         0, "square millimetre" },
	{ DIM_GAUGE,       "AWG",     1,            0, "American wire gauge" },

	{ DIM_VOLT,        "V",       1,            0, "volt" },
	{ DIM_VOLT,        "mV",      1e-3,         0, "millivolt" },
	{ DIM_AMP,         "A",       1,            0, "ampere" },
	{ DIM_AMP,         "mA",      1e-3,         0, "milliampere" },
	{ DIM_WATT,        "W",       1,            0, "watt" },
	{ DIM_WATT,        "kW",      1e3,          0, "kilowatt" },
	{ DIM_WATT,        "mW",      1e-3,         0, "milliwatt" },
	{ DIM_WATT_PER_M,  "W/m",     1,            0, "watt per metre" },
	{ DIM_WATT_PER_M,  "W/ft",    1 / FOOT,     0, "watt per foot" },

	{ DIM_OHM,         "ohm",     1,            0, "ohm" },
	{ DIM_OHM,         "mohm",    1e-3,         0, "milliohm" },
	{ DIM_OHM,         "kohm",    1e3,          0, "kiloohm" },
	{ DIM_OHM,         "Ω",       1,            0, "ohm" },
	{ DIM_OHM,         "mΩ",      1e-3,         0, "milliohm" },
	{ DIM_OHM,         "kΩ",      1e3,          0, "kiloohm" },
	{ DIM_OHM_PER_M,   "ohm/m",   1,            0, "ohm per metre" },
	{ DIM_OHM_PER_M,   "mohm/m",  1e-3,         0, "milliohm per metre" },
	{ DIM_OHM_PER_M,   "ohm/km",  1e-3,         0, "ohm per kilometre" },
	{ DIM_OHM_PER_M,   "ohm/ft",  1 / FOOT,     0, "ohm per foot" },
	{ DIM_OHM_PER_M,   "mohm/ft", 1e-3 / FOOT,  0, "milliohm per foot" },
	{ DIM_OHM_PER_M,   "ohm/kft", 1e-3 / FOOT,  0, "ohm per thousand feet" },
	{ DIM_OHM_PER_M,   "Ω/m",     1,            0, "ohm per metre" },
	{ DIM_OHM_PER_M,   "mΩ/m",    1e-3,         0, "milliohm per metre" },
	{ DIM_OHM_PER_M,   "Ω/km",    1e-3,         0, "ohm per kilometre" },
	{ DIM_OHM_PER_M,   "Ω/ft",    1 / FOOT,     0, "ohm per foot" },
	{ DIM_OHM_PER_M,   "mΩ/ft",   1e-3 / FOOT,  0, "milliohm per foot" },
	{ DIM_OHM_PER_M,   "Ω/kft",   1e-3 / FOOT,  0, "ohm per thousand feet" },

	{ DIM_LUMEN_PER_M, "lm/m",    1,            0, "lumen per metre" },
	{ DIM_LUMEN_PER_M, "lm/ft",   1 / FOOT,     0, "lumen per foot" },

	{ DIM_CELSIUS,     "C",       1,            0, "degree Celsius" },
	{ DIM_CELSIUS,     "°C",      1,            0, "degree Celsius" },
	{ DIM_CELSIUS,     "degC",    1,            0, "degree Celsius" },
	{ DIM_CELSIUS,     "F",       1 / 1.8, -32 / 1.8, "degree Fahrenheit" },
	{ DIM_CELSIUS,     "°F",      1 / 1.8, -32 / 1.8, "degree Fahrenheit" },
	{ DIM_CELSIUS,     "degF",    1 / 1.8, -32 / 1.8, "degree Fahrenheit" },
};

const size_t unit_count = sizeof unit_table / sizeof *unit_table;

const char *dim_words(enum dim dim)
{
	static const char *const words[DIM__END] = {
#define X(id, word, example) word,
		DIMENSIONS(X)
#undef X
	};
	return words[dim];
}

const char *dim_example(enum dim dim)
{
	static const char *const examples[DIM__END] = {
#define X(id, word, example) example,
		DIMENSIONS(X)
#undef X
	};
	return examples[dim];
}
