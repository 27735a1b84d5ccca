/* The words around the tables: first power-up, and the electrician's part. Common practice, no
 * source, except that isolating and testing dead come first in every wiring code. */
#include "report/sheet.h"

#include <math.h>

const char *const power_up_steps[] = {
	"Mains off, locked off and tested dead. The output leads of every driver are still loose, and every "
	"switch is off.",
	"Polarity: follow each cable of the schedule with a continuity tester, + to + and - to -, and tick "
	"it.",
	"No short: measure the resistance between + and - of every cable that leaves a driver, and behind "
	"every switch. A meter does not light the strips, so a sound circuit shows thousands of ohms or "
	"more; a few ohms are a short, to be found first.",
	"Each driver alone: have the mains switched on with its output leads still loose. Measure the voltage "
	"and which lead is +, set it as the table of drivers says, and have the mains switched off again.",
	"Join the output leads, + to +, and have the mains switched on. With every switch off, nothing is "
	"lit but strips that have no switch.",
	"One switch at a time: it lights the strips of the table below and no others. Measure and write down. "
	"A reading that is clearly lower means a bad joint, a thinner cable or a wrong one: switch off "
	"and find it.",
	"Everything on: write down the readings of the cables and the strips.",
	"After half an hour with everything on, feel the drivers, the switches and the joints. Warm is right; "
	"too hot to hold is not: switch off and find out why.",
	NULL
};

const char *const mains_lines[] = {
	"Supply circuit",
	"Where it is isolated",
	"Protective device, type and rating",
	"Residual current protection",
	"Cable to each driver, type and size",
	"Protective earth, where a driver needs it",
	"Mains and low voltage kept apart",
	"Drivers can be reached, and air gets to them",
	"Tests done, and their results",
	"Name and licence",
	"Date and signature",
	NULL
};

static const char *amps(struct arena *arena, double value)
{
	return quantity_text(arena, value, DIM_AMP, 2);
}

static const char *input_text(struct arena *arena, const struct driver *driver,
                              const struct schedule_driver *row)
{
	if (!attr_has(&driver->mains))
		return "divide by the mains voltage for the current";
	if (driver->mains.num == driver->mains.high)
		return arena_printf(arena, "%s at %.6g V", amps(arena, row->input_high_a), driver->mains.num);
	return arena_printf(arena, "%s at %.6g V to %s at %.6g V", amps(arena, row->input_high_a),
	                    driver->mains.num, amps(arena, row->input_low_a), driver->mains.high);
}

const char *mains_text(struct arena *arena, const struct schedule *schedule, size_t index)
{
	const struct driver *driver = &schedule->check->job->drivers[index];
	const struct schedule_driver *row = &schedule->drivers[index];
	const char *inrush = !attr_has(&driver->inrush) ? "inrush: see its data sheet" : arena_printf(
		arena, "inrush %s", quantity_text(arena, driver->inrush.num, DIM_AMP, 3));
	if (!isfinite(row->input_w))
		return arena_printf(arena, "%s: no figures; %s.", driver->item.id, inrush);
	return arena_printf(arena, "%s takes %s from the mains with everything on (efficiency %s): %s; %s.",
	                    driver->item.id, quantity_text(arena, row->input_w, DIM_WATT, 3),
	                    quantity_text(arena, driver->efficiency.num, DIM_RATIO, 3),
	                    input_text(arena, driver, row), inrush);
}
