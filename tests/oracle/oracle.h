/* What the oracle tests share: how near is near enough. */
#ifndef FAREND_TESTS_ORACLE_ORACLE_H
#define FAREND_TESTS_ORACLE_ORACLE_H

#include "oracle/chance.h"
#include "support.h"

/* As assert_near(), where the name of the figure is known only at run time. A NaN is never near. */
static inline void assert_within(const char *what, double got, double want, double tolerance)
{
	if (!(fabs(got - want) <= tolerance))
		fail_msg("%s: %.15g is off %.15g by %.3g, more than %.3g", what, got, want,
		         fabs(got - want), tolerance);
}

#endif
