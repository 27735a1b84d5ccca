/* The single-line drawing of a job: boxes for its parts, a line for each two-core cable, bars to scale for
 * its strips with the light along them. docs/report.md says what each symbol means. */
#ifndef FAREND_REPORT_DRAWING_H
#define FAREND_REPORT_DRAWING_H

#include "report/layout.h"
#include "report/report.h"

struct drawing {
	const struct check_result *result;
	struct arena *arena;
	size_t first[KIND__END];     /* box of item 0 of each kind; links are cables */
	enum severity *worst[KIND__END];     /* of the findings about each item */
	bool *turned;                /* strips whose end stands on the left: they are entered there */
	double longest;              /* m, of all strips: what the bars' scale comes from */
	enum length_system lengths;  /* that the job is shown in */
	struct layout layout;
};

void drawing_make(struct drawing *drawing, const struct check_result *result, struct arena *arena);

/* A figure for each sheet. The first picture holds the style of all pictures of the page. */
void drawing_html(struct buf *out, const struct drawing *drawing);

/* One file with every sheet below the other. */
void drawing_file(struct buf *out, const struct drawing *drawing);

/* What the lines and boxes mean, in a few sentences. */
extern const char *const drawing_legend[];   /* NULL-ended */

#endif
