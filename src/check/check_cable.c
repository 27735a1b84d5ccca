/* Each cable against what it, its joints and its fuse may carry. The worst current over the
 * operating cases counts. Iz is the rating at the ambient; Ib the current in use, In a fuse's
 * rating. */
#include "check/judge.h"

#include "reference/reference.h"

static const struct wire_size *size_of(const struct cable *cable)
{
	return &wire_sizes[(size_t)cable->size.num];
}

/* Ib > Iz */
void check_cable_overload(const struct check *check, const struct check_input *in,
                          struct findings *out)
{
	for (size_t i = 0; i < in->job->cable_count; i++) {
		const struct cable *cable = &in->job->cables[i];
		const struct cable_result *r = &in->solution->cables[i];
		if (!r->live || !above(r->worst_a, cable->iz))
			continue;
		bool rated = attr_said(&cable->rating);
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_CABLE, i),
		                                rated ? &cable->rating : &cable->size);
		f->value = r->worst_a;
		f->limit = cable->iz;
		f->source = rated ? "its rating in the job file" : size_of(cable)->rating_source;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
		f->message = say(out, "%s (%s) carries %s, more than the %s it may carry at %s",
		                 cable->item.id, size_of(cable)->name, pair.value, pair.limit,
		                 quantity_text(out->arena, in->job->ambient.num, DIM_CELSIUS, 3));
		f->todo = say(out, "use a cable rated %s or more, or share the load between two",
		              pair.value);
	}
}

/* Ib > what its plug or clip may carry */
void check_joint_overload(const struct check *check, const struct check_input *in,
                          struct findings *out)
{
	for (size_t i = 0; i < in->job->cable_count; i++) {
		const struct cable *cable = &in->job->cables[i];
		const struct cable_result *r = &in->solution->cables[i];
		if (!r->live || !above(r->worst_a, cable->joint_a))
			continue;
		bool given = attr_said(&cable->joint_current);
		struct finding *f = finding_add(out, check, SEVERITY_FAIL, ref_to(KIND_CABLE, i),
		                                given ? &cable->joint_current : &cable->joint);
		f->value = r->worst_a;
		f->limit = cable->joint_a;
		if (given)
			f->source = "its joint_current in the job file";
		struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
		f->message = say(out, "%s passes through the joints of %s, which are made for %s",
		                 pair.value, cable->item.id, pair.limit);
		f->todo = "solder or screw its ends, or share the load between two cables";
	}
}

/* caution: Ib > 0.8 In; fail: Ib > In */
void check_fuse_overload(const struct check *check, const struct check_input *in,
                         struct findings *out)
{
	for (size_t i = 0; i < in->job->cable_count; i++) {
		const struct cable *cable = &in->job->cables[i];
		const struct cable_result *r = &in->solution->cables[i];
		if (!r->live || !attr_has(&cable->fuse) ||
		    !above(r->worst_a, FUSE_IN_USE * cable->fuse.num))
			continue;
		bool over = above(r->worst_a, cable->fuse.num);
		struct finding *f = finding_add(out, check, over ? SEVERITY_FAIL : SEVERITY_CAUTION,
		                                ref_to(KIND_CABLE, i), &cable->fuse);
		f->value = r->worst_a;
		f->limit = over ? cable->fuse.num : FUSE_IN_USE * cable->fuse.num;
		struct pair pair = pair_text(out, f->value, f->limit, DIM_AMP);
		const char *rating = amps_text(out, cable->fuse.num);
		f->message = over
			? say(out, "%s passes through the %s fuse of %s in normal use: it will blow",
			      pair.value, rating, cable->item.id)
			: say(out, "%s passes through the %s fuse of %s in normal use, more than the "
			      "%s it holds for years", pair.value, rating, cable->item.id, pair.limit);
		f->todo = say(out, "fit a fuse of %s or more, if the cable may carry that",
		              amps_text(out, r->worst_a / FUSE_IN_USE));
	}
}
