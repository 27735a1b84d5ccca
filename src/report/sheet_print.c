/* A table of the schedule as text and as HTML. */
#include "report/sheet.h"

#include "report/table.h"

static const char *text_cell(const struct page *page, enum sheet_cell cell, const char *text)
{
	switch (cell) {
	case CELL_READING: return page->lengths == LENGTHS_INCH ? "_____" : "______";    /* sixteenths take room */
	case CELL_TICK:    return "[ ]";
	default:           return text != NULL ? page_safe(page, text) : "";
	}
}

/* Rows from `first` up to the next group; returns that. */
static size_t text_group(const struct sheet *sheet, const struct page *page, size_t first)
{
	struct table_column columns[SHEET_COLUMNS];
	struct table table;
	size_t row = first;
	for (size_t c = 0; c < sheet->column_count; c++) {
		enum sheet_cell cell = sheet->columns[c].cell;
		columns[c] = (struct table_column){
			.head = cell == CELL_TICK ? "" : sheet->columns[c].head,
			.align = cell == CELL_NUMBER ? ALIGN_RIGHT : ALIGN_LEFT,
			.gives = cell == CELL_TEXT,
			.optional = cell == CELL_TEXT,
		};
	}
	table_init(&table, page->arena, columns, sheet->column_count);
	do {
		for (size_t c = 0; c < sheet->column_count; c++)
			table_add(&table, text_cell(page, sheet->columns[c].cell,
			                            sheet->cells[row * sheet->column_count + c]));
		row++;
	} while (row < sheet_rows(sheet) && sheet->groups[row] == NULL);
	if (sheet->groups[first] != NULL) {
		buf_add(page->out, first > 0 ? "\n" : "");
		page_paragraph(page, sheet->groups[first], 0, 0);
	}
	table_print(&table, page);
	return row;
}

void sheet_text(const struct sheet *sheet, const struct page *page)
{
	page_paragraph(page, sheet->caption, 0, 0);
	buf_add_char(page->out, '\n');
	for (size_t row = 0; row < sheet_rows(sheet);)
		row = text_group(sheet, page, row);
}

/* A column of texts that says nothing in any row: places that the job does not give. */
static bool is_empty(const struct sheet *sheet, size_t column)
{
	if (sheet->columns[column].cell != CELL_TEXT)
		return false;
	for (size_t i = column; i < sheet->cell_count; i += sheet->column_count)
		if (sheet->cells[i] != NULL && sheet->cells[i][0] != '\0')
			return false;
	return true;
}

void sheet_html(const struct sheet *sheet, struct buf *out)
{
	struct html_column columns[SHEET_COLUMNS];
	struct html_table table;
	size_t shown[SHEET_COLUMNS], count = 0;
	for (size_t c = 0; c < sheet->column_count; c++) {
		if (is_empty(sheet, c))
			continue;
		shown[count] = c;
		columns[count++] = (struct html_column){
			.head = sheet->columns[c].head,
			.number = sheet->columns[c].cell == CELL_NUMBER,
			.blank = sheet->columns[c].cell >= CELL_READING,
		};
	}
	html_table_open(&table, out, sheet->caption, columns, count);
	for (size_t row = 0; row < sheet_rows(sheet); row++) {
		if (sheet->groups[row] != NULL)
			html_table_group(&table, sheet->groups[row]);
		for (size_t c = 0; c < count; c++)
			html_cell(&table, sheet->cells[row * sheet->column_count + shown[c]]);
	}
	html_table_close(&table);
}
