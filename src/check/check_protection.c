/* Can a fault warm a cable inside a cupboard?
 *
 * A cable is protected when something upstream cannot go on feeding it more than it stands: a fuse
 * with In <= Iz, or the driver itself with max_current <= Iz and trip_current <= 1.45 Iz. This is
 * the coordination rule Ib <= In <= Iz, I2 <= 1.45 Iz of IEC 60364-4-43 433.1 (the 1.45 from
 * memory). A fuse that relies on a current-limited driver may never see the 2 In that blow it in
 * seconds: ISO 8820-3 gives 0.15 s to 5 s at 200 %, but up to 50 s at 160 %. */
#include "check/judge.h"

#include "reference/reference.h"

#define THIN_MM2 0.5             /* a limited-power source is harmless to cables from here on */

struct protection {
	const struct check_input *in;
	size_t *guard;               /* per cable: where the smallest fuse before it is, or NO_INDEX */
};

static bool own_fuse(const struct check_input *in, size_t cable)
{
	return attr_has(&in->job->cables[cable].fuse) && !in->solution->cables[cable].in_loop;
}

static double fuse_of(const struct check_input *in, size_t cable)
{
	return in->job->cables[cable].fuse.num;
}

/* Walks up once per cable and settles the whole path on the way back. */
static void find_guards(struct protection *p, struct arena *scratch)
{
	size_t count = p->in->job->cable_count;
	size_t *path = arena_array(scratch, size_t, count);
	bool *settled = arena_array(scratch, bool, count);

	p->guard = empty_slots(scratch, count);
	for (size_t i = 0; i < count; i++) {
		size_t depth = 0, guard = NO_INDEX, c = i;
		for (; c != NO_INDEX && !settled[c]; c = p->in->solution->upstream[c]) {
			settled[c] = true;
			path[depth++] = c;
		}
		if (c != NO_INDEX)
			guard = p->guard[c];
		while (depth > 0) {
			c = path[--depth];
			if (own_fuse(p->in, c) &&
			    (guard == NO_INDEX || fuse_of(p->in, c) <= fuse_of(p->in, guard)))
				guard = c;
			p->guard[c] = guard;
		}
	}
}

static size_t driver_of(const struct protection *p, size_t cable)
{
	return driver_at(p->in, p->in->job->cables[cable].a);
}

static bool driver_protects(const struct protection *p, size_t cable)
{
	const struct driver *driver = &p->in->job->drivers[driver_of(p, cable)];
	double iz = p->in->job->cables[cable].iz;
	return !above(driver->rated_a, iz) && !above(driver->trip_a, OVERLOAD_FACTOR * iz);
}

static bool fuse_protects(const struct protection *p, size_t cable)
{
	return p->guard[cable] != NO_INDEX &&
	       !above(fuse_of(p->in, p->guard[cable]), p->in->job->cables[cable].iz);
}

/* The most that a fault beyond the cable can go on drawing. */
static double lasting_fault(const struct protection *p, size_t cable)
{
	return fmin(p->in->solution->cables[cable].fault_a,
	            p->in->job->drivers[driver_of(p, cable)].trip_a);
}

static bool unprotected(const struct protection *p, size_t cable)
{
	const struct cable_result *r = &p->in->solution->cables[cable];
	return r->live && above(r->fault_a, p->in->job->cables[cable].iz) && !fuse_protects(p, cable) &&
	       !driver_protects(p, cable);
}

/* A class 2 style source cannot make a cable of 0.5 mm2 dangerous. */
static bool harmless(const struct protection *p, size_t cable)
{
	const struct wire_size *size = &wire_sizes[(size_t)p->in->job->cables[cable].size.num];
	return p->in->job->drivers[driver_of(p, cable)].class_2.num > 0 && size->area_mm2 >= THIN_MM2;
}

/* The cable of the finding that a fault overloads most. */
static size_t worst_cable(const struct protection *p, const struct finding *f)
{
	size_t worst = f->items[1].index;
	for (size_t i = 2; i < f->item_count; i++) {
		size_t c = f->items[i].index;
		if (p->in->solution->cables[c].fault_a / p->in->job->cables[c].iz >
		    p->in->solution->cables[worst].fault_a / p->in->job->cables[worst].iz)
			worst = c;
	}
	return worst;
}

static void describe_unprotected(const struct protection *p, struct findings *out,
                                 struct finding *f)
{
	const struct driver *driver = &p->in->job->drivers[f->item.index];
	size_t worst = worst_cable(p, f);
	const struct cable *cable = &p->in->job->cables[worst];

