/* Rules between attributes. A sound job never meets one: they catch slips, the checks judge
 * designs. */
#include "load/validate.h"

#include <math.h>
#include <string.h>

/* Where rules look: one item with its record. */
struct scene {
	struct loader *l;
	enum kind kind;
	struct item *item;
	struct record *record;
};

static const char *shown(struct scene *s, const struct attr *attr)
{
	return quantity_text(s->l->mistakes.arena, attr->num, attr->dim, 6);
}

static void blame(struct scene *s, struct report report, const char *message)
{
	s->record->broken = true;
	mistake_report(&s->l->mistakes, report, "%s '%s': %s", kind_words[s->kind].word, s->item->id,
	               message);
}

static bool both(const struct attr *a, const struct attr *b)
{
	return attr_said(a) && attr_said(b);
}

/* Rows that make sense only with their partner: copper with rail_width. */
static void check_companions(struct scene *s)
{
	struct fields fields = loader_fields(s->kind, s->item, s->item->id);
	fields.tried = s->record->tried;
	for (size_t i = 0; i < fields_count(&fields); i++) {
		const struct attribute *row = fields_row(&fields, i);
		const struct attr *value = attribute_value(row, s->item);
		if (row->need != NEED_NO || !row->partner || !attr_said(value))
			continue;
		const struct attribute *partner = attribute_find(s->kind, row->partner);
		if (fields_tried(&fields, partner->key) || attr_said(attribute_value(partner, s->item)))
			continue;
		blame(s, (struct report){ .mistake = MISTAKE_MISSING_COMPANION, .place = value->place,
		                          .expected = mistake_text(&s->l->mistakes, "%s: %s", partner->key,
		                                                   form_example(partner)) },
		      mistake_text(&s->l->mistakes, "'%s' needs '%s' with it", row->key, partner->key));
	}
}

/* One thing said in two ways at one level; across levels the nearer one wins, which is no
 * mistake. */
static void check_conflict(struct scene *s, const char *key_a, const char *key_b)
{
	const struct attr *a = attribute_value(attribute_find(s->kind, key_a), s->item);
	const struct attr *b = attribute_value(attribute_find(s->kind, key_b), s->item);
	if (!both(a, b) || a->origin != b->origin)
		return;
	struct mistakes *m = &s->l->mistakes;
	struct report report = { .mistake = MISTAKE_CONFLICT, .place = b->place };
	report.hint = mistake_text(m, "'%s' is at %s; keep one of them", key_a,
	                           mistake_where(m, a->place, b->place));
	blame(s, report, mistake_text(m, "'%s' and '%s' say the same thing", key_a, key_b));
}

/* Blames `key` if both are said in one unit and it is above `most`. */
static void check_at_most(struct scene *s, const char *key, const char *most)
{
	const struct attr *a = attribute_value(attribute_find(s->kind, key), s->item);
	const struct attr *b = attribute_value(attribute_find(s->kind, most), s->item);
	if (!both(a, b) || a->dim != b->dim || a->num <= b->num)
		return;
	blame(s, (struct report){ .mistake = MISTAKE_CONTRADICTION, .place = a->place },
	      mistake_text(&s->l->mistakes, "'%s' (%s) is above '%s' (%s)", key, shown(s, a), most,
	                   shown(s, b)));
}

static void check_constant_current(struct scene *s, const struct strip *strip)
{
	const struct attr *above = &strip->regulates_above;
	struct fields fields = loader_fields(s->kind, s->item, s->item->id);
	fields.tried = s->record->tried;
	bool regulated = attr_said(&strip->ballast) && strip->ballast.num > BALLAST_RESISTOR;
	if (regulated && !fields_tried(&fields, "regulates_above"))
		blame(s, (struct report){ .mistake = MISTAKE_MISSING_COMPANION,
		                          .place = strip->ballast.place,
		                          .expected = "regulates_above: from where on light is full" },
		      "'constant-current' needs 'regulates_above' with it");
	if (attr_said(above) && !fields_tried(&fields, "ballast"))
		blame(s, (struct report){ .mistake = MISTAKE_MISSING_COMPANION, .place = above->place,
		                          .expected = "ballast: constant-current" },
		      "'regulates_above' needs 'ballast' with it");
	check_at_most(s, "regulates_above", "voltage");
	if (regulated && both(above, &strip->led_knee) && above->num <= strip->led_knee.num)
		blame(s, (struct report){ .mistake = MISTAKE_CONTRADICTION, .place = above->place },
		      mistake_text(&s->l->mistakes, "'regulates_above' (%s) is not above 'led_knee' (%s)",
		                   shown(s, above), shown(s, &strip->led_knee)));
}

