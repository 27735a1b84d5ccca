/* One job in one state of its switches, as a meter would find it: voltages and currents only. */
#ifndef FAREND_SOLVE_STATE_H
#define FAREND_SOLVE_STATE_H

#include "model/job.h"

/* Resistance in one core of a cable that the other core has not. */
struct core_extra {
	size_t cable;
	double plus_ohm, minus_ohm;
};

struct state_solution {
	bool converged;              /* every network; asked in the positive */
	double residual_a;
	double *terminal_v;          /* plus against minus; NAN where no driver reaches. Size terminal_count */
	double *cable_a;             /* plus core, from -> to; 0 where dead. Size cable_count */
	double *cable_minus_a;       /* minus core, to -> from: the same but in a loop with unlike cores */
	double *switch_a;            /* in -> out */
	double *driver_a;            /* out */
	double *strip_a;             /* what its cut units take together */
};

/* Solves every circuit that has one driver (others are dead: NAN and 0), with the switches of `on` closed
 * (NULL: all). With `extra_count` 0 both cores are alike and the loop model is used; else circuits in
 * which an extra cable is part of a loop are solved with their rails apart, each core having half of
 * every loop resistance. `only`: the one circuit to solve, by a terminal in it, or NO_INDEX for all (the
 * others are then dead). Lives in `arena`. */
struct state_solution *solve_state(const struct job *job, const bool *on, const struct core_extra *extras,
                                   size_t extra_count, size_t only, struct arena *arena);

#endif
