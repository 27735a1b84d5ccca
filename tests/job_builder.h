/* Small jobs in memory, for tests that need no file: items with defaults, cables between named
 * terminals, and a blank solution to fill by hand. Indices are those of the job. */
#ifndef FAREND_TESTS_JOB_BUILDER_H
#define FAREND_TESTS_JOB_BUILDER_H

#include "solve/solution.h"

/* An empty job in an arena of its own; job_builder_free() frees both. */
struct job *job_builder_new(void);
void job_builder_free(struct job *job);

/* Each returns the index of the item. Attributes may be set by job_builder_give() until
 * job_builder_finish(). */
size_t add_driver(struct job *job, const char *id, double volts, double watts);
size_t add_switch(struct job *job, const char *id, double max_amps);
size_t add_block(struct job *job, const char *id, double ports, double max_amps);
/* cut units of 50 mm, reel of 5 m */
size_t add_strip(struct job *job, const char *id, double volts, double watts_per_m, double metres);
/* `size` as in wire_sizes ("0.75 mm2"); terminals as in a job ("D1", "S1.in", "L1.end",
 * "L1@1.2") */
size_t add_cable(struct job *job, const char *id, const char *size, double metres, const char *from,
                 const char *to);

/* Says a quantity, as if written at the item. */
void give(struct attr *attr, double value, enum dim dim);
void give_text(struct attr *attr, const char *text);

/* Fills defaults, derives, numbers terminals and links the cables. */
void job_builder_finish(struct job *job);

/* A solution in the job's arena in which everything is sound: circuits and cables by terminal as
 * the job joins them, set voltage everywhere, all units at full light, no current in any cable, no
 * faults. */
struct solution *blank_solution(const struct job *job);

#endif