	f->value = p->in->solution->cables[worst].fault_a;
	f->limit = cable->iz;
	struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
	const char *limited = "";
	if (driver->trip_a < f->value)
		limited = say(out, " (%s goes on delivering up to %s)", driver->item.id,
		              amps_text(out, driver->trip_a));
	f->message = say(out, "a short circuit beyond %s could draw %s%s, more than the %s that "
	                 "cable stands, and no fuse of %s or less is before it; cables: %s",
	                 cable->item.id, pair.value, limited, pair.limit, pair.limit,
	                 list_text(out, p->in, f, 1));
	f->todo = f->severity == SEVERITY_NOTE
		? "nothing: a limited-power source does not overheat cables of 0.5 mm2 or more"
		: say(out, "fit a fuse of %s or less at the end nearer the driver, or use a "
		      "thicker cable or a smaller driver", pair.limit);
}

/* One finding per driver. Of a limited-power driver only the thin cables are listed, if there are
 * any. */
void check_cable_unprotected(const struct check *check, const struct check_input *in,
                             struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	struct protection p = { .in = in };
	size_t *slots = empty_slots(scratch, in->job->driver_count);
	bool *danger = arena_array(scratch, bool, in->job->driver_count);
	bool *open = arena_array(scratch, bool, in->job->cable_count);
	size_t first = out->count;

	find_guards(&p, scratch);
	for (size_t i = 0; i < in->job->cable_count; i++) {
		open[i] = unprotected(&p, i);
		if (open[i] && !harmless(&p, i))
			danger[driver_of(&p, i)] = true;
	}
	for (size_t i = 0; i < in->job->cable_count; i++) {
		size_t driver = open[i] ? driver_of(&p, i) : NO_INDEX;
		if (driver == NO_INDEX || (danger[driver] && harmless(&p, i)))
			continue;
		struct finding *f = finding_in_slot(out, &slots[driver], check,
		                                    danger[driver] ? SEVERITY_CAUTION : SEVERITY_NOTE,
		                                    ref_to(KIND_DRIVER, driver));
		finding_concerns(out, f, ref_to(KIND_CABLE, i));
	}
	for (size_t i = first; i < out->count; i++) {
		finding_point(&out->items[i], &in->job->drivers[out->items[i].item.index].trip_current);
		describe_unprotected(&p, out, &out->items[i]);
	}
	arena_free(scratch);
}

/* Relies on a fuse, and what a fault can go on drawing neither spares the cable nor blows the
 * fuse. */
static bool may_not_trip(const struct protection *p, size_t cable)
{
	if (!p->in->solution->cables[cable].live || driver_protects(p, cable) ||
	    !fuse_protects(p, cable))
		return false;
	double lasting = lasting_fault(p, cable);
	return above(lasting, OVERLOAD_FACTOR * p->in->job->cables[cable].iz) &&
	       below(lasting, FUSE_CLEARS_FACTOR * fuse_of(p->in, p->guard[cable]));
}

static void describe_may_not_trip(const struct protection *p, struct findings *out,
                                  struct finding *f)
{
	size_t fused = f->item.index, least = f->items[0].index;
	for (size_t i = 0; i < f->item_count; i++) {
		size_t c = f->items[i].index;
		if (may_not_trip(p, c) &&
		    (!may_not_trip(p, least) || lasting_fault(p, c) < lasting_fault(p, least)))
			least = c;
	}
	f->value = lasting_fault(p, least);
	f->limit = FUSE_CLEARS_FACTOR * fuse_of(p->in, fused);
	struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
	f->message = say(out, "a fault beyond %s draws no more than %s, but the %s fuse of %s "
	                 "needs %s to blow within seconds: until then the cable is overloaded",
	                 name_of(p->in, ref_to(KIND_CABLE, least)), pair.value,
	                 amps_text(out, fuse_of(p->in, fused)),
	                 name_of(p->in, f->item), pair.limit);
	f->todo = say(out, "fit a fuse of %s or less there, or use a thicker cable",
	              amps_text(out, f->value / FUSE_CLEARS_FACTOR));
}

/* One finding per fuse. Where the source is harmless even without a fuse it is a note. */
void check_fault_may_not_trip(const struct check *check, const struct check_input *in,
                              struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	struct protection p = { .in = in };
	size_t *slots = empty_slots(scratch, in->job->cable_count);
	size_t first = out->count;

	find_guards(&p, scratch);
	for (size_t i = 0; i < in->job->cable_count; i++) {
		if (!may_not_trip(&p, i))
			continue;
		struct finding *f = finding_in_slot(out, &slots[p.guard[i]], check, SEVERITY_NOTE,
		                                    ref_to(KIND_CABLE, p.guard[i]));
		if (!harmless(&p, i))
			f->severity = SEVERITY_CAUTION;
		if (i != p.guard[i])
			finding_concerns(out, f, ref_to(KIND_CABLE, i));
	}
	for (size_t i = first; i < out->count; i++) {
		finding_point(&out->items[i], &in->job->cables[out->items[i].item.index].fuse);
		describe_may_not_trip(&p, out, &out->items[i]);
	}
	arena_free(scratch);
}
