/* Suspects and readings in plain words. Private to the renderers of `verify`. */
#ifndef FAREND_REPORT_VERIFY_WORDS_H
#define FAREND_REPORT_VERIFY_WORDS_H

#include "report/page.h"
#include "report/verify.h"

/* "joint", "cable", "contact", "driver", "strip" */
const char *suspect_kind_word(enum suspect_kind kind);

/* "plus", "minus", or NULL for both */
const char *core_word(enum core core);

/* So many ohms that it may as well be open. */
bool suspect_open(const struct suspect *suspect);

/* "joint of C4 at L2.end, plus core": no two suspects share one. */
const char *suspect_label(struct arena *arena, const struct job *job, const struct suspect *suspect);

/* The same in a sentence, with its article where it has one: "cable C4 in the plus core only". */
const char *suspect_name(struct arena *arena, const struct job *job, const struct suspect *suspect);

/* "0.42 ohm", "11.62 V", "112 %" */
const char *suspect_value(struct arena *arena, const struct suspect *suspect);

/* "about 0.42 ohm more than allowed for (0.36 to 0.48 ohm)" */
const char *suspect_claim(struct arena *arena, const struct suspect *suspect);

/* "explains all three readings within 0.02 V" */
const char *suspect_explains(struct arena *arena, const struct verification *result,
                             const struct suspect *suspect);

/* "D1 and D2 seem to be switched off, tripped or not connected", of the suspects that are that. */
const char *off_claim(struct arena *arena, const struct verification *result);

/* What to look at then, before anything is read again. */
const char *off_look(struct arena *arena, const struct verification *result);

/* What to look at, in a sentence or two; `effect` is of this suspect, or NULL. */
const char *suspect_look(struct arena *arena, const struct job *job, const struct suspect *suspect,
                         const struct fault_effect *effect);

/* What the first suspect's fault does to the job, in sentences. */
const char *effect_text(struct arena *arena, const struct job *job, const struct suspect *suspect,
                        const struct fault_effect *effect);

/* "L2.end" or "C5" of the reading worth taking next. */
const char *next_at(const struct job *job, const struct next_reading *next);

/* "11.62 V", "0.512 A": with the decimals that the meter's digit is worth. */
const char *meter_text(struct arena *arena, const struct meter *meter, enum meter_range range,
                       double value);
/* The same with its sign, plus too. */
const char *meter_difference(struct arena *arena, const struct meter *meter, enum meter_range range,
                             double value);

/* A job's figures for figure_number(). */
struct check_result figures_in(const struct judged *judged);

#endif
