/* The boxes: name, place and the figures that matter; a strip also as a bar to scale, filled as high as it
 * is bright. The lines: name, size, length and current. What was found is said in words. */
#include "report/drawing_items.h"

#include "reference/reference.h"
#include "report/figures.h"
#include "report/svg.h"

#include <math.h>
#include <string.h>

#define LINE 12.0                /* from one line of text to the next */
#define INSET 6.0
#define BAR_LEFT 46.0            /* room for the name of a terminal on both sides of a strip's bar */
#define BAR_WIDTH 122.0
#define BAR_HEIGHT 12.0
#define BOLD 1.12                /* how much wider bold text is */
#define LEAST_NAME 18.0         /* a cable's name is shortened to no less to make room for its size */
#define BAR_POINTS 60            /* along the light of a strip, at most */

struct layout_box drawing_box_of(enum kind kind)
{
	static const struct layout_box boxes[KIND__END] = {
		[KIND_DRIVER] = { .width = 96, .height = 70, .source = true },
		[KIND_SWITCH] = { .width = 92, .height = 46 },
		[KIND_BLOCK] = { .width = 92, .height = 46 },
		[KIND_STRIP] = { .width = 212, .height = 70 },
	};
	return boxes[kind];
}

struct item_ref drawing_item(const struct drawing *drawing, size_t box)
{
	static const enum kind kinds[] = { KIND_DRIVER, KIND_SWITCH, KIND_BLOCK, KIND_STRIP };
	struct item_ref item = { KIND_DRIVER, box };
	for (size_t i = 0; i < sizeof(kinds) / sizeof(kinds[0]); i++)
		if (box >= drawing->first[kinds[i]])
			item = (struct item_ref){ kinds[i], box - drawing->first[kinds[i]] };
	return item;
}

size_t drawing_box_at(const struct drawing *drawing, size_t terminal)
{
	const struct terminal *t = &drawing->result->job->terminals[terminal];
	return drawing->first[t->kind] + t->item;
}

/* Lines of text one below the other. */
struct lines {
	struct buf *out;
	double x, y, width;
};

static void add_line(struct lines *lines, const char *class, const char *text)
{
	if (text == NULL)
		return;
	svg_text(lines->out, class, SVG_START, lines->x, lines->y, lines->width, text);
	lines->y += LINE;
}

static const char *place_of(const struct item *item)
{
	return attr_has(&item->place) ? item->place.text : NULL;
}

static const char *amps(struct arena *arena, double value)
{
	return quantity_text(arena, fabs(value), DIM_AMP, 2);
}

static double figure(const struct drawing *d, struct item_ref item, const char *key)
{
	return figure_number(figure_find(item.kind, key), d->result, item);
}

static void driver_lines(struct lines *lines, const struct drawing *d, size_t i)
{
	const struct driver *driver = &d->result->job->drivers[i];
	const struct driver_result *solved = &d->result->solution->drivers[i];
	struct item_ref item = { KIND_DRIVER, i };
	add_line(lines, "", arena_printf(d->arena, "%s, %s",
	                                 quantity_text(d->arena, driver->set_v, DIM_VOLT, 4),
	                                 quantity_text(d->arena, driver->power.num, DIM_WATT, 3)));
	if (!solved->live) {
		add_line(lines, "b", "no figures");
		return;
	}
	add_line(lines, "", arena_printf(d->arena, "load %s", quantity_text(d->arena, solved->load_w,
	                                                                   DIM_WATT, 3)));
	double headroom = figure(d, item, "headroom");
	add_line(lines, "", headroom >= 0
	         ? arena_printf(d->arena, "%s in hand", quantity_percent(d->arena, headroom)) : "overloaded");
}

static void switch_lines(struct lines *lines, const struct drawing *d, size_t i)
{
	const struct switch_result *solved = &d->result->solution->switches[i];
	double most = figure(d, (struct item_ref){ KIND_SWITCH, i }, "max_a");
	add_line(lines, solved->live ? "" : "b", solved->live
	         ? arena_printf(d->arena, "%.2f of %s", fabs(solved->amps), amps(d->arena, most))
	         : "no figures");
}

