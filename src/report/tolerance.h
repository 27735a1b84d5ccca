/* How sure the figures of a check are, for people and as JSON. Each call adds nothing where no spread was
 * asked for. */
#ifndef FAREND_REPORT_TOLERANCE_H
#define FAREND_REPORT_TOLERANCE_H

#include "report/json_writer.h"
#include "report/page.h"

/* A part of `check`: the verdict over many builds, what decides it, figures that may break their limit, the
 * dimmest point of each strip. */
void page_tolerance(const struct page *page, const struct check_result *result);

/* The verdict in two or three sentences; for the report too. In `arena`. */
const char *tolerance_verdict(struct arena *arena, const struct check_result *result);
/* The inputs that decide, "the watts of warm reels (61 %): measure a reel (reel_test)", from 0 on; NULL beyond
 * the last that is worth naming. */
const char *tolerance_matter(struct arena *arena, const struct check_result *result, size_t nth);

/* Figures that break their limit in some build, the likeliest first; how many there are. In `arena`. */
size_t tolerance_breaking(struct arena *arena, const struct tolerance *tolerance,
                          const struct checked_spread ***out);
#define TOLERANCE_FIGURES_SHOWN 12       /* the rest is counted */
/* One of them as a row: figure, item, limit, by labels, 5 %, 95 %, in how many builds it is beyond. */
#define TOLERANCE_CELLS 7
void tolerance_cells(struct arena *arena, const struct check_result *result,
                     const struct checked_spread *spread, const char *cells[TOLERANCE_CELLS]);

/* The part of the printable report. */
void report_tolerance(struct buf *out, const struct check_result *result);

/* Members of one item's object. */
void tolerance_json_item(struct json *json, const struct check_result *result, struct item_ref item);
/* The member `tolerance`. */
void tolerance_json(struct json *json, const struct check_result *result);

#endif
