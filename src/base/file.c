/* Reading and writing whole files through descriptors. What is open is deferred to a child arena
 * that is freed on the way out, so that lack of memory closes it as well. */
#include "base/file.h"

#include "base/buf.h"

#include <ctype.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define MOST_LINKS 40          /* symbolic links in a row, as kernels allow */
#define MOST_NAMES 100         /* temporary names tried */

struct open_file {
	int fd;                      /* -1 when closed */
	const char *temporary;       /* to be removed, or NULL */
	bool held;                   /* signals wait; `before` is to be put back */
	sigset_t before;
};

static void release(void *thing)
{
	struct open_file *file = thing;
	if (file->fd >= 0)
		close(file->fd);
	if (file->temporary)
		unlink(file->temporary);
	if (file->held)
		pthread_sigmask(SIG_SETMASK, &file->before, NULL);
}

/* While a temporary file lies about, what would end the program waits until it is gone: until release(). */
static void hold_signals(struct open_file *file)
{
	static const int ending[] = { SIGHUP, SIGINT, SIGQUIT, SIGTERM };
	sigset_t signals;
	sigemptyset(&signals);
	for (size_t i = 0; i < sizeof ending / sizeof *ending; i++)
		sigaddset(&signals, ending[i]);
	file->held = pthread_sigmask(SIG_BLOCK, &signals, &file->before) == 0;
}

static struct open_file *new_file(struct arena *arena)
{
	struct open_file *file = arena_one(arena, struct open_file);
	file->fd = -1;
	arena_defer(arena, release, file);
	return file;
}

/* What a system error means to the user, in the system's own words. */
static enum file_status failed(struct arena *arena, int error, const char **reason)
{
	static const int system_errors[] = {
		EIO, ENOSPC, EDQUOT, ENOMEM, EMFILE, ENFILE, EFBIG, EPIPE,
	};
	char words[128];
	if (error == EISDIR)
		*reason = "is a folder";
	else if (strerror_r(error, words, sizeof words) == 0)
		*reason = arena_printf(arena, "%c%s", tolower((unsigned char)words[0]), words + 1);
	else
		*reason = arena_printf(arena, "system error %d", error);
	for (size_t i = 0; i < sizeof system_errors / sizeof *system_errors; i++)
		if (error == system_errors[i])
			return FILE_SYSTEM;
	return FILE_UNREADABLE;
}

static int open_again(const char *path, int flags, mode_t mode)
{
	int fd;
	do
		fd = open(path, flags | O_CLOEXEC | O_NOCTTY, mode);
	while (fd < 0 && errno == EINTR);
	return fd;
}

/* Everything up to one byte past the limit. 0, or the error. */
static int read_all(struct arena *arena, int fd, size_t limit, struct file_bytes *out)
{
	size_t capacity = 0;
	*out = (struct file_bytes){ .data = NULL };
	for (;;) {
		out->data = arena_grow(arena, out->data, out->size + 1, &capacity, 1);
		size_t room = capacity - out->size - 1;
		size_t wanted = limit - out->size < room ? limit - out->size + 1 : room;
		ssize_t got = read(fd, out->data + out->size, wanted);
		if (got < 0 && errno != EINTR)
			return errno;
		if (got > 0)
			out->size += (size_t)got;
		if (got == 0 || out->size > limit) {
			out->data[out->size] = '\0';
			return 0;
		}
	}
}

static const char *too_large(struct arena *arena, size_t limit)
{
	const size_t mib = (size_t)1 << 20;
	if (limit % mib == 0)
		return arena_printf(arena, "is larger than %zu MiB", limit / mib);
	return arena_printf(arena, "is larger than %zu bytes", limit);
}

enum file_status file_read(struct arena *arena, const char *path, size_t limit,
                           struct file_bytes *out, const char **reason)
{
	struct arena *scratch = arena_child(arena);
	struct open_file *file = new_file(scratch);
	int fd = STDIN_FILENO;
	if (strcmp(path, "-") != 0)
		fd = file->fd = open_again(path, O_RDONLY, 0);
	int error = fd < 0 ? errno : read_all(arena, fd, limit, out);
	arena_free(scratch);
	if (error)
		return failed(arena, error, reason);
	if (out->size <= limit)
		return FILE_OK;
	*reason = too_large(arena, limit);
	return FILE_TOO_LARGE;
}

