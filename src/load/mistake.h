/* Reporting what is wrong with the input. Who finds a mistake reports it here and carries on. */
#ifndef FAREND_LOAD_MISTAKE_H
#define FAREND_LOAD_MISTAKE_H

#include "base/diag.h"
#include "base/text.h"

enum mistake {
#define X(id, name, meaning, cure, wrong, right) MISTAKE_##id,
#include "load/load_diag.def"
#undef X
	MISTAKE__END
};

struct mistakes {
	struct arena *arena;         /* for texts in the making; what is kept is copied */
	struct diags *diags;
	size_t found;                /* all of them, listed or not */
	size_t offers_left;          /* names that may still be compared with misspelt ones */
};

void mistakes_init(struct mistakes *m, struct arena *arena, struct diags *diags);

/* No more will be listed: a reader can stop looking. */
bool mistakes_full(const struct mistakes *m);

/* The stable name of a kind. */
const char *mistake_name(enum mistake mistake);

/* All that is said of a kind, in few words. */
struct mistake_row {
	const char *name, *meaning;
	const char *cure;            /* what to do, or to write */
	const char *wrong, *right;   /* a piece of a file before and after, or NULL */
};
const struct mistake_row *mistake_row(enum mistake mistake);

/* A mistake in the making: fill in what helps, then hand it to mistake_report(). */
struct report {
	enum mistake mistake;
	struct place place;
	const char *expected;        /* or NULL */
	const char *hint;            /* or NULL */
};
void mistake_report(struct mistakes *m, struct report report, const char *format, ...)
	__attribute__((format(printf, 3, 4)));

/* Text that lives as long as the reading. */
char *mistake_text(struct mistakes *m, const char *format, ...)
	__attribute__((format(printf, 2, 3)));

/* nearest_offer() within a budget, so that a file with thousands of wrong names is read in no
 * time. */
void mistake_offer(struct mistakes *m, struct nearest *nearest, const char *candidate);

/* nearest_hint(), with a word on capitals where only they differ. */
const char *mistake_hint(struct mistakes *m, const struct nearest *nearest);

/* "line 12, column 3", or "parts.csv:12:3" where it is not the file of `seen_from`. */
const char *mistake_where(struct mistakes *m, struct place place, struct place seen_from);

#endif
