/* UTF-8 by RFC 3629, text made safe for a terminal, and folding. */
#include "base/text.h"

#include <string.h>

#define REPLACEMENT 0xFFFDu

/* The lead byte says how many bytes follow, and what the first of them may be: that is how overlong
 * forms, surrogates and codes beyond U+10FFFF are kept out (Unicode standard, table 3-7). */
static size_t sequence_length(unsigned char lead, unsigned char *low, unsigned char *high)
{
	*low = lead == 0xE0 ? 0xA0 : lead == 0xF0 ? 0x90 : 0x80;
	*high = lead == 0xED ? 0x9F : lead == 0xF4 ? 0x8F : 0xBF;
	if (lead >= 0xC2 && lead <= 0xDF)
		return 2;
	if (lead >= 0xE0 && lead <= 0xEF)
		return 3;
	return lead >= 0xF0 && lead <= 0xF4 ? 4 : 0;
}

size_t text_decode(const char *text, size_t length, uint32_t *code)
{
	const unsigned char *bytes = (const unsigned char *)text;
	unsigned char low, high;
	if (bytes[0] < 0x80) {
		*code = bytes[0];
		return 1;
	}
	*code = REPLACEMENT;
	size_t size = sequence_length(bytes[0], &low, &high);
	if (size == 0 || size > length || bytes[1] < low || bytes[1] > high)
		return 1;
	uint32_t value = bytes[0] & (0x7Fu >> size);
	for (size_t i = 1; i < size; i++) {
		if ((bytes[i] & 0xC0) != 0x80)
			return 1;
		value = value << 6 | (bytes[i] & 0x3Fu);
	}
	*code = value;
	return size;
}

static bool is_unsafe(uint32_t code)
{
	return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == REPLACEMENT ||
	       (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

void text_add_safe(struct buf *out, const char *text, size_t length)
{
	for (size_t at = 0; at < length;) {
		uint32_t code;
		size_t size = text_decode(text + at, length - at, &code);
		if (code == '\t')
			buf_add_char(out, ' ');
		else if (is_unsafe(code))
			buf_add(out, "\xEF\xBF\xBD");
		else
			buf_add_bytes(out, text + at, size);
		at += size;
	}
}

/* Bytes of `text` (one line of `length`) that go on a line with `room` columns: to the last blank
 * that leaves them within it, else, where one word is wider than any line, as many characters as
 * fit. */
static size_t bytes_that_fit(const char *text, size_t length, size_t room, bool may_break_word)
{
	size_t at = 0, width = 0, blank = 0;
	bool found = false;
	while (at < length) {
		uint32_t code;
		size_t size = text_decode(text + at, length - at, &code);
		if (code == ' ' && at > 0 && text[at - 1] != ' ') {
			blank = at;
			found = true;
		}
		width += (size_t)text_char_width(code);
		if (width > room && code != ' ')
			break;
		at += size;
	}
	if (at == length)
		return length;
	if (found)
		return blank;
	if (!may_break_word)
		return 0;
	uint32_t code;
	return at > 0 ? at : text_decode(text, length, &code);
}

static void new_line(struct buf *out, size_t indent)
{
	buf_add_char(out, '\n');
	buf_add_repeat(out, ' ', indent);
}

/* One line of the text, without newlines. */
static void add_folded(struct buf *out, const char *text, size_t length, size_t column,
                       size_t indent, size_t width)
{
	while (length > 0) {
		size_t room = width > column ? width - column : 0;
		size_t fit = bytes_that_fit(text, length, room, column <= indent);
		buf_add_bytes(out, text, fit);
		while (fit < length && text[fit] == ' ')
			fit++;
		text += fit;
		length -= fit;
		if (length > 0)
			new_line(out, indent);
		column = indent;
	}
}

void text_add_wrapped(struct buf *out, const char *text, size_t column, size_t indent, size_t width)
{
	for (;;) {
		size_t length = strcspn(text, "\n");
		add_folded(out, text, length, column, indent, width);
		text += length;
		if (*text == '\0')
			return;
		text++;
		if (*text == '\n' || *text == '\0')
			buf_add_char(out, '\n');       /* no blanks at the end of an empty line */
		else
			new_line(out, indent);
		column = indent;
	}
}

bool text_equal(const char *a, const char *b)
{
	return a == b || (a && b && strcmp(a, b) == 0);
}
