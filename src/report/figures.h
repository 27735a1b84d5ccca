/* The figures of every item, by kind, as rows: what JSON names, CSV heads and text tables show all
 * comes from here. A new figure is one row. */
#ifndef FAREND_REPORT_FIGURES_H
#define FAREND_REPORT_FIGURES_H

#include "report/report.h"

/* One figure of item `i`; exactly one member after the key says how it is found. */
struct figure {
	const char *key;             /* as JSON calls it */
	size_t result;               /* offset of a double in the kind's result: none while not live */
	size_t derived;              /* offset of a double in the item */
	size_t quantity;             /* offset of an attribute in the item: its number */
	size_t words;                /* the same: its text */
	double (*number)(const struct check_result *result, size_t i);      /* NAN: none */
	const char *(*text)(const struct check_result *result, size_t i);   /* NULL: none */
	/* the nth entry of a list, NULL beyond the last */
	const char *(*list)(const struct check_result *result, size_t i, size_t nth);
};

struct figure_table {
	const struct figure *rows;
	size_t count;
};

struct figure_table figures_of(enum kind kind);

/* The row called `key`, which must exist. */
const struct figure *figure_find(enum kind kind, const char *key);

static inline bool figure_is_text(const struct figure *figure)
{
	return figure->text != NULL || figure->words != 0;
}

/* Value of a row that is neither text nor list: NAN where there is none. */
double figure_number(const struct figure *figure, const struct check_result *result,
                     struct item_ref item);

/* Value of a text row: NULL where there is none. */
const char *figure_text(const struct figure *figure, const struct check_result *result,
                        struct item_ref item);

/* Drivers, strips, cables, switches, blocks: the order of every format. */
extern const enum kind figure_order[KIND__END];

const char *item_id(const struct job *job, struct item_ref item);

#endif
