/* What cables, `job:` and `limits:` may say. Units are SI. Where a limit comes from stands beside the
 * check that uses it. */
#include "model/attribute_tables.h"

static const char *const joint_words[] = { "solder", "screw", "plug", "clip", NULL };   /* ORDER joints */
static const char *const stranding_words[] = { "flexible", "solid", NULL };

static const struct attribute cable_rows[] = {
	{ "from", FORM_TERMINAL, NO_DIMENSION, AT(cable, from), NEED_YES, NULL, RANGE(0, 0), NO_DEFAULT,
	  .about = "terminal at one end: D1, S1.out, B1, L1.start, L1@1.2m" },
	{ "to", FORM_TERMINAL, NO_DIMENSION, AT(cable, to), NEED_YES, NULL, RANGE(0, 0), NO_DEFAULT,
	  .about = "terminal at the other end" },
	{ "length", FORM_QUANTITY, ONE(DIM_LENGTH), AT(cable, length), NEED_YES, NULL, OVER(0, 1000),
	  NO_DEFAULT, .about = "from terminal to terminal along its route" },
	{ "size", FORM_SIZE, TWO(DIM_AREA, DIM_GAUGE), AT(cable, size), NEED_YES, NULL, OVER(0, 1000),
	  NO_DEFAULT, .about = "conductor of each core: 0.75 mm2 or 18 AWG" },
	{ "rating", FORM_QUANTITY, ONE(DIM_AMP), AT(cable, rating), NEED_NO, NULL, OVER(0, 500), NO_DEFAULT,
	  .about = "most current at 30 C ambient; left out: from the size" },
	{ "insulation", FORM_QUANTITY, ONE(DIM_CELSIUS), AT(cable, insulation), NEED_NO, NULL, OVER(30, 250),
	  .assumed = 60, .example = "70 C", .why = "BS 7671 Table 4F3A, 60 C flexible cables",
	  .about = "highest conductor temperature of its insulation" },
	{ "joint", FORM_CHOICE, NO_DIMENSION, AT(cable, joint), NEED_NO, NULL, RANGE(0, 3),
	  .words = joint_words, NO_DEFAULT, .about = "how its ends are joined" },
	{ "joint_resistance", FORM_QUANTITY, ONE(DIM_OHM), AT(cable, joint_resistance), NEED_NO, NULL,
	  RANGE(0, 10), .assumed = 0.020, .listed = true, .why = "common practice, no source",
	  .about = "both ends, both cores together; left out: from joint, else 20 mohm" },
	{ "joint_current", FORM_QUANTITY, ONE(DIM_AMP), AT(cable, joint_current), NEED_NO, NULL, OVER(0, 500),
	  NO_DEFAULT, .about = "most current through a joint; left out: from joint" },
	{ "fuse", FORM_QUANTITY, ONE(DIM_AMP), AT(cable, fuse), NEED_NO, NULL, OVER(0, 500), NO_DEFAULT,
	  .about = "rated current of a fuse at the end nearer the driver" },
	{ "slack", FORM_QUANTITY, TWO(DIM_LENGTH, DIM_RATIO), AT(cable, slack), NEED_NO, NULL, RANGE(0, 100),
	  .assumed = 0, .why = "nothing is added", .about = "added for cutting and order, not for the drop" },
	{ "stranding", FORM_CHOICE, NO_DIMENSION, AT(cable, stranding), NEED_NO, NULL, RANGE(0, 1),
	  .words = stranding_words, .assumed = 0, .why = "IEC 60228 class 5, the usual cabinet cable",
	  .about = "flexible (IEC 60228 class 5) or solid (class 1/2)" },
	{ "supplied", FORM_FLAG, NO_DIMENSION, AT(cable, supplied), NEED_NO, NULL, RANGE(0, 1), .assumed = 0,
	  .why = "bought by the metre", .about = "came fixed to a part: never resized, not ordered" },
};
const struct attribute_table attributes_cable = { cable_rows, COUNT_OF(cable_rows) };

