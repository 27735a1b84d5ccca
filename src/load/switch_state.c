/* Words of the form NAME=on or NAME=off, with whatever people put between them. */
#include "load/switch_state.h"

#include "base/hash.h"
#include "load/load.h"

#include <string.h>

#define BETWEEN " \t\r\n,;"
#define BLANKS " \t\r\n"

struct state_reading {
	struct mistakes *m;
	struct arena *brief;
	const struct job *job;
	const struct node *text;
	struct hash names;           /* of switches */
	bool *on, *said;
};

/* A word of the text: its bytes, then behind it. */
struct word { size_t at, length; };

static struct place word_place(const struct state_reading *r, struct word word)
{
	const char *text = r->text->text;
	return node_within(r->text, tree_characters(text, word.at),
	                   tree_characters(text + word.at, word.length));
}

/* "S1=off, S2=on" with names of the job, as an example of what is expected. */
static const char *example(const struct state_reading *r)
{
	return mistake_text(r->m, "a text such as %s=off",
	                    r->job->switch_count > 0 ? r->job->switches[0].item.id : "S1");
}

static size_t find_switch(struct state_reading *r, struct word word)
{
	const char *name = arena_strndup(r->brief, r->text->text + word.at, word.length);
	size_t index = hash_find(&r->names, name);
	if (index != HASH_NONE)
		return index;
	struct nearest nearest = nearest_to(name);
	struct buf ids;
	buf_init(&ids, r->brief);
	for (size_t i = 0; i < r->job->switch_count; i++) {
		const char *id = r->job->switches[i].item.id;
		mistake_offer(r->m, &nearest, id);
		if (i < 8)
			buf_addf(&ids, "%s%s", i > 0 ? ", " : "", id);
		else if (i == 8)
			buf_add(&ids, ", ...");
	}
	mistake_report(r->m, (struct report){
		.mistake = MISTAKE_UNKNOWN_ID, .place = word_place(r, word),
		.expected = ids.length ? mistake_text(r->m, "one of %s", ids.data) : NULL,
		.hint = ids.length ? mistake_hint(r->m, &nearest) : "the job has no switches" },
		"there is no switch '%s'", name);
	return NO_INDEX;
}

/* Whether the word says on or off, in capitals or not. */
static bool read_on(const char *text, struct word word, bool *on)
{
	static const struct { const char *word; bool on; } words[] = { { "on", true }, { "off", false } };
	for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
		size_t length = strlen(words[i].word), same = 0;
		while (same < word.length && same < length &&
		       (text[word.at + same] | 0x20) == words[i].word[same])
			same++;
		if (same == length && same == word.length) {
			*on = words[i].on;
			return true;
		}
	}
	return false;
}

static struct word next_word(const char *text, size_t at)
{
	return (struct word){ at, strcspn(text + at, "=" BETWEEN) };
}

/* NAME=STATE, with blanks around the '=' or one in its place. Returns what is behind it. */
static size_t take_words(const char *text, struct word *name, struct word *state, bool *joined)
{
	bool on;
	size_t behind = name->at + name->length, at = behind + strspn(text + behind, BLANKS);
	*joined = text[at] == '=';
	*state = next_word(text, *joined ? at + 1 + strspn(text + at + 1, BLANKS) : at);
	if (*joined || read_on(text, *state, &on))
		return state->at + state->length;
	state->length = 0;
	return behind;
}

static bool report_state(struct state_reading *r, struct word at, const char *message)
{
	mistake_report(r->m, (struct report){ .mistake = MISTAKE_SWITCH_STATE, .place = word_place(r, at),
	                                      .expected = example(r) }, "%s", message);
	return false;
}

static const char *quoted(struct state_reading *r, struct word word)
{
	return arena_strndup(r->brief, r->text->text + word.at, word.length);
}

/* Reads one NAME=STATE from `name` on; returns what is behind it. */
static size_t read_pair(struct state_reading *r, struct word name, bool *good)
{
	struct word state;
	bool joined, on = true;
	size_t behind = take_words(r->text->text, &name, &state, &joined);
	if (name.length == 0)
		*good = report_state(r, state.length > 0 ? state : name, "'=' without the name of a switch");
	else if (state.length == 0)
		*good = report_state(r, name, mistake_text(r->m, "'%s' is neither on nor off here",
		                                           quoted(r, name)));
	else if (!joined)
		*good = report_state(r, name, mistake_text(r->m, "there is no '=' behind '%s'",
		                                           quoted(r, name)));
	else if (!read_on(r->text->text, state, &on))
		*good = report_state(r, state, mistake_text(r->m, "'%s' is neither on nor off",
		                                            quoted(r, state)));
	if (name.length == 0 || state.length == 0)
		return behind;
	size_t index = find_switch(r, name);
	if (index == NO_INDEX)
		*good = false;
	else if (r->said[index])
		*good = report_state(r, name, mistake_text(r->m, "switch '%s' is named twice",
		                                           quoted(r, name)));
	if (index != NO_INDEX) {
		r->said[index] = true;
		r->on[index] = on;
	}
	return behind;
}

static const char *state_text(struct arena *arena, const struct job *job, const bool *on)
{
	struct buf text;
	buf_init(&text, arena);
	for (size_t i = 0; i < job->switch_count; i++)
		if (!on[i])
			buf_addf(&text, "%s%s=off", text.length ? ", " : "", job->switches[i].item.id);
	return text.data;
}

struct switch_state switch_state_all_on(struct arena *arena, const struct job *job)
{
	bool *on = arena_array(arena, bool, job->switch_count);
	for (size_t i = 0; i < job->switch_count; i++)
		on[i] = true;
	return (struct switch_state){ .on = on, .text = "" };
}

bool switch_state_read(struct mistakes *m, struct arena *arena, const struct job *job,
                       const struct node *text, struct switch_state *out)
{
	struct state_reading r = { .m = m, .brief = arena_child(arena), .job = job, .text = text };
	bool good = true;
	r.on = arena_array(arena, bool, job->switch_count);
	r.said = arena_array(r.brief, bool, job->switch_count);
	hash_init(&r.names, r.brief);
	for (size_t i = 0; i < job->switch_count; i++) {
		r.on[i] = true;
		hash_put(&r.names, job->switches[i].item.id, i);
	}
	size_t at = strspn(text->text, BETWEEN);
	while (text->text[at]) {
		at = read_pair(&r, next_word(text->text, at), &good);
		at += strspn(text->text + at, BETWEEN);
	}
	arena_free(r.brief);
	*out = (struct switch_state){ .on = r.on, .text = state_text(arena, job, r.on) };
	return good;
}

bool load_switch_state(struct arena *arena, const struct job *job, const char *text, struct diags *diags,
                       struct switch_state *out)
{
	struct arena *brief = arena_child(arena);
	const struct source *source = source_new(arena, "switches", text, strlen(text));
	struct node whole = { .kind = NODE_SCALAR, .exact = true, .text = text, .at = { source, 1, 1, 1 } };
	struct mistakes m;
	mistakes_init(&m, brief, diags);
	bool good = switch_state_read(&m, arena, job, &whole, out);
	arena_free(brief);
	return good;
}
