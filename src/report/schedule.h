/* What goes where: the wiring schedule as plain rows, computed once from a checked job, and its
 * renderers. Cables run outward from the drivers, `near` end first, whatever way the job wrote them. */
#ifndef FAREND_REPORT_SCHEDULE_H
#define FAREND_REPORT_SCHEDULE_H

#include "report/report.h"

#define FEEDS_NAMED 6            /* strips that a cable's feeds name; of more, one fewer and a count */

/* Strips that lie behind a cable: the first of them in the job's order, and how many. */
struct schedule_feeds {
	size_t strips[FEEDS_NAMED];
	size_t count;
};

struct schedule_cable {
	size_t cable;                /* index in the job */
	const char *place;           /* where it is pulled from; NULL: not said */
	bool reached;                /* a driver reaches it */
	size_t near, far;            /* terminals; `near` is the one nearer the driver */
	double cut_m;                /* length with slack */
	double amps, drop_v, drop;   /* magnitudes, all on; drop is a share of the nominal voltage */
	size_t fuse;                 /* the cable whose fuse guards it, or NO_INDEX: the driver does */
	size_t driver;               /* of its network, or NO_INDEX: none, or several */
	bool unprotected;            /* a caution of the checks says that this is not enough */
	struct schedule_feeds feeds;
};

struct schedule_strip {
	double near_v, far_v;        /* highest at a terminal; lowest anywhere */
	double far_m;                /* where that is, from the start */
};

struct schedule_switch {
	struct item_ref *strips;     /* that it lights */
	size_t strip_count;
	double limit_a;
};

struct schedule_port {
	size_t block, port;          /* port counts from 1, the one nearest the driver first */
	size_t last;                 /* the same, or the last of several that are free */
	size_t cable;                /* place in `cables`, or NO_INDEX: free */
	bool missing;                /* more cables than ports */
};

struct schedule_driver {
	double input_w;              /* from the mains, all on; NAN without figures */
	double input_low_a, input_high_a;       /* at the ends of its mains range; NAN: not said */
};

/* One sort of part, with what another must have in common with it. */
struct schedule_part {
	enum kind kind;
	const char *match;
	struct item_ref *items;
	size_t item_count, item_capacity;
};

struct schedule {
	const struct check_result *check;
	enum length_system lengths;  /* that people are shown the job in */
	/* in the order of pulling: by place, outward; what no driver reaches comes last */
	struct schedule_cable *cables;
	struct schedule_strip *strips;           /* these three by the job's indices */
	struct schedule_switch *switches;
	struct schedule_driver *drivers;
	struct schedule_port *ports;
	size_t port_count;
	struct schedule_part *parts;
	size_t part_count, part_capacity;
};

void schedule_build(struct schedule *schedule, const struct check_result *check, struct arena *arena);

/* Parts of schedule_build(): order, ends and feeds of the cables; what a replacement must match. */
void schedule_order(struct schedule *schedule, struct arena *arena);
void schedule_find_parts(struct schedule *schedule, struct arena *arena);

/* Texts that every format shares. */
const char *schedule_place(const struct schedule_cable *cable);          /* heading of its group */
const char *schedule_end(const struct schedule *schedule, size_t terminal);
const char *schedule_protection(struct arena *arena, const struct schedule *schedule,
                                const struct schedule_cable *cable);
/* With what is slack, and whether it came with a part. */
const char *schedule_length(struct arena *arena, const struct schedule *schedule,
                            const struct schedule_cable *cable);
/* With colours and note, where the job has them. */
const char *schedule_polarity(struct arena *arena, const struct schedule *schedule,
                              const struct schedule_cable *cable);
const char *schedule_feeds_text(struct arena *arena, const struct schedule *schedule,
                                const struct schedule_feeds *feeds);

void schedule_text(struct buf *out, const struct check_result *result, const struct style *style);
void schedule_csv(struct buf *out, const struct check_result *result, const struct style *style);
void schedule_json(struct buf *out, const struct check_result *result, const struct style *style);
void schedule_html(struct buf *out, const struct check_result *result, const struct style *style);

/* What schedule_html() consists of, each a <section>, for pages that contain more. */
void schedule_html_cables(struct buf *out, const struct schedule *schedule);
void schedule_html_strips(struct buf *out, const struct schedule *schedule);
void schedule_html_switches(struct buf *out, const struct schedule *schedule);
void schedule_html_ports(struct buf *out, const struct schedule *schedule);
void schedule_html_drivers(struct buf *out, const struct schedule *schedule);
void schedule_html_mains(struct buf *out, const struct schedule *schedule);
void schedule_html_power_up(struct buf *out, const struct schedule *schedule);
void schedule_html_parts(struct buf *out, const struct schedule *schedule);
/* All of these, in this order. */
void schedule_html_sections(struct buf *out, const struct schedule *schedule);

/* Two labels for each cable, one for either end. */
void labels_html(struct buf *out, const struct check_result *result, const struct style *style);
void labels_csv(struct buf *out, const struct check_result *result, const struct style *style);

#endif
