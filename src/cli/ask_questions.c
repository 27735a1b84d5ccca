/* The questions, in the order of asking: what needs no ruler first, what needs the reel in the hand last.
 * Usual values are common practice without a source, but for the ambient temperature, which is what a job
 * file without one gets (docs/input.md). */
#include "cli/ask.h"

static const char *const length_units[] = { "mm", "inches", NULL };
static const char *const yes_no[] = { "yes", "no", NULL };
static const char *const mounts[] = { "aluminium", "timber", NULL };
static const char *const switch_words[] = { "each", "one", "none", NULL };

static const struct ask_word said_units[] = {
	{ "metric", "mm" }, { "millimetres", "mm" }, { "millimeters", "mm" }, { "millimetre", "mm" },
	{ "mm", "mm" }, { "inches", "inches" }, { "inch", "inches" }, { "in", "inches" },
	{ "imperial", "inches" },
	{ "both", NULL }, { "not", NULL }, { "m", NULL }, { NULL, NULL },
};
static const struct ask_word said_yes_no[] = {
	{ "yes", "yes" }, { "yeah", "yes" }, { "yep", "yes" }, { "not all", "no" }, { "not", "no" },
	{ "no", "no" }, { "nope", "no" }, { NULL, NULL },
};
static const struct ask_word said_alike[] = {
	{ "not the same", "no" }, { "not alike", "no" }, { "not all", "no" }, { "not", "no" }, { "no", "no" },
	{ "nope", "no" }, { "different", "no" }, { "differ", "no" }, { "yes", "yes" }, { "yeah", "yes" },
	{ "yep", "yes" }, { "same", "yes" }, { "the same", "yes" }, { "alike", "yes" }, { "identical", "yes" },
	{ NULL, NULL },
};
static const struct ask_word said_mounts[] = {
	{ "no", NULL }, { "not", NULL }, { "without", NULL }, { "or", NULL },
	{ "aluminium", "aluminium" }, { "aluminum", "aluminium" }, { "alu", "aluminium" },
	{ "alum", "aluminium" }, { "timber", "timber" }, { "wood", "timber" }, { "wooden", "timber" },
	{ "plywood", "timber" }, { "mdf", "timber" }, { NULL, NULL },
};
static const struct ask_word said_switches[] = {
	{ "one for all", "one" }, { "one for each", "each" }, { "one for every", "each" },
	{ "one in each", "each" }, { "one per", "each" }, { "one each", "each" }, { "each", "each" },
	{ "every", "each" }, { "per", "each" },
	{ "single", "one" }, { "all", "one" }, { "one", "one" }, { "1", "one" },
	{ "no", "none" }, { "none", "none" }, { "without", "none" }, { "0", "none" },
	{ "not", NULL }, { "two", NULL }, { "or", NULL }, { NULL, NULL },
};

static const char *strip_named(const struct interview *talk, size_t bay, size_t index)
{
	const struct answer *places = ask_get(talk, ASK_PLACES, bay);
	return index < places->count ? places->parts[index] : NULL;
}

static const char *bay_named(const struct interview *talk, size_t bay, size_t index)
{
	(void)bay;
	return index < ask_bays(talk) ? arena_printf(talk->arena, "bay %zu", index + 1) : NULL;
}

static bool wants_file(const struct interview *talk, size_t bay)
{
	(void)bay;
	return talk->asks_file;
}

static bool several_bays(const struct interview *talk, size_t bay)
{
	(void)bay;
	return ask_bays(talk) > 1;
}

static bool one_bay(const struct interview *talk, size_t bay)
{
	(void)bay;
	return ask_bays(talk) == 1;
}

static bool has_switch(const struct interview *talk, size_t bay)
{
	(void)bay;
	return ask_bays(talk) == 1 ? ask_is(talk, ASK_SWITCH, "yes") : !ask_is(talk, ASK_SWITCHES, "none");
}

static bool one_switch_for_all(const struct interview *talk, size_t bay)
{
	(void)bay;
	return ask_bays(talk) > 1 && ask_is(talk, ASK_SWITCHES, "one");
}

/* Where a bay has neither a switch nor a block of its own, its cable ends at its only strip. */
static bool has_leads(const struct interview *talk, size_t bay)
{
	return ask_strips(talk, bay) > 1 || ask_bay_switch(talk);
}

