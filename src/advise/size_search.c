/* Branch and bound over cable sizes. Thicker cables never cure less, up to the little that a stiffer branch
 * draws more; so a partial choice is dropped when it fails with the rest at their thickest, and is complete
 * when it passes with the rest at their thinnest. Where that little decides, thinning at the end finds what
 * the pruning missed; then nothing is called proven. */
#include "advise/size_search.h"

#include "advise/size_group.h"
#include "reference/reference.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char *const curable[] = {
	"far-end-drop", "far-end-dim", "uneven", "mismatch", "dip", "cable-overload", "cable-unprotected",
	"fault-may-not-trip", "fuse-overload", NULL
};

/* Lowest price of a metre of that size among the types, INFINITY where none has one. */
static double price_of(const struct job *job, size_t wire)
{
	const struct cable *types = job->types[KIND_CABLE];
	double best = INFINITY;
	for (size_t i = 0; i < job->type_count[KIND_CABLE]; i++) {
		const struct cable *t = &types[i];
		if (!attr_said(&t->item.price) || !attr_said(&t->size) || (size_t)t->size.num != wire)
			continue;
		double metres = attr_said(&t->item.pack) ? t->item.pack.num : 1;
		best = fmin(best, t->item.price.num / metres);
	}
	return best;
}

/* Money and copper do not add up: prices count only where every size that may be chosen has one. */
static bool all_priced(const struct size_search *s)
{
	for (size_t i = 0; i < s->count; i++)
		for (size_t wire = s->low[i]; wire <= s->high[i]; wire++)
			if (size_may_be(s->job, s->cable[i], wire) && isinf(price_of(s->job, wire)))
				return false;
	return true;
}

/* Price of a metre, else mm2 of copper. */
static void set_costs(struct size_search *s)
{
	bool priced = all_priced(s);
	s->cost = arena_array(s->arena, double, wire_size_count);
	for (size_t wire = 0; wire < wire_size_count; wire++)
		s->cost[wire] = priced ? price_of(s->job, wire) : wire_sizes[wire].area_mm2;
}

/* Findings of caution or worse that a cable's size can cure. */
static size_t curable_findings(const struct job *job, struct arena *scratch)
{
	struct findings findings;
	size_t count = 0;
	check_job(job, solve_job(job, scratch), scratch, &findings);
	for (size_t i = 0; i < findings.count; i++) {
		const struct finding *f = &findings.items[i];
		for (const char *const *name = curable; *name && f->severity > SEVERITY_NOTE; name++)
			if (strcmp(*name, f->check->name) == 0)
				count += f->item_count > 0 ? f->item_count : 1;
	}
	return count;
}

static void set_wire(struct size_search *s, size_t i, size_t wire)
{
	struct cable *cable = &s->job->cables[s->cable[i]];
	if ((size_t)cable->size.num == wire)
		return;
	cable_resize(cable, wire, s->job->ambient.num);
}

static bool passes(struct size_search *s)
{
	if (s->budget > 0)
		s->budget--;
	bool ok = curable_findings(s->job, s->scratch) <= s->allowed;
	arena_reset(s->scratch);
	return ok;
}

static double cost_of(const struct size_search *s, size_t i, size_t wire)
{
	return s->cost[wire] * s->job->cables[s->cable[i]].length.num;
}

static double total(const struct size_search *s, const size_t *wire)
{
	double sum = 0;
	for (size_t i = 0; i < s->count; i++)
		sum += cost_of(s, i, wire[i]);
	return sum;
}

static size_t different(const struct size_search *s, const size_t *wire)
{
	size_t count = 0;
	for (size_t i = 0; i < s->count; i++) {
		size_t k = 0;
		while (k < i && wire[k] != wire[i])
			k++;
		count += k == i;
	}
	return count;
}

static size_t thinner(const struct size_search *s, size_t i, size_t wire);

