/* "L1.start", "L1@1.2m", "S1" to a terminal. */
#include "load/link.h"

#include <math.h>
#include <string.h>

/* `length` characters of the text from byte `at` on, where the text stands in one piece. */
static struct place part(const struct attr *said, size_t at, size_t length)
{
	struct place place = said->place;
	if (place.length != tree_characters(said->text, strlen(said->text)))
		return place;
	place.column += (uint32_t)tree_characters(said->text, at);
	place.length = length ? (uint32_t)length : 1;
	return place;
}

static struct place rest_place(const struct link_end *end)
{
	const char *rest = end->said->text + end->rest + 1;
	size_t blanks = strspn(rest, " ");
	size_t characters = tree_characters(rest + blanks, strlen(rest + blanks));
	return part(end->said, end->rest + 1 + blanks, characters);
}

static const char *id_of(const struct loader *l, const struct link_end *end)
{
	return job_item(l->job, end->named.kind, end->named.index)->id;
}

static void report_unknown(struct loader *l, const struct link_end *end, bool cables, const char *id)
{
	struct nearest nearest = nearest_to(id);
	struct report report = { .mistake = MISTAKE_UNKNOWN_ID,
	                         .place = part(end->said, 0, tree_characters(id, strlen(id))) };
	for (size_t i = 0; i < l->named_count; i++)
		if (cables || l->named[i].kind != KIND_CABLE)
			mistake_offer(&l->mistakes, &nearest,
			              job_item(l->job, l->named[i].kind, l->named[i].index)->id);
	report.hint = mistake_hint(&l->mistakes, &nearest);
	for (enum kind kind = 0; kind < KIND__END && !report.hint; kind++)
		if (hash_find(&l->type_names[kind], id) != HASH_NONE)
			report.hint = mistake_text(&l->mistakes, "'%s' is a %s type; name the item", id,
			                           kind_words[kind].word);
	mistake_report(&l->mistakes, report, "there is no item '%s'", id);
}

bool link_item(struct loader *l, bool cables, struct link_end *end)
{
	const char *text = end->said->text;
	end->rest = strcspn(text, ".@");
	size_t length = end->rest;
	while (length > 0 && text[length - 1] == ' ')
		length--;
	const char *id = arena_strndup(l->decoder.brief, text, length);
	size_t found = hash_find(&l->ids, id);
	if (found == HASH_NONE) {
		/* A name with a character that is wrong in it was reported where it is defined. */
		if (hash_find(&l->ids, text) == HASH_NONE)
			report_unknown(l, end, cables, id);
		return false;
	}
	end->named = l->named[found];
	if (cables || end->named.kind != KIND_CABLE)
		return true;
	mistake_report(&l->mistakes, (struct report){
		.mistake = MISTAKE_CABLE_AS_TERMINAL,
		.place = part(end->said, 0, tree_characters(id, length)),
		.expected = "a terminal of a driver, switch, block or strip",
		.hint = "where several cables meet, put a block" }, "'%s' is a cable", id);
	return false;
}

static size_t no_such_terminal(struct loader *l, const struct link_end *end)
{
	const char *id = id_of(l, end), *rest = end->said->text + end->rest;
	struct report report = { .mistake = MISTAKE_UNKNOWN_TERMINAL, .place = rest_place(end) };
	struct nearest nearest = nearest_to(rest + 1);
	switch (end->named.kind) {
	case KIND_STRIP:
		mistake_offer(&l->mistakes, &nearest, "start");
		mistake_offer(&l->mistakes, &nearest, "end");
		report.expected = mistake_text(&l->mistakes, "%s.start, %s.end or a tap such as %s@1.2m",
		                               id, id, id);
		break;
	case KIND_SWITCH:
		mistake_offer(&l->mistakes, &nearest, "in");
		mistake_offer(&l->mistakes, &nearest, "out");
		report.expected = mistake_text(&l->mistakes, "%s.in or %s.out", id, id);
		break;
	default:
		report.expected = mistake_text(&l->mistakes, "%s alone: a %s has one terminal", id,
		                               kind_words[end->named.kind].word);
		break;
	}
	report.hint = mistake_hint(&l->mistakes, &nearest);
	if (*rest == '@')
		mistake_report(&l->mistakes, report, "only a strip has taps; '%s' is a %s", id,
		               kind_words[end->named.kind].word);
	else
		mistake_report(&l->mistakes, report, "%s '%s' has no terminal '%s'",
		               kind_words[end->named.kind].word, id, rest + 1);
	return NO_INDEX;
}

/* A cable's tap on a piece of strip that was cut away: what was built is to blame, not the plan. */
static bool is_cut_off(struct loader *l, const struct strip *strip, const struct link_end *end,
                       double at)
{
	const struct attr *cut = &strip->length;
	if (cut->origin != ORIGIN_BUILT || end->said->place.source == cut->place.source ||
	    floor(at / strip->pitch + 0.5) <= (double)strip->units)
		return false;
	mistake_report(&l->mistakes, (struct report){
		.mistake = MISTAKE_BAD_TAP, .place = cut->place,
		.expected = mistake_text(&l->mistakes, "%s or more, or a cable that joins it elsewhere",
		                         quantity_length(l->decoder.brief, at)),
		.hint = mistake_text(&l->mistakes, "the cable is at %s",
		                     mistake_where(&l->mistakes, end->said->place, cut->place)) },
		"so cut, strip '%s' ends before %s, where a cable joins it", strip->item.id,
		end->said->text);
	return true;
}

