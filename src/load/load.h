/* Text to job: reads the YAML file and the catalogues it names, reports everything that is wrong, and
 * gives a job only when nothing is. */
#ifndef FAREND_LOAD_LOAD_H
#define FAREND_LOAD_LOAD_H

#include "base/diag.h"
#include "model/as_built.h"

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

/* A job and what was built of it. */
struct loaded {
	struct job *job;             /* with the lengths as built */
	struct job *plan;            /* as planned: the same items under the same indices */
	struct as_built *built;
};

/* The same with an AS-BUILT file (docs/verify.md) laid over it; `text` is read once. Mistakes of both files
 * come in one run. states[0] of what was built is the state of readings that name none: every switch on. */
enum load_status load_job_as_built(struct arena *arena, const struct load_text *text, const char *as_built,
                                   struct diags *diags, struct loaded *out);

/* Reads "S1=off, S2=on" (commas, semicolons or blanks between; switches not named are on). False, with an
 * error in `diags` that names the switches there are, where it is no such text. */
bool load_switch_state(struct arena *arena, const struct job *job, const char *text, struct diags *diags,
                       struct switch_state *out);

#endif