static void block_lines(struct lines *lines, const struct drawing *d, size_t i)
{
	struct item_ref item = { KIND_BLOCK, i };
	add_line(lines, "", arena_printf(d->arena, "%.0f of %.0f ports", figure(d, item, "ports_used"),
	                                 d->result->job->blocks[i].ports.num));
}

/* Along a strip's bar: 0 is the strip's start, 1 its end. */
struct bar { double x, y, width; bool turned; };

static double bar_at(const struct bar *bar, double along)
{
	return bar->x + bar->width * (bar->turned ? 1 - along : along);
}

/* The light along a strip as a filled curve in its bar; full light is nine tenths of the bar. */
static void add_light(struct buf *out, const struct drawing *d, size_t i, const struct bar *bar)
{
	const struct strip_result *solved = &d->result->solution->strips[i];
	size_t units = d->result->job->strips[i].units;
	size_t count = units < BAR_POINTS ? units : BAR_POINTS;
	struct point *points = arena_array(d->arena, struct point, count + 2);
	for (size_t k = 0; k < count; k++) {
		size_t unit = count > 1 ? k * (units - 1) / (count - 1) : 0;
		double light = fmin(1.1, solved->light[unit]);
		points[k + 1] = (struct point){ bar_at(bar, ((double)unit + 0.5) / (double)units),
		                                bar->y + BAR_HEIGHT * (1 - 0.9 * light) };
	}
	points[0] = (struct point){ bar_at(bar, 0), points[1].y };
	points[count + 1] = (struct point){ bar_at(bar, 1), points[count].y };
	svg_curve(out, "lit", points, count + 2, bar->y + BAR_HEIGHT);
}

/* A short stroke below the bar wherever current comes in. */
static void add_feeds(struct buf *out, const struct drawing *d, size_t i, const struct bar *bar)
{
	const struct job *job = d->result->job;
	const struct strip *strip = &job->strips[i];
	for (size_t k = 0; k < 2 + strip->tap_count; k++) {
		size_t terminal = k < 2 ? strip->terminal + k : strip->taps[k - 2];
		if (!(d->result->solution->terminals[terminal].inflow_a > 1e-9))
			continue;
		double at = bar_at(bar, (double)job->terminals[terminal].mark / (double)strip->units);
		double y = bar->y + BAR_HEIGHT + 1;
		const struct point mark[] = { { at - 3, y + 4 }, { at, y }, { at + 3, y + 4 } };
		svg_line(out, "wire", mark, 3);
	}
}

/* "3600 mm, 2.1 A, drop 8.2 %"; inches that leave no room for the rest are shown as feet. */
static const char *strip_text(const struct drawing *d, size_t i, enum length_sort sort, int digits)
{
	const struct strip_result *solved = &d->result->solution->strips[i];
	const char *length = quantity_length_in(d->arena, d->result->job->strips[i].metres, d->lengths, sort, digits);
	if (!solved->live)
		return arena_printf(d->arena, "%s, no figures", length);
	return arena_printf(d->arena, "%s, %s, drop %.1f %%", length, amps(d->arena, solved->current_a),
	                    100 * solved->drop);
}

/* Below it, "light 71 to 97 %". */
static void strip_lines(struct lines *lines, const struct drawing *d, size_t i)
{
	const struct strip_result *solved = &d->result->solution->strips[i];
	const char *text = strip_text(d, i, LENGTH_TAPE, 0);
	if (d->lengths == LENGTHS_INCH && svg_text_width(text) > lines->width)
		text = strip_text(d, i, LENGTH_CABLE, 3);
	add_line(lines, "", text);
	if (solved->live)
		add_line(lines, "", arena_printf(d->arena, "light %s",
		                                 percent_range(d->arena, solved->light_min, solved->light_max)));
}

