/* One strip against its own label and what it is fixed to: overvoltage, cut marks, heat. */
#include "check/judge.h"

#include "base/hash.h"

#define OFF_MARK 0.02            /* of a cut unit: a length this near to a mark is on it */
#define GAP_WORTH_SAYING 1e-3    /* m */

double strip_overvoltage_of(const struct check_input *in, size_t strip)
{
	return in->solution->strips[strip].v_max_worst / in->job->strips[strip].voltage.num - 1;
}

static void describe_overvoltage(const struct check_input *in, struct findings *out,
                                 struct finding *f)
{
	const struct strip *strip = &in->job->strips[f->item.index];
	const struct driver *driver = &in->job->drivers[driver_at(in, strip->terminal)];
	double fail = job_limit(in->job, LIMIT_OVERVOLTAGE_FAIL);

	f->value = strip_overvoltage_of(in, f->item.index);
	bool over = above(f->value, fail);
	f->severity = over ? SEVERITY_FAIL : SEVERITY_CAUTION;
	f->limit = over ? fail : job_limit(in->job, LIMIT_OVERVOLTAGE);
	finding_limit(out, f, in->job, over ? LIMIT_OVERVOLTAGE_FAIL : LIMIT_OVERVOLTAGE);
	struct pair pair = pair_text(out, f->value, f->limit, DIM_RATIO);
	f->message = say(out, "%s gets up to %s, %s more than the %s it is made for (limit "
	                 "%s)", strip->item.id,
	                 quantity_volts(out->arena, in->solution->strips[f->item.index].v_max_worst),
	                 pair.value, volts_text(out, strip->voltage.num), pair.limit);
	f->todo = say(out, "trim %s down from %s", driver->item.id,
	              volts_text(out, driver->set_v));
}

/* v_max / nominal - 1. One finding per driver: its setting is the cause. */
void check_strip_overvoltage(const struct check *check, const struct check_input *in,
                             struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	double limit = fmin(job_limit(in->job, LIMIT_OVERVOLTAGE),
	                    job_limit(in->job, LIMIT_OVERVOLTAGE_FAIL));
	size_t *first_of = empty_slots(scratch, in->job->driver_count);
	size_t *group = empty_slots(scratch, in->job->strip_count);
	double *excess = arena_array(scratch, double, in->job->strip_count);

	for (size_t i = 0; i < in->job->strip_count; i++) {
		if (!strip_judged(in, i) || !above(strip_overvoltage_of(in, i), limit))
			continue;
		size_t *first = &first_of[driver_at(in, in->job->strips[i].terminal)];
		if (*first == NO_INDEX)
			*first = i;
		group[i] = *first;
		excess[i] = strip_overvoltage_of(in, i);
	}
	for (size_t i = findings_by_group(out, check, in->job, group, excess); i < out->count; i++)
		describe_overvoltage(in, out, &out->items[i]);
	arena_free(scratch);
}

static void raise_off_length(const struct check *check, struct findings *out, size_t i,
                             const struct strip *strip)
{
	struct finding *f = finding_add(out, check, SEVERITY_CAUTION, ref_to(KIND_STRIP, i),
	                                &strip->length);
	const char *longer = strip_length_text(out, (double)(strip->units + 1) * strip->pitch);
	f->value = strip->length.num;
	f->limit = strip->metres;
	if (strip->length.origin == ORIGIN_BUILT)        /* said in a file of its own */
		f->place = strip->length.place;
	if (strip->units == 0) {
		f->message = say(out, "%s is cut to %s, shorter than one cut unit of %s: nothing "
		                 "of it lights", strip->item.id,
		                 strip_length_text(out, f->value), longer);
		f->todo = say(out, "make it %s long, or leave it out", longer);
		return;
	}
	f->message = say(out, "%s is %s long, between two cut marks: what lies beyond the "
	                 "mark at %s does not light", strip->item.id,
	                 strip_length_text(out, f->value),
	                 strip_length_text(out, f->limit));
	f->todo = say(out, "cut it to %s or %s", strip_length_text(out, f->limit),
	              longer);
}

