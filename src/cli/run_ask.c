/* 'new --ask': the interview, the job of it sized and checked, a picture, and the file. */
#include "cli/ask.h"

#include "base/text.h"
#include "cli/output.h"

#include <errno.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Ports to spare for each strip, from none on: a second feed, or a split run, takes some. */
static const size_t spares[] = { 0, 1, 3 };

static void interrupted(int signal_number)
{
	static const char message[] = "\nInterrupted. Nothing was written.\n";
	ssize_t written = write(STDERR_FILENO, message, sizeof(message) - 1);
	(void)written;
	(void)signal(signal_number, SIG_DFL);
	(void)raise(signal_number);
}

/* Whoever had it ignored (nohup, a job in the background) keeps that. */
static void watch_interrupts(void)
{
	struct sigaction before, after = { .sa_handler = interrupted };
	sigemptyset(&after.sa_mask);
	if (sigaction(SIGINT, NULL, &before) == 0 && before.sa_handler != SIG_IGN)
		(void)sigaction(SIGINT, &after, NULL);
}

/* Nothing stops between the first byte and the file's own name: no temporary file is left. */
static enum status write_whole(const struct invocation *in, const char *job, enum status status)
{
	sigset_t stopping, before;
	struct sigaction ignored;
	sigemptyset(&stopping);
	sigaddset(&stopping, SIGINT);
	sigaddset(&stopping, SIGTERM);
	sigaddset(&stopping, SIGHUP);
	(void)sigprocmask(SIG_BLOCK, &stopping, &before);
	status = output_result(in, job, strlen(job), status);
	if (sigaction(SIGINT, NULL, &ignored) == 0 && ignored.sa_handler == interrupted)
		(void)signal(SIGINT, SIG_DFL);       /* it is written now, so the message would be wrong */
	(void)sigprocmask(SIG_SETMASK, &before, NULL);
	return status;
}

const char *ask_refused_path(struct arena *arena, const char *path)
{
	struct stat info;
	if (stat(path, &info) == 0) {
		if (S_ISDIR(info.st_mode))
			return arena_printf(arena, "'%s' is a folder", path);
		if (S_ISREG(info.st_mode) && info.st_size > 0)
			return arena_printf(arena, "'%s' is there already and is left as it is; choose another name",
			                    path);
		return NULL;
	}
	const char *slash = strrchr(path, '/');
	const char *folder = slash == NULL ? "." : slash == path ? "/"
		: arena_strndup(arena, path, (size_t)(slash - path));
	return access(folder, W_OK | X_OK) == 0 ? NULL
		: arena_printf(arena, "cannot write '%s': %s", path, strerror(errno));
}

/* The best job so far. */
struct drawn {
	const char *job;
	const char *summary;
	enum farend_verdict verdict;
	const char *wrong;           /* why there is no job */
};

static void no_memory_leaves(const struct interview *talk, enum farend_status status)
{
	if (status == FAREND_NO_MEMORY)
		arena_exhausted(talk->arena);
}

/* Takes the text over if it is the first, or better than the one before. */
static void judge(const struct interview *talk, const char *name, const char *text, struct drawn *best)
{
	struct farend_job *job;
	struct farend_text summary = { .bytes = "" };
	struct farend_diagnostic wrong;
	enum farend_status status = farend_read_text(name, text, strlen(text), &job);
	if (status == FAREND_OK)
		status = farend_check(job);
	if (status == FAREND_OK)
		status = farend_render(job, FAREND_SUMMARY, FAREND_TEXT, NULL, &summary);
	if (status == FAREND_OK && (best->job == NULL || farend_verdict(job) < best->verdict)) {
		best->job = arena_strdup(talk->arena, text);
		best->summary = arena_strdup(talk->arena, summary.bytes);
		best->verdict = farend_verdict(job);
	} else if (status != FAREND_OK && status != FAREND_NO_MEMORY) {
		bool told = farend_diagnostic(job, 0, &wrong);
		best->wrong = arena_printf(talk->arena, "%s (expected: %s)", told ? wrong.message : "not solved",
		                           told && wrong.expected != NULL ? wrong.expected : "other answers");
	}
	farend_free(job);
	no_memory_leaves(talk, status);
}

/* The draft with driver, cables and feeds as sizing finds them; as drafted where it finds none. */
static void draw(const struct interview *talk, const char *name, size_t spare, struct drawn *best)
{
	struct farend_job *job;
	struct farend_text copy;
	const char *draft = ask_job(talk, spare), *sized = NULL;
	enum farend_status status = farend_read_text(name, draft, strlen(draft), &job);
	if (status == FAREND_OK)
		status = farend_check(job);
	if (status == FAREND_OK)
		status = farend_size(job);
	if (status == FAREND_OK)
		status = farend_apply(job, name, &copy);
	if (status == FAREND_OK)
		sized = arena_strdup(talk->arena, copy.bytes);
	farend_free(job);
	no_memory_leaves(talk, status);
	judge(talk, name, sized != NULL ? sized : draft, best);
}

