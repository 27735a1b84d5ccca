/* Every core, contact, rail section and cut unit is an element of its own: nodes p<i> and m<i> for the two
 * rails at node i of the plan, the driver's minus is ground. A fault is an element altered between two
 * operating points. */
#include "oracle/faulty.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

size_t faulty_count(const struct plan *plan)
{
	return 2 * plan->strip_count + plan->cable_count;
}

static void write_driver(const struct plan_driver *d, size_t i, FILE *out)
{
	fprintf(out, "vm%zu m%zu 0 dc 0\n", i, d->node);
	if (d->ohm > 0)
		fprintf(out, "v%zu s%zu 0 dc %.17g\nrd%zu s%zu p%zu %.17g\n", i, i, d->set_v, i, i, d->node,
		        d->ohm);
	else
		fprintf(out, "v%zu p%zu 0 dc %.17g\n", i, d->node, d->set_v);
}

/* Half of a loop resistance in each rail. */
static void write_pair(const char *name, size_t i, size_t a, size_t b, double ohm, FILE *out)
{
	fprintf(out, "%sp%zu p%zu p%zu %.17g\n", name, i, a, b, ohm / 2);
	fprintf(out, "%sm%zu m%zu m%zu %.17g\n", name, i, a, b, ohm / 2);
}

/* i(v) = k amps (v - knee) / (full - knee) above the knee, k amps above `full` where regulated; k is the
 * voltage of a node that a fault may alter. */
static void write_unit(const struct plan_strip *s, size_t strip, size_t unit, FILE *out)
{
	double slope = s->amps / (s->v_full - s->v_knee);
	fprintf(out, "b%zu p%zu m%zu i = v(k%zu)*(", unit, unit, unit, strip);
	if (s->regulated)
		fprintf(out, "v(p%zu,m%zu) > %.17g ? %.17g : (", unit, unit, s->v_full, s->amps);
	fprintf(out, "v(p%zu,m%zu) > %.17g ? %.17g*(v(p%zu,m%zu)-%.17g) : 0%s)\n", unit, unit, s->v_knee, slope,
	        unit, unit, s->v_knee, s->regulated ? ")" : "");
}

static void write_strip(const struct plan_strip *s, size_t strip, FILE *out)
{
	size_t before = s->nodes[0], next_mark = 1;
	double ohm = s->section_ohm / 2;
	fprintf(out, "vk%zu k%zu 0 dc 1\n", strip, strip);
	for (size_t k = 0; k < s->units; k++) {
		size_t unit = s->first_unit + k;
		write_pair("rr", unit, before, unit, ohm, out);
		write_unit(s, strip, unit, out);
		before = unit;
		ohm = s->section_ohm;
		if (s->marks[next_mark] == k + 1) {
			ohm = s->section_ohm / 2;
			write_pair("rt", unit, unit, s->nodes[next_mark], ohm, out);
			before = s->nodes[next_mark++];
		}
	}
}

static void write_deck(const struct plan *p, FILE *out)
{
	/* options as in spice_deck.c, which says why */
	fputs("* one fault\n.options reltol=1e-9 abstol=1e-15 vntol=1e-12 itl1=500 itl2=500 itl6=500\n", out);
	fputs(".options gmin=1e-12 gminsteps=60 gminfactor=1.8\n", out);
	for (size_t i = 0; i < p->driver_count; i++)
		write_driver(&p->drivers[i], i, out);
	for (size_t i = 0; i < p->cable_count; i++)
		write_pair("rc", i, p->cables[i].a, p->cables[i].b, p->cables[i].ohm, out);
	for (size_t i = 0; i < p->switch_count; i++)
		write_pair("rs", i, p->switches[i].in, p->switches[i].out, p->switches[i].ohm, out);
	for (size_t i = 0; i < p->strip_count; i++)
		write_strip(&p->strips[i], i, out);
	fputs(".end\n", out);
}

