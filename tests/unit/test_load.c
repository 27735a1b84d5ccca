/* Text to job: what a right file means, how types and catalogues come together, what a wrong one is told.
 * The words of each mistake are in fixtures/bad; here it is which, where and how many. */
#include "support.h"

#include "base/arena_faults.h"
#include "load/load.h"
#include "load/mistake.h"
#include "reference/reference.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

struct reading {
	struct arena *arena;
	struct load_text text;
	struct diags diags;
	struct job *job;
	enum load_status status;
};

static void read_job(void *data)
{
	struct reading *r = data;
	diags_init(&r->diags, r->arena);
	r->status = load_job(r->arena, &r->text, &r->diags, &r->job);
}

static struct reading read_named(const char *name, const char *text)
{
	struct reading r = { .arena = arena_new() };
	r.text = (struct load_text){ .name = name, .bytes = text, .size = text ? strlen(text) : 0 };
	assert_true(arena_guard(r.arena, read_job, &r));
	return r;
}

static struct reading read_text(const char *text)
{
	return read_named("job.yaml", text);
}

static struct reading read_right(const char *text)
{
	struct reading r = read_text(text);
	for (size_t i = 0; i < r.diags.count; i++)
		print_error("%u:%u: %s\n", (unsigned)r.diags.items[i].place.line,
		            (unsigned)r.diags.items[i].place.column, r.diags.items[i].message);
	assert_int_equal(r.status, LOAD_OK);
	assert_non_null(r.job);
	return r;
}

static void done(struct reading *r)
{
	arena_free(r->arena);
}

static void assert_mistake(const struct reading *r, size_t index, const char *kind, unsigned line,
                           unsigned column)
{
	assert_true(index < r->diags.count);
	assert_string_equal(r->diags.items[index].kind, kind);
	assert_int_equal(r->diags.items[index].place.line, line);
	assert_int_equal(r->diags.items[index].place.column, column);
}

static const char *terminal(const struct job *job, size_t index)
{
	return job->terminals[index].name;
}

#define DRIVER "drivers:\n  D1: {voltage: 24 V, power: 60 W}\n"
#define WARM   "strip_types:\n  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm}\n"
#define STRIP  "strips:\n  L1: {type: warm, length: 850 mm}\n"
#define CABLE  "cables:\n  C1: {size: 0.75 mm2, from: D1, to: L1, length: 3.2 m}\n"
#define RIGHT  WARM DRIVER STRIP CABLE