static void add_strip(struct lines *lines, const struct drawing *d, size_t i, double top)
{
	const struct strip *strip = &d->result->job->strips[i];
	const struct bar bar = {
		.x = lines->x - INSET + BAR_LEFT, .y = top + 32 - BAR_HEIGHT / 2,
		.width = d->longest > 0 ? BAR_WIDTH * strip->metres / d->longest : 0, .turned = d->turned[i],
	};
	svg_box(lines->out, "bar", bar.x, bar.y, bar.width, BAR_HEIGHT);
	if (d->result->solution->strips[i].live && strip->units > 0) {
		add_light(lines->out, d, i, &bar);
		add_feeds(lines->out, d, i, &bar);
	}
	lines->y = top + 53;
	lines->width = BAR_LEFT + BAR_WIDTH;
	strip_lines(lines, d, i);
}

/* The name, bold, and what it is. */
static void add_name(struct lines *lines, const struct drawing *d, struct item_ref item)
{
	const char *id = item_id(d->result->job, item), *word = kind_words[item.kind].word;
	const char *name = svg_fit(d->arena, id, lines->width / BOLD);
	double used = BOLD * svg_text_width(name) + 5;
	svg_text(lines->out, "b", SVG_START, lines->x, lines->y, lines->width, name);
	if (item.kind == KIND_STRIP)
		word = place_of(job_item(d->result->job, item.kind, item.index));
	if (word != NULL && lines->width - used > (item.kind == KIND_STRIP ? 20 : svg_text_width(word)))
		svg_text(lines->out, "s", SVG_START, lines->x + used, lines->y, lines->width - used, word);
	lines->y += LINE;
}

static void add_texts(struct buf *out, const struct drawing *d, const struct placed_box *box)
{
	struct item_ref item = drawing_item(d, box->box);
	double top = box->y + (box->height - drawing_box_of(item.kind).height) / 2;
	struct lines lines = { out, box->x + INSET, top + 14, box->width - 2 * INSET };
	add_name(&lines, d, item);
	if (item.kind == KIND_STRIP) {
		add_strip(&lines, d, item.index, top);
		return;
	}
	add_line(&lines, "s", place_of(job_item(d->result->job, item.kind, item.index)));
	if (item.kind == KIND_DRIVER)
		driver_lines(&lines, d, item.index);
	else if (item.kind == KIND_SWITCH)
		switch_lines(&lines, d, item.index);
	else
		block_lines(&lines, d, item.index);
}

static const struct { const char *word, *class; } badges[] = {
	[SEVERITY_CAUTION] = { "CAUTION", "badge caution" }, [SEVERITY_FAIL] = { "FAIL", "badge fail" },
};

static const char *sheet_text(const struct drawing *d, const char *words, size_t sheet)
{
	return arena_printf(d->arena, "%s %zu", words, sheet + 1);
}

static void add_mains(struct buf *out, const struct placed_box *box)
{
	double y = box->y + box->height / 2;
	const struct point line[] = { { box->x - 32, y }, { box->x, y } };
	svg_line(out, "mains", line, 2);
	svg_text(out, "s", SVG_START, box->x - 34, y - 4, 36, "mains");
}

