/* Any bytes as each of the three tables that a job can have: a catalogue, a list of offcuts, lengths and
 * readings as built. Tables are read by path, so the bytes go through one file without a name. */
#include "fuzz.h"

#include <sys/types.h>
#include <unistd.h>

static const char plain[] =
	"strip_types:\n"
	"  warm: {voltage: 24 V, power: 9.6 W/m, cut_length: 50 mm, reel: 5 m, loop_resistance: 0.11 ohm/m}\n"
	"drivers:\n"
	"  D1: {voltage: 24 V, power: 60 W}\n"
	"switches:\n"
	"  S1: {max_current: 3 A}\n"
	"strips:\n"
	"  L1: {type: warm, length: 850 mm}\n"
	"  L2: {type: warm, channel: 1200 mm}\n"
	"cables:\n"
	"  C1: {size: 0.75 mm2, from: D1, to: S1, length: 3.2 m}\n"
	"  C2: {size: 0.75 mm2, from: S1, to: L1, length: 500 mm}\n"
	"  C3: {size: 18 AWG, from: D1, to: L2, length: 1 m}\n";

struct table {
	int file;
	char path[32];
	char with_catalogue[1024];
	int length;
};

static void table_open(struct table *table)
{
	char name[] = "/tmp/farend-fuzz-XXXXXX";
	table->file = mkstemp(name);
	must(table->file >= 0);
	must(unlink(name) == 0);
	snprintf(table->path, sizeof table->path, "/dev/fd/%d", table->file);
	table->length = snprintf(table->with_catalogue, sizeof table->with_catalogue,
	                         "catalogue: [%s]\n%s", table->path, plain);
	must(table->length < (int)sizeof table->with_catalogue);
}

static void table_write(const struct table *table, const uint8_t *data, size_t size)
{
	must(ftruncate(table->file, 0) == 0);
	must(pwrite(table->file, data, size, 0) == (ssize_t)size);
}

/* Mistakes are told, and as text that a terminal may show; what is read all right may still be worth a note. */
static void end(struct farend_job *job, enum farend_status status)
{
	struct farend_text text;
	must(status == FAREND_OK || status == FAREND_WRONG_INPUT);
	must(farend_diagnostics(job, NULL, &text) == FAREND_OK);
	must_be_safe(&text);
	must((status == FAREND_OK) == (text.size == 0 || strstr(text.bytes, ": error: ") == NULL));
	farend_free(job);
}

static void as_catalogue(const struct table *table)
{
	struct farend_job *job;
	enum farend_status status =
		farend_read_text("fuzz.yaml", table->with_catalogue, (size_t)table->length, &job);
	end(job, status);
}

static void as_offcuts(const struct table *table)
{
	struct farend_job *job;
	struct farend_text text;
	must(farend_read_text("fuzz.yaml", plain, sizeof plain - 1, &job) == FAREND_OK);
	must(farend_check(job) == FAREND_OK);
	enum farend_status status = farend_cut(job, table->path);
	if (status == FAREND_OK) {
		must(farend_render(job, FAREND_CUT, FAREND_TEXT, NULL, &text) == FAREND_OK);
		must_be_safe(&text);
		must(farend_render(job, FAREND_CUT, FAREND_CSV, NULL, &text) == FAREND_OK);
	}
	end(job, status);
}

static void as_built(const struct table *table)
{
	struct farend_job *job;
	struct farend_text text;
	enum farend_status status =
		farend_read_text_built("fuzz.yaml", plain, sizeof plain - 1, table->path, &job);
	if (status == FAREND_OK) {
		must(farend_check(job) == FAREND_OK);
		must(farend_verify(job, NULL) == FAREND_OK);
		must(farend_render(job, FAREND_VERIFY, FAREND_TEXT, NULL, &text) == FAREND_OK);
		must_be_safe(&text);
		must(farend_render(job, FAREND_VERIFY, FAREND_JSON, NULL, &text) == FAREND_OK);
	}
	end(job, status);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct table table = { .file = -1 };
	if (table.file < 0)
		table_open(&table);
	table_write(&table, data, size);
	as_catalogue(&table);
	as_offcuts(&table);
	as_built(&table);
	return 0;
}
