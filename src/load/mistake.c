/* Mistakes by kind, with hints that cost a bounded time. */
#include "load/mistake.h"

#define MOST_LISTED 10000       /* mistakes; nobody reads further */
#define MOST_OFFERS 2000000     /* comparisons of names; half a second or so */

static const struct mistake_row kinds[MISTAKE__END] = {
#define X(id, name, meaning, cure, wrong, right) { name, meaning, cure, wrong, right },
#include "load/load_diag.def"
#undef X
};

void mistakes_init(struct mistakes *m, struct arena *arena, struct diags *diags)
{
	*m = (struct mistakes){ .arena = arena, .diags = diags, .offers_left = MOST_OFFERS };
}

bool mistakes_full(const struct mistakes *m)
{
	return m->found > MOST_LISTED;
}

const char *mistake_name(enum mistake mistake)
{
	return kinds[mistake].name;
}

const struct mistake_row *mistake_row(enum mistake mistake)
{
	return &kinds[mistake];
}

void mistake_report(struct mistakes *m, struct report report, const char *format, ...)
{
	struct diag diag = { .level = DIAG_ERROR, .kind = mistake_name(report.mistake),
	                     .place = report.place, .expected = report.expected, .hint = report.hint };
	va_list args;
	if (++m->found > MOST_LISTED + 1)
		return;
	if (m->found == MOST_LISTED + 1) {
		diag.kind = mistake_name(MISTAKE_TOO_MANY);
		diag.message = mistake_text(m, "more than %d mistakes; the rest is not listed",
		                            MOST_LISTED);
		diag.place = (struct place){ .source = report.place.source };
		diag.expected = diag.hint = NULL;
		diags_add(m->diags, &diag);
		return;
	}
	va_start(args, format);
	diag.message = arena_vprintf(m->arena, format, args);
	va_end(args);
	diags_add(m->diags, &diag);
}

char *mistake_text(struct mistakes *m, const char *format, ...)
{
	va_list args;
	va_start(args, format);
	char *text = arena_vprintf(m->arena, format, args);
	va_end(args);
	return text;
}

void mistake_offer(struct mistakes *m, struct nearest *nearest, const char *candidate)
{
	if (m->offers_left == 0)
		return;
	m->offers_left--;
	nearest_offer(nearest, candidate);
}

const char *mistake_hint(struct mistakes *m, const struct nearest *nearest)
{
	const char *hint = nearest_hint(nearest, m->arena);
	if (hint && nearest->distance == 0)
		return mistake_text(m, "%s (capital and small letters differ)", hint);
	return hint;
}

const char *mistake_where(struct mistakes *m, struct place place, struct place seen_from)
{
	if (place.source != seen_from.source)
		return mistake_text(m, "%s:%u:%u", place.source->name, (unsigned)place.line,
		                    (unsigned)place.column);
	return mistake_text(m, "line %u, column %u", (unsigned)place.line, (unsigned)place.column);
}
