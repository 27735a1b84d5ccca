/* From a job to boxes and links, and from where the layout put them to pictures. */
#include "report/drawing.h"

#include "base/text.h"
#include "report/drawing_items.h"
#include "report/html.h"
#include "report/svg.h"

#include <string.h>

#define MARGIN 8.0
#define MAINS 34.0               /* to the left of the drivers */
#define HEADING 26.0             /* above each sheet of a file */
#define LINE 13.0

const char *const drawing_legend[] = {
	"The driver stands on the left; current runs from left to right.",
	"Each line is one two-core cable: its name and size above, its length and current below.",
	"A heavy box is a driver, a plain one a switch, a shaded one a junction block.",
	"A strip's bar is to scale; the height of its filling is the light along it, full just below the top.",
	"A small arrow below a bar marks where the strip is fed.",
	NULL
};

static void count_boxes(struct drawing *d)
{
	static const enum kind kinds[] = { KIND_DRIVER, KIND_SWITCH, KIND_BLOCK, KIND_STRIP, KIND_CABLE };
	size_t boxes = 0;
	for (size_t i = 0; i < sizeof(kinds) / sizeof(kinds[0]); i++) {
		size_t count = job_count(d->result->job, kinds[i]);
		d->first[kinds[i]] = boxes;
		d->worst[kinds[i]] = arena_array(d->arena, enum severity, count);
		boxes += count;
	}
}

static void find_worst(struct drawing *d)
{
	for (size_t i = 0; i < d->result->findings->count; i++) {
		const struct finding *f = &d->result->findings->items[i];
		for (size_t k = 0; k < f->item_count; k++) {
			enum severity *worst = &d->worst[f->items[k].kind][f->items[k].index];
			if (f->severity > *worst)
				*worst = f->severity;
		}
	}
}

static void find_longest(struct drawing *d)
{
	for (size_t i = 0; i < d->result->job->strip_count; i++)
		if (d->result->job->strips[i].metres > d->longest)
			d->longest = d->result->job->strips[i].metres;
}

/* A tree's link enters its right box from the left. */
static void find_turned(struct drawing *d)
{
	const struct job *job = d->result->job;
	d->turned = arena_array(d->arena, bool, job->strip_count);
	for (size_t i = 0; i < d->layout.link_count; i++) {
		const struct placed_link *link = &d->layout.links[i];
		const struct cable *cable = &job->cables[link->link];
		size_t entered = drawing_box_at(d, cable->a) == link->left ? cable->b : cable->a;
		if (!link->loop && job->terminals[entered].which == WHICH_END)
			d->turned[job->terminals[entered].item] = true;
	}
}

void drawing_make(struct drawing *d, const struct check_result *result, struct arena *arena)
{
	const struct job *job = result->job;
	*d = (struct drawing){ .result = result, .arena = arena, .lengths = job_lengths(job) };
	count_boxes(d);
	find_worst(d);
	find_longest(d);
	size_t count = d->first[KIND_CABLE];
	struct layout_box *boxes = arena_array(arena, struct layout_box, count);
	struct layout_link *links = arena_array(arena, struct layout_link, job->cable_count);
	for (size_t i = 0; i < count; i++)
		boxes[i] = drawing_box_of(drawing_item(d, i).kind);
	for (size_t i = 0; i < job->cable_count; i++)
		links[i] = (struct layout_link){ drawing_box_at(d, job->cables[i].a),
		                                 drawing_box_at(d, job->cables[i].b) };
	layout_make(&(struct layout_graph){
		.boxes = boxes, .box_count = count, .links = links, .link_count = job->cable_count,
		.gap = 92, .lane = 40, .space = 16, .track = 10,
		.width = SVG_WIDTH - MAINS - 2 * MARGIN, .height = 1020,
	}, arena, &d->layout);
	find_turned(d);
}

static void add_sheet(struct buf *out, const struct drawing *d, size_t sheet)
{
	for (size_t i = 0; i < d->layout.box_count; i++)
		if (d->layout.boxes[i].sheet == sheet)
			drawing_add_box(out, d, &d->layout.boxes[i]);
	for (size_t i = 0; i < d->layout.link_count; i++)
		if (d->layout.links[i].sheet == sheet)
			drawing_add_link(out, d, &d->layout.links[i]);
}

static double sheet_width(const struct drawing *d, size_t sheet)
{
	return d->layout.sheets[sheet].width + MAINS + 2 * MARGIN;
}

