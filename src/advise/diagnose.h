/* Readings against prediction, and what explains a difference: one unknown at a time, fitted to the full
 * model by least squares. */
#ifndef FAREND_ADVISE_DIAGNOSE_H
#define FAREND_ADVISE_DIAGNOSE_H

#include "model/as_built.h"

/* How far a meter may be trusted, one standard deviation each. Common practice, no source. */
struct meter {
	double gain;                 /* share; one for all volts, one for all amps: fitted */
	double digit_v, digit_a;     /* of each reading on its own */
};
extern const struct meter usual_meter;   /* 0.5 %, 10 mV, 10 mA */

struct reading_check {
	double predicted;            /* as built, nothing wrong; NAN: no driver reaches it, or unknown */
	double difference;           /* measured - predicted */
	double allowed;              /* largest |difference| that is the meter's (95 %) */
	bool within;
	bool unknown;                /* two drivers feed it: nothing can be foreseen, nothing is outside */
};

enum suspect_kind { SUSPECT_JOINT, SUSPECT_CABLE, SUSPECT_CONTACT, SUSPECT_DRIVER, SUSPECT_STRIP };
enum core { CORE_BOTH, CORE_PLUS, CORE_MINUS };

#define OPEN_OHM 100.0           /* so many more may as well be an open circuit */

struct suspect {
	enum suspect_kind kind;
	struct item_ref item;        /* the cable, switch, driver or strip */
	size_t terminal;             /* of a joint; else NO_INDEX */
	enum core core;              /* one core only: in a loop, else CORE_BOTH */
	double extra_ohm;            /* joint, cable, contact: more than allowed for; else NAN */
	double value;                /* ohm in all (cables: with their joints); driver: V; strip: share of its
	                                label's watts */
	double uncertainty;          /* of value (and extra_ohm): 19 of 20 lie within value +- this */
	double score;                /* relative likelihood, the sum over all suspects is 1 */
	double worst;                /* largest misfit that remains: of volts, or of amps where no volts were read */
	size_t explains;             /* readings outside the meter's accuracy that it brings within */
	size_t spoils;               /* readings within it that would be far outside */
	size_t group;                /* suspects of one group explain the readings equally well */
	bool off;                    /* a driver that gives nothing: switched off, tripped or not connected.
	                                Such suspects come alone, one for each, and all of them at once: what is
	                                read behind them says nothing of other faults */
};

struct next_reading {
	bool is_worth;               /* false: nothing would tell more */
	enum meter_range range;
	size_t terminal;             /* volts */
	struct item_ref item;        /* amps: through what (plus core) */
	struct switch_state state;   /* one of as_built.states, or every switch on, or one of them off */
	double first, other;         /* what the leading explanation and its rival foresee */
	size_t rival;                /* index of that suspect */
};

struct diagnosis {
	struct meter meter;
	struct reading_check *checks;            /* size reading_count */
	double gain_v, gain_a;                   /* fitted, best explanation in place */
	bool agree;                              /* the meter's accuracy explains all: no suspects */
	struct suspect *suspects; size_t suspect_count;   /* best first; those worth naming only */
	size_t odd, exchanged;       /* no fault explains all, but everything agrees without this reading, or with
	                                these two in each other's rows: no suspects then. Else NO_INDEX */
	size_t unlisted;                         /* more groups that fit about as well: too many to name */
	bool explained;                          /* what the first suspect leaves is the meter's (99 %); of drivers
	                                            that are off: what is read elsewhere agrees */
	struct next_reading next;
};

/* `job` is the job as built. Lives in `arena`. */
void diagnose(const struct job *job, const struct as_built *built, const struct meter *meter,
              struct arena *arena, struct diagnosis *out);

/* A copy of the job with a suspect's fault in it, for checking what it does; in `arena`. A one-core fault
 * becomes a loop resistance. */
struct job *suspect_apply(const struct job *job, const struct suspect *suspect, struct arena *arena);

#endif
