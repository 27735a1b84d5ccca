/* Text to job: what a right file means, and how types and catalogues come together. */
#include "load_support.h"

#include "reference/reference.h"

static struct job_reading read_right(const char *text)
{
	struct job_reading r = read_text(text);
	for (size_t i = 0; i < r.diags.count; i++)
		print_error("%u:%u: %s\n", (unsigned)r.diags.items[i].place.line,
		            (unsigned)r.diags.items[i].place.column, r.diags.items[i].message);
	assert_int_equal(r.status, LOAD_OK);
	assert_non_null(r.job);
	return r;
}

static const char *terminal(const struct job *job, size_t index)
{
	return job->terminals[index].name;
}

static void values_are_read_to_si(void **state)
{
	(void)state;
	struct job_reading r = read_right(
		"job: {name: Boot room, ambient: 86 F}\n"
		"limits: {headroom: 25 %, sizes: [0.75 mm2, 18 AWG], min_size: 0.34 mm2}\n"
		"drivers:\n"
		"  D1: {voltage: 24 V, power: 60 W, selv: Yes, derating: [[40 C, 100 %], [60 C, 70 %]],\n"
		"       mains: 100\xE2\x80\x93" "240 V, min_load: 500 mA}\n"
		"strips:\n"
		"  L1: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, length: 2 ft 9 1/2 in,\n"
		"       ballast: constant-current, regulates_above: 21 V,\n"
		"       reel_test: {length: 5 m, feed: 24.0 V, far: 22.1 V, current: 1.82 A}}\n"
		"cables:\n"
		"  C1: {size: 18 AWG, from: D1, to: L1, length: 3.2 m, supplied: no, slack: 10 %}\n");
	const struct job *job = r.job;
	assert_string_equal(job->name.text, "Boot room");
	assert_near(job->ambient.num, 30, 1e-12, 0);                 /* (86 - 32) / 1.8 */
	assert_near(job->limits[LIMIT_HEADROOM].num, 0.25, 1e-12, 0);
	assert_near(job->limits[LIMIT_DROP].num, 0.05, 1e-12, 0);    /* the default */
	assert_int_equal(job->limits[LIMIT_DROP].origin, ORIGIN_ASSUMED);
	const struct attr *sizes = &job->limits[LIMIT_SIZES];
	assert_int_equal(sizes->point_count, 2);
	assert_string_equal(wire_sizes[(size_t)sizes->points[1].x].name, "18 AWG");
	assert_string_equal(wire_sizes[(size_t)job->limits[LIMIT_MIN_SIZE].num].name, "0.34 mm2");
	const struct driver *driver = &job->drivers[0];
	assert_near(driver->selv.num, 1, 0, 0);
	assert_near(driver->mains.num, 100, 0, 0);
	assert_near(driver->mains.high, 240, 0, 0);
	assert_int_equal(driver->min_load.dim, DIM_AMP);
	assert_near(driver->min_load.num, 0.5, 1e-12, 0);
	assert_int_equal(driver->derating.point_count, 2);
	assert_near(driver->derating.points[1].x, 60, 0, 0);
	assert_near(driver->derating.points[1].y, 0.7, 1e-12, 0);
	const struct strip *strip = &job->strips[0];
	assert_near(strip->length.num, 33.5 * 0.0254, 1e-12, 0);     /* 24 + 9.5 inches */
	assert_near(strip->ballast.num, BALLAST_CONSTANT_CURRENT, 0, 0);
	assert_int_equal(strip->reel_test.point_count, REEL__END);
	assert_near(strip->reel_test.points[REEL_FAR].x, 22.1, 1e-12, 0);
	assert_int_equal(strip->mount.origin, ORIGIN_ASSUMED);
	const struct cable *cable = &job->cables[0];
	assert_string_equal(wire_sizes[(size_t)cable->size.num].name, "18 AWG");
	assert_near(cable->supplied.num, 0, 0, 0);
	assert_int_equal(cable->slack.dim, DIM_RATIO);
	assert_int_equal(cable->length.place.line, 11);
	assert_int_equal(cable->length.place.column, 48);
	assert_int_equal(cable->item.at.column, 3);
	done(&r);
}

static void items_override_their_type(void **state)
{
	(void)state;
	struct job_reading r = read_right(WARM DRIVER
		"strips:\n  L1: {type: warm, length: 850 mm, power: 14.4 W/m}\n"
		"  L2: {type: warm, length: 850 mm}\n" CABLE);
	const struct strip *own = &r.job->strips[0], *as_type = &r.job->strips[1];
	assert_near(own->power.num, 14.4, 1e-12, 0);
	assert_int_equal(own->power.origin, ORIGIN_GIVEN);
	assert_int_equal(own->voltage.origin, ORIGIN_TYPE);
	assert_near(as_type->power.num, 9.6, 1e-12, 0);
	assert_int_equal(as_type->power.place.line, 2);
	assert_string_equal(as_type->item.type_name, "warm");
	assert_int_equal(as_type->units, 17);
	assert_int_equal(r.job->type_count[KIND_STRIP], 1);
	done(&r);
}

