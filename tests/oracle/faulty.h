/* Plans with one fault in them, both rails drawn, solved by ngspice as a meter would find them. */
#ifndef FAREND_TESTS_ORACLE_FAULTY_H
#define FAREND_TESTS_ORACLE_FAULTY_H

#include "oracle/plan.h"

enum faulty_kind { FAULTY_CABLE, FAULTY_PLUS, FAULTY_MINUS, FAULTY_CONTACT, FAULTY_DRIVER, FAULTY_STRIP,
                   FAULTY_NONE };

/* Extra ohms (a cable: half in each core), the voltage set, or the share of the label's watts. */
struct fault_in { enum faulty_kind kind; size_t item; double value; };

/* One plan, measured once for every fault: volts at both ends of each strip (start, end, start, ...), then
 * amps from -> to in the plus core of each cable. */
struct faulty_run {
	const struct plan *plan;
	const struct fault_in *faults;
	size_t fault_count;
	double **measured;           /* result, from `arena`: [fault_count][faulty_count(plan)] */
};

size_t faulty_count(const struct plan *plan);

/* All in one ngspice process. On failure prints why and returns false: no ngspice is a failure. */
bool faulty_solve(struct faulty_run *runs, size_t count, struct arena *arena);

#endif