/* Room above for a badge and below for a remark. */
static double sheet_height(const struct drawing *d, size_t sheet)
{
	return d->layout.sheets[sheet].height + 4 * MARGIN;
}

static const char *sheet_title(const struct drawing *d, size_t sheet)
{
	if (d->layout.sheet_count == 1)
		return "Single-line drawing";
	return arena_printf(d->arena, "Single-line drawing, sheet %zu of %zu", sheet + 1,
	                    d->layout.sheet_count);
}

static const char *description(const struct drawing *d)
{
	const struct job *job = d->result->job;
	struct buf text;
	buf_init(&text, d->arena);
	buf_add(&text, "From left to right: ");
	for (size_t i = 0; i < KIND__END; i++) {
		static const enum kind kinds[] = { KIND_DRIVER, KIND_SWITCH, KIND_BLOCK, KIND_STRIP, KIND_CABLE };
		size_t count = job_count(job, kinds[i]);
		const char *before = i == 0 ? "" : kinds[i] == KIND_CABLE ? " and " : ", ";
		buf_addf(&text, "%s%zu %s", before, count,
		         count == 1 ? kind_words[kinds[i]].word : kind_words[kinds[i]].group);
	}
	buf_add(&text, " of the whole job. What each cable joins also stands in the wiring schedule.");
	return text.data;
}

static void html_sheet(struct buf *out, const struct drawing *d, size_t sheet)
{
	const char *title = sheet_title(d, sheet);
	struct svg_frame frame = {
		.id = arena_printf(d->arena, "drawing-%zu", sheet + 1), .title = title,
		.desc = description(d), .width = sheet_width(d, sheet), .height = sheet_height(d, sheet),
		.scale = 1.25, .style = sheet == 0,
	};
	buf_add(out, "<figure class=\"sheet\">\n<section tabindex=\"0\" aria-label=\"");
	html_add(out, title);
	buf_add(out, "\">\n");
	svg_open(out, &frame);
	svg_group_open(out, MARGIN + MAINS, 2 * MARGIN, NULL);
	add_sheet(out, d, sheet);
	svg_group_close(out);
	svg_close(out);
	buf_add(out, "</section>\n");
	html_element(out, "figcaption", title);
	buf_add(out, "</figure>\n");
}

void drawing_html(struct buf *out, const struct drawing *drawing)
{
	for (size_t sheet = 0; sheet < drawing->layout.sheet_count; sheet++)
		html_sheet(out, drawing, sheet);
}

static double add_legend(struct buf *out, const struct drawing *d, double y)
{
	const size_t columns = (size_t)((SVG_WIDTH - 2 * MARGIN) / SVG_CHARACTER);
	for (const char *const *legend = drawing_legend; *legend != NULL; legend++) {
		struct buf lines;
		buf_init(&lines, d->arena);
		text_add_wrapped(&lines, *legend, 0, 0, columns);
		for (char *line = lines.data; line != NULL; y += LINE) {
			char *end = strchr(line, '\n');
			if (end != NULL)
				*end++ = '\0';
			svg_text(out, "s", SVG_START, MARGIN, y, SVG_WIDTH, line);
			line = end;
		}
	}
	return y;
}

void drawing_file(struct buf *out, const struct drawing *d)
{
	const struct attr *name = &d->result->job->name;
	const char *job = attr_has(name) ? name->text : "Cabinet lighting job";
	double height = 2 * HEADING + LINE * 8;
	for (size_t sheet = 0; sheet < d->layout.sheet_count; sheet++)
		height += HEADING + sheet_height(d, sheet);
	svg_open(out, &(struct svg_frame){
		.id = "drawing", .title = arena_printf(d->arena, "%s: single-line drawing", job),
		.desc = description(d), .width = SVG_WIDTH, .height = height, .scale = 1.25, .file = true,
		.style = true,
	});
	svg_text(out, "b", SVG_START, MARGIN, HEADING - MARGIN, SVG_WIDTH - 2 * MARGIN, job);
	double y = add_legend(out, d, HEADING + MARGIN);
	for (size_t sheet = 0; sheet < d->layout.sheet_count; sheet++) {
		svg_text(out, "b", SVG_START, MARGIN, y + HEADING, SVG_WIDTH, sheet_title(d, sheet));
		svg_group_open(out, MARGIN + MAINS, y + HEADING + 2 * MARGIN, NULL);
		add_sheet(out, d, sheet);
		svg_group_close(out);
		y += HEADING + sheet_height(d, sheet);
	}
	svg_close(out);
}
