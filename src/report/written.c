/* Just as much of YAML's grammar as it takes to step over one mapping: scalars in their styles, flow
 * collections, indentation. What lies inside nested collections is stepped over unread. */
#include "report/written.h"

#include <string.h>

struct text { const char *bytes; size_t size; };

static char byte(const struct text *t, size_t at)
{
	if (at >= t->size)
		return '\0';
	return t->bytes[at];
}

static bool is_one_of(char c, const char *set)
{
	return c != '\0' && strchr(set, c) != NULL;
}

static bool is_break(const struct text *t, size_t at)
{
	return at >= t->size || is_one_of(t->bytes[at], "\r\n");
}

static bool is_space(const struct text *t, size_t at)
{
	return is_break(t, at) || is_one_of(t->bytes[at], " \t");
}

static size_t skip_blanks(const struct text *t, size_t at)
{
	while (is_one_of(byte(t, at), " \t"))
		at++;
	return at;
}

static size_t line_end(const struct text *t, size_t at)
{
	while (!is_break(t, at))
		at++;
	return at;
}

static size_t next_line(const struct text *t, size_t at)
{
	at = line_end(t, at);
	if (byte(t, at) == '\r' && byte(t, at + 1) == '\n')
		at++;
	return at < t->size ? at + 1 : at;
}

static size_t line_begin(const struct text *t, size_t at)
{
	while (at > 0 && !is_one_of(t->bytes[at - 1], "\r\n"))
		at--;
	return at;
}

/* Blanks, line ends and comments. */
static size_t skip_space(const struct text *t, size_t at)
{
	for (;;) {
		while (at < t->size && is_space(t, at))
			at++;
		if (byte(t, at) != '#')
			return at;
		at = line_end(t, at);
	}
}

/* The first byte of the text's next token, where it stands deeper than `indent`; else `size`. */
static size_t next_deeper(const struct text *t, size_t at, size_t indent)
{
	size_t token = skip_space(t, at);
	return token < t->size && token - line_begin(t, token) > indent ? token : t->size;
}

static size_t skip_quoted(const struct text *t, size_t at)
{
	char quote = t->bytes[at++];
	for (; at < t->size; at++) {
		char c = t->bytes[at], next = byte(t, at + 1);
		bool pair = quote == '"' ? c == '\\' : c == '\'' && next == '\'';
		if (pair)
			at++;
		else if (c == quote)
			return at + 1;
	}
	return t->size;
}

/* An anchor, a tag or an alias. */
static size_t skip_name(const struct text *t, size_t at, bool flow)
{
	while (!is_space(t, at) && !(flow && is_one_of(t->bytes[at], ",[]{}")))
		at++;
	return at;
}

static size_t skip_properties(const struct text *t, size_t at, bool flow)
{
	while (is_one_of(byte(t, at), "&!"))
		at = skip_space(t, skip_name(t, at, flow));
	return at;
}

/* End of a plain scalar. Outside braces it goes on in lines that stand deeper than `indent`. */
static size_t skip_plain(const struct text *t, size_t at, bool flow, size_t indent)
{
	size_t end = at;
	while (at < t->size) {
		char c = t->bytes[at];
		if ((c == ':' && is_space(t, at + 1)) || (flow && is_one_of(c, ",[]{}")))
			break;
		if (!is_space(t, at)) {
			end = ++at;
			continue;
		}
		size_t blanks = skip_blanks(t, at);
		bool broken = is_break(t, blanks);
		while (at < t->size && is_space(t, at))
			at++;
		if (byte(t, at) == '#' || (broken && !flow && at - line_begin(t, at) <= indent))
			break;
	}
	return end;
}

/* From an opening bracket to behind the one that closes it. */
static size_t skip_collection(const struct text *t, size_t at)
{
	size_t depth = 0;
	while ((at = skip_space(t, at)) < t->size) {
		char c = t->bytes[at];
		if (is_one_of(c, "{[,:?")) {
			depth += is_one_of(c, "{[");
			at++;
		} else if (is_one_of(c, "}]")) {
			at++;
			if (--depth == 0)
				break;
		} else if (is_one_of(c, "\"'")) {
			at = skip_quoted(t, at);
		} else if (is_one_of(c, "&!*")) {
			at = skip_name(t, at, true);
		} else {
			at = skip_plain(t, at, true, 0);
		}
	}
	return at;
}

static size_t skip_value(const struct text *t, size_t at, bool flow, size_t indent)
{
	if (is_one_of(byte(t, at), "{["))
		return skip_collection(t, at);
	if (is_one_of(byte(t, at), "\"'"))
		return skip_quoted(t, at);
	if (byte(t, at) == '*')
		return skip_name(t, at, flow);
	return skip_plain(t, at, flow, indent);
}

static void add_entry(struct written *w, struct arena *arena, struct written_entry entry)
{
	w->entries = arena_grow(arena, w->entries, w->count, &w->capacity, sizeof(*w->entries));
	w->entries[w->count++] = entry;
}

