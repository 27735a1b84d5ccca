/* Text to job: reads the YAML file and the catalogues it names, reports everything that is wrong, and
 * gives a job only when nothing is. */
#ifndef FAREND_LOAD_LOAD_H
#define FAREND_LOAD_LOAD_H

#include "base/diag.h"
#include "model/job.h"

#define LOAD_MAX_BYTES ((size_t)16 << 20)   /* a job file */
#define LOAD_MAX_DEPTH 32                   /* nesting of YAML collections */

enum load_status {
	LOAD_OK,
	LOAD_WRONG,                  /* at least one error in `diags`: unreadable or wrong input */
	LOAD_SYSTEM                  /* an I/O error; the reason is in `diags` */
};

struct load_text {
	const char *name;            /* for messages; catalogue paths are relative to its folder */
	const char *bytes;           /* NULL: read the file `name` ("-" is standard input) */
	size_t size;
};

/* Reads, decodes, links and derives. *out is set only with LOAD_OK. Everything lives in `arena`. */
enum load_status load_job(struct arena *arena, const struct load_text *text, struct diags *diags,
                          struct job **out);

#endif
