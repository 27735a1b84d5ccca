/* The vocabulary of a job file, as data. One row describes one attribute: how it is written, where its
 * value lies in the item, its limits, what is assumed when it is left out. The reader, the nearest-name
 * hints, the assumed list and the tables of docs/input.md all come from these rows. */
#ifndef FAREND_MODEL_ATTRIBUTE_H
#define FAREND_MODEL_ATTRIBUTE_H

#include "base/source.h"
#include "quantity/quantity.h"

#include <stdbool.h>

enum kind { KIND_DRIVER, KIND_SWITCH, KIND_BLOCK, KIND_STRIP, KIND_CABLE, KIND__END };

/* Words for a kind: "strip", its group "strips", its types "strip_types". */
struct kind_words { const char *word, *group, *types; };
extern const struct kind_words kind_words[KIND__END];

/* One item of a job: `index` in its kind's array. */
struct item_ref { enum kind kind; size_t index; };

enum origin {
	ORIGIN_UNSET,                /* left out, and nothing is assumed */
	ORIGIN_ASSUMED,              /* left out, the row's default stands */
	ORIGIN_CATALOGUE,
	ORIGIN_TYPE,
	ORIGIN_GIVEN,                /* written at the item itself */
	ORIGIN_BUILT                 /* as built: overlaid from a file of readings */
};

struct point { double x, y; };

/* One value with where it came from. Which members carry it depends on the row's form. */
struct attr {
	enum origin origin;
	enum dim dim;                /* of `num`, where a row allows several */
	double num;                  /* SI; index of a choice; 0/1 of a flag; row of wire_sizes */
	double high;                 /* upper end of a range (low end in num) */
	bool has_tolerance;
	double tolerance;            /* "+- 10 %", "+- 0.5 V": how far either way it may be, in the unit of
	                                num; of a cable's size a share of its copper */
	const char *text;            /* as written (texts, terminals, types; also quantities) */
	const struct point *points;  /* a curve; a list of sizes (x); readings of a bench test (x) */
	size_t point_count;
	struct place place;
};

static inline bool attr_has(const struct attr *a)
{
	return a->origin != ORIGIN_UNSET;
}

/* Said somewhere by the user: at the item, in its type or in a catalogue. */
static inline bool attr_said(const struct attr *a)
{
	return a->origin > ORIGIN_ASSUMED;
}

enum form {
	FORM_QUANTITY,
	FORM_TEXT,                   /* any scalar, kept as written */
	FORM_CHOICE,                 /* one of `words` */
	FORM_FLAG,                   /* yes / no (true / false) */
	FORM_RANGE,                  /* 24 V or 12-24 V */
	FORM_SIZE,                   /* area or gauge found in wire_sizes; num is the row */
	FORM_SIZES,                  /* a list of sizes; points[i].x is the row */
	FORM_CURVE,                  /* [[40 C, 100 %], [60 C, 70 %]], x ascending */
	FORM_BENCH_TEST,             /* a mapping of `readings`: points[i].x, i as in enum reel_test */
	FORM_TERMINAL,               /* text; resolved when names are linked */
	FORM_TYPE,                   /* text; resolved when names are linked */
	FORM_FILES                   /* a list of file names (catalogue) */
};

enum reel_test { REEL_LENGTH, REEL_FEED, REEL_FAR, REEL_CURRENT, REEL__END };
enum piece_test {
	PIECE_LENGTH, PIECE_LOW, PIECE_LOW_CURRENT, PIECE_HIGH, PIECE_HIGH_CURRENT, PIECE__END
};
#define BENCH_MOST PIECE__END    /* readings of one bench test */

enum need {
	NEED_NO,
	NEED_YES,
	NEED_EITHER                  /* this row or the row named in `partner` */
};

struct attribute {
	const char *key;
	enum form form;
	enum dim dims[3];            /* ended by DIM__END; the first is the one proposed */
	size_t offset;               /* of the struct attr in its item */
	enum need need;
	const char *partner;         /* NEED_EITHER: the alternative; else a key that must come along */
	double min, max;             /* allowed SI values, both inclusive unless `above` */
	bool above;                  /* num must be greater than min, not equal */
	const char *const *words;    /* FORM_CHOICE, NULL-ended */
	const struct attribute_table *readings;  /* FORM_BENCH_TEST; offsets are indices of points */
	double assumed;              /* the default; NAN where there is none or it is derived */
	bool listed;                 /* left out: goes on the assumed list */
	const char *example;         /* where that of its form and dimension would not do, or NULL */
	const char *why;             /* where the default comes from, for that list and the manual */
	const char *about;           /* one line for the manual */
};

struct attribute_table {
	const struct attribute *rows;
	size_t count;
};

/* Own attributes of a kind, and those that every kind shares (type, place, note, …). */
struct attribute_table attributes_of(enum kind kind);
extern const struct attribute_table attributes_shared;
/* `job:` and `limits:` */
extern const struct attribute_table attributes_job;
extern const struct attribute_table attributes_limits;
/* reel_test: {…} and piece_test: {…}; offsets are indices of enum reel_test and enum piece_test */
extern const struct attribute_table attributes_reel_test, attributes_piece_test;

/* The row named `key` in the kind's own or the shared table, or NULL. */
const struct attribute *attribute_find(enum kind kind, const char *key);
const struct attribute *attribute_find_in(struct attribute_table table, const char *key);

/* The value that a row stands for in an item (any struct that starts with struct item). */
static inline struct attr *attribute_slot(const struct attribute *row, void *item)
{
	return (struct attr *)((char *)item + row->offset);
}
static inline const struct attr *attribute_value(const struct attribute *row, const void *item)
{
	return (const struct attr *)((const char *)item + row->offset);
}

#endif
