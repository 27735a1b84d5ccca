/* One job as plain data: what the file says, with places, and what follows from it without solving.
 * Items are arrays with indices; nothing here knows text formats or equations of networks. */
#ifndef FAREND_MODEL_JOB_H
#define FAREND_MODEL_JOB_H

#include "base/arena.h"
#include "base/hash.h"
#include "model/attribute.h"
#include "model/unit_law.h"

#define NO_INDEX SIZE_MAX

/* Start of every item and type. */
struct item {
	const char *id;
	struct place at;             /* of the id in the file */
	enum kind kind;
	const char *type_name;       /* its type's id, or NULL */
	struct attr type, place, note, part, price, colour, pack;
};

enum ballast { BALLAST_RESISTOR, BALLAST_CONSTANT_CURRENT };
enum mount { MOUNT_TIMBER, MOUNT_ALUMINIUM };

struct strip {
	struct item item;
	struct attr voltage, power, cut_length, length, channel, reel, loop_resistance, copper, rail_width,
		reel_test, piece_test, ballast, regulates_above, series_leds, led_knee, max_run, max_current,
		tail, lumens, mount, view;
	/* derived */
	double pitch;                /* m per cut unit */
	size_t units;
	double metres;               /* units * pitch: what every figure uses */
	double power_w_per_m;        /* label, or as a reel or piece test found it */
	double loop_ohm_per_m;       /* both rails, at the ambient where it came from copper */
	bool loop_measured, power_measured, knee_measured;   /* by a bench test, not from the label */
	bool loop_from_copper;       /* then it is at the ambient */
	struct unit_law law;
	size_t terminal;             /* .start; .end is the next one */
	size_t *taps;                /* terminals, by ascending mark */
	size_t tap_count, tap_capacity;
};

struct switch_item {
	struct item item;
	struct attr max_current, max_power, voltage, on_resistance, voltage_drop, min_load, kind;
	/* derived */
	double on_ohm;
	size_t terminal;             /* .in; .out is the next one */
};

struct block {
	struct item item;
	struct attr ports, max_current, port_current;
	size_t terminal;
};

struct driver {
	struct item item;
	struct attr voltage, power, max_current, set_voltage, output_resistance, efficiency, derating,
		trip_current, selv, class_2, enclosed, min_load, inrush, mains;
	/* derived */
	double rated_a;
	double set_v;
	double trip_a;
	double derate;               /* fraction of the rating at the job's ambient */
	size_t terminal;
};

struct cable {
	struct item item;
	struct attr from, to, length, size, rating, insulation, joint, joint_resistance, joint_current,
		fuse, slack, stranding, supplied;
	/* derived */
	size_t a, b;                 /* terminals of from and to */
	double copper_ohm;           /* loop, at the ambient */
	double joint_ohm;
	double ohm;                  /* copper + joints */
	double iz;                   /* rating at the ambient, A */
	double joint_a;              /* most the joints take, INFINITY where unsaid */
};

enum which { WHICH_ONLY, WHICH_START, WHICH_END, WHICH_TAP, WHICH_IN, WHICH_OUT };

struct terminal {
	enum kind kind;
	size_t item;                 /* index in its kind's array */
	enum which which;
	size_t mark;                 /* strips: cut units from the start */
	const char *name;            /* "L1.start", "S1.in", "B1", "L2@1.20m" */
};

/* limits: keys, in the order of attributes_limits */
enum limit {
	LIMIT_HEADROOM, LIMIT_DROP, LIMIT_DROP_FAIL, LIMIT_LIGHT, LIMIT_LIGHT_FAIL, LIMIT_EVENNESS,
	LIMIT_MISMATCH, LIMIT_DIP, LIMIT_OVERVOLTAGE, LIMIT_OVERVOLTAGE_FAIL, LIMIT_TIMBER_POWER,
	LIMIT_MIN_SIZE, LIMIT_SIZES, LIMIT__END
};

struct job {
	struct arena *arena;
	struct attr name, ambient, site, revision, date, drawn_by, currency, note;
	struct attr limits[LIMIT__END];
	struct driver *drivers;      size_t driver_count;
	struct switch_item *switches; size_t switch_count;
	struct block *blocks;        size_t block_count;
	struct strip *strips;        size_t strip_count;
	struct cable *cables;        size_t cable_count;
	struct terminal *terminals;  size_t terminal_count, terminal_capacity;
	/* every type, in-file and catalogue, per kind: arrays of that kind's struct */
	void *types[KIND__END];      size_t type_count[KIND__END];
};

/* Item `index` of a kind, how many there are, and the size of its struct. */
struct item *job_item(const struct job *job, enum kind kind, size_t index);
size_t job_count(const struct job *job, enum kind kind);
size_t kind_size(enum kind kind);

/* Fills unset attributes with their rows' defaults (ORIGIN_ASSUMED). */
void item_assume(enum kind kind, void *item);
/* The same for `job:` and `limits:`. */
void job_assume(struct job *job);
/* Copies from `type` every attribute that `item` does not say itself, as `origin`. */
void item_inherit(enum kind kind, void *item, const void *type, enum origin origin);

/* What follows from one item's own attributes; needs valid attributes, defaults filled. */
void strip_derive(struct strip *strip, double ambient_c);
void switch_derive(struct switch_item *s);
void driver_derive(struct driver *driver, double ambient_c);
void cable_derive(struct cable *cable, double ambient_c);
/* Another size (a row of wire_sizes), and what follows from it; a stated rating was of the old one. */
void cable_resize(struct cable *cable, size_t wire, double ambient_c);
/* All of them. */
void job_derive(struct job *job);

/* What a reel test says of its strip: loop resistance (ohm/m) and true power (W/m at nominal voltage).
 * False when no strip with the knee of its law can give such readings. */
bool reel_test_solve(const struct strip *strip, double *loop_ohm_per_m, double *power_w_per_m);

/* What a piece test says: the voltage of the knee; then, with that knee in the law and the loop
 * resistance known, the true power. False when no piece of the strip can give such readings. */
bool piece_test_knee(const struct strip *strip, double *knee);
bool piece_test_power(const struct strip *strip, double *power_w_per_m);

/* Cut units in a length: one that is at most 2 % short is still there. */
size_t strip_units_in(const struct strip *strip, double metres);

/* Numbers the fixed terminals of all items: call once, after strips are derived. */
void job_number_terminals(struct job *job);
/* The same for one strip that was added later. */
void job_number_strip(struct job *job, size_t strip);
/* The terminal of a strip at a cut mark: .start at 0, .end at the last, else a tap made on demand. */
size_t job_tap(struct job *job, size_t strip, size_t mark);

/* A terminal of an item: a cable's `from`, the first of an item that has two. */
size_t item_terminal(const struct job *job, enum kind kind, size_t index);

double job_limit(const struct job *job, enum limit limit);

/* The system that one length was written in; metric where nobody wrote it. */
enum length_system attr_lengths(const struct attr *length);
/* The one that people are shown this job's lengths in: inches and feet where more of its lengths (of strips,
 * channels and cables) are written so than not. Looks at every item: ask once for a page. */
enum length_system job_lengths(const struct job *job);

#endif
