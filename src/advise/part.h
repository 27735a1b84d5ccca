/* What an item is bought as: by the order code, type or catalogue row that it names, or by its figures. */
#ifndef FAREND_ADVISE_PART_H
#define FAREND_ADVISE_PART_H

#include "check/check.h"

struct part {
	const char *type;            /* its type; without one its order code, or its figures */
	const char *code;            /* what to order it by: the order code where there is one, else `type` */
	const char *figures;         /* "24 V 60 W" */
	double price;                /* NAN where there is none */
	double pack;                 /* how many pieces, or metres, one price buys; 0 where unsaid */
	bool pack_is_length;
	bool matched;                /* names no type that holds: the one priced or coded row with its figures */
};

/* An item whose own figures differ from those of its type is another part: it keeps the type's name, with
 * the figures, but not its order code, price and pack. */
struct part part_of(const struct job *job, struct item_ref item, struct arena *arena);

#endif
