/* The one stylesheet of every page, in pieces that a compiler must take, NULL-ended. Private to html.c. */
#ifndef FAREND_REPORT_HTML_STYLE_H
#define FAREND_REPORT_HTML_STYLE_H

extern const char *const html_style_sheet[];

#endif
