/* A job as the oracles see it: what its file says, and the resistances, cut units and laws that
 * follow, worked out here once more from the published tables and the design's formulas (nothing of
 * src/model, src/reference or src/solve is used). One plan gives the YAML text for Farend and, in
 * spice.h, the same network for ngspice. */
#ifndef FAREND_TESTS_ORACLE_PLAN_H
#define FAREND_TESTS_ORACLE_PLAN_H

#include "base/arena.h"

#include <stdint.h>
#include <stdio.h>

#define PLAN_MARKS 8             /* most terminals of one strip */
#define PLAN_NONE SIZE_MAX

/* A quantity as written and in SI. An empty text is not written at all. */
struct said { char text[48]; double si; };

/* `value` of `unit`, which is `factor` in SI: said("mm", 1e-3, 850) */
struct said said(const char *unit, double factor, double value);

struct plan_type {               /* of strips */
	struct said voltage, power, cut_length, reel, loop, copper, rail_width, series_leds, knee,
		regulates;
};

struct plan_strip {
	size_t type;
	struct said length;
	bool channel;                /* `length` is that of the channel */
	struct said power;           /* of its own, over the type's */
	size_t driver;
	size_t fed_by;               /* nearest switch on the way to the driver, or PLAN_NONE */
	/* derived */
	double pitch, section_ohm, amps, v_knee, v_full;
	bool regulated;
	size_t units;
	size_t marks[PLAN_MARKS];    /* its terminals, in cut units from the start: 0, taps, units */
	size_t nodes[PLAN_MARKS];
	size_t mark_count;
	size_t first_unit;           /* node of its first cut unit; the others follow */
};

struct plan_switch {
	struct said max_current, max_power, on_resistance, voltage_drop;
	size_t above;                /* next switch on the way to the driver, or PLAN_NONE */
	double ohm;
	size_t in, out;              /* nodes */
};

struct plan_driver {
	struct said voltage, power, set_voltage, output_resistance;
	double set_v, ohm;
	size_t node;
};

struct plan_block { size_t node; };

enum plan_kind { AT_DRIVER, AT_BLOCK, AT_IN, AT_OUT, AT_STRIP };

struct plan_end {
	enum plan_kind kind;
	size_t item;
	size_t mark;                 /* strips */
	double off_mark;             /* strips: how far beside a tap's mark it is written, m */
};

struct plan_cable {
	struct plan_end from, to;
	struct said length;
	size_t size;                 /* row of plan_sizes */
	bool solid;
	const char *joint;           /* NULL, "solder", ... */
	struct said joint_resistance;
	size_t driver;
	double joint_ohm, ohm;       /* `ohm` holds both */
	size_t a, b;                 /* nodes */
};

struct plan {
	struct arena *arena;
	struct said ambient;
	struct plan_type *types;      size_t type_count, type_capacity;
	struct plan_strip *strips;    size_t strip_count, strip_capacity;
	struct plan_switch *switches; size_t switch_count, switch_capacity;
	struct plan_driver *drivers;  size_t driver_count, driver_capacity;
	struct plan_block *blocks;    size_t block_count, block_capacity;
	struct plan_cable *cables;    size_t cable_count, cable_capacity;
	size_t node_count;           /* all terminals, then all cut units */
	size_t unit_count;
	bool bridged;                /* something is reached through two different switches */
};

extern const char *const plan_sizes[];
extern const size_t plan_size_count;
extern const size_t plan_size_solid;     /* rows from here on exist as solid too */

void plan_init(struct plan *plan, struct arena *arena, struct said ambient);
size_t plan_add_type(struct plan *plan, struct plan_type type);
/* Units are known after this, so that taps can be placed. */
size_t plan_add_strip(struct plan *plan, struct plan_strip strip);
size_t plan_add_switch(struct plan *plan, struct plan_switch s);
size_t plan_add_driver(struct plan *plan, struct plan_driver driver);
size_t plan_add_block(struct plan *plan);
size_t plan_add_cable(struct plan *plan, struct plan_cable cable);

/* Works out every derived figure and numbers the nodes. To be called again after a change. */
void plan_derive(struct plan *plan);

/* Length of one cut unit, and how many a strip of this type and length has. */
double plan_pitch(const struct plan_type *type);
size_t plan_units(const struct plan *plan, const struct plan_strip *strip);

/* The job file. `shuffle` 0 writes groups and items in order, else in one of many others. */
void plan_write_yaml(const struct plan *plan, uint64_t shuffle, FILE *out);

#endif