static void check_strip_said(struct scene *s)
{
	const struct strip *strip = (const struct strip *)s->item;
	const struct attr *knee = &strip->led_knee, *test = &strip->reel_test;
	check_conflict(s, "loop_resistance", "copper");
	check_conflict(s, "loop_resistance", "reel_test");
	check_conflict(s, "copper", "reel_test");
	check_conflict(s, "led_knee", "piece_test");
	check_at_most(s, "cut_length", "reel");
	check_constant_current(s, strip);
	if (both(knee, &strip->voltage) && knee->num >= strip->voltage.num)
		blame(s, (struct report){ .mistake = MISTAKE_CONTRADICTION, .place = knee->place,
		                          .hint = "about 2.75 V for each LED in series" },
		      mistake_text(&s->l->mistakes, "'led_knee' (%s) is not below 'voltage' (%s)",
		                   shown(s, knee), shown(s, &strip->voltage)));
	if (attr_said(test) && test->points[REEL_FEED].x <= test->points[REEL_FAR].x)
		blame(s, (struct report){ .mistake = MISTAKE_REEL_TEST, .place = test->place },
		      "in 'reel_test' the far end must read less than the feed");
	const struct attr *piece = &strip->piece_test;
	if (attr_said(piece) && (piece->points[PIECE_HIGH].x <= piece->points[PIECE_LOW].x ||
	                         piece->points[PIECE_HIGH_CURRENT].x <= piece->points[PIECE_LOW_CURRENT].x))
		blame(s, (struct report){ .mistake = MISTAKE_PIECE_TEST, .place = piece->place },
		      "in 'piece_test' the higher voltage must drive the higher current");
}

static void check_switch_said(struct scene *s)
{
	check_conflict(s, "on_resistance", "voltage_drop");
	check_at_most(s, "min_load", "max_current");
	check_at_most(s, "min_load", "max_power");
}

static void check_driver_said(struct scene *s)
{
	const struct driver *driver = (const struct driver *)s->item;
	const struct attr *set = &driver->set_voltage, *nominal = &driver->voltage;
	check_at_most(s, "min_load", "power");
	check_at_most(s, "min_load", "max_current");
	if (both(set, nominal) && !(set->num >= 0.5 * nominal->num && set->num <= 1.5 * nominal->num))
		blame(s, (struct report){ .mistake = MISTAKE_CONTRADICTION, .place = set->place,
		                          .expected = "half to one and a half times 'voltage'" },
		      mistake_text(&s->l->mistakes, "'set_voltage' (%s) is far from 'voltage' (%s)",
		                   shown(s, set), shown(s, nominal)));
}

static void check_driver_derived(struct scene *s)
{
	const struct driver *driver = (const struct driver *)s->item;
	const struct attr *trip = &driver->trip_current;
	if (s->record->broken || !attr_said(trip) || trip->num >= driver->rated_a)
		return;
	blame(s, (struct report){ .mistake = MISTAKE_CONTRADICTION, .place = trip->place },
	      mistake_text(&s->l->mistakes, "'trip_current' (%s) is below its rated current (%s)",
	                   shown(s, trip), shown(s, &driver->max_current)));
}

static struct place place_of(const struct scene *s, const struct attr *attr,
                             const struct attr *other)
{
	return attr_said(attr) ? attr->place : attr_said(other) ? other->place : s->item->at;
}

static const char *knee_text(struct scene *s, const struct unit_law *law)
{
	return quantity_text(s->l->mistakes.arena, law->v_knee, DIM_VOLT, 6);
}

/* Readings of a piece that no strip gives, though the higher one is higher. */
static void check_piece(struct scene *s, const struct strip *strip)
{
	const struct attr *test = &strip->piece_test;
	struct mistakes *m = &s->l->mistakes;
	struct report report = { .mistake = MISTAKE_PIECE_TEST, .place = test->place };
	double knee, watts;
	if (strip_units_in(strip, test->points[PIECE_LENGTH].x) == 0) {
		blame(s, report, mistake_text(m, "the piece of its 'piece_test' is shorter than one cut unit (%s)",
		                              quantity_length(m->arena, strip->pitch)));
	} else if (piece_test_knee(strip, &knee)) {
		report.hint = "measure the piece at about its working voltage, and at a volt or two less";
		if (knee >= strip->voltage.num)
			blame(s, report, mistake_text(m, "by its 'piece_test' the knee is at %s, not below 'voltage' "
			                              "(%s)", quantity_text(m->arena, knee, DIM_VOLT, 4),
			                              shown(s, &strip->voltage)));
		else if (!piece_test_power(strip, &watts))
			blame(s, report, mistake_text(m, "no piece of it gives such readings: rails of %s let less "
			                              "current through",
			                              quantity_text(m->arena, strip->loop_ohm_per_m,
			                                            DIM_OHM_PER_M, 3)));
	} else if (strip->law.regulated && test->points[PIECE_HIGH].x > strip->law.v_full) {
		report.hint = "above it the current stands still and says nothing of the knee";
		blame(s, report, mistake_text(m, "both voltages of its 'piece_test' must be at most "
		                              "'regulates_above' (%s)", shown(s, &strip->regulates_above)));
	} else {
		report.hint = "measure at the piece itself, all of it lit at both voltages";
		blame(s, report, "no piece of it gives such readings: current must grow faster than voltage");
	}
}

