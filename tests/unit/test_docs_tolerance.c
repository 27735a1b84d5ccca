/* The table of docs/tolerance.md against the rules: a line for each, in the same order, and no other. Runs in
 * the project's folder. */
#include "tests/support.h"

#include "base/file.h"
#include "model/tolerance.h"

#define PAGE "docs/tolerance.md"
#define OPENS "<!-- tolerances -->\n"
#define HEAD "| of | attribute | stated | left out | measured | why |\n|---|---|---|---|---|---|\n"

static void table_is_that_of_the_rules(void **state)
{
	struct arena *arena = arena_new();
	struct file_bytes page;
	const char *reason;
	struct buf table;
	(void)state;

	if (file_read(arena, PAGE, 1 << 20, &page, &reason) != FILE_OK)
		fail_msg("%s: %s", PAGE, reason);
	buf_init(&table, arena);
	buf_add(&table, OPENS HEAD);
	for (size_t i = 0; i < tolerance_rule_count; i++) {
		const struct tolerance_rule *rule = &tolerance_rules[i];
		buf_addf(&table, "| %s | `%s` | %s | %s | %s | %s |\n", kind_words[rule->kind].word, rule->key,
		         quantity_percent(arena, rule->stated), quantity_percent(arena, rule->assumed),
		         quantity_percent(arena, rule->measured), rule->why);
	}
	buf_add(&table, "<!-- end -->\n");
	if (!strstr(page.data, table.data))
		fail_msg("%s has another table than this:\n%s", PAGE, table.data);
	arena_free(arena);
}

/* Every rule names an attribute and says what to do about it. */
static void rules_name_attributes(void **state)
{
	(void)state;
	for (size_t i = 0; i < tolerance_rule_count; i++) {
		const struct tolerance_rule *rule = &tolerance_rules[i];
		assert_non_null(attribute_find(rule->kind, rule->key));
		assert_true(rule->word[0] && rule->how[0] && rule->apply);
		assert_true(rule->measured <= rule->stated && rule->stated <= rule->assumed);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(table_is_that_of_the_rules),
		cmocka_unit_test(rules_name_attributes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