static void terminals_are_named_as_people_do(void **state)
{
	(void)state;
	struct job_reading r = read_right(WARM DRIVER
		"switches:\n  S-1: {max_current: 3 A}\n"
		"blocks:\n  B_1: {ports: 6, max_current: 6 A}\n"
		"strips:\n  pantry-top: {type: warm, length: 2400 mm}\n"
		"cables:\n"
		"  C1: {size: 0.75 mm2, from: D1, to: S-1, length: 1 m}\n"
		"  C2: {size: 0.75 mm2, from: S-1, to: B_1, length: 1 m}\n"
		"  C3: {size: 0.75 mm2, from: B_1, to: pantry-top, length: 1 m}\n"
		"  C4: {size: 0.75 mm2, from: pantry-top.end, to: B_1, length: 1 m}\n"
		"  C5: {size: 0.75 mm2, from: pantry-top@1.22m, to: B_1, length: 1 m}\n"
		"  C6: {size: 0.75 mm2, from: S-1.in, to: pantry-top@3 ft 11 1/4 in, length: 1 m}\n"
		"  C7: {size: 0.75 mm2, from: S-1.out, to: pantry-top@2400 mm, length: 1 m}\n");
	const struct job *job = r.job;
	assert_string_equal(terminal(job, job->cables[0].a), "D1");
	assert_string_equal(terminal(job, job->cables[0].b), "S-1.in");      /* bare, under to: */
	assert_string_equal(terminal(job, job->cables[1].a), "S-1.out");     /* bare, under from: */
	assert_string_equal(terminal(job, job->cables[1].b), "B_1");
	assert_string_equal(terminal(job, job->cables[2].b), "pantry-top.start");
	assert_string_equal(terminal(job, job->cables[3].a), "pantry-top.end");
	/* 1.22 m is nearest to mark 24 of 50 mm; 47.25 in = 1.20015 m too. */
	assert_int_equal(job->terminals[job->cables[4].a].mark, 24);
	assert_int_equal(job->cables[4].a, job->cables[5].b);
	assert_int_equal(job->strips[0].tap_count, 1);
	assert_string_equal(terminal(job, job->cables[6].b), "pantry-top.end");
	done(&r);
}

static void catalogues_lie_beside_the_job(void **state)
{
	(void)state;
	char folder[64], job_name[128];
	make_file(folder, sizeof folder, "parts.csv",
	          "kind,id,voltage,power,cut_length,derating,price,pack,mount\n"
	          "strip,plain,24 V,9.6 W/m,50 mm,,21.50,5 m,aluminium\n"
	          "driver,D/60.2,24 V,60 W,,\"[[40 C, 100 %], [60 C, 70 %]]\",31,,\n");
	snprintf(job_name, sizeof job_name, "%s/job.yaml", folder);
	struct job_reading r = read_named(job_name,
		"catalogue: parts.csv\n"
		"drivers:\n  D1: {type: D/60.2}\n"
		"strips:\n  L1: {type: plain, length: 850 mm, mount: timber}\n" CABLE);
	assert_int_equal(r.status, LOAD_OK);
	const struct strip *strip = &r.job->strips[0];
	assert_near(strip->power.num, 9.6, 1e-12, 0);
	assert_int_equal(strip->power.origin, ORIGIN_CATALOGUE);
	assert_int_equal(strip->power.place.line, 2);
	assert_int_equal(strip->power.place.column, 18);
	assert_near(strip->item.price.num, 21.5, 1e-12, 0);
	assert_int_equal(strip->item.pack.dim, DIM_LENGTH);
	assert_int_equal(strip->mount.origin, ORIGIN_GIVEN);
	assert_near(strip->mount.num, MOUNT_TIMBER, 0, 0);
	assert_int_equal(r.job->drivers[0].derating.point_count, 2);
	done(&r);
	remove_file(folder, "parts.csv");
}

/* Alternatives conflict at one level only: an item may say otherwise than its type. */
static void nearer_statements_win_without_a_conflict(void **state)
{
	(void)state;
	struct job_reading r = read_right(
		"strip_types:\n  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, copper: 70 um, "
		"rail_width: 3 mm}\n" DRIVER
		"strips:\n  L1: {type: warm, length: 850 mm, loop_resistance: 0.3 ohm/m}\n" CABLE);
	assert_near(r.job->strips[0].loop_ohm_per_m, 0.3, 1e-12, 0);
	done(&r);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(values_are_read_to_si),
		cmocka_unit_test(items_override_their_type),
		cmocka_unit_test(terminals_are_named_as_people_do),
		cmocka_unit_test(catalogues_lie_beside_the_job),
		cmocka_unit_test(nearer_statements_win_without_a_conflict),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
