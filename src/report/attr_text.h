/* Values as a job file writes them. */
#ifndef FAREND_REPORT_ATTR_TEXT_H
#define FAREND_REPORT_ATTR_TEXT_H

#include "model/job.h"

/* The value of a row; scalars as the user wrote them, quoted where YAML needs it. */
const char *attr_text(struct arena *arena, const struct attribute *row, const struct attr *value);

/* The text as a YAML scalar that can stand anywhere. */
const char *scalar_text(struct arena *arena, const char *text);

/* Does it need no quotation marks? */
bool scalar_is_plain(const char *text);

#endif
