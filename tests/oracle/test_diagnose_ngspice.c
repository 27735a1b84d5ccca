/* One planted fault in each of many generated networks, the readings made by ngspice with a meter's errors
 * on top: does the diagnosis name it, how well does it size it, and does it keep quiet where nothing is wrong?
 * planted.h says how large the faults are; volts are read at both ends of every strip, and in half of the
 * networks amps in the plus cores of loops. */
#include "oracle/oracle.h"
#include "oracle/planted.h"

#include "advise/diagnose.h"
#include "load/load.h"

#include <stdlib.h>

#define FAULTS 200
#define SOUND 200
#define METERS 4                 /* sets of errors for each network in which nothing is wrong */
#define BATCH 25
#define LARGE 5                  /* a size at which chance hides hardly any */

/* What came of one. */
struct trial {
	struct planted p;
	bool claimed, named, first;
	double value_off, uncertainty;
	size_t groups, suspects, unlisted;
	struct fault_in pair[2];     /* the planted one as fitted, and one said to be the same */
	bool has_twin;
};

static double normal(struct chance *c)
{
	double radius = sqrt(-2 * log(chance_between(c, 1e-16, 1)));
	return radius * cos(6.283185307179586 * chance_between(c, 0, 1));
}

/* ------- what the program says */

static struct job *job_of(const struct trial *t, struct arena *arena)
{
	char *text = NULL;
	size_t size = 0;
	struct diags diags;
	struct job *job = NULL;
	FILE *out = open_memstream(&text, &size);
	assert_non_null(out);
	plan_write_yaml(&t->p.plan, 0, out);
	assert_int_equal(fclose(out), 0);
	char *kept = arena_strndup(arena, text, size);
	free(text);
	struct load_text from = { .name = "generated.yaml", .bytes = kept, .size = size };
	diags_init(&diags, arena);
	if (load_job(arena, &from, &diags, &job) != LOAD_OK)
		fail_msg("seed %llu: not taken\n%s", (unsigned long long)t->p.seed, kept);
	return job;
}

/* Readings with the meter's errors. */
static struct as_built *read_meter(struct trial *t, const struct job *job, const double *true_values,
                                   struct arena *arena)
{
	const struct plan *plan = &t->p.plan;
	struct as_built *b = arena_one(arena, struct as_built);
	bool *on = arena_array(arena, bool, job->switch_count);
	for (size_t i = 0; i < job->switch_count; i++)
		on[i] = true;
	b->states = arena_one(arena, struct switch_state);
	b->states[0] = (struct switch_state){ on, "" };
	b->state_count = 1;
	b->readings = arena_array(arena, struct reading, faulty_count(plan));
	double gain[2] = { METER_GAIN * normal(&t->p.chance), METER_GAIN * normal(&t->p.chance) };
	for (size_t i = 0; i < faulty_count(plan); i++) {
		bool amps = i >= 2 * plan->strip_count;
		double noise = normal(&t->p.chance);
		if (!planted_reads(&t->p, i))
			continue;
		struct reading r = { .range = amps ? METER_AMPS : METER_VOLTS, .terminal = NO_INDEX,
		                     .value = true_values[i] * (1 + gain[amps]) + METER_DIGIT * noise };
		if (amps) {
			r.item = (struct item_ref){ KIND_CABLE, i - 2 * plan->strip_count };
		} else {
			r.item = (struct item_ref){ KIND_STRIP, i / 2 };
			r.terminal = job->strips[i / 2].terminal + i % 2;
		}
		b->readings[b->reading_count++] = r;
	}
	return b;
}

static struct fault_in fault_of(const struct suspect *s)
{
	struct fault_in f = { .item = s->item.index, .value = s->extra_ohm };
	switch (s->kind) {
	case SUSPECT_JOINT:
	case SUSPECT_CABLE:
		f.kind = s->core == CORE_PLUS ? FAULTY_PLUS : s->core == CORE_MINUS ? FAULTY_MINUS : FAULTY_CABLE;
		return f;
	case SUSPECT_CONTACT:
		f.kind = FAULTY_CONTACT;
		return f;
	case SUSPECT_DRIVER:
	case SUSPECT_STRIP:
		f.kind = s->kind == SUSPECT_DRIVER ? FAULTY_DRIVER : FAULTY_STRIP;
		f.value = s->value;
	}
	return f;
}

/* Notes what is said about the planted fault: in which group, of what size, and which other fault is said to
 * be the same. */
static void judge(struct trial *t, const struct diagnosis *d)
{
	size_t group = NO_INDEX;
	t->claimed = d->suspect_count > 0;
	t->suspects = d->suspect_count;
	t->unlisted = d->unlisted;
	for (size_t i = 0; i < d->suspect_count; i++) {
		struct fault_in f = fault_of(&d->suspects[i]);
		t->groups = d->suspects[i].group + 1;
		if (f.kind != t->p.fault.kind || f.item != t->p.fault.item)
			continue;
		group = d->suspects[i].group;
		t->named = true;
		t->pair[0] = f;
		t->value_off = fabs(f.value - t->p.fault.value);
		t->uncertainty = d->suspects[i].uncertainty;
	}
	t->first = t->named && group == 0;
	t->has_twin = false;
	for (size_t i = 0; i < d->suspect_count; i++) {
		struct fault_in f = fault_of(&d->suspects[i]);
		if (d->suspects[i].group == group && (f.kind != t->p.fault.kind || f.item != t->p.fault.item))
			t->pair[1] = f, t->has_twin = true;
	}
}

