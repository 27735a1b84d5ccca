/* docs/checks.md against the table of checks: a heading for each row, in the same order, with the
 * row's own texts beneath it, and no heading without a row. Runs in the project's folder. */
#include "tests/support.h"

#include "base/file.h"
#include "check/check.h"

#define PAGE "docs/checks.md"

/* Blanks and line ends folded into one blank: the page may be wrapped as it likes. */
static char *folded(struct arena *arena, const char *text, size_t length)
{
	struct buf out;
	buf_init(&out, arena);
	for (size_t i = 0; i < length; i++) {
		bool blank = text[i] == ' ' || text[i] == '\n';
		if (!blank || (out.length > 0 && out.data[out.length - 1] != ' '))
			buf_add_char(&out, blank ? ' ' : text[i]);
	}
	return out.data;
}

static const char *read_page(struct arena *arena)
{
	struct file_bytes page;
	const char *reason;
	if (file_read(arena, PAGE, 1 << 20, &page, &reason) != FILE_OK)
		fail_msg("%s: %s", PAGE, reason);
	return page.data;
}

static void assert_says(const struct check *check, const char *section, const char *label,
                        const char *text, struct arena *arena)
{
	const char *wanted = arena_printf(arena, "%s%s", label, folded(arena, text, strlen(text)));
	if (!strstr(section, wanted))
		fail_msg("%s, %s: '%s' is not there", PAGE, check->name, wanted);
}

static void every_check_has_its_section(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	const char *at = read_page(arena);
	for (size_t i = 0; i < check_count; i++) {
		const struct check *check = &checks[i];
		const char *heading = strstr(at, "\n### ");
		if (!heading)
			fail_msg("%s has no heading for %s", PAGE, check->name);
		heading += strlen("\n### ");
		size_t length = strcspn(heading, "\n");
		char *name = arena_strndup(arena, heading, length);
		assert_string_equal(name, check->name);

		const char *end = strstr(heading, "\n##");
		size_t size = end ? (size_t)(end - heading) : strlen(heading);
		const char *section = folded(arena, heading, size);
		assert_says(check, section, "", check->title, arena);
		assert_says(check, section, "", check->why, arena);
		assert_says(check, section, "**When:** ", check->severities, arena);
		assert_says(check, section, "**Measured:** ", check->formula, arena);
		assert_says(check, section, "**Source of the limit:** ", check->source, arena);
		assert_non_null(strstr(section, "**What to do:** "));
		at = heading + length;
	}
	if (strstr(at, "\n### "))
		fail_msg("%s has a heading that is no check: %.30s", PAGE, strstr(at, "\n### "));
	arena_free(arena);
}

/* Every key of `limits:` that a check uses is named with it. */
static void every_limit_is_named(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	const char *page = read_page(arena);
	for (size_t i = 0; i < attributes_limits.count; i++) {
		if (i == LIMIT_MIN_SIZE || i == LIMIT_SIZES)     /* of 'farend size' */
			continue;
		const char *key = arena_printf(arena, "`%s`", attributes_limits.rows[i].key);
		if (!strstr(page, key))
			fail_msg("%s does not name %s", PAGE, key);
	}
	arena_free(arena);
}

int main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(every_check_has_its_section),
		cmocka_unit_test(every_limit_is_named),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
