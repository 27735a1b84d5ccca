/* Is everything joined to exactly one driver? These need no figures and are raised where there are
 * none. */
#include "check/judge.h"

static size_t terminal_of(const struct job *job, struct item_ref item)
{
	switch (item.kind) {
	case KIND_DRIVER: return job->drivers[item.index].terminal;
	case KIND_SWITCH: return job->switches[item.index].terminal;
	case KIND_BLOCK:  return job->blocks[item.index].terminal;
	case KIND_STRIP:  return job->strips[item.index].terminal;
	case KIND_CABLE:  return job->cables[item.index].a;
	case KIND__END:   break;
	}
	return NO_INDEX;
}

static size_t circuit_of(const struct check_input *in, struct item_ref item)
{
	return in->solution->circuit_of_terminal[terminal_of(in->job, item)];
}

static bool is_loose(const struct check_input *in, struct item_ref item)
{
	size_t terminal = terminal_of(in->job, item), cables = cables_at(in, terminal);
	if (item.kind == KIND_STRIP || item.kind == KIND_SWITCH)
		cables += cables_at(in, terminal + 1);
	if (item.kind == KIND_STRIP)
		for (size_t k = 0; k < in->job->strips[item.index].tap_count; k++)
			cables += cables_at(in, in->job->strips[item.index].taps[k]);
	return cables == 0;
}

/* Strips first, so that the finding is about one where there is one. */
static const enum kind strips_first[] = {
	KIND_STRIP, KIND_DRIVER, KIND_SWITCH, KIND_BLOCK, KIND_CABLE
};

/* One finding per network without a driver. */
void check_unfed(const struct check *check, const struct check_input *in, struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	size_t *slots = empty_slots(scratch, in->solution->circuit_count);
	size_t first = out->count;

	for (size_t k = 0; k < KIND__END; k++) {
		enum kind kind = strips_first[k];
		for (size_t i = 0; i < job_count(in->job, kind); i++) {
			struct item_ref item = ref_to(kind, i);
			size_t circuit = circuit_of(in, item);
			if (in->solution->circuits[circuit].driver_count > 0 ||
			    (kind != KIND_CABLE && is_loose(in, item)))
				continue;
			bool about = slots[circuit] == NO_INDEX;
			struct finding *f = finding_in_slot(out, &slots[circuit], check, SEVERITY_FAIL, item);
			if (!about)
				finding_concerns(out, f, item);
		}
	}
	for (size_t i = first; i < out->count; i++) {
		struct finding *f = &out->items[i];
		f->value = 0;
		f->limit = 1;
		f->message = f->item_count == 1
			? say(out, "no way leads from %s to a driver", name_of(in, f->item))
			: say(out, "no way leads from %s to a driver, nor from what is joined to it "
			      "(%s)", name_of(in, f->item), list_text(out, in, f, 1));
		f->todo = "join it to a driver, or to a block or switch that is fed";
	}
	arena_free(scratch);
}

/* One finding per network with several drivers: their currents would not be known. */
void check_double_fed(const struct check *check, const struct check_input *in, struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	size_t *slots = empty_slots(scratch, in->solution->circuit_count);
	size_t first = out->count;

	for (size_t i = 0; i < in->job->driver_count; i++) {
		struct item_ref item = ref_to(KIND_DRIVER, i);
		size_t circuit = circuit_of(in, item);
		if (in->solution->circuits[circuit].driver_count < 2)
			continue;
		bool about = slots[circuit] == NO_INDEX;
		struct finding *f = finding_in_slot(out, &slots[circuit], check, SEVERITY_FAIL, item);
		if (!about)
			finding_concerns(out, f, item);
	}
	for (size_t i = first; i < out->count; i++) {
		struct finding *f = &out->items[i];
		f->value = (double)f->item_count;
		f->limit = 1;
		f->message = say(out, "%s feed one and the same network, which is therefore left "
		                 "without figures", list_text(out, in, f, 0));
		f->todo = "take out the cable that joins them, so that each feeds its own strips";
	}
	arena_free(scratch);
}

void check_loose_part(const struct check *check, const struct check_input *in, struct findings *out)
{
	for (size_t k = 0; strips_first[k] != KIND_CABLE; k++) {
		enum kind kind = strips_first[k];
		for (size_t i = 0; i < job_count(in->job, kind); i++) {
			struct item_ref item = ref_to(kind, i);
			if (!is_loose(in, item))
				continue;
			struct finding *f = finding_add(out, check, SEVERITY_CAUTION, item, NULL);
			f->value = 0;
			f->limit = 1;
			f->message = say(out, "no cable is joined to %s", name_of(in, item));
			f->todo = "join it with a cable, or take it out of the job";
		}
	}
}
