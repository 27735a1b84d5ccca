/* How sure it is, as a part of the printable report; the light's bands are with the light itself. */
#include "report/tolerance.h"

#include "report/html.h"

static void add_figures(struct buf *out, const struct check_result *result)
{
	static const struct html_column columns[TOLERANCE_CELLS] = {
		{ .head = "figure" }, { .head = "item" }, { .head = "limit", .number = true },
		{ .head = "by labels", .number = true }, { .head = "5 %", .number = true },
		{ .head = "95 %", .number = true }, { .head = "beyond it in", .number = true },
	};
	const struct checked_spread **list;
	const char *cells[TOLERANCE_CELLS];
	size_t count = tolerance_breaking(out->arena, result->tolerance, &list);
	struct html_table table;
	if (count == 0)
		return;
	html_table_open(&table, out, "Figures that may break their limit", columns, TOLERANCE_CELLS);
	for (size_t i = 0; i < count && i < TOLERANCE_FIGURES_SHOWN; i++) {
		tolerance_cells(out->arena, result, list[i], cells);
		for (size_t k = 0; k < TOLERANCE_CELLS; k++)
			html_cell(&table, cells[k]);
	}
	html_table_close(&table);
	if (count > TOLERANCE_FIGURES_SHOWN)
		html_element(out, "p", arena_printf(out->arena, "And %zu more that do so more rarely.",
		                                    count - TOLERANCE_FIGURES_SHOWN));
}

void report_tolerance(struct buf *out, const struct check_result *result)
{
	const char *matter;
	if (result->tolerance == NULL)
		return;
	html_section_open(out, "sure", "How sure it is");
	html_element(out, "p", arena_printf(out->arena, "%zu builds drawn, with parts that differ from their "
	             "labels by their tolerances. %s", result->tolerance->samples,
	             tolerance_verdict(out->arena, result)));
	if (result->tolerance->matter_count > 0) {
		html_element(out, "p", "What decides it, with the share of its spread:");
		buf_add(out, "<ul>\n");
		for (size_t i = 0; (matter = tolerance_matter(out->arena, result, i)) != NULL; i++)
			html_element(out, "li", matter);
		buf_add(out, "</ul>\n");
	}
	add_figures(out, result);
	html_section_close(out);
}
