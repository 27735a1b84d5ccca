/* A file as a tree in which every key and value knows its place. YAML files and rows of tables both
 * become one, so that what follows reads them alike. */
#ifndef FAREND_LOAD_TREE_H
#define FAREND_LOAD_TREE_H

#include "base/source.h"

#include <stdbool.h>

enum node_kind {
	NODE_SCALAR,
	NODE_LIST,
	NODE_MAP,
	NODE_BROKEN                  /* a mistake was reported; nothing more is known */
};

struct entry;

struct node {
	enum node_kind kind;
	bool quoted;                 /* scalars: "24", as opposed to 24 */
	bool exact;                  /* scalars: text[i] stands `lead` + i characters behind `at` */
	unsigned char lead;          /* 1 for the quotation mark */
	unsigned char height;        /* levels of nesting below, 0 for a scalar */
	struct place at;             /* a scalar's text; where a list or a mapping begins */
	const char *text;
	size_t count;
	struct node **items;         /* lists: size count */
	struct entry *entries;       /* mappings: size count; keys are scalars */
	size_t weight;               /* nodes with everything below, aliases written out */
};

struct entry {
	struct node *key, *value;
};

/* Place of `length` characters of a scalar's text from `at` on; the whole scalar where escapes
 * or line breaks make that impossible. */
struct place node_within(const struct node *node, size_t at, size_t length);

/* The text without its quotation marks. */
struct place node_inside(const struct node *node);

/* Nothing, ~ or null, not in quotation marks. */
bool node_is_null(const struct node *node);

/* Characters of a UTF-8 text. */
size_t tree_characters(const char *text, size_t size);

#endif
