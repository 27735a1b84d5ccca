/* Streams JSON into a buffer. Commas, indentation and escapes are made here and nowhere else.
 * Members of the outer two levels stand on lines of their own; what lies deeper stays on one
 * line. */
#ifndef FAREND_REPORT_JSON_WRITER_H
#define FAREND_REPORT_JSON_WRITER_H

#include "base/buf.h"

#define JSON_DEPTH 8

struct json {
	struct buf *out;
	size_t depth;
	char closing[JSON_DEPTH];    /* '}' or ']' of every open container */
	bool used[JSON_DEPTH];       /* it has a member already */
	bool after_key;
};

void json_init(struct json *json, struct buf *out);

void json_open_object(struct json *json);
void json_open_array(struct json *json);
/* Closes the innermost container; the outermost one ends with a newline. */
void json_close(struct json *json);

/* Inside an object every value comes after its key. */
void json_key(struct json *json, const char *key);

/* NULL is null. Bytes that are not UTF-8 become U+FFFD. */
void json_add_text(struct json *json, const char *text);
/* "%.12g"; null unless finite; zero never carries a sign. */
void json_add_number(struct json *json, double number);
void json_add_count(struct json *json, size_t count);
void json_add_flag(struct json *json, bool flag);
void json_add_null(struct json *json);
/* What another writer made, as the value here: moved in to where it stands. */
void json_add_written(struct json *json, const char *bytes, size_t size);

/* A key and its value. */
void json_member_text(struct json *json, const char *key, const char *text);
void json_member_number(struct json *json, const char *key, double number);
void json_member_count(struct json *json, const char *key, size_t count);
void json_member_flag(struct json *json, const char *key, bool flag);

#endif
