/* What every test program shares: cmocka with what it needs, and comparison of figures. */
#ifndef FAREND_TESTS_SUPPORT_H
#define FAREND_TESTS_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* |got - want| <= absolute + rel |want|; a NaN is never near. */
#define assert_near(got, want, rel, absolute) \
	assert_near_at((got), (want), (rel), (absolute), #got, __FILE__, __LINE__)

static inline void assert_near_at(double got, double want, double rel, double absolute,
                                  const char *what, const char *file, int line)
{
	if (fabs(got - want) <= absolute + rel * fabs(want))
		return;
	print_error("%s is %.17g, expected %.17g\n", what, got, want);
	_fail(file, line);
}

#endif
