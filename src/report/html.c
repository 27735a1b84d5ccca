/* Escaping, the frame of a page, tables. */
#include "report/html.h"

#include "base/text.h"
#include "report/html_style.h"
#include "report/report.h"
#include "report/version.h"

#include <string.h>

#define NO_BREAK_SPACE "\xC2\xA0"
#define REPLACEMENT "\xEF\xBF\xBD"
#define MARGIN_NAME 70           /* characters of the job's name at the top of a printed page */
#define WIDE 7                   /* columns: more make a table wide */

/* Code points that no document may hold: the last two of every plane, and U+FDD0 to U+FDEF. */
static bool is_forbidden(uint32_t code)
{
	return (code & 0xFFFE) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF);
}

static const char *reference_of(uint32_t code)
{
	switch (code) {
	case '&':  return "&amp;";
	case '<':  return "&lt;";
	case '>':  return "&gt;";
	case '"':  return "&quot;";
	case '\'': return "&#39;";
	default:   return is_forbidden(code) ? REPLACEMENT : NULL;
	}
}

/* The blank of "33 1/2" does not end a line. */
static bool is_tied(const struct buf *text, size_t at)
{
	return text->data[at] == ' ' && at > 0 && text->data[at - 1] >= '0' && text->data[at - 1] <= '9' &&
	       quantity_is_fraction(text->data + at + 1);
}

static void add_escaped(struct buf *out, const char *text, size_t length)
{
	struct buf safe;
	buf_init(&safe, out->arena);
	text_add_safe(&safe, text, length);
	for (size_t at = 0; at < safe.length;) {
		uint32_t code;
		size_t size = text_decode(safe.data + at, safe.length - at, &code);
		const char *reference = is_tied(&safe, at) ? NO_BREAK_SPACE : reference_of(code);
		if (reference != NULL)
			buf_add(out, reference);
		else
			buf_add_bytes(out, safe.data + at, size);
		at += size;
	}
}

void html_add(struct buf *out, const char *text)
{
	if (text != NULL)
		add_escaped(out, text, strlen(text));
}

void html_element(struct buf *out, const char *tag, const char *text)
{
	buf_addf(out, "<%s>", tag);
	html_add(out, text);
	buf_addf(out, "</%.*s>\n", (int)strcspn(tag, " "), tag);
}

/* A string of CSS inside <style>, where references do not count: everything but letters, digits and
 * blanks of ASCII as \hex, so that nothing in it can end the string or the element. */
static void add_css_string(struct buf *out, const char *text, size_t most)
{
	struct buf safe;
	buf_init(&safe, out->arena);
	text_add_safe(&safe, text, strlen(text));
	buf_add_char(out, '"');
	for (size_t at = 0, count = 0; at < safe.length; count++) {
		uint32_t code;
		size_t size = text_decode(safe.data + at, safe.length - at, &code);
		if (count == most) {
			buf_add(out, "\xE2\x80\xA6");
			break;
		}
		bool plain = code > 0x7F || (code >= '0' && code <= '9') || (code >= 'A' && code <= 'Z') ||
		             (code >= 'a' && code <= 'z') || code == ' ';
		if (plain && !is_forbidden(code))
			buf_add_bytes(out, safe.data + at, size);
		else
			buf_addf(out, "\\%x ", (unsigned)(is_forbidden(code) ? 0xFFFD : code));
		at += size;
	}
	buf_add_char(out, '"');
}

struct fact {
	const char *name;
	const struct attr *value;
};

static const char *job_name(const struct job *job)
{
	return attr_has(&job->name) ? job->name.text : "Job without a name";
}

/* "Revision B, 2026-03-14, drawn by R. T." for the foot of printed pages. */
static const char *foot_text(struct buf *out, const struct job *job)
{
	const struct fact facts[] = {
		{ "Revision ", &job->revision }, { "", &job->date }, { "drawn by ", &job->drawn_by },
	};
	struct buf text;
	buf_init(&text, out->arena);
	for (size_t i = 0; i < sizeof(facts) / sizeof(facts[0]); i++) {
		if (!attr_has(facts[i].value))
			continue;
		buf_addf(&text, "%s%s%s", text.length > 0 ? ", " : "", facts[i].name, facts[i].value->text);
	}
	return text.data;
}

/* Margin boxes of CSS paged media; browsers without them leave them out. */
static void page_rule(struct buf *out, const struct job *job, const char *what)
{
	buf_add(out, "@page{margin:17mm 13mm 16mm;@top-left{font:8pt sans-serif;content:");
	add_css_string(out, job_name(job), MARGIN_NAME);
	buf_add(out, "}@top-right{font:8pt sans-serif;content:");
	add_css_string(out, what, MARGIN_NAME);
	buf_add(out, "}@bottom-left{font:8pt sans-serif;content:");
	add_css_string(out, foot_text(out, job), MARGIN_NAME);
	buf_add(out, "}@bottom-right{font:8pt sans-serif;"
	        "content:\"Page \" counter(page) \" of \" counter(pages)}}\n");
}

