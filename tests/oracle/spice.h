/* Plans solved by ngspice, a general circuit simulator. */
#ifndef FAREND_TESTS_ORACLE_SPICE_H
#define FAREND_TESTS_ORACLE_SPICE_H

#include "oracle/plan.h"

/* Resistance that one core of a cable has and the other has not. */
struct spice_extra { size_t cable; double plus_ohm, minus_ohm; };

/* One circuit to solve. */
struct spice_run {
	const struct plan *plan;
	size_t alone;                /* only this switch and those above it are on; PLAN_NONE: all */
	bool unloaded;               /* without the cut units; gives `ohm` instead of `volts` */
	bool rails;                  /* both cores of everything; all switches on */
	const struct spice_extra *extras; size_t extra_count;    /* with `rails` only */
	/* results, from `arena` */
	double *volts;               /* by node, NAN where no driver reaches; with `rails` the plus core's,
	                                and from node_count on the minus core's */
	double *source_a;            /* by driver */
	double *ohm;                 /* by terminal node: what a current drawn there sees; NAN at units */
};

/* Solves them in one ngspice process. On failure prints why and returns false: no ngspice is a
 * failure. */
bool spice_solve(struct spice_run *runs, size_t count, struct arena *arena);

/* The network as an ngspice deck without a control section. Nodes are n0, n1, ...; sources v0, ...
 */
void spice_write_deck(const struct spice_run *run, FILE *out);

/* The same with both cores: n0, n1, ... the plus ones, from node_count on the minus ones. */
void spice_write_rails(const struct spice_run *run, FILE *out);

/* What both cores of a cable have there, the extras in it. */
void spice_core_ohm(const struct spice_run *run, size_t cable, double *plus, double *minus);

#endif
