/* Times whole processes:
 *     stopwatch RUNS MOST_STATUS COMMAND [ARGUMENT...]
 * runs the command with its output thrown away, and prints the median time that passed and the
 * median processor time, in seconds, and the largest resident set in KiB. Ends with 1 when a run
 * ends in any other way than with a status up to MOST_STATUS. */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define MOST_RUNS 101

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Of all runs that have ended. */
static double processor(void)
{
	struct rusage u;
	getrusage(RUSAGE_CHILDREN, &u);
	return (double)(u.ru_utime.tv_sec + u.ru_stime.tv_sec) +
	       1e-6 * (double)(u.ru_utime.tv_usec + u.ru_stime.tv_usec);
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

static int run(char **command)
{
	int status;
	pid_t child = fork();
	if (child == 0) {
		int nowhere = open("/dev/null", O_WRONLY);
		if (nowhere >= 0 && dup2(nowhere, STDOUT_FILENO) >= 0 && dup2(nowhere, STDERR_FILENO) >= 0)
			execvp(command[0], command);
		_exit(127);
	}
	if (child < 0 || waitpid(child, &status, 0) < 0 || !WIFEXITED(status))
		return 127;
	return WEXITSTATUS(status);
}

int main(int argc, char **argv)
{
	double seconds[MOST_RUNS], busy[MOST_RUNS];
	int runs = argc > 3 ? atoi(argv[1]) : 0;
	if (runs < 1 || runs > MOST_RUNS)
		return 2;
	for (int i = 0; i < runs; i++) {
		double start = now(), used = processor();
		int status = run(argv + 3);
		seconds[i] = now() - start;
		busy[i] = processor() - used;
		if (status > atoi(argv[2])) {
			fprintf(stderr, "%s ended with status %d\n", argv[3], status);
			return 1;
		}
	}
	struct rusage usage;
	getrusage(RUSAGE_CHILDREN, &usage);
	qsort(seconds, (size_t)runs, sizeof *seconds, by_size);
	qsort(busy, (size_t)runs, sizeof *busy, by_size);
	printf("%.6f %.6f %ld\n", seconds[runs / 2], busy[runs / 2], usage.ru_maxrss);
	return 0;
}
