/* Part tables: CSV files whose rows are types. */
#ifndef FAREND_LOAD_CATALOGUE_H
#define FAREND_LOAD_CATALOGUE_H

#include "load/loader.h"

/* Reads the files that `catalogue:` names (a list, or one name; NULL: none). Their paths are
 * relative to the folder of the job file `job_name`. */
void catalogue_read(struct loader *l, const char *job_name, const struct node *names);

#endif
