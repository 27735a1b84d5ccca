/* Feeds files to a fuzz entry one by one, without libFuzzer, so that kept inputs run in every build:
 *     replay_check FILE...
 * Prints TAP. */
#include "fuzz.h"

#include <errno.h>

static uint8_t *whole_file(const char *path, size_t *size)
{
	FILE *file = fopen(path, "rb");
	uint8_t *bytes = NULL;
	size_t capacity = 0;
	*size = 0;
	while (file != NULL && !feof(file) && !ferror(file)) {
		capacity = 2 * capacity + 4096;
		bytes = realloc(bytes, capacity);
		must(bytes != NULL);
		*size += fread(bytes + *size, 1, capacity - *size, file);
	}
	if (file == NULL || ferror(file)) {
		fprintf(stderr, "%s: %s\n", path, strerror(errno));
		exit(1);
	}
	fclose(file);
	return realloc(bytes, *size > 0 ? *size : 1);
}

int main(int count, char **paths)
{
	for (int i = 1; i < count; i++) {
		size_t size;
		uint8_t *bytes = whole_file(paths[i], &size);
		printf("# %s\n", paths[i]);
		fflush(stdout);
		LLVMFuzzerTestOneInput(bytes, size);
		free(bytes);
	}
	printf("ok 1 - %d inputs\n1..1\n", count - 1);
	return count > 1 ? 0 : 1;
}
