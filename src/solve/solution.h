/* The solved job: figures per item, for the design case (all switches on) and the worst of the
 * operating cases. Indices are the job's. What no driver reaches, or is not lit in the one state that was
 * asked for, is not `live` and has no figures. */
#ifndef FAREND_SOLVE_SOLUTION_H
#define FAREND_SOLVE_SOLUTION_H

#include "model/job.h"

/* One connected network with every switch on. */
struct circuit {
	size_t driver;               /* its driver, NO_INDEX when it has none or several */
	size_t driver_count;
	size_t item_count;           /* items joined in it, cables not counted */
	bool solved;                 /* exactly one driver, and converged */
};

struct driver_result {
	bool live;                   /* its network was solved */
	double output_v, output_a, output_w, nameplate_w, load_w;
	double worst_w, worst_a;     /* largest over the cases, of label watts and output, in W and in A */
	double least_w;              /* smallest output over the cases */
};

struct strip_result {
	bool live;
	double current_a, power_w;   /* of its cut units */
	double v_min, v_max;         /* at units */
	double drop;                 /* (set voltage - v_min) / nominal */
	double light_min, light_max, light_mean;
	double v_max_worst;          /* highest unit voltage over the cases */
	bool has_dip;
	double dip;                  /* largest over the switches that light it */
	size_t dip_switch;           /* which switch that was */
	const double *light;         /* size units: light of each unit from the start on */
	const double *volts;         /* size units */
};

struct cable_result {
	bool live;
	double amps;                 /* from -> to */
	double v_from, v_to;
	double loss_w;
	double worst_a;              /* largest |amps| over the cases */
	double fault_a;              /* NAN where no driver reaches it */
	bool from_nearer;            /* the `from` end is the one nearer the driver */
	bool in_loop;                /* current has another way round: part of a loop */
};

struct switch_result {
	bool live;
	double amps;                 /* in -> out */
	double drop_v;
	double worst_a;
	double least_a;              /* smallest |amps| over the cases in which it is on */
	size_t lit_zone;             /* zone_of_terminal of what it lights, NO_INDEX where it lights nothing */
};

struct block_result {
	bool live;
	double volts;
	double amps;                 /* sum of inflows */
	double worst_a;
};

struct terminal_result {
	double volts;                /* NAN when not live */
	double volts_low, volts_high;/* over the cases in which it is live */
	double inflow_a;             /* strips: net current into the strip here; worst_in_a over the cases */
	double worst_in_a;
};

struct solution {
	int iterations;              /* most of any network */
	double residual_a;           /* largest of any network */
	double balance_w;            /* largest of any network, as magnitude */
	size_t cut_units;            /* solved in the design case */
	bool converged;              /* every network */
	struct circuit *circuits;    size_t circuit_count;
	size_t *circuit_of_terminal; /* size terminal_count */
	size_t *zone_of_terminal;    /* what is joined with every switch off; size terminal_count */
	struct driver_result *drivers;
	struct strip_result *strips;
	struct cable_result *cables;
	struct switch_result *switches;
	struct block_result *blocks;
	struct terminal_result *terminals;
	/* cables by terminal: at_terminal[first_at[t] .. first_at[t+1]) are cable indices */
	size_t *first_at;            /* size terminal_count + 1 */
	size_t *at_terminal;
	/* upstream[c]: the cable whose protection lies next before cable c towards the driver (its fuse
	 * guards c too), NO_INDEX when only the driver does; loops are passed over as a whole */
	size_t *upstream;
};

/* Solves the design case and every operating case of every network. Lives in `arena`. */
struct solution *solve_job(const struct job *job, struct arena *arena);

/* One state of the switches (`on` has switch_count entries) instead of the design case and of all others:
 * every figure and worst figure is that state's, there is no dip. What the driver does not reach in it is
 * not live. fault_a, in_loop and upstream stay what they are with every switch on. */
struct solution *solve_job_in_state(const struct job *job, const bool *on, struct arena *arena);

/* The design case only (no dip, worst figures = design figures): for trying out changes. */
struct solution *solve_design_case(const struct job *job, struct arena *arena);

#endif