/* Makes cables thinner, the greatest saving first, each until it fails once. Returns whether any was. */
static bool thin_out(struct size_search *s, size_t *wire)
{
	bool *fixed = arena_array(s->arena, bool, s->count), any = false;
	for (;;) {
		size_t best = SIZE_MAX;
		double most = 0;
		for (size_t i = 0; i < s->count; i++) {
			size_t next = thinner(s, i, wire[i]);
			if (fixed[i] || next == wire[i])
				continue;
			double saving = cost_of(s, i, wire[i]) - cost_of(s, i, next);
			if (best == SIZE_MAX || saving > most) {
				best = i;
				most = saving;
			}
		}
		if (best == SIZE_MAX)
			return any;
		size_t next = thinner(s, best, wire[best]);
		set_wire(s, best, next);
		if (passes(s)) {
			wire[best] = next;
			any = true;
		} else {
			set_wire(s, best, wire[best]);
			fixed[best] = true;
		}
	}
}

/* A size that a thicker one undercuts in price is never worth having; so among the rest thicker always costs
 * more, which the search relies on. */
static bool allowed_size(const struct size_search *s, size_t i, size_t wire)
{
	if (!size_may_be(s->job, s->cable[i], wire))
		return false;
	for (size_t more = wire + 1; more <= s->high[i]; more++)
		if (size_may_be(s->job, s->cable[i], more) && s->cost[more] <= s->cost[wire])
			return false;
	return true;
}

static size_t thinner(const struct size_search *s, size_t i, size_t wire)
{
	for (size_t w = wire; w-- > s->low[i];)
		if (allowed_size(s, i, w))
			return w;
	return wire;
}

static size_t thicker(const struct size_search *s, size_t i, size_t wire)
{
	for (size_t w = wire + 1; w <= s->high[i]; w++)
		if (allowed_size(s, i, w))
			return w;
	return wire;
}

struct frame {
	struct size_search *s;
	size_t *now;                 /* sizes under trial */
	double best;
};

static void take_if_better(struct frame *f)
{
	double cost = total(f->s, f->now);
	bool equal = fabs(cost - f->best) <= 1e-9 * f->best;
	if (cost < f->best && !equal) {
		f->best = cost;
	} else if (!equal || different(f->s, f->now) >= different(f->s, f->s->wire)) {
		return;
	}
	memcpy(f->s->wire, f->now, f->s->count * sizeof(size_t));
}

static void set_rest(struct frame *f, size_t from, const size_t *to)
{
	for (size_t i = from; i < f->s->count; i++) {
		f->now[i] = to[i];
		set_wire(f->s, i, to[i]);
	}
}

/* Chooses sizes for cable `i` and on; `spent` is the cost of those before it. */
static void branch(struct frame *f, size_t i, double spent)
{
	struct size_search *s = f->s;
	double rest = 0;
	if (i == s->count)
		return;
	for (size_t k = i + 1; k < s->count; k++)
		rest += cost_of(s, k, s->low[k]);
	for (size_t wire = s->low[i];; ) {
		double cost = spent + cost_of(s, i, wire);
		if (cost + rest > f->best * (1 + 1e-9))
			return;
		if (s->budget == 0) {
			s->proven = false;
			return;
		}
		f->now[i] = wire;
		set_wire(s, i, wire);
		set_rest(f, i + 1, s->low);
		if (passes(s)) {
			take_if_better(f);
			return;              /* anything thicker here only costs more */
		}
		set_rest(f, i + 1, s->high);
		if (i + 1 < s->count && passes(s))
			branch(f, i + 1, cost);
		size_t next = thicker(s, i, wire);
		if (next == wire)
			return;
		wire = next;
	}
}

void size_search_run(struct size_search *s)
{
	size_t budget = s->budget;
	s->wire = arena_array(s->arena, size_t, s->count);
	s->proven = true;
	set_costs(s);
	for (size_t i = 0; i < s->count; i++) {
		if (!allowed_size(s, i, s->low[i]))
			s->low[i] = thicker(s, i, s->low[i]);
		s->wire[i] = s->high[i];
		set_wire(s, i, s->high[i]);
	}
	s->allowed = SIZE_MAX;
	s->allowed = curable_findings(s->job, s->scratch);
	arena_reset(s->scratch);
	s->passes = s->allowed == 0;

	struct frame f = { s, arena_array(s->arena, size_t, s->count), 0 };
	thin_out(s, s->wire);
	s->budget = budget;          /* the incumbent is not at the expense of the proof */
	f.best = total(s, s->wire);
	branch(&f, 0, 0);
	for (size_t i = 0; i < s->count; i++)
		set_wire(s, i, s->wire[i]);
	while (thin_out(s, s->wire))
		s->proven = false;
}