/* Follows symbolic links to the name that is to be replaced; it need not exist. NULL with errno. */
static const char *follow(struct arena *arena, const char *path)
{
	for (int links = 0; links < MOST_LINKS; links++) {
		struct stat found;
		if (lstat(path, &found) != 0)
			return errno == ENOENT ? path : NULL;
		if (!S_ISLNK(found.st_mode))
			return path;
		size_t size = found.st_size > 0 ? (size_t)found.st_size + 1 : 4096;
		char *target = arena_alloc(arena, size);
		ssize_t length = readlink(path, target, size - 1);
		if (length < 0)
			return NULL;
		path = file_beside(arena, path, target);
	}
	errno = ELOOP;
	return NULL;
}

static int write_all(int fd, const char *bytes, size_t size)
{
	while (size > 0) {
		ssize_t put = write(fd, bytes, size);
		if (put < 0 && errno == EINTR)
			continue;
		if (put < 0)
			return errno;
		bytes += put;
		size -= (size_t)put;
	}
	return 0;
}

static int close_file(struct open_file *file)
{
	int fd = file->fd;
	file->fd = -1;
	return close(fd) == 0 ? 0 : errno;
}

/* A file that did not exist, beside `path`. The kernel applies the umask, which could only be
 * asked for by changing it for the whole process; that is why this is not mkstemp(). */
static int open_temporary(struct arena *arena, const char *path, struct open_file *file)
{
	for (int i = 0; i < MOST_NAMES; i++) {
		const char *own = arena_printf(arena, ".farend-%ld-%d.tmp", (long)getpid(), i);
		const char *name = file_beside(arena, path, own);
		file->fd = open_again(name, O_WRONLY | O_CREAT | O_EXCL, 0666);
		if (file->fd >= 0) {
			file->temporary = name;
			return 0;
		}
		if (errno != EEXIST)
			return errno;
	}
	return EEXIST;
}

static int write_directly(struct open_file *file, const char *path, const char *bytes, size_t size)
{
	file->fd = open_again(path, O_WRONLY, 0);
	if (file->fd < 0)
		return errno;
	int error = write_all(file->fd, bytes, size);
	int closing = close_file(file);
	return error ? error : closing;
}

static int replace(struct arena *arena, struct open_file *file, const char *path, const char *bytes,
                   size_t size, const struct stat *old)
{
	if (old && access(path, W_OK) != 0)
		return errno;                  /* write-protected on purpose */
	hold_signals(file);
	int error = open_temporary(arena, path, file);
	if (error)
		return error;
	error = write_all(file->fd, bytes, size);
	if (!error && old && fchmod(file->fd, old->st_mode & 07777) != 0)
		error = errno;
	if (!error && fsync(file->fd) != 0 && errno != EINVAL)
		error = errno;
	int closing = close_file(file);
	if (error || closing)
		return error ? error : closing;
	if (rename(file->temporary, path) != 0)
		return errno;
	file->temporary = NULL;
	return 0;
}

static int write_whole(struct arena *arena, const char *path, const char *bytes, size_t size)
{
	struct open_file *file = new_file(arena);
	struct stat old;
	path = follow(arena, path);
	if (!path)
		return errno;
	if (stat(path, &old) != 0)
		return errno == ENOENT ? replace(arena, file, path, bytes, size, NULL) : errno;
	if (S_ISDIR(old.st_mode))
		return EISDIR;
	if (!S_ISREG(old.st_mode))
		return write_directly(file, path, bytes, size);
	return replace(arena, file, path, bytes, size, &old);
}

enum file_status file_write(struct arena *arena, const char *path, const char *bytes, size_t size,
                            const char **reason)
{
	struct arena *scratch = arena_child(arena);
	int error = write_whole(scratch, path, bytes, size);
	arena_free(scratch);
	return error ? failed(arena, error, reason) : FILE_OK;
}

const char *file_beside(struct arena *arena, const char *base, const char *name)
{
	const char *slash = base ? strrchr(base, '/') : NULL;
	if (name[0] == '/' || !slash)
		return arena_strdup(arena, name);
	return arena_printf(arena, "%.*s/%s", (int)(slash - base), base, name);
}
