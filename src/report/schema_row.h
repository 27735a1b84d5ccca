/* What the parts of the schema are written with. Private to schema*.c. */
#ifndef FAREND_REPORT_SCHEMA_ROW_H
#define FAREND_REPORT_SCHEMA_ROW_H

#include "model/attribute.h"
#include "report/json_writer.h"

struct schema {
	struct json json;
	struct arena *arena;
};

/* Definitions that quantities refer to; NULL for plain numbers, which differ from row to row. */
extern const char *const schema_dim_names[DIM__END];

/* "key": the row as a property. */
void schema_property(struct schema *s, const struct attribute *row);

/* "key": ["a", "b"] */
void schema_texts(struct schema *s, const char *key, const char *const *list);
/* {"$ref": ...}, alone or behind a key. */
void schema_reference(struct schema *s, const char *definition);
void schema_member_reference(struct schema *s, const char *key, const char *definition);
/* {"type": "string", "pattern": ...}; many editors show `meant` where a text does not match. */
void schema_string(struct schema *s, const char *pattern, const char *meant);
/* The words for a dimension with an example. */
const char *schema_meant(struct schema *s, enum dim dim);
/* "key": { */
void schema_open_member(struct schema *s, const char *key);

#endif