static void raise_channel_gap(const struct check *check, struct findings *out, size_t i,
                              const struct strip *strip)
{
	double gap = strip->channel.num - strip->metres;
	bool empty = strip->units == 0;
	struct finding *f = finding_add(out, check, empty ? SEVERITY_CAUTION : SEVERITY_NOTE,
	                                ref_to(KIND_STRIP, i), &strip->channel);
	f->value = gap;
	if (empty) {
		f->message = say(out, "the channel of %s is %s long, shorter than one cut unit of "
		                 "%s: no strip fits", strip->item.id,
		                 strip_length_text(out, strip->channel.num),
		                 strip_length_text(out, strip->pitch));
		f->todo = "make the channel longer, or choose a strip with shorter cut units";
		return;
	}
	f->message = say(out, "%s is cut at its last mark that fits, %s, and leaves %s of its "
	                 "%s channel dark", strip->item.id,
	                 strip_length_text(out, strip->metres),
	                 strip_length_text(out, gap),
	                 strip_length_text(out, strip->channel.num));
	f->todo = say(out, "nothing, or rout the channel %s long",
	              strip_length_text(out, strip->metres));
}

/* length / pitch - units; of a channel the gap that is left in it */
void check_off_mark(const struct check *check, const struct check_input *in, struct findings *out)
{
	for (size_t i = 0; i < in->job->strip_count; i++) {
		const struct strip *strip = &in->job->strips[i];
		if (attr_said(&strip->length)) {
			if (above(strip->length.num / strip->pitch - (double)strip->units, OFF_MARK))
				raise_off_length(check, out, i, strip);
		} else if (!below(strip->channel.num - strip->metres, GAP_WORTH_SAYING)) {
			raise_channel_gap(check, out, i, strip);
		}
	}
}

/* The first strip with the same cause: the type, where that says both power and mount. */
static size_t heat_cause(struct hash *types, const struct strip *strip, size_t i)
{
	bool own = strip->power.origin >= ORIGIN_GIVEN || strip->mount.origin >= ORIGIN_GIVEN;
	return own || !strip->item.type_name ? i : hash_put(types, strip->item.type_name, i);
}

/* Dark in the state that was solved: what no driver reaches at all is not. */
static bool is_off(const struct check_input *in, size_t index)
{
	size_t circuit = in->solution->circuit_of_terminal[in->job->strips[index].terminal];
	return !in->solution->strips[index].live && circuit < in->solution->circuit_count &&
	       in->solution->circuits[circuit].solved;
}

/* Power per metre on timber, where it is not off. One finding per type that is so. */
void check_strip_heat(const struct check *check, const struct check_input *in, struct findings *out)
{
	struct arena *scratch = arena_child(out->arena);
	double limit = job_limit(in->job, LIMIT_TIMBER_POWER);
	size_t *group = empty_slots(scratch, in->job->strip_count);
	double *excess = arena_array(scratch, double, in->job->strip_count);
	struct hash types;

	hash_init(&types, scratch);
	for (size_t i = 0; i < in->job->strip_count; i++) {
		const struct strip *strip = &in->job->strips[i];
		excess[i] = strip->power_w_per_m;
		if (!is_off(in, i) && strip->mount.num == MOUNT_TIMBER && above(excess[i], limit))
			group[i] = heat_cause(&types, strip, i);
	}
	for (size_t i = findings_by_group(out, check, in->job, group, excess); i < out->count; i++) {
		struct finding *f = &out->items[i];
		const struct strip *strip = &in->job->strips[f->item.index];
		f->value = strip->power_w_per_m;
		f->limit = limit;
		finding_limit(out, f, in->job, LIMIT_TIMBER_POWER);
		finding_point(f, &strip->mount);
		struct pair pair = pair_text(out, f->value, f->limit, DIM_WATT_PER_M);
		f->message = say(out, "%s gives off %s %s, more than the %s that timber takes "
		                 "without metal to spread the heat", strip->item.id, pair.value,
		                 attr_said(&strip->mount) ? "straight on timber"
		                                          : "on timber (nothing else is said)",
		                 pair.limit);
		f->todo = "fix it to an aluminium channel and say 'mount: aluminium', or choose a strip "
		          "with less power per metre";
	}
	arena_free(scratch);
}
