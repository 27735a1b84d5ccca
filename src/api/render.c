/* farend_render(): every result in every format, as one table. */
#include "api/job.h"

#include "api/call.h"
#include "report/schedule.h"
#include "report/summary.h"

typedef void render_job(struct buf *out, const struct farend_job *job, const struct style *style);

/* A renderer of the report layer, given its own part of a job. */
#define RENDERER(name, part) \
	static void render_##name(struct buf *out, const struct farend_job *job, const struct style *style) \
	{ \
		name(out, &job->part, style); \
	}
RENDERER(check_text, result)
RENDERER(check_json, result)
RENDERER(check_csv, result)
RENDERER(size_text, size)
RENDERER(size_json, size)
RENDERER(size_csv, size)
RENDERER(cut_text, cut)
RENDERER(cut_json, cut)
RENDERER(cut_csv, cut)
RENDERER(order_text, order)
RENDERER(order_json, order)
RENDERER(order_csv, order)
RENDERER(schedule_text, result)
RENDERER(schedule_json, result)
RENDERER(schedule_csv, result)
RENDERER(schedule_html, result)
RENDERER(labels_csv, result)
RENDERER(labels_html, result)
RENDERER(report_html, report)
RENDERER(report_svg, report)
RENDERER(verify_text, verification)
RENDERER(verify_json, verification)
RENDERER(verify_csv, verification)
RENDERER(summary_text, result)

#define FORMATS (FAREND_SVG + 1)

/* One more format, or result, is one more entry. */
static render_job *const renderers[][FORMATS] = {
	[FAREND_CHECK] = { [FAREND_TEXT] = render_check_text, [FAREND_JSON] = render_check_json,
	                   [FAREND_CSV] = render_check_csv },
	[FAREND_SIZE] = { [FAREND_TEXT] = render_size_text, [FAREND_JSON] = render_size_json,
	                  [FAREND_CSV] = render_size_csv },
	[FAREND_CUT] = { [FAREND_TEXT] = render_cut_text, [FAREND_JSON] = render_cut_json,
	                 [FAREND_CSV] = render_cut_csv },
	[FAREND_ORDER] = { [FAREND_TEXT] = render_order_text, [FAREND_JSON] = render_order_json,
	                   [FAREND_CSV] = render_order_csv },
	[FAREND_SCHEDULE] = { [FAREND_TEXT] = render_schedule_text, [FAREND_JSON] = render_schedule_json,
	                      [FAREND_CSV] = render_schedule_csv, [FAREND_HTML] = render_schedule_html },
	[FAREND_LABELS] = { [FAREND_CSV] = render_labels_csv, [FAREND_HTML] = render_labels_html },
	[FAREND_REPORT] = { [FAREND_HTML] = render_report_html, [FAREND_SVG] = render_report_svg },
	[FAREND_VERIFY] = { [FAREND_TEXT] = render_verify_text, [FAREND_JSON] = render_verify_json,
	                    [FAREND_CSV] = render_verify_csv },
	[FAREND_SUMMARY] = { [FAREND_TEXT] = render_summary_text },
};

static bool is_made(const struct farend_job *job, enum farend_result result)
{
	switch (result) {
	case FAREND_CHECK: return job->checked;
	case FAREND_SIZE:  return job->size.plan != NULL;
	case FAREND_CUT:   return job->cut.list != NULL;
	case FAREND_ORDER: return job->order.purchase != NULL;
	case FAREND_SCHEDULE:
	case FAREND_LABELS:
	case FAREND_SUMMARY: return api_checked(job);
	case FAREND_REPORT: return job->report.check != NULL;
	case FAREND_VERIFY: return job->verified;
	}
	return false;
}

struct rendering {
	struct farend_job *job;
	render_job *render;
	struct style style;
	struct buf out;
};

static void render_body(void *data)
{
	struct rendering *rendering = data;
	buf_init(&rendering->out, rendering->job->arena);
	rendering->render(&rendering->out, rendering->job, &rendering->style);
}

enum farend_status farend_render(struct farend_job *job, enum farend_result result,
                                 enum farend_format format, const struct farend_style *style,
                                 struct farend_text *out)
{
	*out = (struct farend_text){ .bytes = "", .size = 0 };
	if (!is_made(job, result) || (size_t)format >= FORMATS || renderers[result][format] == NULL)
		return FAREND_WRONG_CALL;
	struct rendering rendering = {
		.job = job, .render = renderers[result][format], .style = api_style(style),
	};
	if (!api_call(job->arena, render_body, &rendering))
		return FAREND_NO_MEMORY;
	*out = (struct farend_text){ .bytes = rendering.out.data, .size = rendering.out.length };
	return FAREND_OK;
}
