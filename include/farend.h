/* farend.h: check the low-voltage side of LED cabinet lighting.
 *
 * Read a job, check it, render the result. Calls are re-entrant, print nothing and never exit: what goes
 * wrong comes back as a status, and as diagnostics where it is the input's fault. Many jobs can be held
 * at once; one job belongs to one thread at a time. All text is UTF-8; all numbers are in the C locale,
 * whatever the program's own locale is.
 *
 *     struct farend_job *job;
 *     struct farend_text text;
 *     if (farend_read("job.yaml", &job) == FAREND_OK && farend_check(job) == FAREND_OK &&
 *         farend_render(job, FAREND_CHECK, FAREND_JSON, NULL, &text) == FAREND_OK)
 *             fwrite(text.bytes, 1, text.size, stdout);
 *     farend_free(job);
 */
#ifndef FAREND_H
#define FAREND_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

struct farend_job;

enum farend_status {
	FAREND_OK = 0,
	FAREND_WRONG_INPUT,          /* see the diagnostics; nothing was solved */
	FAREND_WRONG_CALL,           /* a name or order of calls that does not exist */
	FAREND_NO_MEMORY,
	FAREND_SYSTEM                /* an I/O error, or no solution; see the diagnostics */
};

enum farend_verdict { FAREND_VERDICT_OK, FAREND_VERDICT_CAUTION, FAREND_VERDICT_FAIL };

/* What can be rendered, each made by the call of its name; the schedule and the cable labels by
 * farend_check(). */
enum farend_result {
	FAREND_CHECK, FAREND_SIZE, FAREND_CUT, FAREND_ORDER, FAREND_SCHEDULE, FAREND_LABELS, FAREND_REPORT
};

enum farend_format { FAREND_TEXT, FAREND_JSON, FAREND_CSV, FAREND_HTML, FAREND_SVG };

struct farend_style {
	bool colour;                 /* ANSI emphasis in text */
	size_t width;                /* columns of text; 0 means 80, and 40 is the least */
};

/* NUL-terminated bytes, owned by the job until farend_free(); where a call says so they are the
 * caller's, to be freed with farend_free_text(). */
struct farend_text {
	const char *bytes;
	size_t size;
};

/* Version of the library, "0.1.0". */
const char *farend_version(void);

/* Reads a job file ("-" is standard input) and the catalogues it names. *job is set unless there was no
 * memory for even that, and is to be freed in every case, because it carries the diagnostics. */
enum farend_status farend_read(const char *path, struct farend_job **job);

/* The same from memory. `name` stands for the file in messages; catalogues lie beside it. */
enum farend_status farend_read_text(const char *name, const char *bytes, size_t size,
                                    struct farend_job **job);

/* Accepts NULL. */
void farend_free(struct farend_job *job);

/* Mistakes found while reading, all of them, for people: file:line:column, the line, a caret, what was
 * expected. Empty when there are none. */
enum farend_status farend_diagnostics(struct farend_job *job, const struct farend_style *style,
                                      struct farend_text *out);

/* One mistake as data. `index` counts from 0; false beyond the last. Texts live as long as the job. */
struct farend_diagnostic {
	const char *kind;            /* stable name, "unknown-key" */
	const char *file;            /* NULL when it concerns no file */
	size_t line, column;         /* from 1; 0 when it concerns no line */
	const char *message, *expected, *hint;   /* the last two may be NULL */
};
bool farend_diagnostic(const struct farend_job *job, size_t index, struct farend_diagnostic *out);

/* Solves and checks a job that was read without mistakes (else FAREND_WRONG_CALL). Once is enough: a
 * second call changes nothing. After FAREND_NO_MEMORY it may be tried again. FAREND_SYSTEM, with a
 * diagnostic, where no balance of currents was found: there are no figures then. */
enum farend_status farend_check(struct farend_job *job);

/* Of a checked job; FAREND_VERDICT_FAIL of one that is not. */
enum farend_verdict farend_verdict(const struct farend_job *job);

/* Of a checked job (else FAREND_WRONG_CALL): the smallest driver, the thinnest cables and the simplest
 * feeds that pass every check. */
enum farend_status farend_size(struct farend_job *job);

/* Of what was proposed, or of the copy made of it; FAREND_VERDICT_FAIL before farend_size(). */
enum farend_verdict farend_size_verdict(const struct farend_job *job);

/* After farend_size() (else FAREND_WRONG_CALL): the job's text with the proposals in it, comments and
 * everything else as they were, to be written to `path`; catalogues are sought beside that. The copy has
 * been read back and checked, and the rendered result speaks of it from now on. FAREND_WRONG_INPUT, with
 * diagnostics, where an item is written in a way that cannot be changed. The text belongs to the job. */
enum farend_status farend_apply(struct farend_job *job, const char *path, struct farend_text *copy);

/* Of a checked job (else FAREND_WRONG_CALL): how to cut the reels. `offcuts` is a CSV file of lengths to
 * use first ("-" is standard input), or NULL; mistakes in it are FAREND_WRONG_INPUT, with diagnostics. A
 * later call replaces the result of an earlier one. */
enum farend_status farend_cut(struct farend_job *job, const char *offcuts);

/* The same for what to buy. `spare` is the share of cable to add, 0 to 1, or FAREND_SPARE_USUAL. */
#define FAREND_SPARE_USUAL (-1.0)
enum farend_status farend_order(struct farend_job *job, const char *offcuts, double spare);

/* Of a checked job (else FAREND_WRONG_CALL): the printable report, with a cutting list (offcuts as for
 * farend_cut()) and an order list if `lists`. */
enum farend_status farend_report(struct farend_job *job, const char *offcuts, bool lists);

/* A result as bytes; FAREND_WRONG_CALL before it was made, or for an unknown format. */
enum farend_status farend_render(struct farend_job *job, enum farend_result result,
                                 enum farend_format format, const struct farend_style *style,
                                 struct farend_text *out);

/* What a check means (`name` NULL: the list of all). FAREND_WRONG_CALL for an unknown name, with the
 * nearest right names, or nothing, in *out. The text is to be freed with farend_free_text() in every
 * case; that accepts an empty one. */
enum farend_status farend_explain(const char *name, const struct farend_style *style,
                                  struct farend_text *out);
void farend_free_text(struct farend_text *text);

/* A commented starter job that checks clean. Static. */
struct farend_text farend_starter(void);

/* Writes bytes to a file, whole or not at all. FAREND_SYSTEM says in *reason why it failed (no full
 * stop). *reason is to be freed with farend_free_text() in every case. */
enum farend_status farend_write(const char *path, const char *bytes, size_t size,
                                struct farend_text *reason);

#ifdef __cplusplus
}
#endif

#endif
