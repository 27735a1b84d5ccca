/* A job as its caller holds it: everything about it lives in one arena. */
#ifndef FAREND_API_JOB_H
#define FAREND_API_JOB_H

#include "farend.h"

#include "report/cut.h"
#include "report/order.h"
#include "report/report.h"
#include "report/report_page.h"
#include "report/size.h"
#include "report/verify.h"

struct farend_job {
	struct arena *arena;
	struct diags diags;
	struct job *job;             /* NULL until it was read without mistakes */
	struct job *planned;         /* without the lengths as built; NULL: none were laid over */
	struct as_built *built;      /* NULL together with the plan */
	struct switch_state state;   /* of farend_set_switches(); `on` NULL: every operating case */
	bool checked;                /* result is complete */
	struct solution *solution;
	struct findings findings;
	struct assumptions assumptions;
	struct tolerance tolerance;  /* of farend_tolerance(); complete where result has it */
	struct check_result result;
	struct size_plan plan;
	struct size_result size;     /* complete where it has a plan */
	struct cut_list cuts;        /* of farend_cut() */
	struct cut_result cut;       /* complete where it has a list */
	struct cut_list ordered;     /* what farend_order() counts reels by */
	struct purchase purchase;
	struct order_result order;   /* complete where it has a purchase */
	struct cut_list reported;    /* of farend_report() */
	struct purchase reported_purchase;
	struct report_result report; /* complete where it has a check */
	struct verification verification;
	bool verified;               /* that is complete */
};

/* Checked in every operating case, as everything but farend_check() itself needs it. */
static inline bool api_checked(const struct farend_job *job)
{
	return job->checked && job->state.on == NULL;
}

/* The diagnostic for it, which should never be needed. */
void api_not_solved(struct farend_job *job, const struct solution *solution);

/* Solves, checks and advises another state of the job. False, with a diagnostic, where no solution was
 * found. For bodies of api_call(). */
bool api_judge(struct farend_job *job, const struct job *which, struct judged *out);

enum farend_verdict api_verdict(enum verdict verdict);

/* Defaults for a style left out. */
struct style api_style(const struct farend_style *style);

#endif
