/* What the YAML parser complains about, in plain words. */
#ifndef FAREND_LOAD_YAML_PROBLEM_H
#define FAREND_LOAD_YAML_PROBLEM_H

#include "load/mistake.h"

struct yaml_problem {
	const char *problem, *context;          /* the parser's words; either may be NULL */
	struct place found;                     /* where it noticed */
	struct place begun;                     /* where what it was reading began */
};

void yaml_problem_report(struct mistakes *m, const struct yaml_problem *problem);

#endif
