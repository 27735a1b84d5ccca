/* JSON, RFC 8259. */
#include "report/json_writer.h"

#include "base/text.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#define LINED_LEVELS 2           /* containers whose members start a line each */

void json_init(struct json *json, struct buf *out)
{
	*json = (struct json){ .out = out };
}

static void start_line(struct json *json, size_t level)
{
	if (json->depth > LINED_LEVELS)
		return;
	buf_add_char(json->out, '\n');
	buf_add_repeat(json->out, ' ', 2 * level);
}

/* What stands before a key or a value: nothing after a key, else a comma and a new line or
 * blank. */
static void separate(struct json *json)
{
	if (json->after_key) {
		json->after_key = false;
		return;
	}
	if (json->depth == 0)
		return;
	bool *used = &json->used[json->depth - 1];
	if (*used)
		buf_add(json->out, json->depth > LINED_LEVELS ? ", " : ",");
	*used = true;
	start_line(json, json->depth);
}

static void open_container(struct json *json, char opening, char closing)
{
	assert(json->depth < JSON_DEPTH);
	separate(json);
	buf_add_char(json->out, opening);
	json->closing[json->depth] = closing;
	json->used[json->depth] = false;
	json->depth++;
}

void json_open_object(struct json *json)
{
	open_container(json, '{', '}');
}

void json_open_array(struct json *json)
{
	open_container(json, '[', ']');
}

void json_close(struct json *json)
{
	assert(json->depth > 0 && !json->after_key);
	if (json->used[json->depth - 1])
		start_line(json, json->depth - 1);
	json->depth--;
	buf_add_char(json->out, json->closing[json->depth]);
	if (json->depth == 0)
		buf_add_char(json->out, '\n');
}

static void add_character(struct buf *out, const char *bytes, size_t taken, uint32_t code)
{
	static const char named[] = "\"\"\\\\\bb\ff\nn\rr\tt";   /* character, then its escape letter */
	for (size_t i = 0; named[i] != '\0'; i += 2) {
		if (code == (unsigned char)named[i]) {
			buf_add_char(out, '\\');
			buf_add_char(out, named[i + 1]);
			return;
		}
	}
	if (code < 0x20 || code == 0x7F) {
		buf_addf(out, "\\u%04X", (unsigned)code);
	} else if (code == 0xFFFD) {
		buf_add(out, "\xEF\xBF\xBD");
	} else {
		buf_add_bytes(out, bytes, taken);
	}
}

/* Bytes at the beginning that stand in JSON as they are. */
static size_t plain_length(const char *text)
{
	size_t size = 0;
	while (text[size] >= ' ' && text[size] < 0x7F && text[size] != '"' && text[size] != '\\')
		size++;
	return size;
}

static void add_string(struct buf *out, const char *text)
{
	size_t plain = plain_length(text), left = strlen(text + plain);
	char *to = buf_room(out, plain + 2);
	to[0] = '"';
	memcpy(to + 1, text, plain);
	to[plain + 1] = '\0';
	out->length += plain + 1;
	text += plain;
	while (left > 0) {
		uint32_t code;
		size_t taken = text_decode(text, left, &code);
		add_character(out, text, taken, code);
		text += taken;
		left -= taken;
	}
	buf_add_char(out, '"');
}

void json_key(struct json *json, const char *key)
{
	assert(json->depth > 0 && json->closing[json->depth - 1] == '}' && !json->after_key);
	separate(json);
	add_string(json->out, key);
	buf_add(json->out, ": ");
	json->after_key = true;
}

void json_add_text(struct json *json, const char *text)
{
	if (text == NULL) {
		json_add_null(json);
		return;
	}
	separate(json);
	add_string(json->out, text);
}

void json_add_number(struct json *json, double number)
{
	if (!isfinite(number)) {
		json_add_null(json);
		return;
	}
	separate(json);
	buf_add_number(json->out, number);
}

void json_add_count(struct json *json, size_t count)
{
	separate(json);
	buf_addf(json->out, "%zu", count);
}

void json_add_flag(struct json *json, bool flag)
{
	separate(json);
	buf_add(json->out, flag ? "true" : "false");
}

void json_add_null(struct json *json)
{
	separate(json);
	buf_add(json->out, "null");
}

void json_add_written(struct json *json, const char *bytes, size_t size)
{
	separate(json);
	while (size > 0 && bytes[size - 1] == '\n')
		size--;
	const char *end = bytes + size;
	for (const char *line; (line = memchr(bytes, '\n', (size_t)(end - bytes))) != NULL;) {
		buf_add_bytes(json->out, bytes, (size_t)(line + 1 - bytes));
		buf_add_repeat(json->out, ' ', 2 * json->depth);
		bytes = line + 1;
	}
	buf_add_bytes(json->out, bytes, (size_t)(end - bytes));
}

void json_member_text(struct json *json, const char *key, const char *text)
{
	json_key(json, key);
	json_add_text(json, text);
}

void json_member_number(struct json *json, const char *key, double number)
{
	json_key(json, key);
	json_add_number(json, number);
}

void json_member_count(struct json *json, const char *key, size_t count)
{
	json_key(json, key);
	json_add_count(json, count);
}

void json_member_flag(struct json *json, const char *key, bool flag)
{
	json_key(json, key);
	json_add_flag(json, flag);
}