static void values_are_read_to_si(void **state)
{
	(void)state;
	struct reading r = read_right(
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
	struct reading r = read_right(WARM DRIVER
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
	struct reading r = read_right(WARM DRIVER
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

/* A folder of this test's own with one file in it. */
static void make_file(char *folder, size_t size, const char *name, const char *text)
{
	char path[256];
	snprintf(folder, size, "/tmp/farend-load-XXXXXX");
	assert_non_null(mkdtemp(folder));
	snprintf(path, sizeof path, "%s/%s", folder, name);
	FILE *file = fopen(path, "wb");
	assert_non_null(file);
	fputs(text, file);
	assert_int_equal(fclose(file), 0);
}

static void remove_file(const char *folder, const char *name)
{
	char path[256];
	snprintf(path, sizeof path, "%s/%s", folder, name);
	unlink(path);
	rmdir(folder);
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
	struct reading r = read_named(job_name,
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

/* Seven mistakes of seven kinds, each once, in the order of the file. */
static void all_mistakes_come_in_one_run(void **state)
{
	(void)state;
	struct reading r = read_text(
		"strip_types:\n"
		"  warm: {voltage: 24 V, powr: 9.6 W/m, cut_length: 50}\n"
		"drivers:\n"
		"  D1: {voltage: 24 V, power: 60 W, selv: maybe}\n"
		"strips:\n"
		"  L1: {type: warm, length: 850 mm}\n"
		"  L2: {type: wram, length: 850 mm}\n"
		"cables:\n"
		"  C1: {size: 0.7 mm2, from: D1, to: L3, length: 3.2 m}\n"
		"  C2: {size: 0.75 mm2, from: D1, to: L1@2 m}\n");
	assert_int_equal(r.status, LOAD_WRONG);
	assert_null(r.job);
	assert_int_equal(r.diags.count, 7);
	assert_mistake(&r, 0, "unknown-key", 2, 25);           /* and 'power' is not missing too */
	assert_mistake(&r, 1, "no-unit", 2, 52);
	assert_mistake(&r, 2, "not-yes-or-no", 4, 42);
	assert_mistake(&r, 3, "unknown-type", 7, 14);
	assert_mistake(&r, 4, "unknown-size", 9, 14);
	assert_mistake(&r, 5, "unknown-id", 9, 37);
	assert_mistake(&r, 6, "missing-key", 10, 3);
	done(&r);
}

static void the_nearest_names_are_offered(void **state)
{
	(void)state;
	struct reading r = read_text(WARM DRIVER STRIP
		"cables:\n  C1: {size: 0.75 mm2, from: d1, to: L11, length: 3.2 m}\n");
	assert_int_equal(r.diags.count, 2);
	assert_non_null(strstr(r.diags.items[0].hint, "'D1'"));
	assert_non_null(strstr(r.diags.items[0].hint, "capital"));
	assert_non_null(strstr(r.diags.items[1].hint, "'L1'"));
	done(&r);
}

static void one_mistake_each(void **state)
{
	(void)state;
	static const struct { const char *text, *kind; unsigned line, column; } rows[] = {
		{ RIGHT "cable:\n", "unknown-group", 9, 1 },
		{ RIGHT "drivers:\n  D2: {voltage: 24 V, power: 9 W}\n", "duplicate-key", 9, 1 },
		{ RIGHT "drivers2: 1\n", "unknown-group", 9, 1 },
		{ RIGHT "blocks: {L1: {ports: 2, max_current: 3 A}}\n", "duplicate-id", 9, 10 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1@0 mm, length: 1 m}\n"
		  "  C3: {size: 0.75 mm2, from: L1.start, to: L1@20 mm, length: 1 m}\n", "self-loop", 10,
		  44 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: C1, length: 1 m}\n", "cable-as-terminal", 9, 38 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1@860 mm, length: 1 m}\n", "bad-tap", 9, 41 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1.middle, length: 1 m}\n",
		  "unknown-terminal", 9, 41 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1, length: 1001 m}\n", "out-of-range", 9, 50 },
		{ RIGHT "  C2: {size: 0.75 mm2, from: D1, to: L1, length: 1,5 m}\n", "decimal-comma", 9, 50 },
		{ RIGHT "limits: {drop: 11 %}\n", "contradiction", 9, 16 },
		{ "job: {}\n", "nothing-to-check", 0, 0 },
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct reading r = read_text(rows[i].text);
		assert_int_equal(r.diags.count, 1);
		assert_mistake(&r, 0, rows[i].kind, rows[i].line, rows[i].column);
		done(&r);
	}
}

/* Boundaries: the value that just passes and the one that just does not. */
static void limits_are_where_they_say(void **state)
{
	(void)state;
	static const struct { const char *strip; bool right; } rows[] = {
		{ "cut_length: 50 mm, length: 100 m", true },
		{ "cut_length: 50 mm, length: 100.001 m", false },
		{ "cut_length: 50 mm, length: 50 mm", true },
		{ "cut_length: 50 mm, length: 49 mm", true },          /* 2 % short of a unit still holds it */
		{ "cut_length: 50 mm, length: 48.9 mm", false },
		{ "cut_length: 5 m, length: 5 m", true },              /* a reel of 5 m is assumed */
		{ "cut_length: 50 mm, channel: 1 m", true },
		{ "cut_length: 50 mm, length: 1 m, led_knee: 23.9 V", true },
		{ "cut_length: 50 mm, length: 1 m, led_knee: 24 V", false },
		{ "cut_length: 50 mm, length: 1 m, series_leds: 8", true },    /* 8 x 2.75 = 22 V */
		{ "cut_length: 50 mm, length: 1 m, series_leds: 9", false },   /* 24.75 V */
		{ "cut_length: 50 mm, length: 1 m, loop_resistance: 1 mohm/m", true },
		{ "cut_length: 50 mm, length: 1 m, loop_resistance: 0.99 mohm/m", false },
		{ "cut_length: 50 mm, length: 1 m, ballast: constant-current, regulates_above: 24 V", true },
		{ "cut_length: 50 mm, length: 1 m, ballast: constant-current, regulates_above: 24.1 V", false },
		{ "cut_length: 50 mm, length: 1 m, ballast: constant-current, regulates_above: 16.5 V", false },
		{ "cut_length: 50 mm, length: 1 m, ballast: constant-current, regulates_above: 16.6 V", true },
		{ "cut_length: 50 mm, length: 1 m, ballast: constant-current", false },
		{ "cut_length: 50 mm, length: 1 m, copper: 70 um", false },
		{ "cut_length: 50 mm, length: 1 m, copper: 70 um, rail_width: 3 mm", true },
		{ "cut_length: 50 mm, length: 1 m, copper: 70 um, rail_width: 3 mm, loop_resistance: "
		  "0.1 ohm/m", false },
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		char text[512];
		snprintf(text, sizeof text, "strips:\n  L1: {voltage: 24 V, power: 9.6 W/m, %s}\n",
		         rows[i].strip);
		struct reading r = read_text(text);
		if ((r.status == LOAD_OK) != rows[i].right)
			print_error("%s\n", rows[i].strip);
		assert_int_equal(r.status == LOAD_OK, rows[i].right);
		assert_int_equal(r.diags.count, rows[i].right ? 0 : 1);
		done(&r);
	}
}

/* Alternatives conflict at one level only: an item may say otherwise than its type. */
static void nearer_statements_win_without_a_conflict(void **state)
{
	(void)state;
	struct reading r = read_right(
		"strip_types:\n  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, copper: 70 um, "
		"rail_width: 3 mm}\n" DRIVER
		"strips:\n  L1: {type: warm, length: 850 mm, loop_resistance: 0.3 ohm/m}\n" CABLE);
	assert_near(r.job->strips[0].loop_ohm_per_m, 0.3, 1e-12, 0);
	done(&r);
}

static void a_file_that_is_not_there_is_a_mistake(void **state)
{
	(void)state;
	struct reading r = read_named("/nowhere/at/all.yaml", NULL);
	assert_int_equal(r.status, LOAD_WRONG);
	assert_mistake(&r, 0, "unreadable-file", 0, 0);
	assert_string_equal(r.diags.items[0].place.source->name, "/nowhere/at/all.yaml");
	done(&r);
}

static char *large_job(size_t strips, bool wrong)
{
	size_t room = 400 + strips * 280, used = 0;
	char *text = malloc(room);
	assert_non_null(text);
	used += (size_t)snprintf(text + used, room - used, WARM DRIVER "strips:\n");
	for (size_t i = 0; i < strips; i++)
		used += (size_t)snprintf(text + used, room - used, "  L%zu: {type: %s, length: 850 mm}\n", i,
		                         wrong ? "wram" : "warm");
	used += (size_t)snprintf(text + used, room - used, "cables:\n");
	for (size_t i = 0; i < 2 * strips; i++)
		used += (size_t)snprintf(text + used, room - used, "  C%zu: {size: 0.75 mm2, from: %s, "
		                         "to: L%zu%s, length: 3 m}\n", i, wrong ? "Q1" : "D1", i / 2,
		                         i % 2 ? ".end" : "@200 mm");
	assert_true(used < room);
	return text;
}

/* A second of processor time is ten times what this takes; a loop over all pairs of 30 000 items would
 * take many. Sanitizers and valgrind are slower, so it is five. */
static void thousands_of_items_are_read_in_no_time(void **state)
{
	(void)state;
	for (int wrong = 0; wrong < 2; wrong++) {
		char *text = large_job(wrong ? 3000 : 10000, wrong);
		clock_t start = clock();
		struct reading r = read_text(text);
		double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
		assert_int_equal(r.status, wrong ? LOAD_WRONG : LOAD_OK);
		if (wrong)
			assert_int_equal(r.diags.count, 3000 + 6000);
		else
			assert_int_equal(r.job->terminal_count, 1 + 3 * 10000);
		done(&r);
		free(text);
		if (!getenv("RUNNER"))
			assert_true(seconds < 5);
	}
}

/* Fuller than RIGHT: libyaml, a catalogue with libcsv, curves, mistakes with hints. */
static const char memory_job[] =
	"catalogue: parts.csv\n" WARM
	"drivers:\n  D1: {type: good, derating: [[40 C, 100 %], [60 C, 70 %]]}\n"
	"strips:\n  L1: {type: warm, length: 850 mm}\n  L2: {type: wram, lenght: 1 m}\n" CABLE;

static void lack_of_memory_is_survived_anywhere(void **state)
{
	(void)state;
#ifdef FAREND_FAULTS
	char folder[64], job_name[128];
	make_file(folder, sizeof folder, "parts.csv", "kind,id,voltage,power\ndriver,good,24 V,60 W\n");
	snprintf(job_name, sizeof job_name, "%s/job.yaml", folder);
	long failures = 0;
	for (long limit = 0;; limit++) {
		struct reading r = { .arena = arena_new() };
		r.text = (struct load_text){ job_name, memory_job, sizeof memory_job - 1 };
		arena_fail_after(limit);
		bool finished = arena_guard(r.arena, read_job, &r);
		arena_fail_after(-1);
		if (finished)
			assert_int_equal(r.diags.count, 2);
		done(&r);
		if (finished)
			break;
		failures++;
	}
	assert_true(failures > 100);
	remove_file(folder, "parts.csv");
#else
	skip();
#endif
}

/* Names are what scripts and the manual hold on to. */
static void kinds_of_mistakes_have_names_of_their_own(void **state)
{
	(void)state;
	for (enum mistake a = 0; a < MISTAKE__END; a++) {
		const char *name = mistake_name(a);
		assert_int_equal(strspn(name, "abcdefghijklmnopqrstuvwxyz-"), strlen(name));
		assert_true(strlen(mistake_meaning(a)) > 0);
		for (enum mistake b = 0; b < a; b++)
			assert_string_not_equal(name, mistake_name(b));
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(values_are_read_to_si),
		cmocka_unit_test(items_override_their_type),
		cmocka_unit_test(terminals_are_named_as_people_do),
		cmocka_unit_test(catalogues_lie_beside_the_job),
		cmocka_unit_test(all_mistakes_come_in_one_run),
		cmocka_unit_test(the_nearest_names_are_offered),
		cmocka_unit_test(one_mistake_each),
		cmocka_unit_test(limits_are_where_they_say),
		cmocka_unit_test(nearer_statements_win_without_a_conflict),
		cmocka_unit_test(a_file_that_is_not_there_is_a_mistake),
		cmocka_unit_test(thousands_of_items_are_read_in_no_time),
		cmocka_unit_test(lack_of_memory_is_survived_anywhere),
		cmocka_unit_test(kinds_of_mistakes_have_names_of_their_own),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
