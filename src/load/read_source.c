/* The one place of this layer that opens files other than catalogues, which are blamed where they are
 * named. */
#include "load/read_source.h"

#include "base/file.h"

const struct source *read_source(struct arena *arena, struct arena *nodes, const struct load_text *text,
                                 struct mistakes *m, bool *system_failed)
{
	struct file_bytes bytes = { .data = (char *)text->bytes, .size = text->size };
	struct report report = { .mistake = MISTAKE_UNREADABLE_FILE };
	const char *reason = "is larger than 16 MiB";
	enum file_status status = FILE_OK;
	if (!text->bytes)
		status = file_read(nodes, text->name, LOAD_MAX_BYTES, &bytes, &reason);
	else if (text->size > LOAD_MAX_BYTES)
		status = FILE_TOO_LARGE;
	if (status == FILE_OK)
		return source_new(arena, text->name, bytes.data, bytes.size);
	if (status == FILE_TOO_LARGE)
		report.mistake = MISTAKE_FILE_TOO_LARGE;
	if (status == FILE_SYSTEM) {
		report.mistake = MISTAKE_SYSTEM_ERROR;
		*system_failed = true;
	}
	report.place.source = source_new(arena, text->name, "", 0);
	mistake_report(m, report, "%s", reason);
	return NULL;
}
