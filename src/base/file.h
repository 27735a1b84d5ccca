/* Whole files in, whole files out. */
#ifndef FAREND_BASE_FILE_H
#define FAREND_BASE_FILE_H

#include "base/arena.h"

enum file_status {
	FILE_OK,
	FILE_UNREADABLE,             /* missing, a folder, no permission: the user's mistake */
	FILE_TOO_LARGE,              /* over `limit` */
	FILE_SYSTEM                  /* an I/O error, disk full */
};

struct file_bytes {
	char *data;                  /* NUL-terminated, in the arena */
	size_t size;
};

/* Reads a regular file, pipe or ("-") standard input, `limit` bytes at most. *reason gets words in
 * lower case without a full stop ("is a folder", "no such file or directory"). Never hangs on a
 * device that never ends: reading stops past the limit. */
enum file_status file_read(struct arena *arena, const char *path, size_t limit,
                           struct file_bytes *out, const char **reason);

/* Writes through a temporary file in the same folder, fsync and rename: the old file or the whole new
 * one is there, never a part, and the temporary is removed on failure. Keeps an existing file's
 * permissions; writes through a symbolic link to its target; a path that is not a regular file
 * (/dev/full, a pipe) is written directly. */
enum file_status file_write(struct arena *arena, const char *path, const char *bytes, size_t size,
                            const char **reason);

/* `name` relative to the folder of `base` (NULL or "-": the working folder); absolute names stay. */
const char *file_beside(struct arena *arena, const char *base, const char *name);

#endif
