/* Files in and out, in a folder of their own under the system's temporary folder. */
#include "support.h"

#include "base/arena_faults.h"
#include "base/file.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

struct box {
	struct arena *arena;
	char folder[64];
	const char *reason;
	struct file_bytes bytes;
};

static int make_box(void **state)
{
	struct box *box = calloc(1, sizeof *box);
	strcpy(box->folder, "/tmp/farend-test-XXXXXX");
	box->arena = arena_new();
	*state = box;
	return mkdtemp(box->folder) ? 0 : -1;
}

/* Everything in the folder is removed, so a forgotten temporary file fails in count() only. */
static int free_box(void **state)
{
	struct box *box = *state;
	DIR *folder = opendir(box->folder);
	for (struct dirent *entry; (entry = readdir(folder));) {
		const char *path = arena_printf(box->arena, "%s/%s", box->folder, entry->d_name);
		if (unlink(path) != 0)
			rmdir(path);
	}
	closedir(folder);
	int status = rmdir(box->folder);
	arena_free(box->arena);
	free(box);
	return status;
}

static int count(const struct box *box)
{
	int entries = -2;                                  /* "." and ".." */
	DIR *folder = opendir(box->folder);
	while (readdir(folder))
		entries++;
	closedir(folder);
	return entries;
}

static const char *in(struct box *box, const char *name)
{
	return arena_printf(box->arena, "%s/%s", box->folder, name);
}

static enum file_status put(struct box *box, const char *path, const char *text)
{
	box->reason = NULL;
	return file_write(box->arena, path, text, strlen(text), &box->reason);
}

static enum file_status get(struct box *box, const char *path, size_t limit)
{
	box->reason = NULL;
	return file_read(box->arena, path, limit, &box->bytes, &box->reason);
}

static void assert_holds(struct box *box, const char *path, const char *text)
{
	assert_int_equal(get(box, path, 1 << 20), FILE_OK);
	assert_int_equal(box->bytes.size, strlen(text));
	assert_string_equal(box->bytes.data, text);
}

static mode_t mode_of(const char *path)
{
	struct stat found;
	assert_int_equal(lstat(path, &found), 0);
	return found.st_mode & 07777;
}

static void written_is_read(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "a.yaml");
	assert_int_equal(put(box, path, "one\n"), FILE_OK);
	assert_holds(box, path, "one\n");
	assert_int_equal(put(box, path, ""), FILE_OK);
	assert_holds(box, path, "");
	assert_int_equal(count(box), 1);
	size_t size = 3 << 20;
	char *big = arena_alloc(box->arena, size);
	for (size_t i = 0; i < size; i++)
		big[i] = (char)(i * 31 >> 3);
	assert_int_equal(file_write(box->arena, path, big, size, &box->reason), FILE_OK);
	assert_int_equal(get(box, path, size), FILE_OK);
	assert_int_equal(box->bytes.size, size);
	assert_memory_equal(box->bytes.data, big, size);
	assert_int_equal(box->bytes.data[size], '\0');
}

static void limit_is_exact(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "a");
	put(box, path, "12345");
	assert_int_equal(get(box, path, 5), FILE_OK);
	assert_int_equal(get(box, path, 4), FILE_TOO_LARGE);
	assert_string_equal(box->reason, "is larger than 4 bytes");
	assert_int_equal(get(box, path, SIZE_MAX), FILE_OK);
	put(box, path, "");
	assert_int_equal(get(box, path, 0), FILE_OK);
	put(box, path, "1");
	assert_int_equal(get(box, path, 0), FILE_TOO_LARGE);
}

static void endless_device_ends_at_the_limit(void **state)
{
	struct box *box = *state;
	assert_int_equal(get(box, "/dev/zero", 1 << 20), FILE_TOO_LARGE);
	assert_string_equal(box->reason, "is larger than 1 MiB");
}

static void what_cannot_be_read(void **state)
{
	struct box *box = *state;
	assert_int_equal(get(box, box->folder, 100), FILE_UNREADABLE);
	assert_string_equal(box->reason, "is a folder");
	assert_int_equal(get(box, in(box, "absent"), 100), FILE_UNREADABLE);
	assert_string_equal(box->reason, "no such file or directory");
	assert_int_equal(get(box, "", 100), FILE_UNREADABLE);
	put(box, in(box, "plain"), "x");
	assert_int_equal(get(box, in(box, "plain/below"), 100), FILE_UNREADABLE);
	assert_string_equal(box->reason, "not a directory");
	assert_int_equal(symlink("loop", in(box, "loop")), 0);
	assert_int_equal(get(box, in(box, "loop"), 100), FILE_UNREADABLE);
}

