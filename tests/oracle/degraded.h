/* Jobs that were sound and have been spoilt in one way or two, the same for the same seed. */
#ifndef FAREND_TESTS_ORACLE_DEGRADED_H
#define FAREND_TESTS_ORACLE_DEGRADED_H

#include "base/buf.h"

#include <stdint.h>

enum damage {
	THIN_CABLES,                 /* every cable in 0.5 mm2 */
	SMALL_DRIVER,                /* two steps down the ladder, or more */
	NO_SECOND_FEED,              /* the long strip fed at one end only */
	LONG_WAY,                    /* one bay far from the driver */
	TRIMMED_DOWN,                /* the driver set below its nominal voltage, thin cables */
	LONG_STRIP,                  /* one strip longer than it was drawn */
	NO_FUSE,                     /* thin branch, its fuse left out */
	THIN_AND_SMALL,              /* the first two together */
	DAMAGE__END
};
extern const char *const damage_words[DAMAGE__END];

/* Texts of the sound job and of the damaged one: in block or flow style, LF or CRLF, with types or without,
 * comments everywhere. */
void degraded_job(uint64_t seed, enum damage damage, struct buf *sound, struct buf *damaged);

#endif
