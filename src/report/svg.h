/* Writes SVG: shapes by class, text escaped. The look of the classes is one style, added once to a document;
 * its colours are the page's variables (report/html.h). */
#ifndef FAREND_REPORT_SVG_H
#define FAREND_REPORT_SVG_H

#include "base/buf.h"
#include "model/attribute.h"

#define SVG_TEXT 10.0            /* height of all text, in units of the drawing */
/* Of a drawing at most: at 184 mm, the width between the margins of A4, its text has 6 pt. */
#define SVG_WIDTH 850.0
#define SVG_CHARACTER 6.4        /* a usual character is no wider, whatever the font */

/* How a picture is introduced: to a page (inline), or as a file of its own. */
struct svg_frame {
	const char *id;              /* the program's own, unique in the document */
	const char *title, *desc;
	double width, height;
	double scale;                /* pixels on the screen per unit */
	bool file;                   /* with name space, paper and colours of its own */
	bool style;                  /* holds the style of all pictures */
};
void svg_open(struct buf *out, const struct svg_frame *frame);
void svg_close(struct buf *out);

/* A part with a title, moved by x and y; the title may be NULL. */
void svg_group_open(struct buf *out, double x, double y, const char *title);
void svg_group_close(struct buf *out);

void svg_box(struct buf *out, const char *class, double x, double y, double width, double height);
void svg_line(struct buf *out, const char *class, const struct point *points, size_t count);
/* A polyline through many points, closed down to y = `base` where that is finite. */
void svg_curve(struct buf *out, const char *class, const struct point *points, size_t count,
               double base);

enum svg_anchor { SVG_START, SVG_MIDDLE, SVG_END };
/* No wider than `width`: what is longer loses its middle. */
void svg_text(struct buf *out, const char *class, enum svg_anchor anchor, double x, double y, double width,
              const char *text);

/* The text with its middle left out where it would be wider; and the width that it may have. */
const char *svg_fit(struct arena *arena, const char *text, double width);
double svg_text_width(const char *text);

/* "71 to 97 %", or "96 %" where both ends round alike. */
const char *percent_range(struct arena *arena, double low, double high);

#endif