/* The administrator may read and write everything; anybody else is refused. */
static void permissions_decide(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "secret");
	bool root = geteuid() == 0;
	put(box, path, "old");
	assert_int_equal(chmod(path, 0), 0);
	assert_int_equal(get(box, path, 100), root ? FILE_OK : FILE_UNREADABLE);
	assert_int_equal(put(box, path, "new"), root ? FILE_OK : FILE_UNREADABLE);
	assert_int_equal(mode_of(path), 0);
	assert_int_equal(chmod(path, 0600), 0);
	assert_holds(box, path, root ? "new" : "old");
	assert_int_equal(chmod(box->folder, 0500), 0);
	enum file_status status = put(box, in(box, "fresh"), "x");
	assert_int_equal(chmod(box->folder, 0700), 0);
	assert_int_equal(status, root ? FILE_OK : FILE_UNREADABLE);
	assert_int_equal(count(box), root ? 2 : 1);
}

static void pipe_is_read_to_its_end(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "fifo");
	assert_int_equal(mkfifo(path, 0600), 0);
	pid_t child = fork();
	if (child == 0) {
		int fd = open(path, O_WRONLY);
		bool good = write(fd, "strips:\n", 8) == 8 && write(fd, "  L1: {}\n", 9) == 9;
		_exit(good ? 0 : 1);
	}
	assert_holds(box, path, "strips:\n  L1: {}\n");
	int status;
	waitpid(child, &status, 0);
	assert_int_equal(status, 0);
}

static void standard_input_stays_open(void **state)
{
	struct box *box = *state;
	put(box, in(box, "a"), "from stdin");
	int saved = dup(STDIN_FILENO);
	int fd = open(in(box, "a"), O_RDONLY);
	assert_int_equal(dup2(fd, STDIN_FILENO), STDIN_FILENO);
	close(fd);
	assert_holds(box, "-", "from stdin");
	assert_true(fcntl(STDIN_FILENO, F_GETFD) >= 0);
	if (saved >= 0) {
		dup2(saved, STDIN_FILENO);
		close(saved);
	}
}

static void permissions_of_files_stay(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "a");
	mode_t old = umask(027);
	enum file_status fresh = put(box, path, "x");
	umask(old);
	assert_int_equal(fresh, FILE_OK);
	assert_int_equal(mode_of(path), 0640);
	assert_int_equal(chmod(path, 0604), 0);
	assert_int_equal(put(box, path, "y"), FILE_OK);
	assert_int_equal(mode_of(path), 0604);
	assert_holds(box, path, "y");
}

static void links_are_written_through(void **state)
{
	struct box *box = *state;
	put(box, in(box, "target"), "old");
	assert_int_equal(symlink("target", in(box, "near")), 0);
	assert_int_equal(symlink(in(box, "near"), in(box, "far")), 0);
	assert_int_equal(symlink("later", in(box, "dangling")), 0);
	assert_int_equal(symlink("loop", in(box, "loop")), 0);
	assert_int_equal(put(box, in(box, "far"), "new"), FILE_OK);
	assert_holds(box, in(box, "target"), "new");
	struct stat found;
	assert_int_equal(lstat(in(box, "far"), &found), 0);
	assert_true(S_ISLNK(found.st_mode));
	assert_int_equal(put(box, in(box, "dangling"), "made"), FILE_OK);
	assert_holds(box, in(box, "later"), "made");
	assert_int_equal(put(box, in(box, "loop"), "x"), FILE_UNREADABLE);
	assert_int_equal(count(box), 6);
}

static void failures_leave_nothing(void **state)
{
	struct box *box = *state;
	assert_int_equal(put(box, "/dev/full", "x"), FILE_SYSTEM);
	assert_string_equal(box->reason, "no space left on device");
	assert_int_equal(put(box, "/dev/null", "x"), FILE_OK);
	struct stat found;
	assert_int_equal(stat("/dev/full", &found), 0);
	assert_true(S_ISCHR(found.st_mode));
	assert_int_equal(put(box, in(box, "absent/a"), "x"), FILE_UNREADABLE);
	assert_string_equal(box->reason, "no such file or directory");
	assert_int_equal(put(box, box->folder, "x"), FILE_UNREADABLE);
	assert_string_equal(box->reason, "is a folder");
	assert_int_equal(put(box, "", "x"), FILE_UNREADABLE);
	assert_int_equal(count(box), 0);
}

