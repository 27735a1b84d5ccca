/* What drivers, switches and blocks may say, and what every item may say. Units are SI. */
#include "model/attribute_tables.h"

static const struct attribute driver_rows[] = {
	{ "voltage", FORM_QUANTITY, ONE(DIM_VOLT), AT(driver, voltage), NEED_YES, NULL, RANGE(1, 120),
	  NO_DEFAULT, .about = "nominal output voltage (DC)" },
	{ "power", FORM_QUANTITY, ONE(DIM_WATT), AT(driver, power), NEED_YES, NULL, OVER(0, 5000), NO_DEFAULT,
	  .about = "rated output power" },
	{ "max_current", FORM_QUANTITY, ONE(DIM_AMP), AT(driver, max_current), NEED_NO, NULL, OVER(0, 500),
	  NO_DEFAULT, .about = "rated output current; left out: power / voltage" },
	{ "set_voltage", FORM_QUANTITY, ONE(DIM_VOLT), AT(driver, set_voltage), NEED_NO, NULL, OVER(0, 180),
	  NO_DEFAULT, .about = "where the output is trimmed to; left out: voltage" },
	{ "output_resistance", FORM_QUANTITY, ONE(DIM_OHM), AT(driver, output_resistance), NEED_NO, NULL,
	  RANGE(0, 10), .assumed = 0.0, .why = "a regulated output holds its voltage within 1 %",
	  .about = "by how much the output sags per ampere" },
	{ "efficiency", FORM_QUANTITY, ONE(DIM_RATIO), AT(driver, efficiency), NEED_NO, NULL, OVER(0, 1),
	  .assumed = 0.87, .example = "90 %", .why = "typical of its kind at full load; common practice, no source",
	  .about = "output power / mains power" },
	{ "derating", FORM_CURVE, TWO(DIM_CELSIUS, DIM_RATIO), AT(driver, derating), NEED_NO, NULL,
	  RANGE(0, 1), NO_DEFAULT, .about = "share of the rating against ambient, linear between points" },
	{ "trip_current", FORM_QUANTITY, ONE(DIM_AMP), AT(driver, trip_current), NEED_NO, NULL, OVER(0, 5000),
	  NO_DEFAULT, .listed = true, .why = "1.5 x max_current; common practice, no source",
	  .about = "most it can go on delivering before it shuts down" },
	{ "selv", FORM_FLAG, NO_DIMENSION, AT(driver, selv), NEED_NO, NULL, RANGE(0, 1), .assumed = 1,
	  .listed = true, .why = "strips that can be touched need a SELV source; see its label",
	  .about = "output separated from mains as safety extra-low voltage" },
	{ "class_2", FORM_FLAG, NO_DIMENSION, AT(driver, class_2), NEED_NO, NULL, RANGE(0, 1), .assumed = 0,
	  .listed = true, .why = "taken as not limited, to be on the safe side; see its label",
	  .about = "limited-power output (NEC Class 2)" },
	{ "enclosed", FORM_FLAG, NO_DIMENSION, AT(driver, enclosed), NEED_NO, NULL, RANGE(0, 1), .assumed = 0,
	  .why = "air can move around the driver", .about = "shut in a box or a void without moving air" },
	{ "min_load", FORM_QUANTITY, TWO(DIM_WATT, DIM_AMP), AT(driver, min_load), NEED_NO, NULL,
	  RANGE(0, 5000), NO_DEFAULT, .about = "smallest load at which it runs properly, W or A" },
	{ "inrush", FORM_QUANTITY, ONE(DIM_AMP), AT(driver, inrush), NEED_NO, NULL, OVER(0, 1000), NO_DEFAULT,
	  .about = "peak mains current at switching on, for the electrician" },
	{ "mains", FORM_RANGE, ONE(DIM_VOLT), AT(driver, mains), NEED_NO, NULL, OVER(0, 500), NO_DEFAULT,
	  .example = "220-240 V", .about = "mains voltage or range on its label, for the electrician" },
};
const struct attribute_table attributes_driver = { driver_rows, COUNT_OF(driver_rows) };

