/* Every public call when the world fails under it: no memory, from arenas or from malloc inside libyaml,
 * libcsv and KLU, at one moment after another, and a signal in the middle of writing a file. The call says
 * so and the same call on the same job then gives what it would have given. Leaks are for the sanitizers and
 * valgrind to see. Linked with --wrap=malloc and its kin, and with --wrap=fsync. */
#include "farend.h"

#include "base/arena_faults.h"

#include "support.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#define FOLDER "/tmp/farend-failure-XXXXXX"

static const char job_text[] =
	"catalogue: parts.csv\n"
	"strip_types:\n"
	"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, reel: 5 m, loop_resistance: 0.11 ohm/m}\n"
	"drivers:\n"
	"  D1: {type: d60, derating: [[40 C, 100 %], [60 C, 70 %]]}\n"
	"switches:\n"
	"  S1: {max_current: 3 A}\n"
	"strips:\n"
	"  L1: {type: warm, length: 850 mm}\n"
	"cables:\n"
	"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 3.2 m}\n"
	"  C2: {size: 0.75 mm2, from: S1, to: L1, length: 500 mm}\n"
	"  C3: {size: 0.75 mm2, from: D1, to: L1.end, length: 1 m}\n";
static const char parts_text[] = "kind,id,voltage,power\ndriver,d60,24 V,60 W\n";
static const char offcuts_text[] = "strip_type,length,note\nwarm,900 mm,\"left, over\"\n";
static const char built_text[] = "item,length,volts,note\nL1,800 mm,,trimmed\nL1.end,,23.5,\n";
static const char wrong_text[] = "strip_type,length\nwram,\"900\"\n";

static char job_file[64], offcuts_file[64], wrong_file[64], built_file[64];

static long malloc_left = -1;      /* calls of malloc until there is no more; below 0: no end */

static bool malloc_fails(void)
{
	if (malloc_left > 0)
		malloc_left--;
	return malloc_left == 0;
}

void *__real_malloc(size_t size);
void *__wrap_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void *__wrap_realloc(void *block, size_t size);

void *__wrap_malloc(size_t size)
{
	return malloc_fails() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
	return malloc_fails() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *block, size_t size)
{
	return malloc_fails() ? NULL : __real_realloc(block, size);
}

static void fail_malloc_after(long count)
{
	malloc_left = count < 0 ? -1 : count + 1;
}

/* Stages of a job's life. Each is tried on a job on which the ones before it have succeeded. */

static enum farend_status do_read(struct farend_job **job)
{
	return farend_read(job_file, job);
}

static enum farend_status do_read_built(struct farend_job **job)
{
	return farend_read_built(job_file, built_file, job);
}

static enum farend_status do_check(struct farend_job **job)
{
	return farend_check(*job);
}

static enum farend_status do_size(struct farend_job **job)
{
	return farend_size(*job);
}

static enum farend_status do_cut(struct farend_job **job)
{
	return farend_cut(*job, offcuts_file);
}

static enum farend_status do_wrong_cut(struct farend_job **job)
{
	return farend_cut(*job, wrong_file);
}

static enum farend_status do_order(struct farend_job **job)
{
	return farend_order(*job, offcuts_file, FAREND_SPARE_USUAL);
}

static enum farend_status do_report(struct farend_job **job)
{
	return farend_report(*job, offcuts_file, true);
}

static enum farend_status do_tolerance(struct farend_job **job)
{
	static const struct farend_tolerance few = { .samples = 8, .seed = 7 };
	return farend_tolerance(*job, &few);
}

static enum farend_status do_verify(struct farend_job **job)
{
	return farend_verify(*job, NULL);
}

static enum farend_status do_apply(struct farend_job **job)
{
	struct farend_text copy;
	enum farend_status status = farend_size(*job);
	return status == FAREND_OK ? farend_apply(*job, job_file, &copy) : status;
}

