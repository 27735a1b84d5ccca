/* The solver against worked examples of direct-current distributors, after V. K. Mehta, Principles
 * of Power System, ch. 13 ("D.C. Distribution"), by the numbers of that chapter. Voltages of
 * hundreds and currents of tens of amperes: Ohm's law does not mind.
 *
 * `printed` is the book's answer with a tolerance of its last digit; `exact` was worked out again
 * by hand. Where the book is wrong (13.20 and the second half of 13.24) only the corrected answer
 * stands. Lengths in m, resistances out and back. A span with `amps` is loaded uniformly with that
 * total. */
#include "solve/network.h"

#include "oracle/oracle.h"

#define NO_PRINT NAN
#define UNITS 1000               /* of a uniformly loaded span */

enum figure {
	VOLTS,                       /* at node `at` */
	AMPS,                        /* in span `at` where it leaves its node a */
	LOSS,                        /* in all spans, W */
	LOWEST                       /* lowest voltage anywhere on uniformly loaded spans */
};
struct want { enum figure what; size_t at; double printed, tolerance, exact; };

static const struct example {
	const char *name;
	double set_v;                /* node 0; `other_v` at node 1 unless 0 */
	double other_v;
	struct { uint32_t a, b; double ohm, amps; } spans[8];     /* ends at ohm 0 */
	double load[8];              /* by node */
	struct want wants[8];        /* ends at exact 0 */
} examples[] = {
	{ "13.1 points, one end", 300, 0,
	  { { 0, 2, 0.01, 0 }, { 2, 3, 0.01, 0 }, { 3, 4, 0.012, 0 }, { 4, 5, 0.008, 0 } },
	  { 0, 0, 100, 150, 200, 50 },
	  { { VOLTS, 2, 295, 0.5, 295 }, { VOLTS, 3, 291, 0.5, 291 }, { VOLTS, 4, 288, 0.5, 288 },
	    { VOLTS, 5, 287.6, 0.05, 287.6 }, { AMPS, 0, 500, 0.5, 500 } } },
	{ "13.2 conductor of 1.164 cm2 for 10 V", 250, 0,
#define R13_2(metres) (2 * 1.78e-8 / 1.1641e-4 * (metres))
	  { { 0, 2, R13_2(40), 0 }, { 2, 3, R13_2(60), 0 }, { 3, 4, R13_2(50), 0 },
	    { 4, 5, R13_2(100), 0 } },
	  { 0, 0, 30, 40, 100, 50 },
	  { { VOLTS, 5, 240, 0.01, 250 - 2 * 1.78e-8 / 1.1641e-4 * 32700 } } },
	{ "13.3 two trams", 600, 0,
	  { { 0, 2, 2 * 0.28, 0 }, { 2, 3, 4 * 0.28, 0 } }, { 0, 0, 40, 20 },
	  { { VOLTS, 2, 566.4, 0.05, 566.4 }, { VOLTS, 3, 544, 0.05, 544 } } },
	{ "13.4 points from resistivity and area", 250, 0,   /* the book rounds 0.0659 to 0.066 ohm */
#define R13_4(metres) (2 * 1.78e-8 / 0.27e-4 * (metres))
	  { { 0, 2, R13_4(75), 0 }, { 2, 3, R13_4(100), 0 }, { 3, 4, R13_4(50), 0 } },
	    { 0, 0, 12, 15, 20 },
	  { { VOLTS, 2, 245.35, 0.02, 250 - 47 * R13_4(75) },
	    { VOLTS, 3, 240.73, 0.02, 250 - 47 * R13_4(75) - 35 * R13_4(100) },
	    { VOLTS, 4, 239.41, 0.02, 250 - 47 * R13_4(75) - 35 * R13_4(100) - 20 * R13_4(50) } } },
	{ "13.5 uniform, one end", 100, 0,
	  { { 0, 2, 0.09, 300 }, { 2, 3, 0.03, 100 } }, { 0 },
	  { { VOLTS, 2, 77.5, 0.05, 77.5 }, { VOLTS, 3, 76, 0.05, 76 } } },
	{ "13.6 conductor of 1.7 cm2 for 10 V", 230, 0,
	  { { 0, 2, 2 * 1.7e-8 / 1.7e-4 * 500, 200 } }, { 0 }, { { VOLTS, 2, 220, 0.05, 220 } } },
	{ "13.7 uniform, 250 V at the far end", 270, 0,
	  { { 0, 2, 0.05, 200 }, { 2, 3, 0.05, 200 } }, { 0 }, { { VOLTS, 3, 250, 0.5, 250 } } },
	{ "13.7 uniform, 250 V at the middle", 265, 0,
	  { { 0, 2, 0.05, 200 }, { 2, 3, 0.05, 200 } }, { 0 }, { { VOLTS, 2, 250, 0.5, 250 } } },
	{ "13.9 uniform, loss", 250, 0,
	  { { 0, 2, 0.036, 150 }, { 2, 3, 0.018, 75 } }, { 0 },
	  { { VOLTS, 2, 244.6, 0.05, 244.6 }, { LOSS, 0, 911.25, 0.005, 911.25 } } },
	{ "13.10 points, both ends alike", 220, 220,
	  { { 0, 2, 0.034, 0 }, { 2, 3, 0.051, 0 }, { 3, 4, 0.051, 0 }, { 4, 5, 0.034, 0 },
	    { 5, 1, 0.034, 0 } },
	  { 0, 0, 20, 40, 50, 30 },
	  { { VOLTS, 4, 215.69, 0.005,
	    220 - 370 / 6.0 * 0.034 - 250 / 6.0 * 0.051 - 10 / 6.0 * 0.051 },
	    { AMPS, 0, 61.67, 0.005, 370 / 6.0 }, { AMPS, 2, 1.67, 0.005, 10 / 6.0 },
	    { AMPS, 4, -78.33, 0.005, -470 / 6.0 } } },
	{ "13.11 points, unequal ends", 230, 235,
	  { { 0, 2, 0.03, 0 }, { 2, 3, 0.015, 0 }, { 3, 4, 0.015, 0 }, { 4, 5, 0.03, 0 },
	    { 5, 1, 0.03, 0 } },
	  { 0, 0, 25, 50, 30, 40 },
	  { { VOLTS, 3, 228.875, 0.0005, 228.875 }, { AMPS, 0, 33.33, 0.005, 100 / 3.0 },
	    { AMPS, 1, 8.33, 0.005, 25 / 3.0 }, { AMPS, 2, -41.67, 0.005, -125 / 3.0 },
	    { AMPS, 3, -71.67, 0.005, -215 / 3.0 }, { AMPS, 4, -111.67, 0.005, -335 / 3.0 } } },
	{ "13.12 points, unequal ends, loss", 440, 430,
	  { { 0, 2, 0.03, 0 }, { 2, 3, 0.03, 0 }, { 3, 4, 0.01, 0 }, { 4, 5, 0.02, 0 },
	    { 5, 1, 0.03, 0 } },
	  { 0, 0, 100, 200, 250, 300 },
	  { { AMPS, 0, 437.5, 0.05, 437.5 }, { AMPS, 4, -412.5, 0.05, -412.5 },
	    { LOSS, 0, 14706, 0.5, 14706.25 } } },
	{ "13.13 moving load where it is lowest", 600, 590,    /* the book goes on with 3.42 km */
#define KM13_13 (41 / 12.0)
	  { { 0, 2, 0.04 * KM13_13, 0 }, { 2, 1, 0.04 * (6 - KM13_13), 0 } }, { 0, 0, 300 },
	  { { AMPS, 0, 170.7, 0.2, 170 + 5 / 6.0 }, { AMPS, 1, -129.3, 0.2, -129 - 1 / 6.0 },
	    { VOLTS, 2, NO_PRINT, 0, 600 - (170 + 5 / 6.0) * 0.04 * KM13_13 } } },
	{ "13.14 uniform, both ends alike", 220, 220,
	  { { 0, 2, 0.05, 250 }, { 2, 1, 0.05, 250 } }, { 0 },
	  { { VOLTS, 2, 213.75, 0.005, 213.75 }, { LOWEST, 0, 213.75, 0.005, 213.75 } } },
	{ "13.15 uniform, unequal ends", 255, 250,
	  { { 0, 2, 0.06, 300 }, { 2, 1, 0.04, 200 } }, { 0 },
	  { { VOLTS, 2, 246, 0.5, 246 }, { LOWEST, 0, 246, 0.5, 246 }, { AMPS, 0, 300, 0.5, 300 },
	    { AMPS, 1, 0, 0.5, 1e-300 } } },
	{ "13.16 uniform, its lowest point given", 232.65625, 227.65625,   /* printed 232.66, 227.66 V */
	  { { 0, 2, 0.045, 562.5 }, { 2, 1, 0.035, 437.5 } }, { 0 },
	  { { VOLTS, 2, 220, 0.01, 220 }, { LOWEST, 0, 220, 0.01, 220 },
	    { AMPS, 0, NO_PRINT, 0, 562.5 } } },
	{ "13.17 uniform, both ends alike", 220, 220,
	  { { 0, 2, 0.05, 625 }, { 2, 1, 0.05, 625 } }, { 0 },
	    { { VOLTS, 2, 204.37, 0.006, 204.375 } } },
	{ "13.19 points and uniform, one end", 400, 0,
	  { { 0, 2, 0.02, 100 }, { 2, 3, 0.03, 150 }, { 3, 4, 0.03, 150 }, { 4, 5, 0.01, 50 } },
	  { 0, 0, 50, 100, 150 },
	  { { VOLTS, 5, 361.75, 0.005, 361.75 }, { VOLTS, 3, 370.25, 0.005, 370.25 } } },
	{ "13.20 points and uniform, both ends; the book's own answer breaks Kirchhoff's law", 240, 240,
	  { { 0, 2, 0.02, 100 }, { 2, 3, 0.02, 100 }, { 3, 4, 0.03, 150 }, { 4, 5, 0.02, 100 },
	    { 5, 1, 0.01, 50 } },
	  { 0, 0, 120, 60, 100, 40 },
	  { { AMPS, 0, NO_PRINT, 0, 416 }, { VOLTS, 3, NO_PRINT, 0, 229.76 },
	    { LOWEST, 0, NO_PRINT, 0, 229.76 - 36 * 36 / 0.5 * 1e-4 / 2 } } },    /* 72 m on,
	    at 472 m */
	{ "13.21 points and part uniform, both ends", 240, 240,
	  { { 0, 2, 0.1, 0 }, { 2, 3, 0.15, 0 }, { 3, 4, 0.05, 0 }, { 4, 1, 0.2, 200 } },
	    { 0, 0, 100, 60 },
	  { { VOLTS, 3, 217.5, 0.05, 217.5 }, { VOLTS, 4, NO_PRINT, 0, 218 },
	    { AMPS, 0, NO_PRINT, 0, 150 } } },
	{ "13.22 ring", 240, 0,
	  { { 0, 2, 0.09, 0 }, { 2, 3, 0.03, 0 }, { 3, 0, 0.06, 0 } }, { 0, 0, 120, 80 },
	  { { AMPS, 0, 86.67, 0.005, 260 / 3.0 }, { AMPS, 1, -33.33, 0.005, -100 / 3.0 },
	    { AMPS, 2, -113.33, 0.005, -340 / 3.0 }, { VOLTS, 2, 232.2, 0.05, 232.2 },
	    { VOLTS, 3, 233.2, 0.05, 233.2 } } },
	{ "13.23 ring, four loads", 220, 0,
	  { { 0, 2, 0.1, 0 }, { 2, 3, 0.05, 0 }, { 3, 4, 0.01, 0 }, { 4, 5, 0.025, 0 },
	    { 5, 0, 0.075, 0 } },
	  { 0, 0, 10, 20, 30, 10 },
	  { { AMPS, 0, 29.04, 0.005, 755 / 26.0 }, { AMPS, 1, 19.04, 0.005, 495 / 26.0 },
	    { AMPS, 2, -0.96, 0.005, -25 / 26.0 }, { AMPS, 3, -30.96, 0.005, -805 / 26.0 },
	    { AMPS, 4, -40.96, 0.005, -1065 / 26.0 },
	    { VOLTS, 3, NO_PRINT, 0, 220 - (75.5 + 24.75) / 26 } } },
	{ "13.24 ring", 250, 0,
#define I13_24 (27.95 / 0.083)
	  { { 0, 2, 0.02, 0 }, { 2, 3, 0.018, 0 }, { 3, 4, 0.025, 0 }, { 4, 0, 0.02, 0 } },
	    { 0, 0, 150, 300, 250 },
	  { { VOLTS, 2, 243.265, 0.0005, 250 - I13_24 * 0.02 },
	    { VOLTS, 3, 239.903, 0.001, 250 - I13_24 * 0.02 - (I13_24 - 150) * 0.018 },
	    { VOLTS, 4, 242.735, 0.0005, 250 - (700 - I13_24) * 0.02 } } },
	{ "13.24 ring with A to C joined; the book rounds 0.0206 to 0.02 ohm", 250, 0,
	  /* node C alone, y = 250 - VC: the loads at B and D count there by the lever of their
	   * distances from A */
#define Y13_24 ((300 + 150 * 0.02 / 0.038 + 250 * 0.02 / 0.045) / (1 / 0.02 + 1 / 0.038 + 1 / 0.045))
	  { { 0, 2, 0.02, 0 }, { 2, 3, 0.018, 0 }, { 3, 4, 0.025, 0 }, { 4, 0, 0.02, 0 },
	    { 0, 3, 0.02, 0 } },
	  { 0, 0, 150, 300, 250 },
	  { { VOLTS, 2, 245.961, 0.0005, 250 - (Y13_24 + 150 * 0.018) * 0.02 / 0.038 },
	    { VOLTS, 3, 245.027, 0.0005, 250 - Y13_24 },
	    { VOLTS, 4, 245.012, 0.0005, 250 - (Y13_24 + 250 * 0.025) * 0.02 / 0.045 },
	    { AMPS, 4, 248.66, 0.005, Y13_24 / 0.02 } } },
	{ "13.25 ring with B to D joined", 100, 0,
	  { { 0, 2, 0.075, 0 }, { 2, 3, 0.025, 0 }, { 3, 4, 0.01, 0 }, { 4, 5, 0.05, 0 },
	    { 5, 0, 0.1, 0 },
	    { 2, 4, 0.05, 0 } },
	  /* Thevenin at B, D: the open ring leaves 0.035 I - 0.65 V there with I = 10.65 / 0.26 A */
	  { 0, 0, 10, 30, 20, 10 },
	  { { AMPS, 5, 9.8, 0.05,
	    (0.035 * 10.65 / 0.26 - 0.65) / (0.035 * 0.225 / 0.26 + 0.05) } } },
	{ "question bank: two loads, one end", 500, 0,
	  { { 0, 2, 0.08, 0 }, { 2, 3, 0.08, 0 } }, { 0, 0, 100, 200 },
	  { { VOLTS, 2, 476, 0.5, 476 }, { VOLTS, 3, 460, 0.5, 460 } } },
};

