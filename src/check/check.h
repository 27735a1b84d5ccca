/* Judgement about a solved job: one row per check, one finding per cause. */
#ifndef FAREND_CHECK_CHECK_H
#define FAREND_CHECK_CHECK_H

#include "solve/solution.h"

enum severity { SEVERITY_NOTE, SEVERITY_CAUTION, SEVERITY_FAIL };
const char *severity_word(enum severity severity);   /* "note", "caution", "fail" */

struct findings;
struct check_input {
	const struct job *job;
	const struct solution *solution;
};

/* Its light is judged: live, on the right voltage, and with at least one cut unit. */
bool strip_judged(const struct check_input *in, size_t strip);
/* What a strip is seen together with: `view`, else its place, NULL where neither is said. */
const char *view_of(const struct strip *strip);

/* One row of the catalogue of checks (src/check/checks.c), in the order of docs/checks.md. `run` is
 * NULL for rows that another stage raises (feed-both-ends, split-run come from advice). */
struct check {
	const char *name;            /* "far-end-drop" */
	const char *title;           /* "The far end gets too little voltage" */
	const char *severities;      /* "caution above 5 %, fail above 10 %" with the default limits */
	const char *formula;         /* how the measured value is computed, in one line or two */
	const char *why;             /* why a joiner should care, one or two sentences */
	const char *source;          /* of the limit: standard and clause, or "common practice, no source" */
	enum dim dim;                /* of value and limit */
	void (*run)(const struct check *check, const struct check_input *in, struct findings *out);
};
extern const struct check checks[];
extern const size_t check_count;
/* The row with that name, or NULL. */
const struct check *check_find(const char *name);

struct finding {
	const struct check *check;
	enum severity severity;
	struct item_ref item;        /* what the finding is about */
	struct item_ref *items;      /* everything it concerns, `item` first */
	size_t item_count;
	const char *message;         /* one sentence: what was measured against which limit */
	const char *todo;            /* what to do about it; advice replaces it by something re-solved */
	double value, limit;         /* SI, NAN where there is none */
	const char *source;          /* check->source unless the limit came from the job file */
	struct place place;          /* where in the file */
};

struct findings {
	struct arena *arena;
	enum length_system lengths;  /* that texts show lengths in */
	struct finding *items;
	size_t count, capacity;
};

/* Runs every check of the table. Figures of items that are not live raise nothing but unfed,
 * double-fed and loose-part. far-end-drop, far-end-dim and uneven of strips joined end to end are
 * one finding (the worst severity; far-end-dim before far-end-drop before uneven). */
void check_job(const struct job *job, const struct solution *solution, struct arena *arena,
               struct findings *out);

/* Adds a finding about `item`; its place is the item's id, or `attr` where that was said in the file. */
struct finding *finding_add(struct findings *out, const struct check *check, enum severity severity,
                            struct item_ref item, const struct attr *attr);
void finding_concerns(struct findings *out, struct finding *finding, struct item_ref item);

/* Fail first, then caution, then note; within one severity in the order of the checks and the file. */
void findings_sort(struct findings *findings);

enum verdict { VERDICT_OK, VERDICT_CAUTION, VERDICT_FAIL };
enum verdict findings_verdict(const struct findings *findings);
const char *verdict_word(enum verdict verdict);      /* "ok", "caution", "fail" */

#endif
