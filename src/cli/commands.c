/* The table of commands. */
#include "cli/commands.h"

#include "base/text.h"

#include <stdint.h>

/* the usual one first */
static const char *const check_formats[] = { "text", "json", "csv", NULL };

static const char *const schedule_formats[] = { "text", "json", "csv", "html", NULL };
static const char *const report_formats[] = { "html", "svg", NULL };

/* of every command that reads a job; `verify` has its as-built file as a word of its own */
#define VERIFY_OPTIONS (OPTION_BIT(OPTION_OUTPUT) | OPTION_BIT(OPTION_FORMAT) | \
                        OPTION_BIT(OPTION_STRICT) | OPTION_BIT(OPTION_COLOUR))
#define JOB_OPTIONS (VERIFY_OPTIONS | OPTION_BIT(OPTION_BUILT))
#define SPREAD_OPTIONS (OPTION_BIT(OPTION_TOLERANCE) | OPTION_BIT(OPTION_SAMPLES) | OPTION_BIT(OPTION_SEED))

const struct command commands[] = {
	{ "new", "", 0, 0, "write a commented starter job that already checks clean",
	  "The job goes to standard output, or to a file with -o. A file that has something in it is "
	  "never overwritten. Change the lengths, parts and names in it to your own, then check it. With "
	  "--ask: a short interview instead; the job, with driver and cables worked out, comes of the answers.",
	  "farend new --ask -o my-job.yaml", NULL, OPTION_BIT(OPTION_OUTPUT) | OPTION_BIT(OPTION_ASK), run_new },
	{ "check", "JOB.yaml...", 1, SIZE_MAX, "is this job right? figures, spare, what to change",
	  "Works out voltage, current and light for every strip, cable, switch, block and driver, and "
	  "says what must change before it is built. '-' as the job is standard input. Of several jobs: each "
	  "in turn, then a table of all; the worst one gives the exit status.",
	  "farend check my-job.yaml", check_formats, JOB_OPTIONS | SPREAD_OPTIONS | OPTION_BIT(OPTION_SWITCHES), run_check },
	{ "size", "JOB.yaml", 1, 1, "what to order: drivers, cables and feeds that pass",
	  "Finds the smallest driver, the thinnest cables and the simplest feed for each strip, says what would "
	  "change and why, and how long a run may be. With --apply the proposals are put into a copy of the "
	  "job: your comments and everything else in it stay as they are.",
	  "farend size --apply sized.yaml my-job.yaml", check_formats,
	  JOB_OPTIONS | OPTION_BIT(OPTION_APPLY), run_size },
	{ "cut", "JOB.yaml", 1, 1, "how to cut the reels, offcuts first",
	  "A list for the bench: every length with its marks along the reel, the fewest reels, what to label "
	  "and keep, and the lengths of aluminium profile.",
	  "farend cut --offcuts offcuts.csv my-job.yaml", check_formats,
	  JOB_OPTIONS | OPTION_BIT(OPTION_OFFCUTS), run_cut },
	{ "order", "JOB.yaml", 1, 1, "what to buy, with prices where the catalogue has them",
	  "Counts reels, cable by the metre, drivers, switches, blocks, connectors and fuses. What came with "
	  "a part ('supplied: yes') is left out.",
	  "farend order --format csv -o order.csv my-job.yaml", check_formats,
	  JOB_OPTIONS | OPTION_BIT(OPTION_OFFCUTS) | OPTION_BIT(OPTION_SPARE), run_order },
	{ "schedule", "JOB.yaml", 1, 1, "what goes where: the wiring schedule to follow and tick",
	  "Every cable in the order of pulling, with the voltages to expect and room for the readings; strips, "
	  "switches, ports and drivers; the first power-up step by step; what the electrician signs; what a "
	  "replacement part must match. With --labels: a flag label for each end of every cable.",
	  "farend schedule --format html -o schedule.html my-job.yaml", schedule_formats,
	  JOB_OPTIONS | OPTION_BIT(OPTION_LABELS), run_schedule },
	{ "report", "JOB.yaml", 1, 1, "one file to print: verdict, drawing, schedule, lists",
	  "A page that stands on its own: nothing is loaded, and it prints on A4 and Letter. With --format svg "
	  "the single-line drawing alone.",
	  "farend report -o report.html my-job.yaml", report_formats,
	  JOB_OPTIONS | SPREAD_OPTIONS | OPTION_BIT(OPTION_OFFCUTS) | OPTION_BIT(OPTION_NO_LISTS), run_report },
	{ "verify", "JOB.yaml AS-BUILT.csv", 2, 2, "plan against built, which joint is bad",
	  "Lays the lengths as cut over the job, checks it again, and compares a meter's readings with what they "
	  "should be. Where they disagree: which joint, cable, contact, driver or strip explains it. --switches is "
	  "the state of readings that name no switch.",
	  "farend verify my-job.yaml as-built.csv", check_formats,
	  VERIFY_OPTIONS | OPTION_BIT(OPTION_SWITCHES) | OPTION_BIT(OPTION_METER_GAIN) |
	  OPTION_BIT(OPTION_METER_DIGIT) | OPTION_BIT(OPTION_METER_DIGIT_AMPS), run_verify },
	{ "explain", "[NAME]", 0, 1, "what a check or a mistake in a file means",
	  "Without a name: all of them, a line each. With --schema: the JSON Schema of a job file, by which "
	  "editors complete and underline.", "farend explain far-end-dim", NULL,
	  OPTION_BIT(OPTION_OUTPUT) | OPTION_BIT(OPTION_COLOUR) | OPTION_BIT(OPTION_SCHEMA), run_explain },
	{ "help", "[COMMAND]", 0, 1, "show what a command does and takes", NULL,
	  "farend help check", NULL, OPTION_BIT(OPTION_OUTPUT) | OPTION_BIT(OPTION_COMPLETION), run_help },
	{ "version", "", 0, 0, "show the version", NULL, "farend version", NULL,
	  OPTION_BIT(OPTION_OUTPUT), run_version },
};
const size_t command_count = sizeof(commands) / sizeof(commands[0]);

const struct command *command_find(const char *name)
{
	for (size_t i = 0; i < command_count; i++) {
		if (text_equal(commands[i].name, name))
			return &commands[i];
	}
	return NULL;
}

const char *command_hint(struct arena *arena, const char *name)
{
	struct nearest nearest = nearest_to(name);
	for (size_t i = 0; i < command_count; i++)
		nearest_offer(&nearest, commands[i].name);
	return nearest_hint(&nearest, arena);
}
