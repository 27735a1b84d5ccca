/* Light against position along each strip: as it is fed now and, where another feed is proposed, as it
 * would be then. */
#ifndef FAREND_REPORT_PROFILE_H
#define FAREND_REPORT_PROFILE_H

#include "report/report.h"

/* The light of every cut unit with the second feed that a finding proposes, by strip; NULL where nothing
 * is proposed. Solved again. */
struct proposed_light { const double **of_strip; };
void proposed_light_find(struct proposed_light *proposed, const struct check_result *result,
                         struct arena *arena);

/* A figure for each strip. The style of the pictures is the drawing's. */
void profiles_html(struct buf *out, const struct check_result *result,
                   const struct proposed_light *proposed);

#endif
