/* Plans solved by ngspice, a general circuit simulator. */
#ifndef FAREND_TESTS_ORACLE_SPICE_H
#define FAREND_TESTS_ORACLE_SPICE_H

#include "oracle/plan.h"

/* One circuit to solve. */
struct spice_run {
	const struct plan *plan;
	size_t alone;                /* only this switch and those above it are on; PLAN_NONE: all */
	bool unloaded;               /* without the cut units; gives `ohm` instead of `volts` */
	/* results, from `arena` */
	double *volts;               /* by node, NAN where no driver reaches */
	double *source_a;            /* by driver */
	double *ohm;                 /* by terminal node: what a current drawn there sees; NAN at units */
};

/* Solves them in one ngspice process. On failure prints why and returns false: no ngspice is a
 * failure. */
bool spice_solve(struct spice_run *runs, size_t count, struct arena *arena);

/* The network as an ngspice deck without a control section. Nodes are n0, n1, ...; sources v0, ...
 */
void spice_write_deck(const struct spice_run *run, FILE *out);

#endif