#define JOB_TEXT(key, member, about_) \
	{ key, FORM_TEXT, NO_DIMENSION, AT(job, member), NEED_NO, NULL, RANGE(0, 0), NO_DEFAULT, \
	  .about = about_ }

static const struct attribute job_rows[] = {
	JOB_TEXT("name", name, "what the job is called on every page"),
	{ "ambient", FORM_QUANTITY, ONE(DIM_CELSIUS), AT(job, ambient), NEED_NO, NULL, RANGE(-40, 100),
	  .assumed = 25, .listed = true, .why = "a dry room; common practice, no source",
	  .about = "air around driver and cables" },
	JOB_TEXT("site", site, "where it is built"),
	JOB_TEXT("revision", revision, "which version of the plan this is"),
	JOB_TEXT("date", date, "of the revision, as you write it"),
	JOB_TEXT("drawn_by", drawn_by, "initials or name"),
	JOB_TEXT("currency", currency, "of the prices"),
	JOB_TEXT("note", note, "anything worth knowing"),
};
const struct attribute_table attributes_job = { job_rows, COUNT_OF(job_rows) };

#define LIMIT_AT(index) .offset = (index) * sizeof(struct attr), .need = NEED_NO
#define LIMIT_ROW(key, index, percent, about_) \
	{ key, FORM_QUANTITY, ONE(DIM_RATIO), LIMIT_AT(index), OVER(0, 1), .assumed = percent / 100.0, \
	  .example = #percent " %", .about = about_ }

static const struct attribute limit_rows[] = {
	{ "headroom", FORM_QUANTITY, ONE(DIM_RATIO), LIMIT_AT(LIMIT_HEADROOM), RANGE(0, 0.95), .assumed = 0.20,
	  .about = "share of the driver's rating to keep free" },
	LIMIT_ROW("drop", LIMIT_DROP, 5, "voltage lost up to the far end: caution above"),
	LIMIT_ROW("drop_fail", LIMIT_DROP_FAIL, 10, "voltage lost up to the far end: fail above"),
	LIMIT_ROW("light", LIMIT_LIGHT, 80, "dimmest point: caution below"),
	LIMIT_ROW("light_fail", LIMIT_LIGHT_FAIL, 70, "dimmest point: fail below"),
	LIMIT_ROW("evenness", LIMIT_EVENNESS, 85, "dimmest / brightest along a run: caution below"),
	LIMIT_ROW("mismatch", LIMIT_MISMATCH, 90, "strips of one view, lowest / highest: caution below"),
	LIMIT_ROW("dip", LIMIT_DIP, 10, "light lost when other switches come on: caution above"),
	LIMIT_ROW("overvoltage", LIMIT_OVERVOLTAGE, 5, "voltage above nominal: caution above"),
	LIMIT_ROW("overvoltage_fail", LIMIT_OVERVOLTAGE_FAIL, 10, "voltage above nominal: fail above"),
	{ "timber_power", FORM_QUANTITY, ONE(DIM_WATT_PER_M), LIMIT_AT(LIMIT_TIMBER_POWER), OVER(0, 200),
	  .assumed = 10.0, .about = "power per length on timber without aluminium: caution above" },
	{ "min_size", FORM_SIZE, TWO(DIM_AREA, DIM_GAUGE), LIMIT_AT(LIMIT_MIN_SIZE), OVER(0, 1000), NO_DEFAULT,
	  .about = "thinnest cable that may be proposed; left out: 0.5 mm2" },
	{ "sizes", FORM_SIZES, TWO(DIM_AREA, DIM_GAUGE), LIMIT_AT(LIMIT_SIZES), OVER(0, 1000), NO_DEFAULT,
	  .about = "what is on the shelf: [0.75 mm2, 1.5 mm2]" },
};
const struct attribute_table attributes_limits = { limit_rows, COUNT_OF(limit_rows) };