/* The nearest cut mark to a distance from the start. */
static size_t resolve_tap(struct loader *l, const struct link_end *end)
{
	static const enum dim length_only[] = { DIM_LENGTH, DIM__END };
	const char *text = end->said->text + end->rest + 1;
	struct strip *strip = &l->job->strips[end->named.index];
	struct report report = { .mistake = MISTAKE_BAD_TAP, .place = rest_place(end) };
	struct quantity q = quantity_parse(l->decoder.brief, text, length_only);
	if (q.fault != QUANTITY_OK) {
		report.place = part(end->said, end->rest + 1, 1);
		if (report.place.length == 1) {
			report.place.column += (uint32_t)q.at;
			report.place.length = (uint32_t)q.length;
		}
		report.expected = mistake_text(&l->mistakes, "a distance from the start, such as %s@1.2m",
		                               strip->item.id);
		if (q.fault == QUANTITY_NO_UNIT)
			report.hint = mistake_text(&l->mistakes, "%s@%s", strip->item.id, q.expected);
		mistake_report(&l->mistakes, report, "tap: %s", q.message);
		return NO_INDEX;
	}
	bool broken = l->items[KIND_STRIP][end->named.index].broken;
	if (!broken && is_cut_off(l, strip, end, q.value))
		return NO_INDEX;
	if (q.value < 0 || (!broken && q.value > fmax(strip->metres, strip->length.num) * (1 + 1e-9))) {
		if (!broken)
			report.expected = mistake_text(&l->mistakes, "0 to %s",
			                               quantity_length(l->decoder.brief, strip->metres));
		mistake_report(&l->mistakes, report, "this tap lies %s strip '%s'",
		               q.value < 0 ? "before the start of" : "beyond the end of", strip->item.id);
		return NO_INDEX;
	}
	return broken ? NO_INDEX : job_tap(l->job, end->named.index,
	                                   (size_t)floor(q.value / strip->pitch + 0.5));
}

size_t link_terminal(struct loader *l, const struct link_end *end)
{
	const char *rest = end->said->text + end->rest;
	const struct job *job = l->job;
	size_t index = end->named.index;
	switch (end->named.kind) {
	case KIND_STRIP:
		if (*rest == '@')
			return resolve_tap(l, end);
		if (*rest == '\0' || strcmp(rest, ".start") == 0)
			return job->strips[index].terminal;
		return strcmp(rest, ".end") == 0 ? job->strips[index].terminal + 1
		                                 : no_such_terminal(l, end);
	case KIND_SWITCH:
		if (strcmp(rest, ".in") == 0 || (*rest == '\0' && !end->is_from))
			return job->switches[index].terminal;
		return strcmp(rest, ".out") == 0 || *rest == '\0' ? job->switches[index].terminal + 1
		                                                  : no_such_terminal(l, end);
	case KIND_BLOCK:
		return *rest == '\0' ? job->blocks[index].terminal : no_such_terminal(l, end);
	case KIND_DRIVER:
		return *rest == '\0' ? job->drivers[index].terminal : no_such_terminal(l, end);
	default:
		return NO_INDEX;
	}
}

static size_t resolve(struct loader *l, const struct cable *cable, bool is_from)
{
	struct link_end end = { .said = is_from ? &cable->from : &cable->to,
	                        .is_from = is_from };
	size_t terminal = NO_INDEX;
	if (attr_has(end.said) && link_item(l, false, &end))
		terminal = link_terminal(l, &end);
	arena_reset(l->decoder.brief);
	return terminal;
}

/* Two taps that are one since the strip was cut are a mistake of the cut. */
static struct place self_loop_place(const struct loader *l, const struct cable *cable)
{
	const struct terminal *t = &l->job->terminals[cable->a];
	const struct attr *cut = t->kind == KIND_STRIP ? &l->job->strips[t->item].length : NULL;
	return cut && cut->origin == ORIGIN_BUILT ? cut->place : cable->to.place;
}

void link_cables(struct loader *l)
{
	for (size_t i = 0; i < l->job->cable_count && !mistakes_full(&l->mistakes); i++) {
		struct cable *cable = &l->job->cables[i];
		cable->a = resolve(l, cable, true);
		cable->b = resolve(l, cable, false);
		if (cable->a == NO_INDEX || cable->a != cable->b)
			continue;
		mistake_report(&l->mistakes, (struct report){ .mistake = MISTAKE_SELF_LOOP,
		                                              .place = self_loop_place(l, cable) },
		               "both ends of cable '%s' are on %s", cable->item.id,
		               l->job->terminals[cable->a].name);
	}
}