static struct drawn draw_best(const struct interview *talk)
{
	struct drawn best = { .job = NULL };
	const char *name = talk->path != NULL && strcmp(talk->path, "-") != 0 ? talk->path : "my-job.yaml";
	for (size_t i = 0; i < sizeof(spares) / sizeof(spares[0]); i++) {
		draw(talk, name, spares[i], &best);
		if (best.job == NULL || best.verdict == FAREND_VERDICT_OK)
			break;
	}
	return best;
}

static void show(struct interview *talk, const struct drawn *drawn)
{
	static const char *const verdicts[] = {
		[FAREND_VERDICT_OK] = "This passes every check: all right to build.",
		[FAREND_VERDICT_CAUTION] = "This will work, but read below what to know first.",
		[FAREND_VERDICT_FAIL] = "This does not fit yet: no driver, cable or feed cures what stands below.",
	};
	struct buf assumed;
	buf_init(&assumed, talk->arena);
	if (drawn->job == NULL) {
		buf_addf(&talk->out, "\nNo job can be made of these answers. All strips together take %.6g W, or\n"
		                     "%.4g A, and a part that stands this would be larger than any:\n\n    ",
		         ask_all_watts(talk), ask_all_amps(talk));
		text_add_wrapped(&talk->out, drawn->wrong, 4, 4, 80);
		buf_add(&talk->out, "\n\nAre lengths, watts and bays right? A large row is better made of several jobs.\n");
		return;
	}
	buf_addf(&talk->out, "\n%s\n\n%s", verdicts[drawn->verdict], drawn->summary);
	ask_add_assumed(talk, &assumed);
	if (assumed.length > 0)
		buf_addf(&talk->out, "\nAssumed, because it was not known (marked in the job)\n\n%s", assumed.data);
	buf_add(&talk->out, "\nThe mains side belongs to a licensed electrician and to local code. Isolate the\n"
	        "supply before working. What no check sees (damp, access to the driver, dimmers)\n"
	        "stands at the end of 'farend check'.\n");
}

/* Until there is a job to be written. What does not fit can be put right, or written all the same. */
static enum ask_end converse(struct interview *talk, struct drawn *drawn)
{
	const char *enter = "Enter makes the job", *failing = NULL;
	for (;;) {
		enum ask_end end = ask_talk(talk, enter);
		if (end != ASK_DONE)
			return end;
		if (talk->asks_file)
			talk->path = talk->answers[ASK_FILE][0].parts[0];
		if (failing != NULL && strcmp(ask_job(talk, 0), failing) == 0)
			return ASK_DONE;             /* shown already, and accepted as it is */
		buf_add(&talk->out, "\nWorking it out...\n");
		ask_say(talk);
		*drawn = draw_best(talk);
		show(talk, drawn);
		if (drawn->job != NULL && drawn->verdict != FAREND_VERDICT_FAIL)
			return ASK_DONE;
		failing = drawn->job != NULL ? ask_job(talk, 0) : NULL;
		enter = drawn->job != NULL ? "Enter writes the job all the same" : "Enter tries once more";
	}
}

static enum status write_job(const struct invocation *in, struct interview *talk, const struct drawn *drawn)
{
	struct invocation writing = *in;
	bool to_file = talk->path != NULL && strcmp(talk->path, "-") != 0;
	const char *refused = to_file ? ask_refused_path(in->arena, talk->path) : NULL;
	if (refused != NULL) {
		output_error(in->arena, "%s", refused);
		return STATUS_USAGE;
	}
	writing.line.value[OPTION_OUTPUT] = talk->path;
	enum status status = write_whole(&writing, drawn->job,
	                                 drawn->verdict == FAREND_VERDICT_FAIL ? STATUS_FINDING : STATUS_OK);
	if (to_file && status != STATUS_SYSTEM) {
		buf_add(&talk->out, "\nThe job is written. All the figures, and what else was assumed:\n  farend check ");
		text_add_safe(&talk->out, talk->path, strlen(talk->path));
		buf_add_char(&talk->out, '\n');
		ask_say(talk);
	}
	return status;
}

enum status run_ask(const struct invocation *in)
{
	struct interview *talk = arena_one(in->arena, struct interview);
	struct drawn drawn = { .job = NULL };
	talk->arena = in->arena;
	talk->path = in->line.value[OPTION_OUTPUT];
	talk->asks_file = talk->path == NULL && isatty(STDOUT_FILENO);
	buf_init(&talk->out, in->arena);
	if (talk->path != NULL && strcmp(talk->path, "-") != 0) {
		const char *refused = ask_refused_path(in->arena, talk->path);
		if (refused != NULL) {
			output_error(in->arena, "%s", refused);
			return STATUS_SYSTEM;
		}
	}
	watch_interrupts();
	ask_greet(talk);
	if (converse(talk, &drawn) != ASK_DONE)
		return STATUS_INPUT;
	ask_say(talk);
	return write_job(in, talk, &drawn);
}
