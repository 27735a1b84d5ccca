/* What to buy for a job: one line for each part, counted from the items and the cutting list. */
#ifndef FAREND_ADVISE_PURCHASE_H
#define FAREND_ADVISE_PURCHASE_H

#include "advise/cut_list.h"

#define PURCHASE_SPARE 0.10      /* of cable; common practice, no source */

enum buy { BUY_STRIP, BUY_DRIVER, BUY_SWITCH, BUY_BLOCK, BUY_CABLE, BUY_CONNECTOR, BUY_FUSE, BUY__END };
const char *buy_word(enum buy buy);

struct buy_line {
	enum buy kind;
	const char *part;            /* order code, type, catalogue row, or what it is */
	const char *what;            /* its figures */
	struct item_ref *items;      /* that it is for */
	size_t item_count, item_capacity;
	struct item_ref matched;     /* the first that came to this part by its figures alone */
	size_t matched_count;
	double needed;               /* pieces, reels, or metres before the spare */
	const char *needed_unit;     /* "piece", "reel", "m" */
	double pack;                 /* of needed_unit in what one price buys; 0: sold singly, by the metre */
	double quantity;             /* to buy, of `unit`: quantity * price = total */
	const char *unit;            /* needed_unit, or "pack of 10", "pack of 25 m" */
	double price;                /* per unit; NAN where there is none */
	double total;                /* to the hundredth; NAN where there is no price */
};

struct purchase {
	struct buy_line *lines;      size_t line_count, line_capacity;
	double total;                /* of the lines with a price; NAN where none has one */
	size_t unpriced;             /* lines without */
	const char *currency;        /* as the job says, or NULL */
	double spare;                /* of cable, as a fraction */
	const char **notes;          size_t note_count, note_capacity;   /* what is not in the lines, and why */
};

/* Lives in `arena`. */
void purchase_make(const struct job *job, const struct cut_list *cuts, double spare,
                   struct arena *arena, struct purchase *out);

#endif
