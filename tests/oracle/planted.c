/* Faults are drawn by kind and place; ngspice then says how much each of a few values changes the readings,
 * and the value between them that gives the wanted size is planted. */
#include "oracle/planted.h"

#include "oracle/generate.h"

#include <math.h>
#include <stdlib.h>

#define LEAST 3.0
#define MOST 30.0
#define MOST_UNITS 300           /* in one network: ngspice's time */

/* A cable is in a loop when its ends stay joined without it. */
static bool stays_joined(const struct plan *p, size_t without)
{
	size_t *part = calloc(p->node_count, sizeof *part);
	bool joined, changed = true;
	if (!part)
		abort();
	part[p->cables[without].a] = 1;
	while (changed) {
		changed = false;
		for (size_t i = 0; i < p->cable_count; i++)
			if (i != without && part[p->cables[i].a] != part[p->cables[i].b])
				part[p->cables[i].a] = part[p->cables[i].b] = 1, changed = true;
		for (size_t i = 0; i < p->switch_count; i++)
			if (part[p->switches[i].in] != part[p->switches[i].out])
				part[p->switches[i].in] = part[p->switches[i].out] = 1, changed = true;
		for (size_t i = 0; i < p->strip_count; i++)
			for (size_t m = 1; m < p->strips[i].mark_count; m++)
				if (part[p->strips[i].nodes[m]] != part[p->strips[i].nodes[m - 1]])
					part[p->strips[i].nodes[m]] = part[p->strips[i].nodes[m - 1]] = 1,
					changed = true;
	}
	joined = part[p->cables[without].b] == 1;
	free(part);
	return joined;
}

bool planted_reads(const struct planted *t, size_t i)
{
	size_t volts = 2 * t->plan.strip_count;
	return i < volts || (t->amps && t->in_loop[i - volts]);
}

/* x' V^-1 y of readings, V at `at` (Sherman and Morrison for the common gains). */
static double weighed(const struct planted *t, const double *x, const double *y, const double *at)
{
	double sum = 0;
	size_t volts = 2 * t->plan.strip_count, count = faulty_count(&t->plan);
	for (int range = 0; range < 2; range++) {
		double xy = 0, xm = 0, ym = 0, mm = 0;
		for (size_t i = range ? volts : 0; i < (range ? count : volts); i++) {
			if (!planted_reads(t, i))
				continue;
			xy += x[i] * y[i] / (METER_DIGIT * METER_DIGIT);
			xm += x[i] * at[i] / (METER_DIGIT * METER_DIGIT);
			ym += y[i] * at[i] / (METER_DIGIT * METER_DIGIT);
			mm += at[i] * at[i] / (METER_DIGIT * METER_DIGIT);
		}
		sum += xy - xm * ym * METER_GAIN * METER_GAIN / (1 + METER_GAIN * METER_GAIN * mm);
	}
	return sum;
}

static double size_of(const struct planted *t, const double *with)
{
	size_t count = faulty_count(&t->plan);
	double *change = calloc(count, sizeof *change);
	if (!change)
		abort();
	for (size_t i = 0; i < count; i++)
		change[i] = with[i] - t->sound[i];
	double size = sqrt(fmax(weighed(t, change, change, t->sound), 0));
	free(change);
	return size;
}

static struct fault_in draw_fault(struct planted *t)
{
	const struct plan *p = &t->plan;
	struct chance *c = &t->chance;
	size_t cable = chance_below(c, p->cable_count);
	switch (chance_below(c, 6)) {
	case 0:
		if (p->switch_count > 0)
			return (struct fault_in){ FAULTY_CONTACT, chance_below(c, p->switch_count), 0 };
		break;
	case 1:
		return (struct fault_in){ FAULTY_DRIVER, chance_below(c, p->driver_count),
		                          chance_below(c, 2) ? 1 : -1 };
	case 2:
		return (struct fault_in){ FAULTY_STRIP, chance_below(c, p->strip_count),
		                          chance_below(c, 2) ? 1 : -1 };
	case 3:
		for (size_t i = 0; i < p->cable_count; i++, cable = (cable + 1) % p->cable_count)
			if (t->in_loop[cable])
				return (struct fault_in){ chance_below(c, 2) ? FAULTY_PLUS : FAULTY_MINUS, cable, 0 };
		break;
	default:
		break;
	}
	return (struct fault_in){ FAULTY_CABLE, cable, 0 };
}

