/* Writes a plan as an ngspice deck: every rail section a resistor, every cut unit a current source
 * that follows its law. What no driver reaches is left out, or the matrix would be singular. */
#include "oracle/spice.h"

#include <stdlib.h>

/* Sets of joined nodes: each points on to another of its set, the first one to itself. */
static size_t root(size_t *to, size_t i)
{
	while (to[i] != i)
		i = to[i] = to[to[i]];
	return i;
}

static bool is_on(const struct spice_run *run, size_t s)
{
	if (run->alone == PLAN_NONE)
		return true;
	for (size_t up = run->alone; up != PLAN_NONE; up = run->plan->switches[up].above)
		if (up == s)
			return true;
	return false;
}

/* reached[i] of every node that has a driver. */
static bool *reached(const struct spice_run *run)
{
	const struct plan *p = run->plan;
	size_t *to = malloc(p->node_count * sizeof *to);
	bool *yes = calloc(p->node_count, sizeof *yes);
	if (!to || !yes)
		abort();
	for (size_t i = 0; i < p->node_count; i++)
		to[i] = i;
	for (size_t i = 0; i < p->cable_count; i++)
		to[root(to, p->cables[i].a)] = root(to, p->cables[i].b);
	for (size_t i = 0; i < p->switch_count; i++)
		if (is_on(run, i))
			to[root(to, p->switches[i].in)] = root(to, p->switches[i].out);
	for (size_t i = 0; i < p->strip_count; i++)
		for (size_t m = 1; m < p->strips[i].mark_count; m++)
			to[root(to, p->strips[i].nodes[m])] = root(to, p->strips[i].nodes[0]);
	for (size_t d = 0; d < p->driver_count; d++)
		for (size_t i = 0; i < p->node_count; i++)
			yes[i] = yes[i] || root(to, i) == root(to, p->drivers[d].node);
	free(to);
	return yes;
}

/* i(v) = amps (v - knee) / (full - knee) above the knee, flat above `full` where regulated */
static void write_unit(const struct plan_strip *s, size_t node, FILE *out)
{
	double slope = s->amps / (s->v_full - s->v_knee);
	fprintf(out, "b%zu n%zu 0 i = ", node, node);
	if (s->regulated)
		fprintf(out, "v(n%zu) > %.17g ? %.17g : (", node, s->v_full, s->amps);
	fprintf(out, "v(n%zu) > %.17g ? %.17g*(v(n%zu)-%.17g) : 0%s\n", node, s->v_knee, slope, node,
	        s->v_knee, s->regulated ? ")" : "");
}

/* Terminal, half a section, unit, section, unit, ..., half a section, terminal; and so on. */
static void write_strip(const struct plan_strip *s, bool unloaded, FILE *out)
{
	size_t before = s->nodes[0], next_mark = 1;
	double ohm = s->section_ohm / 2;
	for (size_t k = 0; k < s->units; k++) {
		size_t unit = s->first_unit + k;
		fprintf(out, "rr%zu n%zu n%zu %.17g\n", unit, before, unit, ohm);
		if (!unloaded)
			write_unit(s, unit, out);
		before = unit;
		ohm = s->section_ohm;
		if (s->marks[next_mark] == k + 1) {
			ohm = s->section_ohm / 2;
			fprintf(out, "rm%zu n%zu n%zu %.17g\n", unit, unit, s->nodes[next_mark], ohm);
			before = s->nodes[next_mark++];
		}
	}
}

void spice_write_deck(const struct spice_run *run, FILE *out)
{
	const struct plan *p = run->plan;
	bool *live = reached(run);

	fputs("* generated network\n", out);
	/* gmin is stepped from 1e-12 1.8^60 = 2e3 S down to nothing: plain Newton cycles on
	 * constant-current units, and ngspice's own stepping starts too low (1e-2 S) to lead it
	 * past them. */
	fputs(".options reltol=1e-9 abstol=1e-15 vntol=1e-12 itl1=500 itl2=500 itl6=500\n", out);
	fputs(".options gmin=1e-12 gminsteps=60 gminfactor=1.8\n", out);
	for (size_t i = 0; i < p->driver_count; i++) {
		const struct plan_driver *d = &p->drivers[i];
		if (d->ohm > 0)
			fprintf(out, "rd%zu s%zu n%zu %.17g\n", i, i, d->node, d->ohm);
		if (d->ohm > 0)
			fprintf(out, "v%zu s%zu 0 dc %.17g\n", i, i, d->set_v);
		else
			fprintf(out, "v%zu n%zu 0 dc %.17g\n", i, d->node, d->set_v);
	}
	for (size_t i = 0; i < p->cable_count; i++)
		if (live[p->cables[i].a])
			fprintf(out, "rc%zu n%zu n%zu %.17g\n", i, p->cables[i].a, p->cables[i].b, p->cables[i].ohm);
	for (size_t i = 0; i < p->switch_count; i++)
		if (live[p->switches[i].in] && is_on(run, i))
			fprintf(out, "rs%zu n%zu n%zu %.17g\n", i, p->switches[i].in, p->switches[i].out,
			        p->switches[i].ohm);
	for (size_t i = 0; i < p->strip_count; i++)
		if (live[p->strips[i].nodes[0]])
			write_strip(&p->strips[i], run->unloaded, out);
	fputs(".end\n", out);
	free(live);
}
