/* The parser notices a missing bracket at the next word that does not fit. A joiner looks for it
 * where the bracket was opened, so that is where we point, and say where it was noticed. */
#include "load/yaml_problem.h"

#include <string.h>

#define SAME_COLUMN "all keys of one group start in the same column"
#define LIST_LINES  "every line of a list starts with '- ', all in the same column"
#define QUOTE_IT    "put a text that begins with such a character in quotation marks"

static const struct words {
	const char *problem, *context;          /* parts of the parser's words; NULL: any */
	const char *message, *hint;
	enum { FOUND, BEGUN, BEGUN_UNTIL } at;  /* points there; the last says where it was found too */
	enum mistake mistake;
} known[] = {
	{ "did not find expected ',' or '}'", NULL, "this '{' is not closed",
	  "a '}' or a ',' is missing before", BEGUN_UNTIL, MISTAKE_YAML_SYNTAX },
	{ "did not find expected ',' or ']'", NULL, "this '[' is not closed",
	  "a ']' or a ',' is missing before", BEGUN_UNTIL, MISTAKE_YAML_SYNTAX },
	{ "unexpected end of stream", "quoted scalar", "this quotation mark is not closed",
	  "the text runs on until", BEGUN_UNTIL, MISTAKE_YAML_SYNTAX },
	{ "unexpected document indicator", "quoted scalar", "this quotation mark is not closed",
	  "the text runs on until", BEGUN_UNTIL, MISTAKE_YAML_SYNTAX },
	{ "could not find expected ':'", NULL, "a key without its colon",
	  "write 'key: value', with a blank behind the colon", BEGUN, MISTAKE_YAML_SYNTAX },
	{ "did not find expected key", NULL, "this does not fit here",
	  SAME_COLUMN "; check for a bracket or a quotation mark too many", FOUND,
	  MISTAKE_YAML_SYNTAX },
	{ "did not find expected '-'", NULL, "this does not fit into the list", LIST_LINES, FOUND,
	  MISTAKE_YAML_SYNTAX },
	{ "tab character", NULL, "a tab at the beginning of a line", "indent with blanks", FOUND,
	  MISTAKE_YAML_SYNTAX },
	{ "block sequence entries are not allowed", NULL, "this '-' does not fit here", LIST_LINES,
	  FOUND, MISTAKE_YAML_SYNTAX },
	{ "did not find expected node content", "flow node", "a value is missing here",
	  "check for a comma or a bracket too many", FOUND, MISTAKE_YAML_SYNTAX },
	{ "did not find expected node content", NULL, "this character does not fit here", QUOTE_IT,
	  FOUND, MISTAKE_YAML_SYNTAX },
	{ "escape character", NULL, "an unknown escape behind '\\'",
	  "inside \"...\" a backslash is written twice; inside '...' once", FOUND,
	  MISTAKE_YAML_SYNTAX },
	{ "alphabetic or numeric character", NULL, "a '*' or '&' without a name", QUOTE_IT, BEGUN,
	  MISTAKE_YAML_SYNTAX },
	{ "nesting", NULL, "lists and mappings are nested too deeply", NULL, FOUND, MISTAKE_TOO_DEEP },
	{ "<document start>", NULL, "a second document begins here",
	  "one job per file; '...' and '---' end a job", FOUND, MISTAKE_SEVERAL_DOCUMENTS },
	{ "undefined tag handle", NULL, "an unknown tag", QUOTE_IT, FOUND, MISTAKE_YAML_TAG },
	{ NULL, "a tag", "an unknown tag", QUOTE_IT, BEGUN, MISTAKE_YAML_TAG },
};

static bool says(const char *text, const char *part)
{
	return !part || (text && strstr(text, part));
}