/* Entries between braces; false for a rare form. */
static bool read_flow(const struct text *t, struct written *w, struct arena *arena)
{
	size_t at = skip_space(t, w->body + 1);
	while (at < t->size && t->bytes[at] != '}') {
		struct written_entry e = { .key = at };
		if (t->bytes[at] == '?' && is_space(t, at + 1))
			return false;
		at = skip_value(t, skip_properties(t, at, true), true, 0);
		e.key_length = at - e.key;
		at = skip_space(t, at);
		e.value = at;
		if (byte(t, at) == ':') {
			at = skip_properties(t, skip_space(t, at + 1), true);
			e.value = at;
			if (!is_one_of(byte(t, at), ",}"))
				at = skip_value(t, at, true, 0);
			e.value_length = at - e.value;
			at = skip_space(t, at);
		}
		add_entry(w, arena, e);
		if (byte(t, at) == ',')
			at = skip_space(t, at + 1);
		else if (byte(t, at) != '}')
			return false;
	}
	w->end = at < t->size ? at + 1 : at;
	return true;
}

static bool is_dash(const struct text *t, size_t at)
{
	return byte(t, at) == '-' && is_space(t, at + 1);
}

/* The end of everything below a key: lines deeper than it, and a list's dashes at its own depth. */
static size_t nested_end(const struct text *t, size_t at, size_t indent, bool literal)
{
	size_t end = at;
	for (size_t line = line_begin(t, at); line < t->size; line = next_line(t, line)) {
		size_t first = skip_blanks(t, line), depth = first - line;
		bool own = line > at && !(depth > indent || (depth == indent && is_dash(t, first)));
		if (is_break(t, first) || (byte(t, first) == '#' && (!literal || depth <= indent)))
			continue;
		if (own)
			break;
		end = line_end(t, first);
	}
	return end;
}

/* The value behind a colon at `at`. */
static void read_block_value(const struct text *t, size_t at, size_t indent, struct written_entry *e)
{
	size_t deeper = next_deeper(t, at, indent), token = skip_space(t, at);
	bool dashes = is_dash(t, token) && token - line_begin(t, token) == indent;
	e->value = at;
	if (deeper == t->size && !dashes)
		return;
	e->value = token = skip_properties(t, token, false);
	if (token >= t->size || (token - line_begin(t, token) <= indent && !dashes)) {
		e->value = at;
		return;
	}
	bool literal = is_one_of(byte(t, token), "|>");
	size_t end = literal || is_dash(t, token) ? 0 : skip_value(t, token, false, indent);
	bool mapping = end > 0 && byte(t, skip_blanks(t, end)) == ':';
	if (end == 0 || mapping)
		end = nested_end(t, token, indent, literal);
	e->value_length = end - token;
}

/* Entries one below the other; false for a rare form. */
static bool read_block(const struct text *t, struct written *w, struct arena *arena)
{
	size_t at = w->body, indent = at - line_begin(t, at);
	for (;;) {
		struct written_entry e = { .key = at };
		if (t->bytes[at] == '?' && is_space(t, at + 1))
			return false;
		at = skip_value(t, skip_properties(t, at, false), false, indent);
		e.key_length = at - e.key;
		at = skip_blanks(t, at);
		if (byte(t, at) != ':')
			return false;
		read_block_value(t, at + 1, indent, &e);
		w->end = at = e.value + e.value_length;
		add_entry(w, arena, e);
		at = skip_space(t, at);
		if (at >= t->size || at - line_begin(t, at) != indent)
			return true;
	}
}

/* Only blanks before it on its line, or inside braces. */
static bool starts_plainly(const struct text *t, const struct written *w)
{
	size_t line = line_begin(t, w->id);
	return w->in_flow || skip_blanks(t, line) == w->id;
}

struct written written_item(const struct item *item, struct arena *arena)
{
	const struct source *source = item->at.source;
	struct text t = { source->bytes, source->size };
	struct written w = { .form = WRITTEN_OTHER };
	size_t at = source_offset(source, item->at.line, item->at.column);
	w.id = at > 0 && is_one_of(t.bytes[at - 1], "\"'") ? at - 1 : at;
	at = source_offset(source, item->at.line, item->at.column + item->at.length);
	at = skip_blanks(&t, is_one_of(byte(&t, at), "\"'") ? at + 1 : at);
	if (byte(&t, at) != ':')
		return w;
	w.body = skip_properties(&t, skip_space(&t, at + 1), false);
	bool read = true;
	if (byte(&t, w.body) == '*') {
		w.form = WRITTEN_ALIAS;
		w.end = skip_name(&t, w.body, true);
	} else if (byte(&t, w.body) == '{') {
		w.form = WRITTEN_FLOW;
		read = read_flow(&t, &w, arena);
	} else {
		w.form = WRITTEN_BLOCK;
		read = w.body < t.size && read_block(&t, &w, arena);
	}
	size_t next = skip_space(&t, w.end);
	w.in_flow = is_one_of(byte(&t, next), ",}");
	if (!read || !starts_plainly(&t, &w))
		w.form = WRITTEN_OTHER;
	return w;
}

const struct written_entry *written_find(const struct written *written, const struct source *source,
                                         const char *key)
{
	size_t length = strlen(key);
	for (size_t i = 0; i < written->count; i++) {
		const struct written_entry *e = &written->entries[i];
		bool quoted = e->key_length > 1 && is_one_of(source->bytes[e->key], "\"'");
		const char *text = source->bytes + e->key + quoted;
		if (e->key_length - (quoted ? 2 : 0) == length && memcmp(text, key, length) == 0)
			return e;
	}
	return NULL;
}