/* A strip's last cut unit may be 2 % short (docs/input.md). */
static const char *longer_than_a_strip(const struct interview *talk, const char *const *parts,
                                       const double *numbers, size_t count)
{
	for (size_t bay = 0; bay < ask_bays(talk) && count > 0; bay++) {
		const struct answer *lengths = ask_get(talk, ASK_LENGTHS, bay);
		for (size_t i = 0; i < lengths->count; i++)
			if (lengths->numbers[i] < 0.98 * numbers[0])
				return arena_printf(talk->arena, "a strip of %s would not hold one cut unit of %s",
				                    lengths->parts[i], parts[0]);
	}
	return NULL;
}

static const char *shorter_than_a_unit(const struct interview *talk, const char *const *parts,
                                       const double *numbers, size_t count)
{
	const struct answer *cut = ask_get(talk, ASK_CUT, 0);
	(void)parts;
	return count > 0 && cut->count > 0 && numbers[0] < cut->numbers[0]
		? arena_printf(talk->arena, "a reel is longer than one cut unit of %s", cut->parts[0]) : NULL;
}

#define LENGTH_EXAMPLE "a length such as 850 mm, 2.4 m, 33 1/2 in or 2 ft 9 1/2 in"
#define LIST_EXAMPLE   LENGTH_EXAMPLE "; commas between several"
#define REEL_LABEL "look at the reel's label"
#define MEASURE    "measure it"