void html_open(struct buf *out, const struct job *job, const char *what)
{
	const struct fact facts[] = {
		{ "Site", &job->site }, { "Revision", &job->revision }, { "Date", &job->date },
		{ "Drawn by", &job->drawn_by },
	};
	buf_add(out, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
	        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>");
	html_add(out, what);
	buf_add(out, ": ");
	html_add(out, job_name(job));
	buf_add(out, "</title>\n<style>\n");
	for (const char *const *piece = html_style_sheet; *piece != NULL; piece++)
		buf_add(out, *piece);
	page_rule(out, job, what);
	buf_add(out, "</style>\n</head>\n<body>\n<header>\n");
	html_element(out, "p class=\"kicker\"", what);
	html_element(out, "h1", job_name(job));
	buf_add(out, "<dl class=\"facts\">\n");
	for (size_t i = 0; i < sizeof(facts) / sizeof(facts[0]); i++) {
		if (!attr_has(facts[i].value))
			continue;
		buf_add(out, "<div>");
		html_element(out, "dt", facts[i].name);
		html_element(out, "dd", facts[i].value->text);
		buf_add(out, "</div>\n");
	}
	buf_addf(out, "<div><dt>Made with</dt> <dd>farend %s</dd></div>\n", FAREND_VERSION);
	buf_add(out, "</dl>\n</header>\n<main>\n");
}

void html_close(struct buf *out)
{
	buf_add(out, "</main>\n</body>\n</html>\n");
}

void html_section_open(struct buf *out, const char *id, const char *heading)
{
	buf_addf(out, "<section id=\"%s\">\n", id);
	html_element(out, "h2", heading);
}

void html_section_close(struct buf *out)
{
	buf_add(out, "</section>\n");
}

void html_cautions(struct buf *out)
{
	html_section_open(out, "cautions", "Before you build");
	buf_add(out, "<ul>\n");
	for (const char *const *caution = report_cautions; *caution != NULL; caution++)
		html_element(out, "li", *caution);
	buf_add(out, "</ul>\n");
	html_section_close(out);
}

void html_table_open(struct html_table *table, struct buf *out, const char *caption,
                     const struct html_column *columns, size_t count)
{
	*table = (struct html_table){ .out = out, .columns = columns, .count = count };
	buf_add(out, count > WIDE ? "<table class=\"wide\">\n" : "<table>\n");
	html_element(out, "caption", caption);
	buf_add(out, "<thead><tr>");
	for (size_t i = 0; i < count; i++) {
		buf_addf(out, "<th scope=\"col\"%s>", columns[i].number ? " class=\"n\"" : "");
		html_add(out, columns[i].head);
		buf_add(out, "</th>");
	}
	buf_add(out, "</tr></thead>\n<tbody>\n");
}

void html_table_group(struct html_table *table, const char *heading)
{
	buf_addf(table->out, "</tbody>\n<tbody>\n<tr class=\"group\"><th scope=\"rowgroup\" colspan=\"%zu\">",
	         table->count);
	html_add(table->out, heading);
	buf_add(table->out, "</th></tr>\n");
}

static void add_lines(struct buf *out, const char *text)
{
	for (;;) {
		size_t length = strcspn(text, "\n");
		add_escaped(out, text, length);
		if (text[length] == '\0')
			return;
		buf_add(out, "<br>");
		text += length + 1;
	}
}

static void open_cell(struct html_table *table, const struct html_column *column, bool empty)
{
	buf_add(table->out, "<td class=\"");
	buf_add(table->out, column->blank ? "blank" : column->number ? "n" : "t");
	buf_add(table->out, empty && !column->blank ? " empty\" data-label=\"" : "\" data-label=\"");
	html_add(table->out, column->head);
	buf_add(table->out, "\"><div>");
}

void html_cell(struct html_table *table, const char *text)
{
	const struct html_column *column = &table->columns[table->at];
	bool empty = text == NULL || *text == '\0';
	if (table->at == 0)
		buf_add(table->out, "<tr><th scope=\"row\">");
	else
		open_cell(table, column, empty);
	if (!empty)
		add_lines(table->out, text);
	buf_add(table->out, table->at == 0 ? "</th>" : "</div></td>");
	table->at = (table->at + 1) % table->count;
	if (table->at == 0)
		buf_add(table->out, "</tr>\n");
}

void html_table_close(struct html_table *table)
{
	buf_add(table->out, "</tbody>\n</table>\n");
}
