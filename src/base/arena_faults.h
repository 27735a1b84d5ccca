/* Taking memory away from tests. Exists only in builds with FAREND_FAULTS. */
#ifndef FAREND_BASE_ARENA_FAULTS_H
#define FAREND_BASE_ARENA_FAULTS_H

#ifdef FAREND_FAULTS

/* After `count` more allocations there is no memory, until the next call. A negative count gives
 * all of it back. Every block counts, not only those that need a new chunk of the system. */
void arena_fail_after(long count);

#endif
#endif
