/* The line is cut to what every terminal holds, so that it never wraps and can be taken back. */
#include "cli/progress.h"

#include "base/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define FIRST_S 1.0              /* what is done sooner shows nothing */
#define AGAIN_S 0.1
#define WIDTH   79

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void progress_begin(struct progress *progress, size_t total)
{
	const char *terminal = getenv("TERM");
	*progress = (struct progress){
		.terminal = isatty(STDERR_FILENO) && terminal != NULL && strcmp(terminal, "dumb") != 0,
		.next = now() + FIRST_S,
		.total = total,
	};
}

/* The beginning of a text that fits `columns`; a name from outside may hold anything. */
static int bytes_that_fit(const char *text, size_t columns)
{
	size_t length = strlen(text), at = 0, used = 0;
	while (at < length) {
		uint32_t code;
		size_t size = text_decode(text + at, length - at, &code);
		used += (size_t)text_char_width(code);
		if (used > columns || code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0xFFFD)
			break;
		at += size;
	}
	return (int)at;
}

void progress_step(struct progress *progress, size_t done, const char *what)
{
	char head[64];
	if (!progress->terminal || now() < progress->next)
		return;
	int width = snprintf(head, sizeof head, "%zu of %zu  ", done + 1, progress->total);
	fprintf(stderr, "\r\033[K%s%.*s", head, bytes_that_fit(what, WIDTH - (size_t)width), what);
	fflush(stderr);
	progress->shown = true;
	progress->next = now() + AGAIN_S;
}

void progress_clear(struct progress *progress)
{
	if (progress->shown)
		fputs("\r\033[K", stderr);
	progress->shown = false;
}