static void diagnose_trial(struct trial *t, const double *true_values)
{
	struct arena *arena = arena_new();
	struct diagnosis d;
	assert_non_null(arena);
	struct job *job = job_of(t, arena);
	diagnose(job, read_meter(t, job, true_values, arena), &usual_meter, arena, &d);
	judge(t, &d);
	arena_free(arena);
}

/* ------- the runs */

static struct trial trials[FAULTS];

static void solve(struct faulty_run *runs, size_t count, struct arena *arena)
{
	assert_true(faulty_solve(runs, count, arena));
}

static const char *const fault_words[] = { "cable", "plus core", "minus core", "contact", "driver", "strip" };

static void report(const struct trial *t)
{
	print_message("seed %3llu size %5.2f %-10s %2zu = %8.4g: %s%s groups %zu suspects %zu unlisted %zu; "
	              "off %.3g of %.3g\n", (unsigned long long)t->p.seed, t->p.size, fault_words[t->p.fault.kind],
	              t->p.fault.item + 1, t->p.fault.value, t->named ? "named" : "NOT NAMED",
	              t->claimed ? "" : " (nothing claimed)", t->groups, t->suspects, t->unlisted,
	              t->value_off, t->uncertainty);
}

/* What is said to explain the readings equally well does so in ngspice too. */
static void check_twins(struct arena *arena)
{
	struct faulty_run *runs = arena_array(arena, struct faulty_run, FAULTS);
	struct trial **twins = arena_array(arena, struct trial *, FAULTS);
	size_t count = 0;
	for (size_t i = 0; i < FAULTS; i++) {
		struct trial *t = &trials[i];
		if (!t->has_twin)
			continue;
		twins[count] = t;
		runs[count++] = (struct faulty_run){ &t->p.plan, t->pair, 2, NULL };
	}
	solve(runs, count, arena);
	for (size_t r = 0; r < count; r++)
		for (size_t i = 0; i < faulty_count(&twins[r]->p.plan); i++)
			if (planted_reads(&twins[r]->p, i))
				assert_within("a reading by two equal explanations", runs[r].measured[1][i],
				              runs[r].measured[0][i], 0.1 * METER_DIGIT);
	print_message("%zu pairs of equal explanations\n", count);
	assert_true(count > FAULTS / 4);
}

/* Rates by size: what chance leaves of small faults, and what it may not touch of large ones. */
static void print_rates(void)
{
	static const double edges[] = { 3, 4, 5, 7, 10, 1000 };
	for (size_t b = 0; b + 1 < COUNT_OF(edges); b++) {
		size_t all = 0, claimed = 0, named = 0, first = 0, sized = 0, groups = 0;
		for (size_t i = 0; i < FAULTS; i++) {
			const struct trial *t = &trials[i];
			if (t->p.size < edges[b] || t->p.size >= edges[b + 1])
				continue;
			all++;
			claimed += t->claimed;
			named += t->named;
			first += t->first;
			sized += t->named && t->value_off <= t->uncertainty;
			groups += t->groups;
		}
		print_message("size %2g to %4g: %3zu faults, %3zu claimed, %3zu named, %3zu of them first, "
		              "%3zu sized; %3zu groups\n", edges[b], edges[b + 1], all, claimed, named, first, sized,
		              groups);
	}
}

static void a_planted_fault_is_named_and_sized(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	uint64_t seed = 40001;
	size_t count = 0, named = 0, sized = 0, large = 0, large_named = 0;
	bool solved = true;
	for (struct planted some[BATCH]; count < FAULTS; ) {
		size_t more = planted_batch(some, BATCH, &seed, arena, &solved);
		assert_true(solved);
		for (size_t i = 0; i < more && count < FAULTS; i++)
			trials[count++].p = some[i];
	}
	for (size_t i = 0; i < FAULTS; i++) {
		struct trial *t = &trials[i];
		diagnose_trial(t, t->p.faulty);
		bool well = t->named && t->value_off <= t->uncertainty;
		if (!well)
			report(t);
		named += t->named;
		sized += well;
		large += t->p.size >= LARGE;
		large_named += t->named && t->p.size >= LARGE;
	}
	print_rates();
	assert_true(20 * named >= 19 * FAULTS);
	assert_true(100 * large_named >= 98 * large);
	assert_true(10 * sized >= 9 * named);
	check_twins(arena);
	arena_free(arena);
}

static void nothing_is_claimed_where_nothing_is_wrong(void **state)
{
	(void)state;
	size_t claimed = 0;
	uint64_t seed = 50001;
	for (size_t done = 0; done < SOUND; done += BATCH) {
		struct arena *arena = arena_new();
		struct trial *batch = arena_array(arena, struct trial, BATCH);
		struct faulty_run *runs = arena_array(arena, struct faulty_run, BATCH);
		for (size_t i = 0; i < BATCH; i++) {
			planted_open(&batch[i].p, arena, &seed);
			runs[i] = (struct faulty_run){ &batch[i].p.plan, batch[i].p.scales, 1, NULL };
		}
		solve(runs, BATCH, arena);
		for (size_t i = 0; i < BATCH * METERS; i++) {
			diagnose_trial(&batch[i / METERS], runs[i / METERS].measured[0]);
			claimed += batch[i / METERS].claimed;
		}
		arena_free(arena);
	}
	print_message("%zu of %d sound networks suspected\n", claimed, SOUND * METERS);
	assert_true(20 * claimed <= SOUND * METERS);
	assert_true(50 * claimed >= SOUND * METERS);     /* not by never claiming anything */
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(a_planted_fault_is_named_and_sized),
		cmocka_unit_test(nothing_is_claimed_where_nothing_is_wrong),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
