/* farend_cut() and farend_order(): from a checked job to what happens in the shop. */
#include "api/job.h"

#include "api/call.h"
#include "load/offcuts.h"

struct buying {
	struct farend_job *job;
	const char *offcuts;
	double spare;
	enum load_status read;
};

/* False when the list of offcuts could not be read. */
static bool plan_cuts(struct buying *buying, struct cut_list *cuts)
{
	struct farend_job *job = buying->job;
	struct offcuts *offcuts = arena_one(job->arena, struct offcuts);
	if (buying->offcuts != NULL)
		buying->read = offcuts_read(job->arena, buying->offcuts, &job->diags, offcuts);
	if (buying->read == LOAD_OK)
		cut_list_make(job->job, offcuts, job->arena, cuts);
	return buying->read == LOAD_OK;
}

static void cut_body(void *data)
{
	struct buying *buying = data;
	struct farend_job *job = buying->job;
	if (plan_cuts(buying, &job->cuts))
		job->cut = (struct cut_result){ &job->result, &job->cuts };
}

static void order_body(void *data)
{
	struct buying *buying = data;
	struct farend_job *job = buying->job;
	if (!plan_cuts(buying, &job->ordered))
		return;
	purchase_make(job->job, &job->ordered, buying->spare, job->arena, &job->purchase);
	job->order = (struct order_result){ &job->result, &job->purchase };
}

static enum farend_status buy(struct buying *buying, void (*body)(void *data))
{
	static const enum farend_status statuses[] = {
		[LOAD_OK] = FAREND_OK, [LOAD_WRONG] = FAREND_WRONG_INPUT, [LOAD_SYSTEM] = FAREND_SYSTEM,
	};
	if (!api_call(buying->job->arena, body, buying))
		return FAREND_NO_MEMORY;
	return statuses[buying->read];
}

enum farend_status farend_cut(struct farend_job *job, const char *offcuts)
{
	struct buying buying = { .job = job, .offcuts = offcuts };
	job->cut.list = NULL;
	return api_checked(job) ? buy(&buying, cut_body) : FAREND_WRONG_CALL;
}

enum farend_status farend_order(struct farend_job *job, const char *offcuts, double spare)
{
	struct buying buying = { .job = job, .offcuts = offcuts, .spare = spare };
	bool usual = spare == FAREND_SPARE_USUAL;
	if (usual)
		buying.spare = PURCHASE_SPARE;
	job->order.purchase = NULL;
	if (!api_checked(job) || !(usual || (spare >= 0 && spare <= 1)))
		return FAREND_WRONG_CALL;
	return buy(&buying, order_body);
}