/* Sets the element that a fault concerns: to the fault, or back to what it should be. */
static void alter(const struct plan *p, struct fault_in f, bool sound, FILE *out)
{
	double half = f.kind <= FAULTY_MINUS ? p->cables[f.item].ohm / 2 : 0;
	double extra = sound ? 0 : f.value;
	switch (f.kind) {
	case FAULTY_CABLE:
		fprintf(out, "alter rcp%zu = %.17g\nalter rcm%zu = %.17g\n", f.item, half + extra / 2, f.item,
		        half + extra / 2);
		return;
	case FAULTY_PLUS:
		fprintf(out, "alter rcp%zu = %.17g\n", f.item, half + extra);
		return;
	case FAULTY_MINUS:
		fprintf(out, "alter rcm%zu = %.17g\n", f.item, half + extra);
		return;
	case FAULTY_CONTACT:
		fprintf(out, "alter rsp%zu = %.17g\n", f.item, p->switches[f.item].ohm / 2 + extra / 2);
		fprintf(out, "alter rsm%zu = %.17g\n", f.item, p->switches[f.item].ohm / 2 + extra / 2);
		return;
	case FAULTY_DRIVER:
		fprintf(out, "alter v%zu dc = %.17g\n", f.item, sound ? p->drivers[f.item].set_v : f.value);
		return;
	case FAULTY_STRIP:
		fprintf(out, "alter vk%zu dc = %.17g\n", f.item, sound ? 1 : f.value);
		return;
	case FAULTY_NONE:
		return;
	}
}

static void write_commands(const struct faulty_run *run, size_t r, FILE *out)
{
	const struct plan *p = run->plan;
	fprintf(out, "source %zu.cir\n", r);
	for (size_t f = 0; f < run->fault_count; f++) {
		alter(p, run->faults[f], false, out);
		fputs("op\n", out);
		for (size_t i = 0; i < p->strip_count; i++)
			for (int end = 0; end < 2; end++) {
				const struct plan_strip *s = &p->strips[i];
				size_t node = s->nodes[end ? s->mark_count - 1 : 0];
				fprintf(out, "print v(p%zu)-v(m%zu)\n", node, node);
			}
		for (size_t i = 0; i < p->cable_count; i++)
			fprintf(out, "print @rcp%zu[i]\n", i);
		fputs("destroy all\n", out);
		alter(p, run->faults[f], true, out);
	}
	fputs("remcirc\n", out);
}

static bool write_inputs(const char *folder, const struct faulty_run *runs, size_t count, struct arena *arena)
{
	FILE *commands = fopen(arena_printf(arena, "%s/control.sp", folder), "w");
	bool good = commands != NULL;
	if (good)
		fputs("* control\n.control\nset numdgt=15\n", commands);
	for (size_t r = 0; good && r < count; r++) {
		FILE *deck = fopen(arena_printf(arena, "%s/%zu.cir", folder, r), "w");
		if (deck)
			write_deck(runs[r].plan, deck);
		good = deck && fclose(deck) == 0;
		write_commands(&runs[r], r, commands);
	}
	if (commands) {
		fputs("quit 0\n.endc\n.end\n", commands);
		good = fclose(commands) == 0 && good;
	}
	return good;
}

/* The next figure that `print` left: "v(p3)-v(m3) = 2.3e+01". */
static bool next_figure(FILE *in, double *value)
{
	char line[512];
	while (fgets(line, sizeof line, in)) {
		const char *equals = strstr(line, " = ");
		if (equals && (line[0] == 'v' || line[0] == '@') && sscanf(equals + 3, "%lf", value) == 1)
			return true;
	}
	return false;
}

static bool read_run(struct faulty_run *run, FILE *in, struct arena *arena)
{
	size_t figures = faulty_count(run->plan);
	run->measured = arena_array(arena, double *, run->fault_count);
	for (size_t f = 0; f < run->fault_count; f++) {
		run->measured[f] = arena_array(arena, double, figures);
		for (size_t i = 0; i < figures; i++)
			if (!next_figure(in, &run->measured[f][i]))
				return false;
	}
	return true;
}

bool faulty_solve(struct faulty_run *runs, size_t count, struct arena *arena)
{
	char folder[256] = "";
	FILE *pipe = popen("mktemp -d", "r");
	bool good = pipe && fgets(folder, sizeof folder, pipe);
	if (pipe && pclose(pipe) != 0)
		good = false;
	folder[strcspn(folder, "\n")] = '\0';
	if (!good) {
		perror("no folder for ngspice");
		return false;
	}
	good = write_inputs(folder, runs, count, arena);
	pipe = good ? popen(arena_printf(arena, "cd '%s' && ngspice -b control.sp 2>log", folder), "r") : NULL;
	good = pipe != NULL;
	for (size_t r = 0; good && r < count; r++)
		good = read_run(&runs[r], pipe, arena);
	if (!good)
		fputs("ngspice failed, or is not installed\n", stderr);
	while (pipe && fgetc(pipe) != EOF)
		continue;
	if (pipe && pclose(pipe) != 0)
		good = false;
	return system(arena_printf(arena, "rm -r '%s'", folder)) == 0 && good;
}
