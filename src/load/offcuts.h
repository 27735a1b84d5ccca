/* The list of offcuts: a CSV file with a column `strip_type`, a column `length`, and if wanted `id` and
 * `note`, in any order. */
#ifndef FAREND_LOAD_OFFCUTS_H
#define FAREND_LOAD_OFFCUTS_H

#include "load/load.h"
#include "model/offcut.h"

/* Reads the file `path` ("-" is standard input). Every wrong cell is an error in `diags`; *out is set
 * only with LOAD_OK. Everything lives in `arena`. */
enum load_status offcuts_read(struct arena *arena, const char *path, struct diags *diags,
                              struct offcuts *out);

#endif
