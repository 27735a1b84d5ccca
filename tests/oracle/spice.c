/* Runs ngspice in a folder of its own and reads its raw files back: binary, so that no digit is
 * lost. */
#include "oracle/spice.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* A fresh folder for temporary files, made as the shell would. */
static bool make_folder(char *path, int size)
{
	FILE *pipe = popen("mktemp -d", "r");
	bool got = pipe && fgets(path, size, pipe);
	if (pipe && pclose(pipe) != 0)
		got = false;
	if (got)
		path[strcspn(path, "\n")] = '\0';
	return got;
}

static size_t nodes_of(const struct spice_run *run)
{
	return run->plan->node_count * (run->rails ? 2 : 1);
}

static bool is_terminal(const struct plan *plan, size_t node)
{
	return node < plan->node_count - plan->unit_count;
}

/* The commands for run `r`: every result goes to a file of its own. */
static void write_commands(const struct spice_run *run, size_t r, FILE *out)
{
	fprintf(out, "source %zu.cir\n", r);
	if (!run->unloaded) {
		fprintf(out, "op\nwrite %zu.raw\n", r);
	} else {
		for (size_t i = 0; i < run->plan->node_count; i++)
			if (is_terminal(run->plan, i))
				fprintf(out, "tf v(n%zu) v0\nwrite %zu-%zu.raw\ndestroy all\n", i, r, i);
	}
	fputs("destroy all\nremcirc\n", out);
}

static bool write_inputs(const struct spice_run *runs, size_t count)
{
	FILE *commands = fopen("control.sp", "w");
	bool good = commands != NULL;
	if (good)
		fputs("* control\n.control\nset filetype=binary\n", commands);
	for (size_t r = 0; good && r < count; r++) {
		char name[40];
		snprintf(name, sizeof name, "%zu.cir", r);
		FILE *deck = fopen(name, "w");
		if (deck)
			(runs[r].rails ? spice_write_rails : spice_write_deck)(&runs[r], deck);
		good = deck && fclose(deck) == 0;
		write_commands(&runs[r], r, commands);
	}
	if (commands) {
		fputs("quit 0\n.endc\n.end\n", commands);
		good = fclose(commands) == 0 && good;
	}
	return good;
}

/* One raw file: names in order, then as many doubles. Each is handed to take(). */
static bool read_raw(const char *name, void (*take)(void *data, const char *variable, double value),
                     void *data)
{
	char line[256], (*names)[64] = NULL;
	size_t count = 0, read = 0;
	FILE *in = fopen(name, "rb");
	while (in && fgets(line, sizeof line, in) && strcmp(line, "Binary:\n") != 0) {
		size_t at;
		char variable[64];
		if (sscanf(line, "No. Variables: %zu", &count) == 1 && !names)
			names = calloc(count ? count : 1, sizeof *names);
		else if (names && sscanf(line, "\t%zu %63s", &at, variable) == 2 && at < count)
			memcpy(names[at], variable, sizeof variable);
	}
	while (in && names && read < count) {
		double value;
		if (fread(&value, sizeof value, 1, in) != 1)
			break;
		take(data, names[read++], value);
	}
	if (in)
		fclose(in);
	free(names);
	if (count == 0 || read < count)
		fprintf(stderr, "ngspice left no result in %s\n", name);
	return count > 0 && read == count;
}

static void take_point(void *data, const char *variable, double value)
{
	struct spice_run *run = data;
	size_t i;
	if (sscanf(variable, "v(n%zu)", &i) == 1 && i < nodes_of(run))
		run->volts[i] = value;
	else if (sscanf(variable, "i(v%zu)", &i) == 1 && i < run->plan->driver_count)
		run->source_a[i] = -value;
}

static void take_impedance(void *data, const char *variable, double value)
{
	if (strstr(variable, "output_impedance"))
		*(double *)data = value;
}

static bool read_run(struct spice_run *run, size_t r, struct arena *arena)
{
	char name[48];
	size_t nodes = nodes_of(run);
	double *figures = arena_array(arena, double, nodes);
	for (size_t i = 0; i < nodes; i++)
		figures[i] = NAN;
	if (!run->unloaded) {
		run->volts = figures;
		run->source_a = arena_array(arena, double, run->plan->driver_count);
		snprintf(name, sizeof name, "%zu.raw", r);
		return read_raw(name, take_point, run) && !isnan(run->volts[run->plan->drivers[0].node]);
	}
	run->ohm = figures;
	for (size_t i = 0; i < nodes; i++) {
		snprintf(name, sizeof name, "%zu-%zu.raw", r, i);
		if (!is_terminal(run->plan, i))
			continue;
		if (!read_raw(name, take_impedance, &figures[i]) || isnan(figures[i]))
			return false;
	}
	return true;
}

bool spice_solve(struct spice_run *runs, size_t count, struct arena *arena)
{
	char folder[256], back[1024], command[320];
	if (!getcwd(back, sizeof back) || !make_folder(folder, sizeof folder) || chdir(folder) != 0) {
		perror("no folder for ngspice");
		return false;
	}
	bool good = write_inputs(runs, count);
	if (good && system("ngspice -b control.sp >log 2>&1") != 0) {
		fputs("ngspice failed or is not installed:\n", stderr);
		good = false;
		if (system("tail -n 20 log >&2") != 0)
			fputs("(it left no log)\n", stderr);
	}
	for (size_t r = 0; good && r < count; r++)
		good = read_run(&runs[r], r, arena);
	bool returned = chdir(back) == 0;
	snprintf(command, sizeof command, "rm -r '%s'", folder);
	return system(command) == 0 && returned && good;
}
