/* Is more strip hung on one feed than its rails are made for?
 *
 * A feed is a strip terminal into which current flows from something else than a strip. From there
 * each direction is followed as long as current flows away from the feed, that is as voltages fall:
 * to the point of lowest voltage, where the supply from the other side begins; and where current
 * leaves a strip through a cable into another strip, on into that one. A unit at the lowest point
 * is shared in proportion to what arrives from either side. */
#include "check/judge.h"

#define NO_CURRENT 1e-9          /* A: below this a cable carries nothing */

/* One direction from one feed. */
struct run {
	size_t number;
	size_t feed;                 /* terminal */
	double metres;
	size_t *strips;              /* that it goes along, each once or twice */
	size_t strip_count, strip_capacity;
	size_t *ahead;               /* terminals reached and not yet followed */
	size_t ahead_count, ahead_capacity;
};

/* The longest run that a strip lies in, of those above its own max_run. */
struct overrun {
	size_t run, feed;            /* run: NO_INDEX where there is none */
	double metres;
	bool chained;
};

struct search {
	const struct check_input *in;
	struct arena *scratch;
	struct overrun *overruns;
	size_t *reached_in;          /* per terminal: the last run that reached it */
	struct run run;
};

static double volts_at(const struct search *s, size_t terminal)
{
	return s->in->solution->terminals[terminal].volts;
}

static const struct terminal *terminal_of(const struct search *s, size_t terminal)
{
	return &s->in->job->terminals[terminal];
}

static size_t far_end(const struct search *s, size_t cable, size_t terminal)
{
	const struct cable *c = &s->in->job->cables[cable];
	return c->a == terminal ? c->b : c->a;
}

/* Out of the terminal into the cable. */
static double outflow(const struct search *s, size_t cable, size_t terminal)
{
	double amps = s->in->solution->cables[cable].amps;
	return s->in->job->cables[cable].a == terminal ? amps : -amps;
}

/* The strip's terminal at a cut mark, or NO_INDEX. */
static size_t terminal_at(const struct strip *strip, const struct job *job, size_t mark)
{
	if (mark == 0)
		return strip->terminal;
	if (mark == strip->units)
		return strip->terminal + 1;
	size_t low = 0, high = strip->tap_count;
	while (low < high) {
		size_t middle = (low + high) / 2;
		if (job->terminals[strip->taps[middle]].mark < mark)
			low = middle + 1;
		else
			high = middle;
	}
	bool found = low < strip->tap_count && job->terminals[strip->taps[low]].mark == mark;
	return found ? strip->taps[low] : NO_INDEX;
}

/* Puts a terminal on the list of those to follow, unless this run has been there. */
static bool reach(struct search *s, size_t terminal)
{
	if (s->reached_in[terminal] == s->run.number)
		return false;
	s->reached_in[terminal] = s->run.number;
	return true;
}

static void reach_ahead(struct search *s, size_t terminal)
{
	struct run *run = &s->run;
	if (!reach(s, terminal))
		return;
	run->ahead = arena_grow(s->scratch, run->ahead, run->ahead_count, &run->ahead_capacity,
	                        sizeof(size_t));
	run->ahead[run->ahead_count++] = terminal;
}

/* On into the strips to which current flows from this terminal. */
static void follow_cables(struct search *s, size_t terminal)
{
	const struct solution *solution = s->in->solution;
	for (size_t k = solution->first_at[terminal]; k < solution->first_at[terminal + 1]; k++) {
		size_t cable = solution->at_terminal[k], other = far_end(s, cable, terminal);
		if (terminal_of(s, other)->kind == KIND_STRIP && outflow(s, cable, terminal) > NO_CURRENT)
			reach_ahead(s, other);
	}
}

/* Along the rails from a terminal, towards the end (+1) or the start (-1). Sections between units
 * have one resistance, those from a unit to a terminal half of it, so differences of voltage (twice
 * those to a terminal) stand for currents. Returns the cut units supplied. */