static void build(struct network *net, struct arena *arena, const struct example *e)
{
	network_init(net, arena, e->set_v);
	for (size_t i = 0; i < COUNT_OF(e->load); i++)
		network_add_node(net);
	network_fix(net, 0, 0);
	for (size_t i = 0; i < COUNT_OF(e->load); i++)
		if (e->load[i] > 0)
			network_add_load(net, (uint32_t)i, e->load[i]);
	bool joined[COUNT_OF(e->load)] = { true };
	for (size_t i = 0; e->spans[i].ohm > 0; i++) {
		uint32_t a = e->spans[i].a, b = e->spans[i].b;
		struct unit_law law = { e->spans[i].amps / UNITS, 1, 2, true };
		joined[a] = joined[b] = true;
		if (law.amps > 0)
			network_add_chain(net, a, b, UNITS, e->spans[i].ohm / UNITS, law);
		else
			network_add_branch(net, a, b, e->spans[i].ohm);
	}
	/* Every node must have a way to a held one: what the example does not use is held itself.
	 */
	for (size_t i = 1; i < COUNT_OF(e->load); i++)
		if (!joined[i] || (i == 1 && e->other_v > 0))
			network_fix(net, (uint32_t)i, joined[i] ? e->set_v - e->other_v : 0);
}

