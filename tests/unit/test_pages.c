/* The pages behind the arenas: zeroed, apart, kept for the next block of their size, and really gone where
 * the header says so. */
#define _DEFAULT_SOURCE                                     /* mincore, which POSIX does not have */
#include "support.h"

#include "base/pages.h"

#include <errno.h>
#include <sys/mman.h>

static bool is_filled(const unsigned char *block, size_t size, unsigned char with)
{
	for (size_t i = 0; i < size; i++)
		if (block[i] != with)
			return false;
	return true;
}

static void blocks_of_every_size_are_zero_aligned_and_apart(void **state)
{
	(void)state;
	enum { MOST = 64 };
	struct pages pages = { .regions = NULL };
	unsigned char *blocks[MOST];
	size_t sizes[MOST], count = 0;
	for (size_t size = PAGES_LEAST + 1; size < ((size_t)6 << 20); size = size * 9 / 8, count++) {
		sizes[count] = size;
		blocks[count] = pages_take(&pages, size);
		assert_non_null(blocks[count]);
		assert_int_equal((uintptr_t)blocks[count] % _Alignof(max_align_t), 0);
		assert_true(is_filled(blocks[count], size, 0));
		memset(blocks[count], (int)count + 1, size);
	}
	assert_true(count > 40);
	for (size_t i = 0; i < count; i++)
		assert_true(is_filled(blocks[i], sizes[i], (unsigned char)(i + 1)));
	for (size_t i = 0; i < count; i++)
		pages_give(&pages, blocks[i], sizes[i]);
	pages_free(&pages);
}

static void a_block_given_back_comes_again_wiped(void **state)
{
	(void)state;
	struct pages pages = { .regions = NULL };
	unsigned char *first = pages_take(&pages, 100000);
	memset(first, 0xA5, 100000);
	pages_give(&pages, first, 100000);
	unsigned char *other = pages_take(&pages, 50000);
	assert_ptr_not_equal(other, first);
	unsigned char *again = pages_take(&pages, 110000);     /* of the same class: up to 112 KiB */
	assert_ptr_equal(again, first);
	assert_true(is_filled(again, 110000, 0));
	pages_free(&pages);
}

/* A fixed walk of takes and gives: nothing may lie in anything else. */
static void blocks_never_overlap(void **state)
{
	(void)state;
	enum { SLOTS = 32 };
	struct pages pages = { .regions = NULL };
	unsigned char *blocks[SLOTS] = { NULL };
	size_t sizes[SLOTS];
	uint32_t walk = 1;
	for (size_t step = 0; step < 2000; step++) {
		walk = walk * 1664525u + 1013904223u;              /* Numerical Recipes, section 7.1 */
		size_t slot = walk >> 27;
		if (blocks[slot]) {
			assert_true(is_filled(blocks[slot], sizes[slot], (unsigned char)slot));
			pages_give(&pages, blocks[slot], sizes[slot]);
			blocks[slot] = NULL;
			continue;
		}
		sizes[slot] = PAGES_LEAST + 1 + (walk >> 4) % 60000;
		blocks[slot] = pages_take(&pages, sizes[slot]);
		assert_true(is_filled(blocks[slot], sizes[slot], 0));
		memset(blocks[slot], (int)slot, sizes[slot]);
	}
	pages_free(&pages);
}

/* Asked of the kernel without touching the page, which memory checkers would rightly report. */
static bool is_mapped(void *page)
{
	unsigned char resident;
	return mincore(page, 1, &resident) == 0 || errno != ENOMEM;
}

static void large_blocks_really_go(void **state)
{
	(void)state;
	struct pages pages = { .regions = NULL };
	void *small = pages_take(&pages, 20000);
	void *large = pages_take(&pages, (size_t)8 << 20);
	void *page = (void *)((uintptr_t)large / 4096 * 4096);
	void *region = (void *)((uintptr_t)small / 4096 * 4096);
	assert_true(is_mapped(page));
	pages_give(&pages, large, (size_t)8 << 20);
	assert_false(is_mapped(page));
	assert_true(is_mapped(region));
	pages_free(&pages);
	assert_false(is_mapped(region));
}

static void more_than_there_is_gives_null(void **state)
{
	(void)state;
	struct pages pages = { .regions = NULL };
	assert_null(pages_take(&pages, SIZE_MAX));
	assert_null(pages_take(&pages, SIZE_MAX / 4));
	assert_non_null(pages_take(&pages, 20000));
	pages_free(&pages);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(blocks_of_every_size_are_zero_aligned_and_apart),
		cmocka_unit_test(a_block_given_back_comes_again_wiped),
		cmocka_unit_test(blocks_never_overlap),
		cmocka_unit_test(large_blocks_really_go),
		cmocka_unit_test(more_than_there_is_gives_null),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