static double follow_rails(struct search *s, size_t from, int direction)
{
	const struct terminal *t = terminal_of(s, from);
	const struct strip *strip = &s->in->job->strips[t->item];
	const double *volts = s->in->solution->strips[t->item].volts;
	size_t mark = t->mark, last = direction > 0 ? strip->units : 0;
	double before = volts_at(s, from), weight = 2, units = 0;

	while (mark != last) {
		size_t unit = direction > 0 ? mark : mark - 1;
		double arriving = weight * (before - volts[unit]);
		if (!(arriving > 0))
			return units;
		mark = direction > 0 ? mark + 1 : mark - 1;
		size_t next = terminal_at(strip, s->in->job, mark);
		double leaving = next != NO_INDEX ? 2 * (volts[unit] - volts_at(s, next))
		                                  : volts[unit] - volts[direction > 0 ? mark : mark - 1];
		if (leaving < 0)
			return units + arriving / (arriving - leaving);
		units += 1;
		weight = next != NO_INDEX ? 2 : 1;
		before = next != NO_INDEX ? volts_at(s, next) : volts[unit];
		if (next != NO_INDEX) {
			if (!reach(s, next))
				return units;
			follow_cables(s, next);
		}
	}
	return units;
}

static void go_along(struct search *s, size_t from, int direction)
{
	struct run *run = &s->run;
	size_t strip = terminal_of(s, from)->item;
	double units = follow_rails(s, from, direction);
	if (!(units > 0))
		return;
	run->metres += units * s->in->job->strips[strip].pitch;
	run->strips = arena_grow(s->scratch, run->strips, run->strip_count, &run->strip_capacity,
	                         sizeof(size_t));
	run->strips[run->strip_count++] = strip;
}

static void begin_run(struct search *s, size_t feed)
{
	s->run.number++;
	s->run.feed = feed;
	s->run.metres = 0;
	s->run.strip_count = s->run.ahead_count = 0;
	s->reached_in[feed] = s->run.number;
}

/* Follows what is ahead to its end, then compares every strip on the way with its own max_run. */
static void end_run(struct search *s)
{
	struct run *run = &s->run;
	while (run->ahead_count > 0) {
		size_t terminal = run->ahead[--run->ahead_count];
		follow_cables(s, terminal);
		go_along(s, terminal, +1);
		go_along(s, terminal, -1);
	}
	bool chained = false;
	for (size_t i = 0; i < run->strip_count; i++)
		chained = chained || run->strips[i] != terminal_of(s, run->feed)->item;
	for (size_t i = 0; i < run->strip_count; i++) {
		size_t index = run->strips[i];
		const struct strip *strip = &s->in->job->strips[index];
		struct overrun *o = &s->overruns[index];
		if (!attr_has(&strip->max_run) || !above(run->metres, strip->max_run.num) ||
		    (o->run != NO_INDEX && o->metres >= run->metres))
			continue;
		*o = (struct overrun){ .run = run->number, .feed = run->feed, .metres = run->metres,
		                       .chained = chained };
	}
}

/* Both directions along the strip, and each strip that hangs on the feed itself. */
static void follow_feed(struct search *s, size_t feed)
{
	const struct solution *solution = s->in->solution;
	for (int direction = -1; direction <= 1; direction += 2) {
		begin_run(s, feed);
		go_along(s, feed, direction);
		end_run(s);
	}
	for (size_t k = solution->first_at[feed]; k < solution->first_at[feed + 1]; k++) {
		size_t cable = solution->at_terminal[k], other = far_end(s, cable, feed);
		if (terminal_of(s, other)->kind != KIND_STRIP || !(outflow(s, cable, feed) > NO_CURRENT))
			continue;
		begin_run(s, feed);
		reach_ahead(s, other);
		end_run(s);
	}
}

static bool is_feed(const struct search *s, size_t terminal)
{
	const struct solution *solution = s->in->solution;
	double amps = 0;
	if (terminal_of(s, terminal)->kind != KIND_STRIP ||
	    !solution->strips[terminal_of(s, terminal)->item].live)
		return false;
	for (size_t k = solution->first_at[terminal]; k < solution->first_at[terminal + 1]; k++) {
		size_t cable = solution->at_terminal[k];
		if (terminal_of(s, far_end(s, cable, terminal))->kind != KIND_STRIP)
			amps -= outflow(s, cable, terminal);
	}
	return amps > NO_CURRENT;
}

