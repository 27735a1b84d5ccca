/* The diagnosis in parts: what was read, what could be wrong, how well one thing explains it, and whether
 * chance explains it too. Private to this layer.
 *
 * Reading i is y_i = (1 + g) m_i(x) + e_i: m is the solved job with one fault of size x in it, g ~ N(0, gain)
 * is one meter's error in all volts (another one's in all amps), e_i ~ N(0, digit). Given m, the best g is
 * known in closed form, with its prior as one more reading:
 *     S(m) = sum (r_i / d_i)^2 - (sum m_i r_i / d_i^2)^2 / (1 / gain^2 + sum m_i^2 / d_i^2),  r = y - m
 * summed over volts and amps, so that one unknown is left for each fault. */
#ifndef FAREND_ADVISE_DIAGNOSE_PARTS_H
#define FAREND_ADVISE_DIAGNOSE_PARTS_H

#include "advise/diagnose.h"
#include "model/subset.h"
#include "solve/state.h"

/* S rises by this much at the ends of an interval that holds 19 of 20 (chi-square, one degree). */
#define RISE_95 3.841
#define SIGMAS_95 1.96
/* Less is what an open lead picks up (common practice, no source): a driver that gives no more is off. */
#define OFF_V 1.0

/* What the fit works with. Readings that no driver reaches, that two reach, or whose driver is off are left
 * out. */
struct evidence {
	struct job *job;             /* a copy: faults are put into it and taken out again */
	const struct as_built *built;
	struct meter meter;
	size_t count;
	size_t *reading;             /* of as_built.readings */
	double *value, *digit, *base;        /* base: foreseen without fault */
	double *dark;                /* volts up to which the strips beyond are dark, 0 where none can be */
	double *plain;               /* of every reading, size reading_count: foreseen without fault, or NAN */
	bool *off;                   /* of every reading: its driver gave nothing */
	size_t *off_drivers, off_driver_count;
	bool *twice_fed;             /* of each circuit: two drivers feed it. Size terminal_count */
	size_t *circuit_of;          /* size terminal_count */
	bool *in_loop;               /* size cable_count */
	struct arena *arena, *scratch;
};

/* Something that can be wrong. `kind` is SUSPECT_CABLE for joints too: where along a cable its extra
 * resistance lies, no meter at its ends can tell. */
struct fault { enum suspect_kind kind; size_t index; enum core core; };

/* One fault fitted. `x` is extra ohm, volts set, or share of the label's watts. */
struct fit {
	struct fault fault;
	double low, high, neutral;   /* of x */
	double *slope;               /* d m / d x at neutral, size count */
	double strength;             /* the slope in standard deviations */
	double *weight;              /* what of the readings adds up along it, in standard deviations */
	double linear_x, linear_fall;        /* best x, and how far S falls, were m linear in x */
	double x, misfit;            /* at the minimum of S */
	double rank;                 /* misfit, and what is added to an unlikely one */
	double *foreseen;            /* m there */
};

void evidence_gather(struct evidence *e, const struct job *job, const struct as_built *built,
                     const struct meter *meter, struct arena *arena);
/* The job with the fault in it, in one state of its switches; `only` as in solve_state(). */
struct state_solution *evidence_solve(const struct evidence *e, struct fault fault, double x,
                                      const bool *on, size_t only, struct arena *arena);
double reading_in(const struct state_solution *s, const struct reading *r);
/* Where it is taken; of a current, some terminal of its item. */
size_t reading_terminal(const struct job *job, const struct reading *r);
/* m of every reading with the fault in place. */
void evidence_foresee(const struct evidence *e, struct fault fault, double x, double *m);
/* A strip that should be lit was found dark and is foreseen so. With an open joint before it the law of its
 * cut units holds it at the knee, where a real one shows anything down to no volts: such a reading says no
 * more than "dark". */
bool evidence_dark(const struct evidence *e, size_t i, double m);
/* S(m); `gain`, where not NULL, gets the best g of volts and of amps. */
double evidence_misfit(const struct evidence *e, const double *m, double gain[2]);
/* Half the width of what the meter may say where `foreseen` is true (95 %). */
double reading_allowed(const struct meter *meter, enum meter_range range, double foreseen);

/* Which drivers give nothing, and the readings that are of no use for it: e->off... from e->plain. */
void off_find(struct evidence *e);
/* Those drivers as suspects. */
void off_name(const struct evidence *e, struct diagnosis *out);

/* A terminal of what is at fault. */
size_t fault_terminal(const struct job *job, struct fault fault);
/* The value when nothing is wrong, and between which it may lie. */
void fault_bounds(const struct job *job, struct fault fault, double *low, double *high, double *neutral);
/* Puts a fault into a job: x as in struct fit. One-core faults as loop resistance. */
void fault_put(struct job *job, struct fault fault, double x);

/* What S counts as higher for a fault of this size: a cable with less resistance than its length as cut gives
 * is unlikely, 1 : 4.5 against anything else (exp(-3 / 2); common practice, no source). */
static inline double fault_unlikely(struct fault fault, double extra)
{
	return fault.kind == SUSPECT_CABLE && extra < 0 ? 3 : 0;
}

/* Every fault that the readings can see, with its slope. */
size_t fits_begin(const struct evidence *e, struct fit **out);
/* The fit of one to the full model. */
void fit_run(const struct evidence *e, struct fit *fit);
/* How far S must fall before chance stops being an explanation. */
double fits_threshold(const struct evidence *e, const struct fit *fits, size_t count);
/* Half the width of the interval of x in which S stays within RISE_95 of its minimum. */
double fit_uncertainty(const struct evidence *e, const struct fit *fit);

/* Looks for readings that are slips: without the one, or with two exchanged, S of the job with nothing wrong
 * is below `most`. Sets them in `out`. */
bool find_odd(const struct evidence *e, double most, struct diagnosis *out);

/* Which reading, not yet taken, tells the first suspect from its best rival. `fits` of each suspect. */
void find_next_reading(const struct evidence *e, const struct diagnosis *d, const struct fit **fits,
                       struct next_reading *next);

#endif