void drawing_add_box(struct buf *out, const struct drawing *d, const struct placed_box *box)
{
	static const char *const classes[KIND__END] = {
		[KIND_DRIVER] = "part heavy", [KIND_SWITCH] = "part", [KIND_BLOCK] = "part round",
		[KIND_STRIP] = "part",
	};
	struct item_ref item = drawing_item(d, box->box);
	const char *place = place_of(job_item(d->result->job, item.kind, item.index));
	enum severity worst = d->worst[item.kind][item.index];
	svg_group_open(out, 0, 0, arena_printf(d->arena, "%s %s%s%s", kind_words[item.kind].word,
	                                       item_id(d->result->job, item), place ? ", " : "",
	                                       place ? place : ""));
	svg_box(out, classes[item.kind], box->x, box->y, box->width, box->height);
	add_texts(out, d, box);
	if (item.kind == KIND_DRIVER && !box->again)
		add_mains(out, box);
	if (worst > SEVERITY_NOTE)
		svg_text(out, badges[worst].class, SVG_END, box->x + box->width, box->y - 3, 60,
		         badges[worst].word);
	if (box->goes_on != LAYOUT_NONE || box->again)
		svg_text(out, "s", SVG_START, box->x, box->y + box->height + 11, box->width,
		         box->goes_on == LAYOUT_NONE ? "shown before"
		         : box->goes_on == box->sheet ? "more: below"
		         : sheet_text(d, "more: sheet", box->goes_on));
	svg_group_close(out);
}

/* "start", "end", "@1.20m" inside the box of a strip, where a cable meets its left or right edge. */
static void add_terminal_word(struct buf *out, const struct drawing *d, size_t terminal, struct point at,
                              bool left_edge)
{
	const struct terminal *t = &d->result->job->terminals[terminal];
	if (t->kind != KIND_STRIP)
		return;
	const char *word = t->name + strlen(d->result->job->strips[t->item].item.id);
	svg_text(out, "s", left_edge ? SVG_START : SVG_END, at.x + (left_edge ? 4 : -4), at.y + 3.5, 46,
	         *word == '.' ? word + 1 : word);
}

static const char *cable_figures(const struct drawing *d, size_t cable)
{
	const struct cable *c = &d->result->job->cables[cable];
	const struct cable_result *solved = &d->result->solution->cables[cable];
	const char *length = quantity_length_in(d->arena, c->length.num, d->lengths, LENGTH_CABLE, 3);
	return solved->live ? arena_printf(d->arena, "%s %s", length, amps(d->arena, solved->amps)) : length;
}

static void add_link_texts(struct buf *out, const struct drawing *d, const struct placed_link *link,
                           double width)
{
	const struct cable *cable = &d->result->job->cables[link->link];
	struct lines lines = { out, link->points[0].x + 5, link->points[0].y - 4, width };
	enum severity worst = d->worst[KIND_CABLE][link->link];
	const char *size = wire_sizes[(size_t)cable->size.num].name;
	double behind = svg_text_width(size) + SVG_CHARACTER;
	bool both = width - behind > LEAST_NAME;
	const char *id = svg_fit(d->arena, cable->item.id, both ? width - behind : width);
	svg_text(out, "", SVG_START, lines.x, lines.y, width,
	         both ? arena_printf(d->arena, "%s %s", id, size) : id);
	lines.y = link->points[0].y + 11;
	add_line(&lines, "", link->elsewhere == LAYOUT_NONE ? cable_figures(d, link->link)
	                                                    : sheet_text(d, "sh.", link->elsewhere));
	if (worst > SEVERITY_NOTE)
		add_line(&lines, badges[worst].class, badges[worst].word);
}

void drawing_add_link(struct buf *out, const struct drawing *d, const struct placed_link *link)
{
	const struct cable *cable = &d->result->job->cables[link->link];
	const struct job *job = d->result->job;
	struct point from = link->points[0], to = link->points[link->count - 1];
	svg_group_open(out, 0, 0, arena_printf(d->arena, "cable %s from %s to %s", cable->item.id,
	                                       job->terminals[cable->a].name, job->terminals[cable->b].name));
	svg_line(out, "wire", link->points, link->count);
	add_link_texts(out, d, link, link->points[1].x - from.x > 92 ? 87 : link->points[1].x - from.x - 5);
	bool along = drawing_box_at(d, cable->a) == link->left;
	add_terminal_word(out, d, along ? cable->a : cable->b, from, false);
	if (link->elsewhere == LAYOUT_NONE)
		add_terminal_word(out, d, along ? cable->b : cable->a, to, !link->loop);
	svg_group_close(out);
}