static void raise_runs(const struct search *s, const struct check *check, struct findings *out)
{
	const struct job *job = s->in->job;
	size_t *slots = empty_slots(s->scratch, s->run.number + 1);
	size_t first = out->count;

	/* The strip at the feed carries the most: where it is over, the finding is about it. */
	for (int fed = 1; fed >= 0; fed--) {
		for (size_t i = 0; i < job->strip_count; i++) {
			const struct overrun *o = &s->overruns[i];
			if (o->run == NO_INDEX || (job->terminals[o->feed].item == i) != (fed == 1))
				continue;
			struct finding *f = finding_in_slot(out, &slots[o->run], check, SEVERITY_CAUTION,
			                                    ref_to(KIND_STRIP, i));
			if (f->item.index != i)
				finding_concerns(out, f, ref_to(KIND_STRIP, i));
		}
	}
	for (size_t i = first; i < out->count; i++) {
		struct finding *f = &out->items[i];
		const struct strip *strip = &job->strips[f->item.index];
		const struct overrun *o = &s->overruns[f->item.index];
		f->value = o->metres;
		f->limit = strip->max_run.num;
		finding_point(f, &strip->max_run);
		struct pair pair = pair_text(out, f->value, f->limit, DIM_LENGTH);
		f->message = say(out, "%s supplies %s of strip in one direction%s, more than the "
		                 "%s that %s is made for", job->terminals[o->feed].name, pair.value,
		                 o->chained ? " (with what is chained on)" : "", pair.limit,
		                 strip->item.id);
		f->todo = "feed it from the other end as well, or give part of it a feed of its own";
	}
}

size_t hottest_terminal(const struct check_input *in, const struct strip *strip)
{
	size_t hottest = strip->terminal;
	for (size_t k = 0; k <= strip->tap_count; k++) {
		size_t t = k < strip->tap_count ? strip->taps[k] : strip->terminal + 1;
		if (in->solution->terminals[t].worst_in_a > in->solution->terminals[hottest].worst_in_a)
			hottest = t;
	}
	return hottest;
}

static void raise_currents(const struct check *check, const struct check_input *in,
                           struct findings *out)
{
	for (size_t i = 0; i < in->job->strip_count; i++) {
		const struct strip *strip = &in->job->strips[i];
		if (!strip_judged(in, i) || !attr_has(&strip->max_current))
			continue;
		size_t terminal = hottest_terminal(in, strip);
		double amps = in->solution->terminals[terminal].worst_in_a;
		if (!above(amps, strip->max_current.num))
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_STRIP, i),
		                                &strip->max_current);
		f->value = amps;
		f->limit = strip->max_current.num;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
		f->message = say(out, "%s enters at %s, more than the %s that one feed of %s may "
		                 "carry", pair.value, in->job->terminals[terminal].name, pair.limit,
		                 strip->item.id);
		f->todo = "feed it from the other end as well, or give what is chained on its own feed";
	}
}

/* caution: metres supplied in one direction above max_run; fail: current at a feed above
 * max_current */
void check_strip_overrun(const struct check *check, const struct check_input *in,
                         struct findings *out)
{
	const struct job *job = in->job;
	struct search s = { .in = in, .scratch = arena_child(out->arena) };
	bool asked = false;

	s.overruns = arena_array(s.scratch, struct overrun, job->strip_count);
	for (size_t i = 0; i < job->strip_count; i++) {
		s.overruns[i].run = NO_INDEX;
		asked = asked || attr_has(&job->strips[i].max_run);
	}
	s.reached_in = arena_array(s.scratch, size_t, job->terminal_count);
	for (size_t t = 0; asked && t < job->terminal_count; t++)
		if (is_feed(&s, t))
			follow_feed(&s, t);
	raise_runs(&s, check, out);
	raise_currents(check, in, out);
	arena_free(s.scratch);
}