/* Branches and chains are counted apart by the solver; spans count both. */
static double span_amps(const struct example *e, const struct net_solution *s, size_t at)
{
	size_t chains = 0;
	for (size_t i = 0; i < at; i++)
		chains += e->spans[i].amps > 0;
	return e->spans[at].amps > 0 ? s->chain_a[chains] : s->branch_a[at - chains];
}

static double lowest(const struct network *net, const struct net_solution *s)
{
	double most = 0;
	for (size_t i = 0; i < net->unit_count; i++)
		most = fmax(most, s->unit_drop[i]);
	return net->set_v - most;
}

/* What goes into the spans and does not come out again at the loads. */
static double loss(const struct network *net, const struct net_solution *s)
{
	double watts = 0;
	for (size_t i = 0; i < net->branch_count; i++)
		watts += s->branch_a[i] * s->branch_a[i] * net->branches[i].ohm;
	for (size_t i = 0; i < net->chain_count; i++) {
		const struct net_chain *chain = &net->chains[i];
		watts += (net->set_v - s->node_drop[chain->a]) * s->chain_a[i] +
		         (net->set_v - s->node_drop[chain->b]) * s->chain_b[i];
		for (size_t k = chain->first; k < chain->first + chain->units; k++)
			watts -= (net->set_v - s->unit_drop[k]) * s->unit_amps[k];
	}
	return watts;
}

