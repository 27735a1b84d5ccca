/* Switches and blocks against their labels. The worst current over the operating cases counts. */
#include "check/judge.h"

double switch_limit(const struct check_input *in, const struct switch_item *s)
{
	double limit = attr_has(&s->max_current) ? s->max_current.num : INFINITY;
	size_t driver = driver_at(in, s->terminal);
	if (attr_has(&s->max_power) && driver != NO_INDEX)
		limit = fmin(limit, s->max_power.num / in->job->drivers[driver].voltage.num);
	return limit;
}

void check_switch_overload(const struct check *check, const struct check_input *in,
                           struct findings *out)
{
	for (size_t i = 0; i < in->job->switch_count; i++) {
		const struct switch_item *s = &in->job->switches[i];
		const struct switch_result *r = &in->solution->switches[i];
		double limit = switch_limit(in, s);
		if (!r->live || !above(r->worst_a, limit))
			continue;
		bool in_amps = attr_has(&s->max_current);
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_SWITCH, i),
		                                in_amps ? &s->max_current : &s->max_power);
		f->value = r->worst_a;
		f->limit = limit;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
		f->message = say(out, "%s switches %s, more than the %s that it is made for%s",
		                 s->item.id, pair.value, pair.limit,
		                 in_amps ? "" : " at this voltage");
		f->todo = "use a switch with a higher rating, or share its strips between two switches";
	}
}

static bool out_of_range(const struct switch_item *s, double volts)
{
	return below(volts, s->voltage.num) || above(volts, fmax(s->voltage.num, s->voltage.high));
}

/* One finding per driver: its voltage is the cause. */
void check_switch_voltage(const struct check *check, const struct check_input *in,
                          struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	size_t *slots = empty_slots(scratch, in->job->driver_count);
	size_t first = out->count;

	for (size_t i = 0; i < in->job->switch_count; i++) {
		const struct switch_item *s = &in->job->switches[i];
		size_t driver = driver_at(in, s->terminal);
		if (!attr_has(&s->voltage) || driver == NO_INDEX ||
		    !out_of_range(s, in->job->drivers[driver].voltage.num))
			continue;
		struct finding *f = finding_in_slot(out, &slots[driver], check, SEVERITY_FAIL,
		                                    ref_to(KIND_SWITCH, i));
		if (f->item.index != i)
			finding_concerns(out, f, ref_to(KIND_SWITCH, i));
	}
	for (size_t i = first; i < out->count; i++) {
		struct finding *f = &out->items[i];
		const struct switch_item *s = &in->job->switches[f->item.index];
		const struct driver *driver = &in->job->drivers[driver_at(in, s->terminal)];
		bool low = below(driver->voltage.num, s->voltage.num);
		f->value = driver->voltage.num;
		f->limit = low ? s->voltage.num : fmax(s->voltage.num, s->voltage.high);
		finding_point(f, &s->voltage);
		f->message = say(out, "%s gives %s, but %s works %s %s%s", driver->item.id,
		                 volts_text(out, f->value), s->item.id,
		                 low ? "only from" : "only up to", volts_text(out, f->limit),
		                 low ? " on" : "");
		f->todo = "use a switch made for the voltage of the driver";
	}
	arena_free(scratch);
}

double switch_least_a(const struct check_input *in, const struct switch_item *s)
{
	if (s->min_load.dim == DIM_WATT)
		return s->min_load.num / in->job->drivers[driver_at(in, s->terminal)].voltage.num;
	return s->min_load.num;
}

/* Smallest current over the cases in which it is on against min_load (W: over the driver's
 * voltage). Nothing behind it is no load to complain about. */
void check_switch_light_load(const struct check *check, const struct check_input *in,
                             struct findings *out)
{
	for (size_t i = 0; i < in->job->switch_count; i++) {
		const struct switch_item *s = &in->job->switches[i];
		const struct switch_result *r = &in->solution->switches[i];
		if (!r->live || !attr_has(&s->min_load) || !(r->worst_a > 0))
			continue;
		double least = switch_least_a(in, s);
		if (!below(r->least_a, least))
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_CAUTION, ref_to(KIND_SWITCH, i),
		                                &s->min_load);
		f->value = r->least_a;
		f->limit = least;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
		f->message = say(out, "%s switches as little as %s, but needs %s to work properly",
		                 s->item.id, pair.value, pair.limit);
		f->todo = "use a switch without a minimum load, or let it switch more strip";
	}
}

size_t busiest_cable(const struct check_input *in, size_t terminal)
{
	const struct solution *s = in->solution;
	size_t busiest = NO_INDEX;
	for (size_t k = s->first_at[terminal]; k < s->first_at[terminal + 1]; k++) {
		size_t cable = s->at_terminal[k];
		if (busiest == NO_INDEX || s->cables[cable].worst_a > s->cables[busiest].worst_a)
			busiest = cable;
	}
	return busiest;
}

static void raise_block(const struct check *check, const struct check_input *in,
                        struct findings *out, size_t i, size_t port)
{
	const struct block *block = &in->job->blocks[i];
	struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_BLOCK, i),
	                                port == NO_INDEX ? &block->max_current : &block->port_current);
	f->value = port == NO_INDEX ? in->solution->blocks[i].worst_a
	                            : in->solution->cables[port].worst_a;
	f->limit = port == NO_INDEX ? block->max_current.num : block->port_current.num;
	struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
	if (port == NO_INDEX) {
		f->message = say(out, "%s passes through %s, more than the %s it is made for",
		                 pair.value, block->item.id, pair.limit);
		f->todo = "use a block with a higher rating, or share the load between two";
		return;
	}
	finding_concerns(out, f, ref_to(KIND_CABLE, port));
	f->message = say(out, "%s passes through the port of %s with %s, more than the %s that "
	                 "one port is made for", pair.value, block->item.id,
	                 name_of(in, ref_to(KIND_CABLE, port)), pair.limit);
	f->todo = "use a block with a higher rating per port, or bring the load in by two cables";
}

/* The whole block, or else its busiest port: whichever is further over. */
void check_block_overload(const struct check *check, const struct check_input *in,
                          struct findings *out)
{
	for (size_t i = 0; i < in->job->block_count; i++) {
		const struct block *block = &in->job->blocks[i];
		const struct block_result *r = &in->solution->blocks[i];
		size_t port = busiest_cable(in, block->terminal);
		if (!r->live || port == NO_INDEX)
			continue;
		double whole = r->worst_a / block->max_current.num, one = 0;
		if (attr_has(&block->port_current))
			one = in->solution->cables[port].worst_a / block->port_current.num;
		if (above(fmax(whole, one), 1))
			raise_block(check, in, out, i, one > whole ? port : NO_INDEX);
	}
}

void check_block_ports(const struct check *check, const struct check_input *in,
                       struct findings *out)
{
	for (size_t i = 0; i < in->job->block_count; i++) {
		const struct block *block = &in->job->blocks[i];
		size_t used = cables_at(in, block->terminal);
		if (!above((double)used, block->ports.num))
			continue;
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_BLOCK, i),
		                                &block->ports);
		f->value = (double)used;
		f->limit = block->ports.num;
		f->message = say(out, "%zu cables meet at %s, which has %.0f port%s", used,
		                 block->item.id, block->ports.num, block->ports.num > 1 ? "s" : "");
		f->todo = "use a block with more ports, or a second one";
	}
}
