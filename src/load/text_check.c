/* Files that are no text: binaries, other encodings, characters that editors hide. */
#include "load/text_check.h"

#include <string.h>

#define BYTE_ORDER_MARK 0xFEFFu

/* What YAML 1.1 (section 5.1) lets a stream hold, less its exotic line ends, which neither
 * editors nor our line numbers count. */
static bool is_text(uint32_t code)
{
	if (code < 0x20)
		return code == '\t' || code == '\n' || code == '\r';
	return (code < 0x7F || code >= 0xA0) && code != 0x2028 && code != 0x2029 &&
	       code != BYTE_ORDER_MARK && (code & 0xFFFE) != 0xFFFE;
}

size_t text_first_bad(const char *text, size_t size, uint32_t *code)
{
	for (size_t at = 0; at < size;) {
		if (text[at] >= 0x20 && text[at] < 0x7F) {
			at++;
			continue;
		}
		size_t step = text_decode(text + at, size - at, code);
		if ((*code == 0xFFFD && step == 1) || !is_text(*code))
			return at;
		at += step;
	}
	return size;
}

static struct place place_of(const struct source *source, size_t offset)
{
	size_t low = 0, high = source->line_count;
	while (high - low > 1) {
		size_t middle = (low + high) / 2;
		if (source->line_start[middle] <= offset)
			low = middle;
		else
			high = middle;
	}
	struct place place = { source, (uint32_t)low + 1, 1, 1 };
	for (size_t at = source->line_start[low]; at < offset; place.column++) {
		uint32_t code;
		at += text_decode(source->bytes + at, source->size - at, &code);
	}
	return place;
}

static bool is_utf16(const struct source *source)
{
	const char *b = source->bytes;
	if (source->size < 2)
		return false;
	return memcmp(b, "\xFF\xFE", 2) == 0 || memcmp(b, "\xFE\xFF", 2) == 0 ||
	       (b[0] == '\0' && b[1] != '\0') || (b[0] != '\0' && b[1] == '\0');
}

static void report_encoding(const struct source *source, struct mistakes *m, size_t bad)
{
	struct report report = { .mistake = MISTAKE_BAD_ENCODING, .place = place_of(source, bad),
	                         .expected = "plain text, saved as UTF-8" };
	if (is_utf16(source)) {
		mistake_report(m, report, "this is UTF-16 text");
	} else if (memchr(source->bytes, '\0', source->size)) {
		mistake_report(m, report, "this is not a text file");
	} else {
		report.hint = "an editor may have saved it as Latin-1 or Windows-1252";
		mistake_report(m, report, "byte 0x%02X is not UTF-8 text",
		               (unsigned)(unsigned char)source->bytes[bad]);
	}
}

bool text_check(const struct source *source, struct mistakes *m)
{
	uint32_t code = 0;
	size_t bad = text_first_bad(source->bytes, source->size, &code);
	if (bad < source->size) {
		if (code == 0xFFFD || memchr(source->bytes, '\0', source->size)) {
			report_encoding(source, m, bad);
			return false;
		}
		mistake_report(m, (struct report){ .mistake = MISTAKE_BAD_CHARACTER,
		                                   .place = place_of(source, bad),
		                                   .hint = "delete it; some editors do not show it" },
		               "the character U+%04X cannot stand in a text", (unsigned)code);
		return false;
	}
	if (source->bytes[strspn(source->bytes, " \t\r\n")] != '\0')
		return true;
	mistake_report(m, (struct report){ .mistake = MISTAKE_EMPTY_FILE,
	                                   .place = { .source = source } }, "the file is empty");
	return false;
}
