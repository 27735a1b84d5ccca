/* Slips rather than faults: where nothing else is wrong once one reading is left out, or once two are taken
 * to have been written into each other's rows, that is likelier than two faults at once. */
#include "advise/diagnose_parts.h"

#define LEAST_OTHERS 2           /* so many have to agree before one is called odd */
#define MOST_READINGS 200        /* that are tried in pairs */

static bool outside(const struct evidence *e, const struct diagnosis *d, size_t i)
{
	return !d->checks[e->reading[i]].within;
}

/* S of the job with nothing wrong, without one reading. */
static double without(const struct evidence *e, size_t left_out)
{
	struct evidence rest = *e;
	struct arena *work = arena_child(e->arena);
	rest.reading = arena_array(work, size_t, e->count);
	rest.value = arena_array(work, double, e->count);
	rest.digit = arena_array(work, double, e->count);
	rest.base = arena_array(work, double, e->count);
	rest.dark = arena_array(work, double, e->count);
	rest.count = 0;
	for (size_t i = 0; i < e->count; i++) {
		if (i == left_out)
			continue;
		rest.reading[rest.count] = e->reading[i];
		rest.value[rest.count] = e->value[i];
		rest.digit[rest.count] = e->digit[i];
		rest.base[rest.count] = e->base[i];
		rest.dark[rest.count++] = e->dark[i];
	}
	double misfit = evidence_misfit(&rest, rest.base, NULL);
	arena_free(work);
	return misfit;
}

/* S with the values of two readings in each other's places. */
static double exchanged(const struct evidence *e, size_t a, size_t b)
{
	double value = e->value[a];
	e->value[a] = e->value[b];
	e->value[b] = value;
	double misfit = evidence_misfit(e, e->base, NULL);
	e->value[b] = e->value[a];
	e->value[a] = value;
	return misfit;
}

static bool find_single(const struct evidence *e, double most, struct diagnosis *d)
{
	for (size_t i = 0; i < e->count; i++) {
		double misfit = outside(e, d, i) ? without(e, i) : most;
		if (!(misfit < most))
			continue;
		most = misfit;
		d->odd = e->reading[i];
	}
	return d->odd != NO_INDEX;
}

static bool find_pair(const struct evidence *e, double most, struct diagnosis *d)
{
	const struct reading *readings = e->built->readings;
	for (size_t a = 0; a < e->count; a++) {
		for (size_t b = a + 1; b < e->count; b++) {
			if (!outside(e, d, a) || !outside(e, d, b) ||
			    readings[e->reading[a]].range != readings[e->reading[b]].range)
				continue;
			double misfit = exchanged(e, a, b);
			if (!(misfit < most))
				continue;
			most = misfit;
			d->odd = e->reading[a];
			d->exchanged = e->reading[b];
		}
	}
	return d->odd != NO_INDEX;
}

bool find_odd(const struct evidence *e, double most, struct diagnosis *out)
{
	if (e->count <= LEAST_OTHERS)
		return false;
	return find_single(e, most, out) || (e->count <= MOST_READINGS && find_pair(e, most, out));
}