/* A disk that is full in the middle of a file: a limit on the size of files stands for it. */
static void full_disk_keeps_the_old_file(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "a");
	char *big = arena_alloc(box->arena, 100000);
	put(box, path, "old");
	struct rlimit before, small;
	assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
	small = before;
	small.rlim_cur = 5000;
	signal(SIGXFSZ, SIG_IGN);
	assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
	enum file_status status = file_write(box->arena, path, big, 100000, &box->reason);
	setrlimit(RLIMIT_FSIZE, &before);
	signal(SIGXFSZ, SIG_DFL);
	assert_int_equal(status, FILE_SYSTEM);
	assert_string_equal(box->reason, "file too large");
	assert_holds(box, path, "old");
	assert_int_equal(count(box), 1);
}

static void names_beside_a_file(void **state)
{
	struct box *box = *state;
	static const struct { const char *base, *name, *result; } cases[] = {
		{ NULL, "parts.csv", "parts.csv" },
		{ "-", "parts.csv", "parts.csv" },
		{ "job.yaml", "parts.csv", "parts.csv" },
		{ "jobs/job.yaml", "parts.csv", "jobs/parts.csv" },
		{ "jobs/job.yaml", "../parts.csv", "jobs/../parts.csv" },
		{ "/job.yaml", "parts.csv", "/parts.csv" },
		{ "/jobs/a/job.yaml", "parts.csv", "/jobs/a/parts.csv" },
		{ "jobs/job.yaml", "/lib/parts.csv", "/lib/parts.csv" },
	};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
		assert_string_equal(file_beside(box->arena, cases[i].base, cases[i].name),
		                    cases[i].result);
}

static int open_descriptors(void)
{
	int open_ones = 0;
	for (int fd = 0; fd < 256; fd++)
		open_ones += fcntl(fd, F_GETFD) >= 0;
	return open_ones;
}

static void no_descriptor_is_left(void **state)
{
	struct box *box = *state;
	int before = open_descriptors();
	put(box, in(box, "a"), "x");
	get(box, in(box, "a"), 100);
	get(box, in(box, "a"), 0);
	get(box, box->folder, 100);
	put(box, "/dev/full", "x");
	put(box, in(box, "absent/a"), "x");
	assert_int_equal(open_descriptors(), before);
}

#ifdef FAREND_FAULTS
struct io {
	struct arena *arena;
	const char *path;
	bool reads;
};

static void do_io(void *data)
{
	struct io *io = data;
	struct file_bytes bytes;
	const char *reason;
	if (io->reads)
		file_read(io->arena, io->path, 1 << 20, &bytes, &reason);
	else
		file_write(io->arena, io->path, "new", 3, &reason);
}

static void lack_of_memory_closes_and_removes(void **state)
{
	struct box *box = *state;
	const char *path = in(box, "a");
	for (int reads = 0; reads < 2; reads++)
		for (long blocks = 0, finished = 0; !finished; blocks++) {
			put(box, path, "old");
			int before = open_descriptors();
			struct arena *arena = arena_new();
			struct io io = { arena, path, reads };
			arena_fail_after(blocks);
			finished = arena_guard(arena, do_io, &io);
			arena_fail_after(-1);
			arena_free(arena);
			assert_int_equal(open_descriptors(), before);
			assert_int_equal(count(box), 1);
			assert_holds(box, path, finished && !reads ? "new" : "old");
			assert_true(finished || blocks < 20);
			assert_true(!finished || blocks > 2);
		}
}
#endif

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_box, free_box)

int main(void)
{
	const struct CMUnitTest tests[] = {
		TEST(written_is_read),
		TEST(limit_is_exact),
		TEST(endless_device_ends_at_the_limit),
		TEST(what_cannot_be_read),
		TEST(permissions_decide),
		TEST(pipe_is_read_to_its_end),
		TEST(standard_input_stays_open),
		TEST(permissions_of_files_stay),
		TEST(links_are_written_through),
		TEST(failures_leave_nothing),
		TEST(full_disk_keeps_the_old_file),
		TEST(names_beside_a_file),
		TEST(no_descriptor_is_left),
#ifdef FAREND_FAULTS
		TEST(lack_of_memory_closes_and_removes),
#endif
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
