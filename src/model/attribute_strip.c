/* What a strip may say. Units in these rows are SI. */
#include "model/attribute_tables.h"

static const char *const ballast_words[] = { "resistor", "constant-current", NULL };
static const char *const mount_words[] = { "timber", "aluminium", NULL };

static const struct attribute rows[] = {
	{ "voltage", FORM_QUANTITY, ONE(DIM_VOLT), AT(strip, voltage), NEED_YES, NULL, RANGE(1, 120),
	  NO_DEFAULT, .about = "nominal supply voltage, from the reel's label" },
	{ "power", FORM_QUANTITY, ONE(DIM_WATT_PER_M), AT(strip, power), NEED_YES, NULL, OVER(0, 200),
	  NO_DEFAULT, .about = "power per length at nominal voltage, from the label" },
	{ "cut_length", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, cut_length), NEED_YES, NULL,
	  RANGE(0.001, 10), NO_DEFAULT, .about = "from one cut mark to the next" },
	{ "length", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, length), NEED_EITHER, "channel", OVER(0, 100),
	  NO_DEFAULT, .about = "length as cut; wins over channel" },
	{ "channel", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, channel), NEED_EITHER, "length", OVER(0, 100),
	  NO_DEFAULT, .about = "routed length: the strip is cut down to the last mark that fits" },
	{ "reel", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, reel), NEED_NO, NULL, OVER(0, 1000),
	  .assumed = 5.0, .why = "the usual reel; common practice, no source",
	  .about = "length of a full reel" },
	{ "loop_resistance", FORM_QUANTITY, ONE(DIM_OHM_PER_M), AT(strip, loop_resistance), NEED_NO, NULL,
	  RANGE(0.001, 1000), .assumed = 0.20, .listed = true,
	  .why = "8 mm board with 2 oz copper; common practice, no source",
	  .about = "both rails together, per length" },
	{ "copper", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, copper), NEED_NO, "rail_width",
	  RANGE(1e-6, 1e-3), NO_DEFAULT, .about = "foil thickness, instead of loop_resistance (70 um is 2 oz)" },
	{ "rail_width", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, rail_width), NEED_NO, "copper",
	  RANGE(1e-4, 0.1), NO_DEFAULT, .about = "width of one rail, together with copper" },
	{ "reel_test", FORM_BENCH_TEST, NO_DIMENSION, AT(strip, reel_test), NEED_NO, NULL, RANGE(0, 0),
	  NO_DEFAULT, .readings = &attributes_reel_test,
	  .about = "a bench reading that gives loop resistance and true watts" },
	{ "piece_test", FORM_BENCH_TEST, NO_DIMENSION, AT(strip, piece_test), NEED_NO, NULL, RANGE(0, 0),
	  NO_DEFAULT, .readings = &attributes_piece_test,
	  .about = "a bench reading that gives led_knee, and true watts where no reel_test does" },
	{ "ballast", FORM_CHOICE, NO_DIMENSION, AT(strip, ballast), NEED_NO, NULL, RANGE(0, 1),
	  .words = ballast_words, .assumed = BALLAST_RESISTOR,
	  .why = "most plain strips; the pessimistic choice for light",
	  .about = "how the LEDs are fed: series resistors, or chips that hold the current" },
	{ "regulates_above", FORM_QUANTITY, ONE(DIM_VOLT), AT(strip, regulates_above), NEED_NO, NULL,
	  OVER(0, 120), NO_DEFAULT, .about = "constant-current: the voltage from which light is full" },
	{ "series_leds", FORM_QUANTITY, ONE(DIM_COUNT), AT(strip, series_leds), NEED_NO, NULL, RANGE(1, 40),
	  NO_DEFAULT, .about = "LEDs in series in one cut unit; left out: voltage / 4 V, rounded down" },
	{ "led_knee", FORM_QUANTITY, ONE(DIM_VOLT), AT(strip, led_knee), NEED_NO, NULL, OVER(0, 120),
	  NO_DEFAULT, .listed = true, .example = "16.5 V",
	  .why = "2.75 V for each LED in series (tangent at 20 mA); from memory",
	  .about = "voltage at which the tangent at the working current meets zero" },
	{ "max_run", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, max_run), NEED_NO, NULL, OVER(0, 100),
	  NO_DEFAULT, .about = "most metres in one direction from a feed, chained strips included" },
	{ "max_current", FORM_QUANTITY, ONE(DIM_AMP), AT(strip, max_current), NEED_NO, NULL, OVER(0, 100),
	  NO_DEFAULT, .about = "most current at one feed" },
	{ "tail", FORM_QUANTITY, ONE(DIM_LENGTH), AT(strip, tail), NEED_NO, NULL, OVER(0, 100), NO_DEFAULT,
	  .about = "length of a factory lead; for the schedule, not in the drop" },
	{ "lumens", FORM_QUANTITY, ONE(DIM_LUMEN_PER_M), AT(strip, lumens), NEED_NO, NULL, OVER(0, 1e5),
	  NO_DEFAULT, .about = "light output per length" },
	{ "mount", FORM_CHOICE, NO_DIMENSION, AT(strip, mount), NEED_NO, NULL, RANGE(0, 1),
	  .words = mount_words, .assumed = MOUNT_TIMBER, .listed = true,
	  .why = "the warmer of the two, to be on the safe side",
	  .about = "what the strip is fixed to; aluminium takes its heat away" },
	{ "view", FORM_TEXT, NO_DIMENSION, AT(strip, view), NEED_NO, NULL, RANGE(0, 0), NO_DEFAULT,
	  .about = "strips of one view are seen together; left out: the place" },
};

const struct attribute_table attributes_strip = { rows, COUNT_OF(rows) };

#define BENCH_ROW(key_, dim_, index_, most, about_) \
	{ key_, FORM_QUANTITY, ONE(dim_), .offset = (index_) * sizeof(struct attr), .need = NEED_YES, \
	  OVER(0, most), NO_DEFAULT, .about = about_ }

static const struct attribute reel_rows[] = {
	BENCH_ROW("length", DIM_LENGTH, REEL_LENGTH, 100, "strip under test, fed at one end"),
	BENCH_ROW("feed", DIM_VOLT, REEL_FEED, 120, "voltage at the fed end, strip lit"),
	BENCH_ROW("far", DIM_VOLT, REEL_FAR, 120, "voltage at the far end at the same time"),
	BENCH_ROW("current", DIM_AMP, REEL_CURRENT, 100, "current into the fed end"),
};

const struct attribute_table attributes_reel_test = { reel_rows, COUNT_OF(reel_rows) };

static const struct attribute piece_rows[] = {
	BENCH_ROW("length", DIM_LENGTH, PIECE_LENGTH, 10, "piece under test, fed at one end; short"),
	BENCH_ROW("low", DIM_VOLT, PIECE_LOW, 120, "the lower voltage at its fed end, all of it lit"),
	BENCH_ROW("low_current", DIM_AMP, PIECE_LOW_CURRENT, 100, "current at the lower voltage"),
	BENCH_ROW("high", DIM_VOLT, PIECE_HIGH, 120,
	          "the higher voltage; constant-current: not above regulates_above"),
	BENCH_ROW("high_current", DIM_AMP, PIECE_HIGH_CURRENT, 100, "current at the higher voltage"),
};

const struct attribute_table attributes_piece_test = { piece_rows, COUNT_OF(piece_rows) };
