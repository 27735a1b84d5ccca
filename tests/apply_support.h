/* Plans made by hand and put into small files: every expected text is written out in full, so that a byte which
 * moved, a lost comment or a changed spelling shows. The written text is read back each time and has to say what was
 * planned. */
#ifndef FAREND_TESTS_APPLY_SUPPORT_H
#define FAREND_TESTS_APPLY_SUPPORT_H

#include "size_support.h"

#define TYPES "strip_types: {warm: {voltage: 24 V, power: 10 W/m, cut_length: 100 mm}}\n"
#define DRIVER "drivers: {D1: {voltage: 24 V, power: 60 W}}\n"
#define STRIPS "strips: {L1: {type: warm, length: 1 m}}\n"
#define HEAD TYPES DRIVER STRIPS

typedef void change(struct sizing *s);

static inline void thicker(struct sizing *s)
{
	plan_size(s, "C1", "1 mm2");
}

static inline void fused(struct sizing *s)
{
	plan_size(s, "C1", "1 mm2");
	plan_fuse(s, "C1", 7.5);
}

static inline void second_feed(struct sizing *s)
{
	plan_feed(s, "C1b", "C1", "L1", 1, 3.004);     /* rounded up to 10 mm */
}

static inline void fused_and_fed(struct sizing *s)
{
	fused(s);
	second_feed(s);
}

static inline void assert_written(const char *before, change *plan, const char *after)
{
	struct sizing s;
	sizing_open(&s, before);
	plan_nothing(&s);
	plan(&s);
	assert_string_equal(written_copy(&s), after);
	sizing_close(&s);
}

#endif
