/* What was found after trimming, as plain data: lengths as cut, and what a meter read where. */
#ifndef FAREND_MODEL_AS_BUILT_H
#define FAREND_MODEL_AS_BUILT_H

#include "model/job.h"

struct built_length {
	struct item_ref item;        /* a strip or a cable */
	struct attr length;          /* ORIGIN_BUILT, m, with the place of its cell */
	const char *note;            /* NULL where there is none */
};

/* Which switches were on when a reading was taken. */
struct switch_state {
	const bool *on;              /* size switch_count */
	const char *text;            /* "S1=off, S3=off"; empty where every switch is on */
};

enum meter_range { METER_VOLTS, METER_AMPS };

struct reading {
	enum meter_range range;
	const char *at;              /* as people write it: "L2.end", "B1", "C5" */
	size_t terminal;             /* volts: between both cores there; amps: NO_INDEX */
	struct item_ref item;        /* whose terminal it is, or what the current goes through */
	double value;                /* V; A in the plus core: cables from -> to, switches in -> out, drivers
	                                out, strips the sum of what their feeds take */
	size_t state;                /* index in `states` */
	const char *note;            /* NULL where there is none */
	struct place place;          /* of the cell */
};

struct as_built {
	const char *file;            /* as it was named */
	struct built_length *lengths; size_t length_count, length_capacity;
	struct reading *readings;    size_t reading_count, reading_capacity;
	struct switch_state *states; size_t state_count, state_capacity;   /* each different state once */
};

#endif
