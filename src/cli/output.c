/* The only file that writes to the outside. */
#include "cli/output.h"

#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void output_prepare(void)
{
	for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; stream++) {
		if (fcntl(stream, F_GETFD) == -1 && errno == EBADF) {
			/* the wrong way round: reading from it, or writing to it, fails as if it were closed */
			int opened = open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY);
			(void)opened;
		}
	}
}

void output_notes(const char *bytes, size_t size)
{
	/* nothing is left to tell about a failure here */
	(void)fwrite(bytes, 1, size, stderr);
}

void output_error(struct arena *arena, const char *format, ...)
{
	va_list args;
	va_start(args, format);
	const char *message = arena_vprintf(arena, format, args);
	va_end(args);
	struct buf line;
	buf_init(&line, arena);
	buf_add(&line, "farend: ");
	text_add_safe(&line, message, strlen(message));
	buf_add_char(&line, '\n');
	output_notes(line.data, line.length);
}

enum status output_no_memory(void)
{
	static const char message[] = "farend: there is not enough memory\n";
	output_notes(message, sizeof(message) - 1);
	return STATUS_SYSTEM;
}

static enum status write_stdout(struct arena *arena, const char *bytes, size_t size,
                                enum status status)
{
	errno = 0;
	bool written = fwrite(bytes, 1, size, stdout) == size;
	int reason = errno;
	if (fclose(stdout) != 0 && written) {
		written = false;
		reason = errno;
	}
	if (written)
		return status;
	if (reason != EPIPE)
		output_error(arena, "cannot write to standard output: %s", strerror(reason));
	return STATUS_SYSTEM;
}

enum status output_result(const struct invocation *in, const char *bytes, size_t size,
                          enum status status)
{
	const char *path = in->line.value[OPTION_OUTPUT];
	if (path == NULL || strcmp(path, "-") == 0)
		return write_stdout(in->arena, bytes, size, status);
	struct farend_text reason;
	enum farend_status written = farend_write(path, bytes, size, &reason);
	if (written == FAREND_NO_MEMORY) {
		status = output_no_memory();
	} else if (written != FAREND_OK) {
		output_error(in->arena, "cannot write '%s': %s", path, reason.bytes);
		status = STATUS_SYSTEM;
	}
	farend_free_text(&reason);
	return status;
}

/* What was asked for beats the environment, and that beats what the stream is. */
static bool wants_colour(const struct invocation *in, int stream)
{
	const char *when = in->line.value[OPTION_COLOUR];
	if (when != NULL && strcmp(when, "auto") != 0)
		return strcmp(when, "always") == 0;
	const char *refused = getenv("NO_COLOR");
	const char *terminal = getenv("TERM");
	return (refused == NULL || refused[0] == '\0') && terminal != NULL &&
	       strcmp(terminal, "dumb") != 0 && isatty(stream);
}

struct farend_style output_style(const struct invocation *in)
{
	const char *path = in->line.value[OPTION_OUTPUT];
	const char *when = in->line.value[OPTION_COLOUR];
	bool to_file = path != NULL && strcmp(path, "-") != 0;
	bool always = when != NULL && strcmp(when, "always") == 0;
	return (struct farend_style){
		.colour = to_file ? always : wants_colour(in, STDOUT_FILENO),
	};
}

struct farend_style output_error_style(const struct invocation *in)
{
	return (struct farend_style){ .colour = wants_colour(in, STDERR_FILENO) };
}
