/* The changes that advice can propose. Each fills `todo` texts only with what was solved again and found
 * to clear the finding. Private to this layer. Indices are the bench's. */
#ifndef FAREND_ADVISE_REMEDY_H
#define FAREND_ADVISE_REMEDY_H

#include "advise/path.h"
#include "advise/trial.h"

/* One call for each kind of finding: sets todo (in `keep`), and may replace the check by a better one. */
void remedy_far_end(struct bench *bench, struct finding *finding, struct arena *keep);
void remedy_strip(struct bench *bench, struct finding *finding, struct arena *keep);   /* mismatch, dip */
void remedy_overrun(struct bench *bench, struct finding *finding, struct arena *keep);
void remedy_overvoltage(struct bench *bench, struct finding *finding, struct arena *keep);
void remedy_driver_size(struct bench *bench, struct finding *finding, struct arena *keep);
void remedy_cable_size(struct bench *bench, struct finding *finding, struct arena *keep);
void remedy_protection(struct bench *bench, struct finding *finding, struct arena *keep);
void remedy_fuse(struct bench *bench, struct finding *finding, struct arena *keep);

/* Puts the fuses (and, where none fits, sizes) that a cable-unprotected finding asks for into a job with
 * the bench's indices. */
void protect_with_fuses(struct bench *bench, const struct finding *finding, struct job *into);

/* Puts the fuse that suits a cable's load and its fault into a job with the bench's indices, where one does. */
void change_fuse(struct bench *bench, const struct finding *finding, struct job *into);

/* The smallest driver of more than `above` watts: of the file's and the catalogue's types of this voltage
 * (*part its name), else of the common ladder. 0 beyond the last. */
double next_driver(const struct bench *bench, double above, const char **part);

/* The finding's item in the bench. */
struct item_ref bench_item(const struct bench *bench, struct item_ref whole);

/* Thicker cables on the way to a strip, so that no finding of the family concerns it any more: the
 * fewest cables and the least step that do. Leaves `trial` at the solved change; NULL when none helps,
 * else "C1 and C3 in 1.5 mm2". */
const char *thicker_cables(struct bench *bench, struct trial *trial, size_t strip,
                           const char *const *names, struct item_ref item, struct arena *keep);

/* Is it among `limits: sizes`, or are those left open? */
bool on_shelf(const struct job *job, size_t wire);

/* The next thicker size of the same system (WIRE_NONE beyond the last), of `limits: sizes` if given. */
size_t next_wire(const struct job *job, size_t wire);

/* "C1", "C1 and C2", "C1, C2 and C3" */
const char *list_names(struct arena *arena, const char *const *names, size_t count);

#endif
