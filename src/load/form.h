/* One value in each of the forms that attribute rows name. */
#ifndef FAREND_LOAD_FORM_H
#define FAREND_LOAD_FORM_H

#include "load/mistake.h"
#include "load/tree.h"
#include "model/attribute.h"

struct decoder {
	struct arena *arena;         /* what the job keeps */
	struct arena *brief;         /* emptied after every value */
	struct mistakes *m;
	enum origin origin;          /* of what is decoded */
};

/* Reads the value into *out (all but its origin). False when a mistake was reported. */
bool form_decode(struct decoder *d, const struct attribute *row, const struct node *node,
                 struct attr *out);

/* How the value is written, as an example: "1.85 m", "yes", "[[40 C, 100 %], [60 C, 70 %]]". */
const char *form_example(const struct attribute *row);

#endif