static void check_strip_derived(struct scene *s)
{
	const struct strip *strip = (const struct strip *)s->item;
	const struct unit_law *law = &strip->law;
	double ohm, watts;
	if (s->record->broken)
		return;
	if (attr_said(&strip->piece_test))
		check_piece(s, strip);
	if (s->record->broken)
		return;
	struct report report = { .mistake = MISTAKE_CONTRADICTION,
	                         .place = place_of(s, &strip->series_leds, &strip->led_knee),
	                         .expected = "led_knee, or the right series_leds" };
	if (law->v_knee >= strip->voltage.num) {
		blame(s, report, mistake_text(&s->l->mistakes, "its LEDs need %s to light, it has %s",
		                              knee_text(s, law), shown(s, &strip->voltage)));
	} else if (law->v_knee >= law->v_full) {
		report.place = strip->regulates_above.place;
		blame(s, report, mistake_text(&s->l->mistakes, "'regulates_above' (%s) is not above the "
		                              "voltage at which its LEDs light (%s)",
		                              shown(s, &strip->regulates_above), knee_text(s, law)));
	} else if (attr_said(&strip->reel_test) && !strip->loop_measured &&
	           !reel_test_solve(strip, &ohm, &watts)) {
		blame(s, (struct report){ .mistake = MISTAKE_REEL_TEST, .place = strip->reel_test.place,
		                          .hint = "measure both voltages at the strip, while it is lit" },
		      mistake_text(&s->l->mistakes, "no strip gives such readings; the far end must read "
		                   "above %s and the length hold a cut unit", knee_text(s, law)));
	}
	if (strip->units == 0)
		blame(s, (struct report){ .mistake = MISTAKE_TOO_SHORT,
		                          .place = place_of(s, &strip->length, &strip->channel) },
		      mistake_text(&s->l->mistakes, "it is shorter than one cut unit (%s)",
		                   quantity_length(s->l->mistakes.arena, strip->pitch)));
}

typedef void check_item(struct scene *s);

static void each_item(struct loader *l, check_item *const checks[KIND__END], bool companions)
{
	for (enum kind kind = 0; kind < KIND__END; kind++)
		for (size_t i = 0; i < job_count(l->job, kind); i++) {
			struct scene s = { l, kind, job_item(l->job, kind, i), &l->items[kind][i] };
			if (companions)
				check_companions(&s);
			if (checks[kind])
				checks[kind](&s);
		}
}

void validate_said(struct loader *l)
{
	static check_item *const checks[KIND__END] = {
		[KIND_STRIP] = check_strip_said,
		[KIND_SWITCH] = check_switch_said,
		[KIND_DRIVER] = check_driver_said,
	};
	each_item(l, checks, true);
}

/* A limit that fails must lie beyond the one that warns. */
static void check_limits(struct loader *l)
{
	static const struct { enum limit warns, fails; bool rising; } pairs[] = {
		{ LIMIT_DROP, LIMIT_DROP_FAIL, true },
		{ LIMIT_LIGHT, LIMIT_LIGHT_FAIL, false },
		{ LIMIT_OVERVOLTAGE, LIMIT_OVERVOLTAGE_FAIL, true },
	};
	for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
		const struct attr *warns = &l->job->limits[pairs[i].warns];
		const struct attr *fails = &l->job->limits[pairs[i].fails];
		const char *warn_key = attributes_limits.rows[pairs[i].warns].key;
		const char *fail_key = attributes_limits.rows[pairs[i].fails].key;
		bool good = pairs[i].rising ? fails->num >= warns->num : fails->num <= warns->num;
		if (good || (!attr_said(warns) && !attr_said(fails)))
			continue;
		struct report report = { .mistake = MISTAKE_CONTRADICTION,
		                         .place = attr_said(fails) ? fails->place : warns->place };
		if (!both(warns, fails))
			report.hint = mistake_text(&l->mistakes, "'%s' is not given; give both",
			                           attr_said(fails) ? warn_key : fail_key);
		mistake_report(&l->mistakes, report, "'%s' (%s) lies %s '%s' (%s)", fail_key,
		               quantity_percent(l->mistakes.arena, fails->num),
		               pairs[i].rising ? "below" : "above", warn_key,
		               quantity_percent(l->mistakes.arena, warns->num));
	}
}

void validate_derived(struct loader *l)
{
	static check_item *const checks[KIND__END] = {
		[KIND_STRIP] = check_strip_derived,
		[KIND_DRIVER] = check_driver_derived,
	};
	check_limits(l);
	each_item(l, checks, false);
}