/* From what no meter sees to what nobody would miss. `value` of what is drawn says up or down. */
static void scale_fault(struct planted *t, struct fault_in drawn)
{
	for (size_t k = 0; k < PLANTED_SCALES; k++) {
		double share = (double)(k + 1) / PLANTED_SCALES;
		struct fault_in f = drawn;
		if (drawn.kind == FAULTY_DRIVER)
			f.value = t->plan.drivers[drawn.item].set_v * (1 + 0.25 * drawn.value * share * share);
		else if (drawn.kind == FAULTY_STRIP)
			f.value = drawn.value > 0 ? 1 + 2 * share * share : 1 - 0.8 * share;
		else
			f.value = 0.003 * pow(10, 4 * share);
		t->scales[1 + k] = f;
	}
	t->scales[0] = (struct fault_in){ .kind = FAULTY_NONE };
}

/* The value that gives the size wanted, between the two scales around it; false when none is enough. */
static bool choose(struct planted *t, double *const *measured)
{
	double sizes[PLANTED_SCALES], most = 0;
	t->sound = measured[0];
	for (size_t k = 0; k < PLANTED_SCALES; k++) {
		sizes[k] = size_of(t, measured[1 + k]);
		most = fmax(most, sizes[k]);
	}
	if (!(most > t->wanted))
		return false;
	size_t k = 0;
	while (k < PLANTED_SCALES - 1 && sizes[k] < t->wanted)
		k++;
	struct fault_in high = t->scales[1 + k], low = k > 0 ? t->scales[k] : high;
	double below = k > 0 ? sizes[k - 1] : 0;
	if (k == 0)
		low.value = high.kind == FAULTY_DRIVER ? t->plan.drivers[high.item].set_v
		          : high.kind == FAULTY_STRIP ? 1 : 0;
	double share = (t->wanted - below) / (sizes[k] - below);
	t->fault = high;
	t->fault.value = k > 0 && high.kind <= FAULTY_CONTACT
	                 ? low.value * pow(high.value / low.value, log(t->wanted / below) / log(sizes[k] / below))
	                 : low.value + (high.value - low.value) * share;
	return true;
}

void planted_open(struct planted *t, struct arena *arena, uint64_t *seed)
{
	do {
		*t = (struct planted){ .seed = *seed, .chance = { *seed } };
		generate_plan(&t->plan, arena, (*seed)++);
	} while (t->plan.unit_count > MOST_UNITS);
	t->in_loop = arena_array(arena, bool, t->plan.cable_count);
	for (size_t i = 0; i < t->plan.cable_count; i++)
		t->in_loop[i] = stays_joined(&t->plan, i);
	t->amps = chance_below(&t->chance, 2);
	t->wanted = chance_decades(&t->chance, LEAST * 1.02, MOST);
	scale_fault(t, draw_fault(t));
}

size_t planted_batch(struct planted *kept, size_t count, uint64_t *seed, struct arena *arena, bool *solved)
{
	struct planted *batch = arena_array(arena, struct planted, count);
	struct faulty_run *runs = arena_array(arena, struct faulty_run, count);
	size_t seen = 0, good = 0;
	for (size_t i = 0; i < count; i++) {
		planted_open(&batch[i], arena, seed);
		runs[i] = (struct faulty_run){ &batch[i].plan, batch[i].scales, 1 + PLANTED_SCALES, NULL };
	}
	*solved = faulty_solve(runs, count, arena);
	for (size_t i = 0; *solved && i < count; i++)
		if (choose(&batch[i], runs[i].measured))
			kept[seen++] = batch[i];
	for (size_t i = 0; i < seen; i++)
		runs[i] = (struct faulty_run){ &kept[i].plan, &kept[i].fault, 1, NULL };
	*solved = *solved && faulty_solve(runs, seen, arena);
	for (size_t i = 0; *solved && i < seen; i++) {
		kept[i].faulty = runs[i].measured[0];
		kept[i].size = size_of(&kept[i], kept[i].faulty);
		if (kept[i].size >= LEAST)
			kept[good++] = kept[i];
	}
	return good;
}
