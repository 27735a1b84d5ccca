/* Names of terminals to terminals. */
#ifndef FAREND_LOAD_LINK_H
#define FAREND_LOAD_LINK_H

#include "load/loader.h"

/* An item, or one of its terminals, as a text names it. */
struct link_end {
	const struct attr *said;
	bool is_from;                /* a bare switch is .out, else .in */
	struct named named;          /* the item */
	size_t rest;                 /* bytes of the id with its blanks: '.', '@' or the end follows */
};

/* Finds the item that the text begins with, of any kind, or of any but cables. False when a mistake
 * was reported. */
bool link_item(struct loader *l, bool cables, struct link_end *end);

/* The terminal of an item that is no cable; taps are made on demand. NO_INDEX when a mistake was
 * reported, here or for the strip itself. */
size_t link_terminal(struct loader *l, const struct link_end *end);

/* Resolves `from` and `to` of every cable; terminals must be numbered. Names are looked up even for
 * items that are wrong otherwise; only the marks of a broken strip are left alone. */
void link_cables(struct loader *l);

#endif
