/* The JSON Schema of a job file, for editors that complete and underline by one: made from the same rows
 * as the reader's tables, so that a new attribute, unit, word or cable size appears in it by itself.
 *
 * What the reader takes, the schema takes. The reverse does not hold: what depends on two places of a
 * file, on a number's size or on another file is left to the reader. */
#ifndef FAREND_REPORT_SCHEMA_H
#define FAREND_REPORT_SCHEMA_H

#include "base/buf.h"
#include "quantity/quantity.h"

/* JSON Schema draft-07, which is what YAML support in editors understands. */
void schema_json(struct buf *out);

/* Patterns for whole texts. They hold to what ECMA 262 and POSIX extended expressions have in common, but
 * for \uXXXX, which stands for a character, and \s, any blank. */

/* A quantity of that dimension, feet and inches and a tolerance behind it included; with a minus sign only
 * if `negative`. Of DIM_COUNT and DIM_NUMBER without their tolerance. */
const char *schema_quantity_pattern(struct arena *arena, enum dim dim, bool negative);
/* "12-24 V", where the unit of the lower end may be left out. */
const char *schema_range_pattern(struct arena *arena, enum dim dim);
/* A conductor in the table of sizes, DIM_AREA or DIM_GAUGE. */
const char *schema_size_pattern(struct arena *arena, enum dim dim);
/* D1, S1.out, L1@1.2m */
const char *schema_terminal_pattern(struct arena *arena);
/* What an item may be called. */
extern const char schema_id_pattern[];

#endif
