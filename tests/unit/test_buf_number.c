/* Numbers for machines must read exactly as printf's "%.12g" in the C locale (C11 7.21.6.1). */
#include "support.h"

#include "base/buf.h"

#include <stdio.h>

static void assert_as_printf(struct buf *buf, double number)
{
	char want[64];
	snprintf(want, sizeof(want), "%.12g", number == 0 ? 0.0 : number);
	buf_clear(buf);
	buf_add_number(buf, number);
	assert_string_equal(buf->data, want);
}

static void test_chosen_numbers(void **state)
{
	(void)state;
	static const double numbers[] = {
		0, -0.0, 1, -1, 10, 24, 0.1, 0.02, 1e-4, 9.9999999999999e-5, 0.00012345678901234, 999999999999.0,
		999999999999.4, 1e12, 1e11, 123456789012.0, 0.9999999999999, 9.9999999999999, 99.99999999999951,
		1e-5, 1e300, 5e-324, 1.0 / 3, 2.0 / 3, 11.1595725274, 0.1 + 0.2, 4096, 100, 1000000,
	};
	struct arena *arena = arena_new();
	struct buf buf;
	buf_init(&buf, arena);
	for (size_t i = 0; i < sizeof(numbers) / sizeof(*numbers); i++) {
		assert_as_printf(&buf, numbers[i]);
		assert_as_printf(&buf, -numbers[i]);
	}
	arena_free(arena);
}

/* Numbers of every size from a small generator, whole, rounded and with all their bits. */
static void test_many_numbers(void **state)
{
	(void)state;
	struct arena *arena = arena_new();
	struct buf buf;
	uint64_t seed = 20260111;
	buf_init(&buf, arena);
	for (int i = 0; i < 40000; i++) {
		seed = seed * 6364136223846793005u + 1442695040888963407u;
		double share = (double)(seed >> 11) / 9007199254740992.0;
		double number = ldexp(share, (int)(seed % 60) - 20);
		assert_as_printf(&buf, number);
		assert_as_printf(&buf, floor(number * 1000) / 1000);
		assert_as_printf(&buf, floor(number));
		assert_as_printf(&buf, (floor(number * 8) + 0.5) / 8);       /* many of these lie on a half */
	}
	arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_chosen_numbers),
		cmocka_unit_test(test_many_numbers),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
