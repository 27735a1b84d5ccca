/* The interview of 'new --ask': questions as rows, answers as data, and a job made of them.
 *
 * ask_questions.c   the rows: what is asked, when, what Enter means
 * ask_answer.c      what was typed, to an answer or to an explanation
 * ask_label.c       what labels and everyday words say, in the job file's words
 * ask_talk.c        asking, going back, changing
 * ask_job.c         the job file
 * run_ask.c         all of it in order, and the file written */
#ifndef FAREND_CLI_ASK_H
#define FAREND_CLI_ASK_H

#include "base/buf.h"
#include "cli/commands.h"

#define ASK_BAYS 24              /* at most */
#define ASK_STRIPS 12            /* in one bay, at most */

enum ask_id {
	ASK_FILE, ASK_NAME, ASK_UNIT, ASK_COUNT, ASK_ALIKE, ASK_PLACES, ASK_LENGTHS, ASK_MOUNT,
	ASK_SWITCHES, ASK_SWITCH, ASK_SWITCH_CURRENT, ASK_DRIVER, ASK_TO_SWITCH, ASK_ROUTES, ASK_LEADS,
	ASK_VOLTAGE, ASK_POWER, ASK_CUT, ASK_REEL, ASK_AMBIENT,
	ASK__END
};

enum ask_form {
	ASK_NEW_FILE,                /* a file that has nothing in it */
	ASK_TEXT,
	ASK_NUMBER,                  /* a whole number from 1 to ASK_BAYS */
	ASK_WORD,                    /* one of `words` */
	ASK_VALUE,                   /* a quantity */
	ASK_LIST,                    /* a quantity for all, or one for each of `named` */
	ASK_NAMES                    /* places, ASK_STRIPS at most */
};

struct interview;

/* What people say instead of one of a question's words; `means` NULL: not to be guessed at. */
struct ask_word { const char *said, *means; };

struct question {
	const char *key;             /* in the list of answers */
	const char *text;
	const char *help;            /* for '?' */
	enum ask_form form;
	const char *group, *attribute;       /* as which the job file would read it */
	const char *usual;           /* what Enter means; NULL: don't know */
	const char *assumed;         /* what stands for "don't know"; NULL where that is no answer */
	const char *usual_inches;    /* the same for lengths in inches: Enter or assumed, NULL: alike */
	const char *look;            /* where the true value is found */
	const char *example;         /* of a quantity, for who wrote something else */
	const char *unit;            /* of a bare number; NULL: the unit of lengths that was chosen */
	const char *const *words;
	const struct ask_word *said;         /* other words for them, longer phrases first; NULL-ended */
	bool worked_out;             /* where not known, the job says what it must be at least */
	bool per_bay;                /* asked for each bay where they are not alike */
	/* what a list is of, NULL beyond the last */
	const char *(*named)(const struct interview *talk, size_t bay, size_t index);
	bool (*applies)(const struct interview *talk, size_t bay);
	/* what is wrong with it beside other answers, or NULL */
	const char *(*clashes)(const struct interview *talk, const char *const *parts,
	                       const double *numbers, size_t count);
};
extern const struct question questions[ASK__END];

struct answer {
	bool given;
	bool assumed;                /* it was not known, or a length was taken as proposed */
	const char *typed;           /* what would give it again; NULL: never answered */
	const char *shown;           /* as the list of answers shows it */
	const char **parts;          /* as typed, with units */
	double *numbers;             /* SI */
	size_t count;
};

struct interview {
	struct arena *arena;
	const char *path;            /* where the job goes; NULL or "-": standard output */
	bool asks_file;              /* it is to be asked for */
	struct answer answers[ASK__END][ASK_BAYS];
	struct buf out;              /* what is said next */
};

/* Answers, once given. `bay` from 0. */
const struct answer *ask_get(const struct interview *talk, enum ask_id id, size_t bay);
bool ask_is(const struct interview *talk, enum ask_id id, const char *word);
size_t ask_bays(const struct interview *talk);
bool ask_inches(const struct interview *talk);
bool ask_alike(const struct interview *talk);
size_t ask_strips(const struct interview *talk, size_t bay);
/* Has every bay a switch of its own? Has any? */
bool ask_bay_switch(const struct interview *talk);
bool ask_any_switch(const struct interview *talk);
/* Has this question to be answered, for this bay? */
bool ask_applies(const struct interview *talk, enum ask_id id, size_t bay);

/* An answer as labels or everyday words put it, in the job file's words: a quantity, one of the question's
 * words, a whole number. NULL where it can be read in more ways than one, or not at all. */
const char *ask_from_label(const struct interview *talk, const struct question *q, const char *text);
const char *ask_from_words(const struct interview *talk, const struct question *q, const char *text);
const char *ask_from_count(const struct interview *talk, const char *text);

/* Whether a line that is the beginning of one of the question's words means something else. */
bool ask_means_another(const struct question *q, const char *line);
/* "don't know", and what else people say for it. */
bool ask_is_unknown(const char *line);

/* Takes `line` as the answer. False with why it is none in talk->out. */
bool ask_take(struct interview *talk, enum ask_id id, size_t bay, const char *line);
/* Why no job can be written there, or NULL: a file that has something in it is never replaced. */
const char *ask_refused_path(struct arena *arena, const char *path);
/* What Enter stands for, as the question shows it. */
const char *ask_proposal(const struct interview *talk, enum ask_id id, size_t bay);
/* Asks again what other answers have made wrong. */
void ask_review(struct interview *talk);

enum ask_end { ASK_DONE, ASK_QUIT, ASK_INPUT_ENDED };
/* Asks until every answer is there and the list of them was accepted. `enter` says what that leads to:
 * "Enter makes the job". */
enum ask_end ask_talk(struct interview *talk, const char *enter);
/* Before the first question. */
void ask_greet(struct interview *talk);
/* Says what is in talk->out. */
void ask_say(struct interview *talk);

/* What all strips take by their labels, W and A. */
double ask_all_watts(const struct interview *talk);
double ask_all_amps(const struct interview *talk);

/* The job as a file; `spare` is how many ports a block has to spare for each strip. */
const char *ask_job(const struct interview *talk, size_t spare);
/* What was assumed, as lines; nothing where all was known. */
void ask_add_assumed(const struct interview *talk, struct buf *out);

/* 'new --ask', once -o is known to name no job that is there already. */
enum status run_ask(const struct invocation *in);

/* Of the 26 letters, whatever the locale. */
static inline char ask_small(char c)
{
	return c >= 'A' && c <= 'Z' ? "abcdefghijklmnopqrstuvwxyz"[c - 'A'] : c;
}

#endif
