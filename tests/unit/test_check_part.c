/* Switches, blocks and wiring, each just within and just outside its limit. */
#include "tests/check_support.h"

/* D1 - C1 - S1 - C2 - B1 - C3 - L1 */
static struct job *one_bay(void)
{
	struct job *job = job_builder_new();
	add_driver(job, "D1", 24, 60);
	add_switch(job, "S1", 3);
	add_block(job, "B1", 3, 6);
	add_strip(job, "L1", 24, 4.8, 1);
	add_cable(job, "C1", "0.75 mm2", 1, "D1", "S1.in");
	add_cable(job, "C2", "0.75 mm2", 1, "S1.out", "B1");
	add_cable(job, "C3", "0.75 mm2", 1, "B1", "L1.start");
	return job;
}

/* 48 W at 24 V are 2 A; where both are said the smaller counts. */
static void a_switch_may_carry_its_rating(void **state)
{
	(void)state;
	static const struct { double amps, watts, worst; int severity; double limit; } cases[] = {
		{ 3, 0, 3, NONE, 0 }, { 3, 0, 3.01, SEVERITY_FAIL, 3 },
		{ 0, 48, 2, NONE, 0 }, { 0, 48, 2.01, SEVERITY_FAIL, 2 },
		{ 3, 48, 2.01, SEVERITY_FAIL, 2 }, { 1, 48, 1.01, SEVERITY_FAIL, 1 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = one_bay();
		job->switches[0].max_current.origin = ORIGIN_UNSET;
		if (cases[i].amps > 0)
			give(&job->switches[0].max_current, cases[i].amps, DIM_AMP);
		if (cases[i].watts > 0)
			give(&job->switches[0].max_power, cases[i].watts, DIM_WATT);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		s->switches[0].worst_a = cases[i].worst;
		assert_int_equal(severity_of(job, s, "switch-overload"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE)
			assert_near(the(&findings, "switch-overload")->limit, cases[i].limit, 1e-12, 0);
		job_builder_free(job);
	}
}

static void a_switch_works_within_its_voltage_range(void **state)
{
	(void)state;
	static const struct { double low, high; int severity; double limit; } cases[] = {
		{ 12, 24, NONE, 0 }, { 24, 24, NONE, 0 }, { 24, 48, NONE, 0 },
		{ 5, 12, SEVERITY_FAIL, 12 }, { 36, 48, SEVERITY_FAIL, 36 }, { 12, 12, SEVERITY_FAIL, 12 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = one_bay();
		give(&job->switches[0].voltage, cases[i].low, DIM_VOLT);
		job->switches[0].voltage.high = cases[i].high;
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		assert_int_equal(severity_of(job, s, "switch-voltage"), cases[i].severity);
		struct findings findings = judge(job, s);
		assert_int_equal(count_of(&findings, "driver-voltage"), 0);
		if (cases[i].severity != NONE) {
			assert_near(the(&findings, "switch-voltage")->value, 24, 0, 0);
			assert_near(the(&findings, "switch-voltage")->limit, cases[i].limit, 0, 0);
		}
		job_builder_free(job);
	}
}

static void wrong_switches_are_one_finding_per_driver(void **state)
{
	(void)state;
	struct job *job = one_bay();
	add_switch(job, "S2", 3);
	add_cable(job, "C4", "0.75 mm2", 1, "D1", "S2.in");
	give(&job->switches[0].voltage, 12, DIM_VOLT);
	give(&job->switches[1].voltage, 12, DIM_VOLT);
	job_builder_finish(job);
	struct findings findings = judge(job, blank_solution(job));
	assert_about(the(&findings, "switch-voltage"), KIND_SWITCH, 0);
	assert_int_equal(the(&findings, "switch-voltage")->item_count, 2);
	job_builder_free(job);
}

/* 2.4 W at 24 V are 0.1 A. A switch with nothing behind it carries nothing, and that is no
 * complaint. */
static void a_switch_needs_its_minimum_load(void **state)
{
	(void)state;
	static const struct {
		double min_load;
		enum dim dim;
		double least, worst;
		int severity;
	} cases[] = {
		{ 0.1, DIM_AMP, 0.1, 1, NONE }, { 0.1, DIM_AMP, 0.099, 1, SEVERITY_CAUTION },
		{ 2.4, DIM_WATT, 0.1, 1, NONE }, { 2.4, DIM_WATT, 0.099, 1, SEVERITY_CAUTION },
		{ 0.1, DIM_AMP, 0, 0, NONE },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = one_bay();
		give(&job->switches[0].min_load, cases[i].min_load, cases[i].dim);
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		s->switches[0].least_a = cases[i].least;
		s->switches[0].worst_a = cases[i].worst;
		assert_int_equal(severity_of(job, s, "switch-light-load"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE)
			assert_near(the(&findings, "switch-light-load")->limit, 0.1, 1e-12, 0);
		job_builder_free(job);
	}
}

/* Whole block 6 A, said in line 6, one port 4 A in line 4 where said. One finding, about whichever is further
 * over, at the line that says so. */
static void a_block_may_carry_its_rating(void **state)
{
	(void)state;
	static const struct source source = { .name = "job.yaml", .bytes = "" };
	static const struct {
		double port, block_a, cable_a;
		int severity;
		double value, limit;
	} cases[] = {
		{ 0, 6, 6, NONE, 0, 0 }, { 0, 6.01, 6.01, SEVERITY_FAIL, 6.01, 6 },
		{ 4, 4, 4, NONE, 0, 0 }, { 4, 5, 4.01, SEVERITY_FAIL, 4.01, 4 },
		{ 4, 6.6, 5, SEVERITY_FAIL, 5, 4 }, { 4, 9, 4.1, SEVERITY_FAIL, 9, 6 },
	};
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct job *job = one_bay();
		if (cases[i].port > 0)
			give(&job->blocks[0].port_current, cases[i].port, DIM_AMP);
		job->blocks[0].port_current.place = (struct place){ &source, 4, 1, 1 };
		job->blocks[0].max_current.place = (struct place){ &source, 6, 1, 1 };
		job_builder_finish(job);
		struct solution *s = blank_solution(job);
		s->blocks[0].worst_a = cases[i].block_a;
		s->cables[1].worst_a = cases[i].cable_a;
		s->cables[2].worst_a = 1;
		assert_int_equal(severity_of(job, s, "block-overload"), cases[i].severity);
		struct findings findings = judge(job, s);
		if (cases[i].severity != NONE) {
			assert_near(the(&findings, "block-overload")->value, cases[i].value, 0, 0);
			assert_near(the(&findings, "block-overload")->limit, cases[i].limit, 0, 0);
			assert_int_equal(the(&findings, "block-overload")->place.line, cases[i].limit == 4 ? 4 : 6);
		}
		job_builder_free(job);
	}
}

/* Three ports: the incoming cable and two more. Counting needs no figures. */
static void every_cable_takes_a_port(void **state)
{
	(void)state;
	for (int live = 0; live <= 1; live++) {
		for (size_t more = 1; more <= 2; more++) {
			struct job *job = one_bay();
			for (size_t k = 0; k < more; k++)
				add_cable(job, k ? "C5" : "C4", "0.75 mm2", 1, "B1", "L1.end");
			job_builder_finish(job);
			struct solution *s = blank_solution(job);
			s->blocks[0].live = live;
			assert_int_equal(severity_of(job, s, "block-ports"), more == 1 ? NONE : SEVERITY_FAIL);
			struct findings findings = judge(job, s);
			if (more == 2) {
				assert_near(the(&findings, "block-ports")->value, 4, 0, 0);
				assert_near(the(&findings, "block-ports")->limit, 3, 0, 0);
			}
			job_builder_free(job);
		}
	}
}

static void a_network_without_a_driver_is_unfed(void **state)
{
	(void)state;
	struct job *job = one_bay();
	add_block(job, "B2", 4, 6);
	size_t strip = add_strip(job, "L2", 24, 4.8, 1);
	size_t cable = add_cable(job, "C4", "0.75 mm2", 1, "B2", "L2.start");
	add_block(job, "B3", 4, 6);
	add_switch(job, "S2", 3);
	add_cable(job, "C5", "0.75 mm2", 1, "B3", "S2.in");
	job_builder_finish(job);
	struct findings findings = judge(job, blank_solution(job));
	assert_int_equal(findings.count, 2);
	assert_int_equal(count_of(&findings, "unfed"), 2);
	const struct finding *f = &findings.items[0], *g = &findings.items[1];
	assert_int_equal(f->severity, SEVERITY_FAIL);
	assert_about(f, KIND_STRIP, strip);
	assert_int_equal(f->item_count, 3);
	assert_true(concerns(f, KIND_BLOCK, 1) && concerns(f, KIND_CABLE, cable));
	assert_about(g, KIND_SWITCH, 1);                     /* no strip in it */
	assert_int_equal(g->item_count, 3);
	job_builder_free(job);
}

static void two_drivers_on_one_network_are_one_finding(void **state)
{
	(void)state;
	struct job *job = one_bay();
	add_driver(job, "D2", 24, 60);
	add_cable(job, "C4", "0.75 mm2", 1, "D2", "L1.end");
	job_builder_finish(job);
	struct findings findings = judge(job, blank_solution(job));
	assert_int_equal(findings.count, 1);
	const struct finding *f = the(&findings, "double-fed");
	assert_int_equal(f->severity, SEVERITY_FAIL);
	assert_about(f, KIND_DRIVER, 0);
	assert_int_equal(f->item_count, 2);
	assert_true(concerns(f, KIND_DRIVER, 1));
	assert_near(f->value, 2, 0, 0);
	job_builder_free(job);
}

/* Every kind of part, and a switch joined on one side, a strip joined at a tap only. */
static void a_part_without_a_cable_is_loose_and_not_also_unfed(void **state)
{
	(void)state;
	struct job *job = one_bay();
	size_t driver = add_driver(job, "D2", 24, 60);
	size_t switch_ = add_switch(job, "S2", 3);
	add_switch(job, "S3", 3);
	size_t block = add_block(job, "B2", 3, 6);
	size_t strip = add_strip(job, "L2", 24, 4.8, 1);
	add_strip(job, "L3", 24, 4.8, 1);
	add_cable(job, "C4", "0.75 mm2", 1, "D1", "S3.out");
	add_cable(job, "C5", "0.75 mm2", 1, "D1", "L3@0.5");
	job_builder_finish(job);
	struct findings findings = judge(job, blank_solution(job));
	assert_int_equal(findings.count, 4);
	const struct item_ref loose[] = {
		{ KIND_STRIP, strip }, { KIND_DRIVER, driver },
		{ KIND_SWITCH, switch_ }, { KIND_BLOCK, block },
	};
	for (size_t i = 0; i < 4; i++) {
		assert_string_equal(findings.items[i].check->name, "loose-part");
		assert_int_equal(findings.items[i].severity, SEVERITY_CAUTION);
		assert_about(&findings.items[i], loose[i].kind, loose[i].index);
	}
	job_builder_free(job);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_switch_may_carry_its_rating),
		cmocka_unit_test(a_switch_works_within_its_voltage_range),
		cmocka_unit_test(wrong_switches_are_one_finding_per_driver),
		cmocka_unit_test(a_switch_needs_its_minimum_load),
		cmocka_unit_test(a_block_may_carry_its_rating),
		cmocka_unit_test(every_cable_takes_a_port),
		cmocka_unit_test(a_network_without_a_driver_is_unfed),
		cmocka_unit_test(two_drivers_on_one_network_are_one_finding),
		cmocka_unit_test(a_part_without_a_cable_is_loose_and_not_also_unfed),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