const struct question questions[ASK__END] = {
	[ASK_FILE] = {
		"File", "Which file shall the job be written to?",
		"A name of your choice; people end it in .yaml. A file that has something in it is never "
		"overwritten.",
		ASK_NEW_FILE, .usual = "my-job.yaml", .applies = wants_file,
	},
	[ASK_NAME] = {
		"Job", "What is the job called?",
		"It stands at the top of every page. Any words will do.",
		ASK_TEXT, "job", "name", .usual = "Cabinet lighting",
	},
	[ASK_UNIT] = {
		"Measured in", "Do you measure in mm or in inches?",
		"Then a bare number is taken in that unit. Others work at any time: 850 mm, 2.4 m, 33 1/2 in, "
		"2 ft 9 1/2 in. With inches, cable comes in AWG.",
		ASK_WORD, .usual = "mm", .words = length_units, .said = said_units,
	},
	[ASK_COUNT] = {
		"Bays", "How many bays get light?",
		"A bay is one cabinet or one opening with its own strips: usually what one door opens.",
		ASK_NUMBER, .usual = "3",
	},
	[ASK_ALIKE] = {
		"All bays alike", "Are they all alike: the same strips, of the same lengths?",
		"With 'yes' strips are asked about once, for all bays; with 'no' bay by bay.",
		ASK_WORD, .usual = "yes", .words = yes_no, .said = said_alike, .applies = several_bays,
	},
	[ASK_PLACES] = {
		"Strips", "Where do strips run? One word or two for each strip, with commas between: "
		"top, shelf 1, rear",
		"Every length of strip that is fed by a cable of its own is one. '3 shelves' is short for "
		"shelf 1, shelf 2, shelf 3. A strip at the back alone is called rear: back is the way back.",
		ASK_NAMES, "strips", "place", .usual = "top", .per_bay = true,
	},
	[ASK_LENGTHS] = {
		"Groove lengths", "How long is the groove, channel or edge for each strip?",
		"The length of wood or channel, as you would measure it. The strip is cut down to the last cut "
		"mark that fits, so a few millimetres may stay free at its end.",
		ASK_LIST, "strips", "channel", NULL, "600 mm", "24 in", MEASURE, LIST_EXAMPLE,
		.per_bay = true, .named = strip_named,
	},
	[ASK_MOUNT] = {
		"Strips lie in", "Do the strips lie in an aluminium channel, or straight on timber?",
		"Aluminium takes the heat away. On timber a strip of more than about 10 W/m gets too warm.",
		ASK_WORD, "strips", "mount", NULL, "timber", NULL, "the warmer of the two", .words = mounts,
		.said = said_mounts,
	},
	[ASK_SWITCHES] = {
		"Switches", "A switch for each bay, one for all, or none?",
		"each: every bay has its own door, motion or touch switch. one: a single one switches all of "
		"them. none: the lights are switched on the mains side, which is the electrician's.",
		ASK_WORD, .usual = "each", .words = switch_words, .said = said_switches,
		.applies = several_bays,
	},
	[ASK_SWITCH] = {
		"Switch", "Is there a switch in the bay?",
		"A door, motion or touch switch between driver and strips. 'no': the lights are switched on the "
		"mains side, which is the electrician's.",
		ASK_WORD, .usual = "yes", .words = yes_no, .said = said_yes_no, .applies = one_bay,
	},
	[ASK_SWITCH_CURRENT] = {
		"Switch rating", "How much current may a switch carry?",
		"On the switch or its leaflet: '3 A', or 'max. 3A'. Where it says watts, say at how many volts: "
		"36 W at 12 V. Not known: then what it must stand is written down.",
		ASK_VALUE, "switches", "max_current", NULL, "3 A", NULL,
		"buy one whose label says at least this", "3 A, or watts and volts: 36 W at 12 V", " A",
		.worked_out = true, .applies = has_switch,
	},
	[ASK_DRIVER] = {
		"Driver hides", "Where will the driver hide?",
		"The box that makes 12 or 24 V from the mains. It wants air, and somebody has to get at it. "
		"Any words will do: above bay 2, in the plinth.",
		ASK_TEXT, "drivers", "place", .usual = "above bay 1",
	},
	[ASK_TO_SWITCH] = {
		"Driver to switch", "How long is the cable from the driver to the switch?",
		"Along its way, round the corners, not through the air.",
		ASK_VALUE, "cables", "length", NULL, "1 m", "3 ft", MEASURE, LENGTH_EXAMPLE,
		.applies = one_switch_for_all,
	},
	[ASK_ROUTES] = {
		"Cables to the bays", "How long is the cable to each bay, round all corners?",
		"From the driver (from the switch, where one switches all) to the bay's switch or junction "
		"block, or to its strip where it has neither. Along its way, round the corners, not through "
		"the air.",
		ASK_LIST, "cables", "length", NULL, "2 m", "6 ft", MEASURE, LIST_EXAMPLE, .named = bay_named,
	},
	[ASK_LEADS] = {
		"Leads to the strips", "How long is the cable from there to where each strip begins?",
		"In the bay: from its switch or junction block to the near end of each strip. A bay with more "
		"than one strip gets such a block, which shares one cable out to several, beside its switch.",
		ASK_LIST, "cables", "length", NULL, "500 mm", "18 in", MEASURE, LIST_EXAMPLE,
		.per_bay = true, .named = strip_named, .applies = has_leads,
	},
	[ASK_VOLTAGE] = {
		"Strip voltage", "Now take the reel of strip. How many volts does its label say?",
		"'DC 24V' or '12V', on the reel, on the bag, and often printed on the strip at every cut mark. "
		"The driver gets the same.",
		ASK_VALUE, "strips", "voltage", NULL, "24 V", NULL, REEL_LABEL,
		"one voltage, and direct current (DC): 24 V", .unit = " V",
	},
	[ASK_POWER] = {
		"Strip power", "How many watts for each metre does it say?",
		"'9.6W/m' on the reel, or '48W' and '5m': then say 48 W on 5 m. Watts for each foot: say 3 W/ft.",
		ASK_VALUE, "strips", "power", NULL, "9.6 W/m", NULL, REEL_LABEL,
		"9.6 W/m or 3 W/ft; of a whole reel its watts and length: 48 W on 5 m", .unit = " W/m",
	},
	[ASK_CUT] = {
		"Cut length", "How far is it from one cut mark to the next?",
		"The marks are lines across the strip, often with scissors, between pairs of copper pads. "
		"Measure ten of them and divide by ten.",
		ASK_VALUE, "strips", "cut_length", NULL, "50 mm", "50 mm", MEASURE, LENGTH_EXAMPLE,
		.clashes = longer_than_a_strip,
	},
	[ASK_REEL] = {
		"Reel", "How long is a full reel?",
		"'5m' on the reel. It matters for what to buy, and how to cut it.",
		ASK_VALUE, "strips", "reel", NULL, "5 m", NULL, REEL_LABEL, "a length such as 5 m or 16.4 ft", " m",
		.clashes = shorter_than_a_unit,
	},
	[ASK_AMBIENT] = {
		"Warmth", "How warm does it get where driver and cables lie?",
		"The air there, in summer, lights on: 25 C in an open room, 30 to 35 C in a closed plinth. "
		"77 F works too.",
		ASK_VALUE, "job", "ambient", NULL, "25 C", NULL, "put a thermometer there", "25 C or 77 F", .unit = " C",
	},
};