/* The character that cannot begin a value: a tab is invisible, the others need quotation marks. */
static bool report_start(struct mistakes *m, const struct yaml_problem *problem)
{
	const struct place *at = &problem->found;
	if (!says(problem->problem, "cannot start any token"))
		return false;
	char c = at->source->bytes[source_offset(at->source, at->line, at->column)];
	struct report report = { .mistake = MISTAKE_YAML_SYNTAX, .place = *at };
	report.hint = c == '\t' ? "indent with blanks" : QUOTE_IT;
	if (c == '\t')
		mistake_report(m, report, "a tab at the beginning of a line");
	else
		mistake_report(m, report, "a value cannot begin with '%c'", c);
	return true;
}

/* Whether a line reads "key:value", without the blank. */
static bool is_glued(const char *line, size_t length)
{
	size_t at = 0;
	while (at < length && line[at] == ' ')
		at++;
	while (at < length && line[at] != ' ' && line[at] != ':')
		at++;
	return at + 1 < length && line[at] == ':' && line[at + 1] != ' ';
}

static bool holds_colon(const char *line, size_t length)
{
	for (size_t at = 0; at + 1 < length; at++)
		if (line[at] == ':' && line[at + 1] == ' ')
			return true;
	return false;
}

/* A colon too many: of a text with a colon in it, behind a key without a blank on the line
 * above, or on a line that is indented too far. */
static bool report_colon(struct mistakes *m, const struct yaml_problem *problem)
{
	const struct place *at = &problem->found;
	struct report report = { .mistake = MISTAKE_YAML_SYNTAX, .place = *at, .hint = SAME_COLUMN };
	size_t length, above_length;
	if (!says(problem->problem, "mapping values are not allowed"))
		return false;
	const char *line = source_line(at->source, at->line, &length);
	const char *above = source_line(at->source, at->line - 1, &above_length);
	size_t before = source_offset(at->source, at->line, at->column);
	before -= (size_t)(line - at->source->bytes);
	if (holds_colon(line, before))
		report.hint = "put a text with ': ' in it in quotation marks";
	else if (at->line > 1 && is_glued(above, above_length))
		report.hint = "on the line above a blank is missing behind the colon";
	else if (at->line > 1 && !holds_colon(above, above_length) && above_length > 0 &&
	         above[above_length - 1] != ':')
		report.hint = "on the line above a colon is missing";
	mistake_report(m, report, "this ':' does not fit here");
	return true;
}

/* Where the file ends in the middle of something, the last character is what there is to show. */
static bool report_end(struct mistakes *m, const struct yaml_problem *problem)
{
	const struct source *source = problem->found.source;
	size_t end = source->size;
	if (!says(problem->problem, "did not find expected node content") ||
	    source_offset(source, problem->found.line, problem->found.column) < end)
		return false;
	struct place last = { source, (uint32_t)source->line_count, 1, 1 };
	size_t length;
	const char *line = source_line(source, last.line, &length);
	for (size_t at = 0; at + 1 < length; last.column++) {
		uint32_t code;
		at += text_decode(line + at, length - at, &code);
	}
	mistake_report(m, (struct report){ .mistake = MISTAKE_YAML_SYNTAX, .place = last },
	               "the file ends too early");
	return true;
}

void yaml_problem_report(struct mistakes *m, const struct yaml_problem *problem)
{
	if (report_start(m, problem) || report_colon(m, problem) || report_end(m, problem))
		return;
	for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
		const struct words *w = &known[i];
		if (!says(problem->problem, w->problem) || !says(problem->context, w->context))
			continue;
		struct report report = { .mistake = w->mistake, .hint = w->hint,
		                         .place = w->at == FOUND ? problem->found : problem->begun };
		if (w->at == BEGUN_UNTIL)
			report.hint = mistake_text(m, "%s %s", w->hint,
			                           mistake_where(m, problem->found, problem->begun));
		mistake_report(m, report, "%s", w->message);
		return;
	}
	mistake_report(m, (struct report){ .mistake = MISTAKE_YAML_SYNTAX, .place = problem->found },
	               "%s%s%s", problem->problem ? problem->problem : "this is not YAML",
	               problem->context ? " " : "", problem->context ? problem->context : "");
}
