/* Values that carry units. Inside the decoding of forms. */
#ifndef FAREND_LOAD_FORM_NUMBER_H
#define FAREND_LOAD_FORM_NUMBER_H

#include "load/form.h"

static inline struct report report_at(enum mistake mistake, struct place place)
{
	return (struct report){ .mistake = mistake, .place = place };
}

/* Reports a list or a mapping where one value belongs. */
bool form_want_scalar(struct decoder *d, const struct attribute *row, const struct node *node);

/* Reports a value outside the row's limits. */
bool form_check_limits(struct decoder *d, const struct attribute *row, const struct node *node,
                       double value, enum dim dim);

/* Any quantity of the wanted dimensions, whatever the row's limits. */
bool form_read_quantity(struct decoder *d, const struct attribute *row, const struct node *node,
                        const enum dim *dims, struct attr *out);

/* FORM_QUANTITY, FORM_RANGE, FORM_SIZE */
bool form_quantity(struct decoder *d, const struct attribute *row, const struct node *node,
                   struct attr *out);
bool form_range(struct decoder *d, const struct attribute *row, const struct node *node,
                struct attr *out);
bool form_size(struct decoder *d, const struct attribute *row, const struct node *node,
               struct attr *out);

#endif