static double read_figure(const struct example *e, const struct network *net,
                          const struct net_solution *s, const struct want *want)
{
	switch (want->what) {
	case VOLTS:
		return net->set_v - s->node_drop[want->at];
	case AMPS:
		return span_amps(e, s, want->at);
	case LOSS:
		return loss(net, s);
	case LOWEST:
		break;
	}
	return lowest(net, s);
}

/* Figures that a finite number of units cannot meet to the last digit: the loss goes with 1 /
 * UNITS^2, the lowest unit is half a pitch beside the lowest point. */
static double exact_tolerance(const struct want *want)
{
	if (want->what == LOSS)
		return 1e-6 * want->exact;
	if (want->what == LOWEST)
		return 1e-5;
	return 1e-9 * fmax(1, fabs(want->exact));
}

static void the_book_is_met(void **state)
{
	(void)state;
	for (size_t i = 0; i < COUNT_OF(examples); i++) {
		const struct example *e = &examples[i];
		struct arena *arena = arena_new();
		struct network net;
		struct net_solution s;

		build(&net, arena, e);
		network_solve(&net, arena, &s);
		assert_true(s.converged);
		assert_true(e->wants[0].exact != 0);
		for (size_t w = 0; w < COUNT_OF(e->wants) && e->wants[w].exact != 0; w++) {
			const struct want *want = &e->wants[w];
			double got = read_figure(e, &net, &s, want);
			if (!isnan(want->printed))
				assert_within(e->name, got, want->printed, want->tolerance);
			assert_within(e->name, got, want->exact, exact_tolerance(want));
		}
		arena_free(arena);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(the_book_is_met),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
