/* What the checks share: look-ups in the solution, findings that gather several items, words. */
#include "check/judge.h"

#include "base/text.h"

#define NAMES_SHOWN 4            /* a longer list is cut: the finding carries all of them */

size_t driver_at(const struct check_input *in, size_t terminal)
{
	return in->solution->circuits[in->solution->circuit_of_terminal[terminal]].driver;
}

bool strip_fits_driver(const struct check_input *in, size_t strip)
{
	const struct strip *s = &in->job->strips[strip];
	size_t driver = driver_at(in, s->terminal);
	if (driver == NO_INDEX)
		return true;
	double volts = in->job->drivers[driver].voltage.num;
	return !above(s->voltage.num, volts) && !below(s->voltage.num, volts);
}

bool strip_judged(const struct check_input *in, size_t strip)
{
	return in->solution->strips[strip].live && in->job->strips[strip].units > 0 &&
	       strip_fits_driver(in, strip);
}

size_t *empty_slots(struct arena *arena, size_t count)
{
	size_t *slots = arena_array(arena, size_t, count);
	for (size_t i = 0; i < count; i++)
		slots[i] = NO_INDEX;
	return slots;
}

struct finding *finding_in_slot(struct findings *out, size_t *slot, const struct check *check,
                                enum severity severity, struct item_ref item)
{
	if (*slot == NO_INDEX) {
		*slot = out->count;
		finding_add(out, check, severity, item, NULL);
	}
	return &out->items[*slot];
}

size_t findings_by_group(struct findings *out, const struct check *check, const struct job *job,
                         const size_t *group_of, const double *excess)
{
	struct arena *scratch = arena_child(out->arena);
	size_t *worst = empty_slots(scratch, job->strip_count);
	size_t *slots = empty_slots(scratch, job->strip_count);
	size_t first = out->count;

	for (size_t i = 0; i < job->strip_count; i++) {
		if (group_of[i] == NO_INDEX)
			continue;
		size_t *best = &worst[group_of[i]];
		if (*best == NO_INDEX || excess[i] > excess[*best])
			*best = i;
	}
	for (size_t i = 0; i < job->strip_count; i++) {
		if (group_of[i] == NO_INDEX)
			continue;
		size_t about = worst[group_of[i]];
		struct finding *finding = finding_in_slot(out, &slots[group_of[i]], check, SEVERITY_CAUTION,
		                                          ref_to(KIND_STRIP, about));
		if (i != about)
			finding_concerns(out, finding, ref_to(KIND_STRIP, i));
	}
	arena_free(scratch);
	return first;
}

void finding_limit(struct findings *out, struct finding *finding, const struct job *job,
                   enum limit limit)
{
	if (attr_said(&job->limits[limit]))
		finding->source = say(out, "limits: %s in the job file",
		                      attributes_limits.rows[limit].key);
}

char *say(struct findings *out, const char *format, ...)
{
	va_list args;
	va_start(args, format);
	char *text = arena_vprintf(out->arena, format, args);
	va_end(args);
	return text;
}

static const char *value_text(struct findings *out, double value, enum dim dim, int digits)
{
	if (dim == DIM_LENGTH)
		return quantity_length_in(out->arena, value, out->lengths, LENGTH_TAPE, digits);
	return quantity_text(out->arena, value, dim, digits);
}

struct pair pair_text(struct findings *out, double value, double limit, enum dim dim)
{
	struct pair pair;
	int digits = dim == DIM_RATIO ? 2 : 3;
	do {
		pair.value = value_text(out, value, dim, digits);
		pair.limit = value_text(out, limit, dim, digits);
	} while (text_equal(pair.value, pair.limit) && ++digits <= 6);
	return pair;
}

const char *list_text(struct findings *out, const struct check_input *in,
                      const struct finding *finding, size_t first)
{
	size_t count = finding->item_count - first;
	size_t shown = count > NAMES_SHOWN ? NAMES_SHOWN - 1 : count;
	struct buf text;

	buf_init(&text, out->arena);
	for (size_t i = 0; i < shown; i++) {
		if (i > 0)
			buf_add(&text, i + 1 == count ? " and " : ", ");
		buf_add(&text, name_of(in, finding->items[first + i]));
	}
	if (shown < count)
		buf_addf(&text, " and %zu more", count - shown);
	return text.data;
}
