/* Writes a plan as an ngspice deck with both of its rails: every cable, switch and rail section is two
 * resistors of half its loop resistance, every cut unit a current source from rail to rail. Written for
 * this alone: nothing but the plan is used. All switches are on, so that everything is reached. */
#include "oracle/spice.h"

void spice_core_ohm(const struct spice_run *run, size_t cable, double *plus, double *minus)
{
	*plus = *minus = run->plan->cables[cable].ohm / 2;
	for (size_t i = 0; i < run->extra_count; i++)
		if (run->extras[i].cable == cable) {
			*plus += run->extras[i].plus_ohm;
			*minus += run->extras[i].minus_ohm;
		}
}

/* Two resistors between the same ends, one a core. */
static void write_pair(const struct plan *p, const char *name, size_t number, size_t a, size_t b,
                       double plus, double minus, FILE *out)
{
	fprintf(out, "r%sp%zu n%zu n%zu %.17g\n", name, number, a, b, plus);
	fprintf(out, "r%sm%zu n%zu n%zu %.17g\n", name, number, p->node_count + a, p->node_count + b, minus);
}

/* i(v) = amps (v - knee) / (full - knee) above the knee, flat above `full` where regulated; v from rail to
 * rail */
static void write_unit(const struct plan *p, const struct plan_strip *s, size_t node, FILE *out)
{
	size_t minus = p->node_count + node;
	double slope = s->amps / (s->v_full - s->v_knee);
	fprintf(out, "b%zu n%zu n%zu i = ", node, node, minus);
	if (s->regulated)
		fprintf(out, "v(n%zu,n%zu) > %.17g ? %.17g : (", node, minus, s->v_full, s->amps);
	fprintf(out, "v(n%zu,n%zu) > %.17g ? %.17g*(v(n%zu,n%zu)-%.17g) : 0%s\n", node, minus, s->v_knee,
	        slope, node, minus, s->v_knee, s->regulated ? ")" : "");
}

/* From mark to mark: half a section, unit, section, unit, ..., half a section. */
static void write_strip(const struct plan *p, const struct plan_strip *s, FILE *out)
{
	double half = s->section_ohm / 2;
	for (size_t m = 0; m + 1 < s->mark_count; m++) {
		size_t before = s->nodes[m], last = s->first_unit + s->marks[m + 1] - 1;
		for (size_t unit = s->first_unit + s->marks[m]; unit <= last; unit++) {
			double core = before == s->nodes[m] ? half / 2 : half;
			write_pair(p, "u", unit, before, unit, core, core, out);
			write_unit(p, s, unit, out);
			before = unit;
		}
		write_pair(p, "e", last, last, s->nodes[m + 1], half / 2, half / 2, out);
	}
}

void spice_write_rails(const struct spice_run *run, FILE *out)
{
	const struct plan *p = run->plan;
	fputs("* generated network, both rails\n", out);
	/* as in spice_write_deck() */
	fputs(".options reltol=1e-9 abstol=1e-15 vntol=1e-12 itl1=500 itl2=500 itl6=500\n", out);
	fputs(".options gmin=1e-12 gminsteps=60 gminfactor=1.8\n", out);
	for (size_t i = 0; i < p->driver_count; i++) {
		const struct plan_driver *d = &p->drivers[i];
		/* all of the output resistance in the plus core, to show that its place makes no difference */
		fprintf(out, "v%zu s%zu 0 dc %.17g\n", i, i, d->set_v);
		if (d->ohm > 0)
			fprintf(out, "rd%zu s%zu n%zu %.17g\n", i, i, d->node, d->ohm);
		else
			fprintf(out, "vd%zu s%zu n%zu dc 0\n", i, i, d->node);
		fprintf(out, "vm%zu n%zu 0 dc 0\n", i, p->node_count + d->node);
	}
	for (size_t i = 0; i < p->cable_count; i++) {
		double plus, minus;
		spice_core_ohm(run, i, &plus, &minus);
		write_pair(p, "c", i, p->cables[i].a, p->cables[i].b, plus, minus, out);
	}
	for (size_t i = 0; i < p->switch_count; i++) {
		double core = p->switches[i].ohm / 2;
		write_pair(p, "s", i, p->switches[i].in, p->switches[i].out, core, core, out);
	}
	for (size_t i = 0; i < p->strip_count; i++)
		write_strip(p, &p->strips[i], out);
	fputs(".end\n", out);
}
