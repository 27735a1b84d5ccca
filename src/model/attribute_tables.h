/* The rows of each kind, and the shorthands that they are written with. Private to this layer. */
#ifndef FAREND_MODEL_ATTRIBUTE_TABLES_H
#define FAREND_MODEL_ATTRIBUTE_TABLES_H

#include "model/job.h"

#include <math.h>
#include <stddef.h>

extern const struct attribute_table attributes_driver, attributes_switch, attributes_block,
	attributes_strip, attributes_cable;

#define COUNT_OF(rows) (sizeof(rows) / sizeof((rows)[0]))

/* A member's place in its struct, and the dimensions that a row allows. */
#define AT(type, member) .offset = offsetof(struct type, member)
#define ONE(d) .dims = { d, DIM__END, DIM__END }
#define TWO(d, e) .dims = { d, e, DIM__END }
#define NO_DIMENSION .dims = { DIM__END, DIM__END, DIM__END }

/* Allowed values: from..to inclusive; over(0, to): greater than the first. */
#define RANGE(from, to) .min = (from), .max = (to)
#define OVER(from, to) .min = (from), .max = (to), .above = true
#define NO_DEFAULT .assumed = NAN

#endif