static const struct stage {
	const char *name;
	enum farend_status (*make)(struct farend_job **job);
	enum farend_status wanted;
	enum farend_status (*before[2])(struct farend_job **job);
	enum farend_result result;   /* what it makes, in its last format; of reading, the check */
	enum farend_format format;
	bool reads;
} stages[] = {
	{ "read", do_read, FAREND_OK, { NULL }, FAREND_CHECK, FAREND_JSON, true },
	{ "read as built", do_read_built, FAREND_OK, { NULL }, FAREND_CHECK, FAREND_JSON, true },
	{ "check", do_check, FAREND_OK, { do_read }, FAREND_CHECK, FAREND_JSON, false },
	{ "size", do_size, FAREND_OK, { do_read, do_check }, FAREND_SIZE, FAREND_JSON, false },
	{ "apply", do_apply, FAREND_OK, { do_read, do_check }, FAREND_SIZE, FAREND_JSON, false },
	{ "cut", do_cut, FAREND_OK, { do_read, do_check }, FAREND_CUT, FAREND_JSON, false },
	{ "order", do_order, FAREND_OK, { do_read, do_check }, FAREND_ORDER, FAREND_JSON, false },
	{ "report", do_report, FAREND_OK, { do_read, do_check }, FAREND_REPORT, FAREND_HTML, false },
	{ "tolerance", do_tolerance, FAREND_OK, { do_read, do_check }, FAREND_CHECK, FAREND_JSON, false },
	{ "verify", do_verify, FAREND_OK, { do_read_built, do_check }, FAREND_VERIFY, FAREND_JSON, false },
	{ "schedule", do_check, FAREND_OK, { do_read }, FAREND_SCHEDULE, FAREND_HTML, false },
	{ "cut with mistakes", do_wrong_cut, FAREND_WRONG_INPUT, { do_read, do_check }, FAREND_CHECK,
	  FAREND_TEXT, false },
};

static struct farend_job *prepare(const struct stage *stage)
{
	struct farend_job *job = NULL;
	for (size_t i = 0; i < 2 && stage->before[i] != NULL; i++)
		assert_int_equal(stage->before[i](&job), FAREND_OK);
	return job;
}

/* What came of it, in a copy. A job that was only read is checked for it. */
static char *outcome(const struct stage *stage, struct farend_job *job)
{
	struct farend_text text;
	if (stage->reads)
		assert_int_equal(farend_check(job), FAREND_OK);
	if (stage->wanted == FAREND_OK)
		assert_int_equal(farend_render(job, stage->result, stage->format, NULL, &text), FAREND_OK);
	else
		assert_int_equal(farend_diagnostics(job, NULL, &text), FAREND_OK);
	char *copy = strdup(text.bytes);
	assert_non_null(copy);
	return copy;
}

/* Once with nothing missing until `fault` is met, then again with all of it. False when it was not met. */
static bool met(const struct stage *stage, void (*fault)(long), long n, const char *wanted)
{
	struct farend_job *job = prepare(stage);
	fault(n);
	enum farend_status status = stage->make(&job);
	fault(-1);
	bool failed = status == FAREND_NO_MEMORY;
	if (failed) {
		if (stage->reads) {
			farend_free(job);
			job = NULL;
		}
		status = stage->make(&job);
	}
	if (status != stage->wanted)
		print_error("%s, %ld\n", stage->name, n);
	assert_int_equal(status, stage->wanted);
	char *got = outcome(stage, job);
	assert_string_equal(got, wanted);
	free(got);
	farend_free(job);
	return failed;
}

static void starve(const struct stage *stage, void (*fault)(long))
{
	struct farend_job *job = prepare(stage);
	assert_int_equal(stage->make(&job), stage->wanted);
	char *wanted = outcome(stage, job);
	farend_free(job);
	long tried = 0, growth = getenv("RUNNER") ? 3 : 16;     /* valgrind takes its time */
	for (long n = 0; met(stage, fault, n, wanted); n += 1 + n / growth)
		tried++;
	assert_true(tried > 0);
	free(wanted);
}

#ifdef FAREND_FAULTS
static void test_no_room_in_arenas(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof stages / sizeof *stages; i++)
		starve(&stages[i], arena_fail_after);
}
#endif

