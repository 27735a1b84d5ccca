/* Flag labels for the cables: wrapped around either end, each says which cable it is, which end, where
 * the other one goes, and what goes dark without it. */
#include "report/schedule.h"

#include "report/csv_cells.h"
#include "report/html.h"
#include "reference/reference.h"

struct label {
	const char *id, *here, *other, *feeds, *size;
};

static const char *feeds_of(struct arena *arena, const struct schedule *s,
                            const struct schedule_cable *cable)
{
	const char *feeds = schedule_feeds_text(arena, s, &cable->feeds);
	return feeds[0] != '\0' ? feeds : "no strip";
}

/* In the order of pulling, the end nearer the driver first. */
static struct label label_of(struct arena *arena, const struct schedule *s, size_t nth)
{
	const struct schedule_cable *row = &s->cables[nth / 2];
	const struct cable *cable = &s->check->job->cables[row->cable];
	bool near = nth % 2 == 0;
	return (struct label){
		.id = cable->item.id,
		.here = schedule_end(s, near ? row->near : row->far),
		.other = schedule_end(s, near ? row->far : row->near),
		.feeds = feeds_of(arena, s, row),
		.size = wire_sizes[(size_t)cable->size.num].name,
	};
}

void labels_html(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	struct schedule s;
	schedule_build(&s, result, out->arena);
	html_open(out, result->job, "Cable labels");
	html_element(out, "p class=\"screen\"", "Two labels for each cable, in the order of the schedule: print, "
	             "cut along the dashes, and wrap one around either end.");
	buf_add(out, "<ul class=\"labels\">\n");
	for (size_t i = 0; i < 2 * result->job->cable_count; i++) {
		struct label label = label_of(out->arena, &s, i);
		buf_add(out, "<li><strong>");
		html_add(out, label.id);
		buf_add(out, "</strong> at ");
		html_add(out, label.here);
		buf_add(out, "<br>to ");
		html_add(out, label.other);
		buf_add(out, "; 2 x ");
		html_add(out, label.size);
		buf_add(out, "<br>feeds ");
		html_add(out, label.feeds);
		buf_add(out, "</li>\n");
	}
	buf_add(out, "</ul>\n");
	html_close(out);
}

void labels_csv(struct buf *out, const struct check_result *result, const struct style *style)
{
	(void)style;
	struct schedule s;
	schedule_build(&s, result, out->arena);
	buf_add(out, "item,end,other_end,size,feeds\n");
	for (size_t i = 0; i < 2 * result->job->cable_count; i++) {
		struct label label = label_of(out->arena, &s, i);
		struct buf cells;
		buf_init(&cells, out->arena);
		csv_text(&cells, label.id);
		buf_add(out, cells.data + 1);        /* without the comma in front of the first */
		csv_text(out, label.here);
		csv_text(out, label.other);
		csv_text(out, label.size);
		csv_text(out, label.feeds);
		buf_add_char(out, '\n');
	}
}
