/* Where an item stands in the text of its file, and each 'key: value' of it, so that they can be changed
 * in place. The file has been read without mistakes, so only what valid YAML can be is told apart. */
#ifndef FAREND_REPORT_WRITTEN_H
#define FAREND_REPORT_WRITTEN_H

#include "model/job.h"

enum written_form {
	WRITTEN_FLOW,                /* C1: {from: D1, …} */
	WRITTEN_BLOCK,               /* each key on a line of its own, below the item's name */
	WRITTEN_ALIAS,               /* C1: *other */
	WRITTEN_OTHER                /* rare ways (? C1 : …); only `form` is set */
};

/* Byte offsets into the source. A value's anchor or tag is left out of its span; a value that is not
 * written at all has length 0. */
struct written_entry {
	size_t key, key_length;      /* quotation marks included */
	size_t value, value_length;
};

struct written {
	enum written_form form;
	size_t id;                   /* the item's name, from its quotation mark on */
	size_t body;                 /* the opening brace, or the first key */
	size_t end;                  /* behind the last byte of its value */
	bool in_flow;                /* its group is written in braces */
	struct written_entry *entries;
	size_t count, capacity;
};

struct written written_item(const struct item *item, struct arena *arena);

/* The entry called `key`, or NULL. */
const struct written_entry *written_find(const struct written *written, const struct source *source,
                                         const char *key);

#endif
