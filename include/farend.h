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

/* What can be rendered, each made by the call of its name; the schedule, the cable labels and the summary
 * (a picture of the wiring in text, with what the checks found) by farend_check(). */
enum farend_result {
	FAREND_CHECK, FAREND_SIZE, FAREND_CUT, FAREND_ORDER, FAREND_SCHEDULE, FAREND_LABELS, FAREND_REPORT,
	FAREND_SUMMARY, FAREND_VERIFY
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

/* A job with what was built of it: lengths as cut from the CSV file `as_built` laid over those of the plan,
 * and readings of a meter for farend_verify(). Everything else then speaks of the job as built. One of the
 * two may be "-". Mistakes of both files come together. */
enum farend_status farend_read_built(const char *path, const char *as_built, struct farend_job **job);
enum farend_status farend_read_text_built(const char *name, const char *bytes, size_t size,
                                          const char *as_built, struct farend_job **job);

/* Before farend_check(): one state of the switches, "S1=off, S3=off" (switches not named are on), instead of
 * every operating case. farend_check() then gives that state's figures and findings, without advice that
 * was tried out, and only its own result can be rendered; farend_verify() takes it as the state of
 * readings that name no switch. FAREND_WRONG_CALL, with a diagnostic, for a state that cannot be. */
enum farend_status farend_set_switches(struct farend_job *job, const char *state);

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

/* How parts may differ from their labels; see docs/tolerance.md. */
struct farend_tolerance {
	size_t samples;              /* builds to draw, 0: FAREND_SAMPLES_USUAL; FAREND_SAMPLES_MOST at most */
	unsigned long long seed;     /* the same seed gives the same answer on every machine */
	void (*progress)(void *data, double share);      /* told the share done, now and then; may be NULL */
	void *progress_data;
};
#define FAREND_SAMPLES_USUAL 2000
#define FAREND_SAMPLES_MOST 1000000

/* Of a job checked in every operating case (else, or with too many samples, FAREND_WRONG_CALL): what becomes
 * of its figures when parts differ from their labels by their tolerances. It is part of the check and of the
 * report from then on; a later call replaces it. */
enum farend_status farend_tolerance(struct farend_job *job, const struct farend_tolerance *how);

/* Of a checked job (else FAREND_WRONG_CALL): the smallest driver, the thinnest cables and the simplest
 * feeds that pass every check. */
enum farend_status farend_size(struct farend_job *job);

/* Of what was proposed, or of the copy made of it; FAREND_VERDICT_FAIL before farend_size(). */
enum farend_verdict farend_size_verdict(const struct farend_job *job);

/* After farend_size() (else FAREND_WRONG_CALL): the job's text with the proposals in it, comments and
 * everything else as they were, to be written to `path`; catalogues are sought beside that. The copy has
 * been read back and checked, and the rendered result speaks of it from now on. FAREND_WRONG_INPUT, with
 * diagnostics, where an item is written in a way that cannot be changed; FAREND_WRONG_CALL of a job as built,
 * whose lengths are not in its text. The text belongs to the job. */
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

/* How far a meter may be trusted, one standard deviation each. */
struct farend_meter {
	double gain;                 /* share, common to all readings of volts, or of amps: 0 to below 1 */
	double digit_v, digit_a;     /* V and A, of each reading on its own: above 0 */
};
/* 0.5 %, 10 mV, 10 mA: common practice, no source. */
struct farend_meter farend_usual_meter(void);

/* Of a checked job that was read with what was built of it (else, or where `meter` cannot be,
 * FAREND_WRONG_CALL): plan against built in every operating case, readings against prediction, and what
 * explains their difference. `meter` NULL: the usual one. A later call replaces the result of an
 * earlier one. */
enum farend_status farend_verify(struct farend_job *job, const struct farend_meter *meter);

/* The worst of what was built and of that with the likeliest fault in it, and a caution at least where the
 * readings disagree; FAREND_VERDICT_FAIL before farend_verify(). */
enum farend_verdict farend_verify_verdict(const struct farend_job *job);

/* A result as bytes; FAREND_WRONG_CALL before it was made, or for an unknown format. */
enum farend_status farend_render(struct farend_job *job, enum farend_result result,
                                 enum farend_format format, const struct farend_style *style,
                                 struct farend_text *out);

/* The check results of several jobs in one document (text, JSON or CSV): each job's as it would stand alone, in
 * the order of adding, then one table of all. *many is to be freed in every case. */
struct farend_many;
enum farend_status farend_many_new(enum farend_format format, const struct farend_style *style,
                                   struct farend_many **many);

/* What farend_check() found out about the job in `file`, or the diagnostics where it was not checked; `job`
 * may be NULL where there was no memory for it, and may be freed afterwards. */
enum farend_status farend_many_add(struct farend_many *many, const char *file,
                                   const struct farend_job *job);

/* Once, after the last job. The text lives until farend_many_free(), which accepts NULL. */
enum farend_status farend_many_end(struct farend_many *many, struct farend_text *out);
void farend_many_free(struct farend_many *many);

/* What a check or a mistake in a file means (`name` NULL: the list of all). FAREND_WRONG_CALL for an unknown name, with the
 * nearest right names, or nothing, in *out. The text is to be freed with farend_free_text() in every
 * case; that accepts an empty one. */
enum farend_status farend_explain(const char *name, const struct farend_style *style,
                                  struct farend_text *out);
void farend_free_text(struct farend_text *text);

/* Names of the checks, from 0 on; NULL beyond the last. Static. */
const char *farend_check_name(size_t index);

/* Names of mistakes in files that farend_explain() knows, from 0 on; NULL beyond the last. Static. */
const char *farend_mistake_name(size_t index);

/* The JSON Schema (draft-07) of a job file, for editors that complete and underline by one. To be freed
 * with farend_free_text() in every case. */
enum farend_status farend_schema(struct farend_text *out);

/* One value, read as a job file's: `group` is "job", "strips", "cables", ..., `attribute` one of its keys.
 * FAREND_WRONG_INPUT with the mistake that the file would get; FAREND_WRONG_CALL where there is no such
 * attribute, or it takes a list. *out is to be freed with farend_free_value() in every case. */
struct farend_value {
	double number;               /* SI: m, V, A, W, W/m, degrees C; 0 for a text */
	const char *written;         /* as it can stand in a job file, in quotation marks where it needs them */
	struct farend_diagnostic wrong;
	void *memory;                /* what the texts live in */
};
enum farend_status farend_value(const char *group, const char *attribute, const char *text,
                                struct farend_value *out);
void farend_free_value(struct farend_value *value);

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
