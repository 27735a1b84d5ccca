/* Widths first, then line after line of each row. */
#include "report/table.h"

#include "base/text.h"

#include <assert.h>
#include <string.h>

#define GAP 2                    /* blanks between columns */
#define LEAST_GIVEN 6            /* columns that a folded column keeps */

void table_init(struct table *table, struct arena *arena, const struct table_column *columns,
                size_t count)
{
	assert(count <= TABLE_COLUMNS);
	*table = (struct table){ .arena = arena, .columns = columns, .column_count = count };
}

void table_add(struct table *table, const char *text)
{
	table->cells = arena_grow(table->arena, table->cells, table->cell_count, &table->cell_capacity,
	                          sizeof(*table->cells));
	table->cells[table->cell_count++] = text != NULL ? text : "";
}

static size_t longest_word(const char *text)
{
	size_t longest = 0;
	while (*text != '\0') {
		size_t length = strcspn(text, " ");
		size_t width = text_width(text, length);
		longest = width > longest ? width : longest;
		text += length + strspn(text + length, " ");
	}
	return longest;
}

/* 0 for a column that is left out. */
static size_t natural_width(const struct table *table, size_t column, size_t most)
{
	size_t width = 0;
	for (size_t i = column; i < table->cell_count; i += table->column_count) {
		size_t cell = text_width(table->cells[i], strlen(table->cells[i]));
		width = cell > width ? cell : width;
	}
	if (width == 0 && table->columns[column].optional)
		return 0;
	size_t head = longest_word(table->columns[column].head);
	width = head > width ? head : width;
	return width > most ? most : width;
}

/* The widest column that may still give, or `count`. */
static size_t widest_giving(const struct table *table, const size_t *width)
{
	size_t widest = table->column_count;
	for (size_t c = 0; c < table->column_count; c++) {
		if (table->columns[c].gives && width[c] > LEAST_GIVEN &&
		    (widest == table->column_count || width[c] > width[widest])) {
			widest = c;
		}
	}
	return widest;
}

static void find_widths(const struct table *table, size_t page_width, size_t *width)
{
	size_t total = 0;
	for (size_t c = 0; c < table->column_count; c++) {
		width[c] = natural_width(table, c, page_width);
		total += width[c] > 0 ? width[c] + (total > 0 ? GAP : 0) : 0;
	}
	for (size_t give; total > page_width; total--) {
		give = widest_giving(table, width);
		if (give == table->column_count)
			return;
		width[give]--;
	}
}

/* A cell on as many lines as its column needs, or nothing for a column that is left out. */
static const char *folded(const struct page *page, const char *text, size_t width)
{
	struct buf lines;
	buf_init(&lines, page->arena);
	if (width > 0)
		page_fold_cell(page, &lines, text, width);
	return lines.data;
}

/* Adds the first line of a cell that is `width` wide and returns what follows it. *owed blanks come
 * before it, and only then, so that no line ends in blanks. */
static const char *add_cell_line(const struct page *page, const char *cell, enum align align,
                                 size_t width, size_t *owed)
{
	size_t length = strcspn(cell, "\n");
	size_t used = text_width(cell, length);
	size_t pad = used < width ? width - used : 0;
	bool right = align == ALIGN_RIGHT;
	if (length == 0) {
		*owed += width + GAP;
		return *cell == '\n' ? cell + 1 : cell;
	}
	buf_add_repeat(page->out, ' ', *owed + (right ? pad : 0));
	buf_add_bytes(page->out, cell, length);
	*owed = (right ? 0 : pad) + GAP;
	return cell[length] == '\n' ? cell + length + 1 : cell + length;
}

/* `rest` is what is left of every cell; a cell that starts later than others is held back by
 * `wait`. */
static void print_lines(const struct table *table, const struct page *page, const size_t *width,
                        const char **rest, const size_t *wait)
{
	size_t left = table->column_count;
	for (size_t line = 0; left > 0; line++) {
		size_t owed = 0;
		left = 0;
		for (size_t c = 0; c < table->column_count; c++) {
			if (width[c] == 0)
				continue;
			if (line < wait[c])
				add_cell_line(page, "", ALIGN_LEFT, width[c], &owed);
			else
				rest[c] = add_cell_line(page, rest[c], table->columns[c].align, width[c], &owed);
			left += *rest[c] != '\0';
		}
		buf_add_char(page->out, '\n');
	}
}

static size_t line_count(const char *text)
{
	size_t lines = 1;
	for (; *text != '\0'; text++)
		lines += *text == '\n';
	return lines;
}

/* Heads stand directly above the cells, however many lines the others take. */
static void print_heads(const struct table *table, const struct page *page, const size_t *width)
{
	const char *rest[TABLE_COLUMNS];
	size_t wait[TABLE_COLUMNS], most = 0;
	for (size_t c = 0; c < table->column_count; c++) {
		rest[c] = folded(page, table->columns[c].head, width[c]);
		wait[c] = line_count(rest[c]);
		most = wait[c] > most ? wait[c] : most;
	}
	for (size_t c = 0; c < table->column_count; c++)
		wait[c] = most - wait[c];
	print_lines(table, page, width, rest, wait);
}

static void print_row(const struct table *table, const struct page *page, const size_t *width,
                      size_t row)
{
	static const size_t no_wait[TABLE_COLUMNS];
	const char *rest[TABLE_COLUMNS];
	for (size_t c = 0; c < table->column_count; c++)
		rest[c] = folded(page, table->cells[row + c], width[c]);
	print_lines(table, page, width, rest, no_wait);
}

static void print_rule(const struct table *table, const struct page *page, const size_t *width)
{
	size_t total = 0;
	for (size_t c = 0; c < table->column_count; c++)
		total += width[c] > 0 ? width[c] + (total > 0 ? GAP : 0) : 0;
	buf_add_repeat(page->out, '-', total);
	buf_add_char(page->out, '\n');
}

void table_print(const struct table *table, const struct page *page)
{
	size_t width[TABLE_COLUMNS];
	find_widths(table, page->style.width, width);
	print_heads(table, page, width);
	print_rule(table, page, width);
	for (size_t row = 0; row < table->cell_count; row += table->column_count)
		print_row(table, page, width, row);
}