static void test_no_memory_of_the_system(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof stages / sizeof *stages; i++)
		starve(&stages[i], fail_malloc_after);
}

/* Calls that need no job. */
static void test_no_memory_for_the_schema(void **state)
{
	(void)state;
	struct farend_text whole, text;
	assert_int_equal(farend_schema(&whole), FAREND_OK);
	enum farend_status status = FAREND_NO_MEMORY;
	for (long n = 0; status == FAREND_NO_MEMORY; n += 1 + n / 16) {
		fail_malloc_after(n);
		status = farend_schema(&text);
		fail_malloc_after(-1);
		if (status == FAREND_OK)
			assert_string_equal(text.bytes, whole.bytes);
		farend_free_text(&text);
	}
	assert_int_equal(status, FAREND_OK);
	farend_free_text(&whole);
}

/* A signal while the temporary file is there waits until it is not. */
static volatile sig_atomic_t signals, temporaries;
static char temporary[96];
static bool send_signals;

static void count_signal(int number)
{
	(void)number;
	signals++;
	temporaries += access(temporary, F_OK) == 0;
}

int __real_fsync(int file);
int __wrap_fsync(int file);

int __wrap_fsync(int file)
{
	if (send_signals) {
		assert_int_equal(access(temporary, F_OK), 0);
		raise(SIGTERM);
		raise(SIGINT);
	}
	return __real_fsync(file);
}

static void test_signal_while_writing(void **state)
{
	(void)state;
	char folder[] = FOLDER, path[64];
	struct farend_text reason;
	struct sigaction action = { .sa_handler = count_signal }, term, interrupt;
	sigset_t left;
	assert_non_null(mkdtemp(folder));
	snprintf(path, sizeof path, "%s/out", folder);
	snprintf(temporary, sizeof temporary, "%s/.farend-%ld-0.tmp", folder, (long)getpid());
	sigaction(SIGTERM, &action, &term);
	sigaction(SIGINT, &action, &interrupt);
	send_signals = true;
	assert_int_equal(farend_write(path, "new", 3, &reason), FAREND_OK);
	send_signals = false;
	farend_free_text(&reason);
	assert_int_equal(signals, 2);
	assert_int_equal(temporaries, 0);
	assert_int_equal(access(path, F_OK), 0);
	sigprocmask(SIG_BLOCK, NULL, &left);
	assert_false(sigismember(&left, SIGTERM));
	sigaction(SIGTERM, &term, NULL);
	sigaction(SIGINT, &interrupt, NULL);
	unlink(path);
	rmdir(folder);
}

static const struct { const char *name, *text; char *path; } files[] = {
	{ "job.yaml", job_text, job_file }, { "parts.csv", parts_text, NULL },
	{ "offcuts.csv", offcuts_text, offcuts_file }, { "wrong.csv", wrong_text, wrong_file },
	{ "built.csv", built_text, built_file },
};
static char home[] = FOLDER;

static int make_files(void **state)
{
	(void)state;
	if (mkdtemp(home) == NULL)
		return -1;
	for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
		char path[64];
		snprintf(path, sizeof path, "%s/%s", home, files[i].name);
		FILE *file = fopen(path, "w");
		if (file == NULL || fputs(files[i].text, file) < 0 || fclose(file) != 0)
			return -1;
		if (files[i].path != NULL)
			memcpy(files[i].path, path, sizeof path);
	}
	return 0;
}

static int remove_files(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
		char path[64];
		snprintf(path, sizeof path, "%s/%s", home, files[i].name);
		unlink(path);
	}
	return rmdir(home);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
#ifdef FAREND_FAULTS
		cmocka_unit_test(test_no_room_in_arenas),
#endif
		cmocka_unit_test(test_no_memory_of_the_system),
		cmocka_unit_test(test_no_memory_for_the_schema),
		cmocka_unit_test(test_signal_while_writing),
	};
	return cmocka_run_group_tests(tests, make_files, remove_files);
}
