/* The current of one cut unit at voltage v, docs/model.md:
 *   i = 0                                        v <= v_knee
 *   i = amps (v - v_knee)/(v_full - v_knee)      above it
 *   i = amps                                     v >= v_full, where `regulated` */
#ifndef FAREND_MODEL_UNIT_LAW_H
#define FAREND_MODEL_UNIT_LAW_H

#include <stdbool.h>

struct unit_law {
	double amps;                 /* i_nom = power * pitch / nominal voltage, A */
	double v_knee;               /* V */
	double v_full;               /* V: nominal voltage, or regulates_above */
	bool regulated;              /* constant current */
};

/* Current in A, and its slope in S. */
static inline double unit_amps(const struct unit_law *law, double v, double *slope)
{
	if (v <= law->v_knee) {
		*slope = 0;
		return 0;
	}
	if (law->regulated && v >= law->v_full) {
		*slope = 0;
		return law->amps;
	}
	*slope = law->amps / (law->v_full - law->v_knee);
	return *slope * (v - law->v_knee);
}

#endif
