/* Strips on one driver, with figures along them as a test sets them. */
#ifndef FAREND_TESTS_FAR_END_SUPPORT_H
#define FAREND_TESTS_FAR_END_SUPPORT_H

#include "tests/check_support.h"

/* `count` strips of 1 m, each fed by a cable of its own; chained ones are joined by the caller. */
static inline struct job *strips_on_one_driver(size_t count)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 60);
	for (size_t i = 0; i < count; i++) {
		const char *id = arena_printf(job->arena, "L%zu", i + 1);
		add_strip(job, id, 24, 4.8, 1);
	}
	for (size_t i = 0; i < count; i++)
		add_cable(job, arena_printf(job->arena, "C%zu", i + 1), "0.75 mm2", 1, "D1",
		          arena_printf(job->arena, "L%zu.start", i + 1));
	return job;
}

/* Light falls in a straight line from `first` to `last`, voltage from 24 V by `drop`. */
static inline void set_strip(const struct job *job, struct solution *s, size_t i, double drop,
                      double first, double last)
{
	struct strip_result *r = &s->strips[i];
	size_t units = job->strips[i].units;
	double *volts = arena_array(job->arena, double, units);
	double *light = arena_array(job->arena, double, units);
	for (size_t k = 0; k < units; k++) {
		double part = (double)k / (double)(units - 1);
		volts[k] = 24 - drop * 24 * part;
		light[k] = first + (last - first) * part;
	}
	r->volts = volts;
	r->light = light;
	r->v_min = 24 * (1 - drop);
	r->drop = drop;
	r->light_min = fmin(first, last);
	r->light_max = fmax(first, last);
	r->light_mean = (first + last) / 2;
}

#endif
