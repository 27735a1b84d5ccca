/* Bench tests made by ngspice: what a meter would read at a strip on a bench is put into a job whose label
 * and knee are wrong, and the loop resistance, the watts and the knee that ngspice was given must come out
 * of it. No noise, so they come out to 1e-6. */
#include "oracle/oracle.h"
#include "oracle/spice.h"

#include "load/load.h"

#include <stdlib.h>

#define BENCHES 24
#define EXACT 1e-6

enum { REEL, LOW, HIGH, RUNS };

/* One strip in three set-ups: the whole of it, and a piece of it at two voltages. */
struct bench {
	double voltage, power, knee, regulates, pitch, loop;     /* the truth; regulates 0: resistors */
	size_t reel_units, piece_units;
	struct plan plans[RUNS];
};

static struct said exactly(const char *unit, double value)
{
	struct said s = { .si = value };
	snprintf(s.text, sizeof s.text, "%.17g %s", value, unit);
	return s;
}

/* A supply that reads `volts`, half a metre of cable, and so many units of the strip. */
static void set_up(struct plan *plan, struct arena *arena, const struct bench *b, double volts,
                   size_t units)
{
	plan_init(plan, arena, said("C", 1, 20));
	plan_add_driver(plan, (struct plan_driver){ .voltage = exactly("V", volts),
	                                            .power = said("W", 1, 100) });
	struct plan_type type = { .voltage = exactly("V", b->voltage), .power = exactly("W/m", b->power),
	                          .cut_length = exactly("m", b->pitch), .reel = exactly("m", 100 * b->pitch),
	                          .loop = exactly("ohm/m", b->loop), .knee = exactly("V", b->knee) };
	if (b->regulates > 0)
		type.regulates = exactly("V", b->regulates);
	plan_add_type(plan, type);
	plan_add_strip(plan, (struct plan_strip){ .length = exactly("m", (double)units * b->pitch),
	                                          .fed_by = PLAN_NONE });
	plan_add_cable(plan, (struct plan_cable){ .from = { .kind = AT_DRIVER }, .to = { .kind = AT_STRIP },
	                                          .length = said("mm", 1e-3, 500), .size = 5 });
	plan_derive(plan);
	assert_int_equal(plan->strips[0].units, units);
}

/* Rails such that the far end keeps at least half of what is above the knee. */
static double rails_for(const struct bench *b, struct chance *chance)
{
	double metres = (double)b->reel_units * b->pitch, amps = metres * b->power / b->voltage;
	double above = (b->regulates > 0 ? b->regulates : b->voltage) - b->knee;
	return chance_decades(chance, 0.02, 1) * fmin(0.8, above / (metres * amps));
}

static void draw(struct bench *b, struct arena *arena, uint64_t seed)
{
	static const double voltages[] = { 12, 24, 24, 5, 48 }, pitches[] = { 0.05, 0.025, 0.1, 5.0 / 120 };
	struct chance chance = { seed };
	b->voltage = voltages[chance_below(&chance, COUNT_OF(voltages))];
	b->power = chance_between(&chance, 4, 20);
	b->knee = b->voltage * chance_between(&chance, 0.55, 0.75);
	b->regulates = seed % 3 == 0 ? b->voltage * chance_between(&chance, 0.85, 0.95) : 0;
	b->pitch = pitches[chance_below(&chance, COUNT_OF(pitches))];
	b->reel_units = 5 + chance_below(&chance, 96);
	b->piece_units = 1 + chance_below(&chance, 8);
	b->loop = rails_for(b, &chance);
	double full = b->regulates > 0 ? b->regulates : b->voltage;
	double feed = b->voltage * chance_between(&chance, 0.98, 1.03);
	set_up(&b->plans[REEL], arena, b, feed, b->reel_units);
	set_up(&b->plans[LOW], arena, b, full - 0.4 * (full - b->knee), b->piece_units);
	set_up(&b->plans[HIGH], arena, b, full, b->piece_units);
}

static double feed_volts(const struct spice_run *run)
{
	return run->volts[run->plan->strips[0].nodes[0]];
}

