/* One mapping (or row of a table) into a struct, by the rows of attribute tables. */
#ifndef FAREND_LOAD_FIELD_H
#define FAREND_LOAD_FIELD_H

#include "load/form.h"

#include <stdint.h>

/* What a mapping is decoded into. */
struct fields {
	struct attribute_table own, shared;     /* `shared` may be empty */
	void *base;
	const char *word, *id;                  /* for messages: "strip" and "L1"; id may be NULL */
	bool is_type;                           /* cannot have type, from, to */
	bool has_type;                          /* what is missing may stand in its type */
	uint64_t tried;                         /* rows that the file tried to give, bit by bit */
};

/* Decodes every entry of the mapping. All that is wrong is reported; rows that could not be read
 * stay unset but count as tried, and so does a row whose key seems to be misspelt. */
void fields_decode(struct decoder *d, struct fields *fields, const struct node *map);

/* Reports, at `place`, the needed rows that nobody tried to give. */
void fields_check_needs(struct decoder *d, const struct fields *fields, struct place place);

/* Rows in both tables, and row number `index`. */
size_t fields_count(const struct fields *fields);
const struct attribute *fields_row(const struct fields *fields, size_t index);

/* What the needed rows that nobody gave look like: "voltage: 24 V, power: 60 W". */
const char *fields_example(struct mistakes *m, const struct fields *fields);

/* Whether the file tried to give the row of that key. */
bool fields_tried(const struct fields *fields, const char *key);

/* Whether some row of the own table was tried and has no value all the same. */
bool fields_broken(const struct fields *fields);

/* "strip 'L1'", or "job". */
const char *fields_owner(struct mistakes *m, const struct fields *fields);

#endif