static const struct attribute switch_rows[] = {
	{ "max_current", FORM_QUANTITY, ONE(DIM_AMP), AT(switch_item, max_current), NEED_EITHER, "max_power",
	  OVER(0, 500), NO_DEFAULT, .about = "most current through its contact" },
	{ "max_power", FORM_QUANTITY, ONE(DIM_WATT), AT(switch_item, max_power), NEED_EITHER, "max_current",
	  OVER(0, 5000), NO_DEFAULT, .about = "most load; divided by the driver's voltage" },
	{ "voltage", FORM_RANGE, ONE(DIM_VOLT), AT(switch_item, voltage), NEED_NO, NULL, OVER(0, 500),
	  NO_DEFAULT, .about = "voltage or range that it works at (12-24 V)" },
	{ "on_resistance", FORM_QUANTITY, ONE(DIM_OHM), AT(switch_item, on_resistance), NEED_NO, NULL,
	  RANGE(0, 10), .assumed = 0.050, .listed = true,
	  .why = "a transistor switch, warm; common practice, no source",
	  .about = "between in and out when on" },
	{ "voltage_drop", FORM_QUANTITY, ONE(DIM_VOLT), AT(switch_item, voltage_drop), NEED_NO, "max_current",
	  RANGE(0, 24), NO_DEFAULT, .about = "drop at max_current, instead of on_resistance" },
	{ "min_load", FORM_QUANTITY, TWO(DIM_WATT, DIM_AMP), AT(switch_item, min_load), NEED_NO, NULL,
	  RANGE(0, 5000), NO_DEFAULT, .about = "smallest load that it works with, W or A" },
	{ "kind", FORM_TEXT, NO_DIMENSION, AT(switch_item, kind), NEED_NO, NULL, RANGE(0, 0), NO_DEFAULT,
	  .about = "door, motion, touch, ...; for the schedule" },
};
const struct attribute_table attributes_switch = { switch_rows, COUNT_OF(switch_rows) };

static const struct attribute block_rows[] = {
	{ "ports", FORM_QUANTITY, ONE(DIM_COUNT), AT(block, ports), NEED_YES, NULL, RANGE(1, 1000),
	  NO_DEFAULT, .about = "two-core ways, the incoming one too" },
	{ "max_current", FORM_QUANTITY, ONE(DIM_AMP), AT(block, max_current), NEED_YES, NULL, OVER(0, 500),
	  NO_DEFAULT, .about = "most current through the whole block" },
	{ "port_current", FORM_QUANTITY, ONE(DIM_AMP), AT(block, port_current), NEED_NO, NULL, OVER(0, 500),
	  NO_DEFAULT, .about = "most current through one port" },
};
const struct attribute_table attributes_block = { block_rows, COUNT_OF(block_rows) };

#define TEXT_ROW(key, form, type, member, about_) \
	{ key, form, NO_DIMENSION, AT(type, member), NEED_NO, NULL, RANGE(0, 0), NO_DEFAULT, .about = about_ }

static const struct attribute shared_rows[] = {
	TEXT_ROW("type", FORM_TYPE, item, type, "a type of this file or a row of a catalogue"),
	TEXT_ROW("place", FORM_TEXT, item, place, "where it sits: bay 1 top"),
	TEXT_ROW("note", FORM_TEXT, item, note, "anything worth knowing"),
	TEXT_ROW("part", FORM_TEXT, item, part, "order code"),
	TEXT_ROW("colour", FORM_TEXT, item, colour, "colour of the part or of the cores"),
	{ "price", FORM_QUANTITY, ONE(DIM_NUMBER), AT(item, price), NEED_NO, NULL, RANGE(0, 1e9), NO_DEFAULT,
	  .about = "per piece or pack; strips and cables per reel or metre; in the job's currency" },
	{ "pack", FORM_QUANTITY, TWO(DIM_COUNT, DIM_LENGTH), AT(item, pack), NEED_NO, NULL, OVER(0, 1e6),
	  NO_DEFAULT, .about = "how many, or how much length, one price buys" },
};
const struct attribute_table attributes_shared = { shared_rows, COUNT_OF(shared_rows) };