static void add_reel_test(struct buf *out, const struct bench *b, const struct spice_run *run)
{
	buf_addf(out, ", reel_test: {length: %.17g m, feed: %.17g V, far: %.17g V, current: %.17g A}",
	         (double)b->reel_units * b->pitch, feed_volts(run),
	         run->volts[run->plan->strips[0].nodes[1]], run->source_a[0]);
}

static void add_piece_test(struct buf *out, const struct bench *b, const struct spice_run *runs)
{
	buf_addf(out, ", piece_test: {length: %.17g m, low: %.17g V, low_current: %.17g A, high: %.17g V, "
	         "high_current: %.17g A}", (double)b->piece_units * b->pitch, feed_volts(&runs[LOW]),
	         runs[LOW].source_a[0], feed_volts(&runs[HIGH]), runs[HIGH].source_a[0]);
}

/* A job with one strip of the type: its label is a tenth wrong. `said` is what else its type says. */
static struct strip read_strip(struct arena *arena, const struct bench *b, const char *said)
{
	struct buf text;
	struct diags diags;
	struct job *job;
	buf_init(&text, arena);
	diags_init(&diags, arena);
	buf_addf(&text, "strips:\n  L1: {voltage: %.17g V, power: %.17g W/m, cut_length: %.17g m, reel: %.17g m, "
	         "length: 3 m%s", b->voltage, 0.9 * b->power, b->pitch, 100 * b->pitch, said);
	if (b->regulates > 0)
		buf_addf(&text, ", ballast: constant-current, regulates_above: %.17g V", b->regulates);
	buf_add(&text, "}\n");
	struct load_text whole = { "bench.yaml", text.data, text.length };
	enum load_status status = load_job(arena, &whole, &diags, &job);
	if (status != LOAD_OK)
		fail_msg("%s\n%s", diags.items[0].message, text.data);
	return job->strips[0];
}

static void near(const char *what, double got, double want)
{
	assert_within(what, got / want, 1, EXACT);
}

static void check_bench(struct arena *arena, const struct bench *b, const struct spice_run *runs)
{
	struct buf reel, piece, both;
	buf_init(&reel, arena);
	buf_init(&piece, arena);
	buf_init(&both, arena);

	buf_addf(&reel, ", led_knee: %.17g V", b->knee);
	add_reel_test(&reel, b, &runs[REEL]);
	struct strip s = read_strip(arena, b, reel.data);
	assert_true(s.loop_measured && s.power_measured && !s.knee_measured);
	near("loop resistance of a reel test", s.loop_ohm_per_m, b->loop);
	near("watts of a reel test", s.power_w_per_m, b->power);

	buf_addf(&piece, ", loop_resistance: %.17g ohm/m", b->loop);
	add_piece_test(&piece, b, runs);
	s = read_strip(arena, b, piece.data);
	assert_true(!s.loop_measured && s.power_measured && s.knee_measured);
	near("knee of a piece test", s.law.v_knee, b->knee);
	near("watts of a piece test", s.power_w_per_m, b->power);

	add_reel_test(&both, b, &runs[REEL]);
	add_piece_test(&both, b, runs);
	s = read_strip(arena, b, both.data);
	assert_true(s.loop_measured && s.power_measured && s.knee_measured);
	near("knee of both tests", s.law.v_knee, b->knee);
	near("loop resistance of both tests", s.loop_ohm_per_m, b->loop);
	near("watts of both tests", s.power_w_per_m, b->power);
}

static void test_bench_tests_find_what_ngspice_was_given(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct bench *benches = arena_array(arena, struct bench, BENCHES);
	struct spice_run *runs = arena_array(arena, struct spice_run, BENCHES * RUNS);
	size_t regulated = 0;
	for (size_t i = 0; i < BENCHES; i++) {
		draw(&benches[i], arena, i + 1);
		regulated += benches[i].regulates > 0;
		for (size_t r = 0; r < RUNS; r++)
			runs[i * RUNS + r] = (struct spice_run){ .plan = &benches[i].plans[r], .alone = PLAN_NONE };
	}
	assert_true(regulated > BENCHES / 4);
	assert_true(spice_solve(runs, BENCHES * RUNS, arena));
	for (size_t i = 0; i < BENCHES; i++)
		check_bench(arena, &benches[i], &runs[i * RUNS]);
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_bench_tests_find_what_ngspice_was_given),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
