/* Lengths of strip left over from earlier jobs, as a list of them says. */
#ifndef FAREND_MODEL_OFFCUT_H
#define FAREND_MODEL_OFFCUT_H

#include "model/attribute.h"

struct offcut {
	struct attr strip_type, length, id, note;
	struct place at;             /* of its row */
};

struct offcuts {
	struct offcut *items;
	size_t count;
};

#endif
